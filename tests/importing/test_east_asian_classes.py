"""What recipes in Japanese and Chinese do that a plain list does not, each class in a short one of ours."""

import pytest

from importing.readings import sure_or_not as lines
from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

DOUGH_JA = "強力粉 260g\n砂糖 18g\n塩 4g\nイースト 3g\n水 150g\nバター 18g\n"
DOUGH_ZH = "高筋面粉 260g\n糖 26g\n盐 3g\n酵母 3g\n牛奶 165g\n黄油 22g\n"


def parts(text):
    return [(part, name) for part, name, _, _ in lines(text)]


def test_names_stand_above_their_amounts_though_the_first_is_not_known():
    read = lines("果実種\n45g\n強力粉\n220g\nきび糖\n7g\n塩\n3g\n水\n95g\nはちみつ\n大さじ1")
    assert [grams for _, _, grams, _ in read[1:5]] == [220, 7, 3, 95]


@pytest.mark.parametrize("heading", ["トッピングの材料- ", "かけるそぼろの材料 - "])
def test_a_heading_before_a_dash_opens_its_part(heading):
    read = parts(f"{DOUGH_JA}{heading}薄力粉 40g\n- バター 25g\n- 砂糖 25g")
    assert [part for part, _ in read] == ["dough"] * 6 + ["aside"] * 3


@pytest.mark.parametrize(
    "text",
    [
        "汤种：高粉20g 水100g 主面团：高粉260g 糖26g 盐3g 酵母3g 牛奶80g 黄油22g 表面装饰：蛋液适量",
        "【汤种】高粉20克，水100克【主面团】高粉260克，糖26克，盐3克，酵母3克，奶80克，黄油22克【表面】蛋液适量",
        "湯種材料 高粉20克 水100克 主麵團材料 高粉260克 糖26克 鹽3克 酵母3克 奶80克 奶油22克 表面材料 蛋適量",
    ],
)
def test_headings_inside_a_line_open_their_parts(text):
    assert [part for part, _ in parts(text)] == ["scald"] * 2 + ["dough"] * 6 + ["aside"]


def test_a_list_with_blanks_only_is_cut_at_each_ingredient():
    read = lines("雞蛋 1隻(留少許) 牛奶 90毫升 鹽 4克 高筋麵粉 270克 酵母 5克 無鹽牛油(室溫) 20克")
    assert [name for _, name, _, _ in read] == [
        "whole_egg",
        "whole_milk",
        "salt",
        "bread_flour",
        "instant_yeast",
        "butter",
    ]
    assert read[5][2] == 20


def test_a_filling_in_a_run_leaves_the_ingredient_before_it_alone():
    read = lines("高筋面粉220g，牛奶120g，盐2g，糖25g，酵母3g，黄油22g，红豆沙160g，蛋液适量（刷表面用）")
    assert ("dough", "butter", 22, True) in read and read[-1][:2] == ("aside", "whole_egg")


def test_the_sum_of_a_line_is_no_amount():
    assert lines("高筋面粉250g+盐3g+糖30g+酵母3g+水150g+黄油20g=456g")[-1][2] == 20


def test_the_scald_named_with_its_mass_among_the_ingredients_opens_no_part():
    read = parts("高粉:270克\n糖:40克\n酵母:3克\n汤种:75克\n牛奶:110克\n黄油:25克")
    assert [part for part, _ in read] == ["dough"] * 3 + ["scald"] + ["dough"] * 2


@pytest.mark.parametrize(
    "aside", ["ケシの実 適量", "ココアパウダー 適量", "見知らぬ粉末 適量", "玉ねぎ 1/2個"]
)
def test_a_whole_dough_spares_what_has_no_amount(aside):
    assert parts(DOUGH_JA + aside)[-1][0] == "aside"


@pytest.mark.parametrize("heading", ["クリーム", "上に塗る卵", "黒ごまペースト", "マーブルシート"])
def test_a_list_behind_a_whole_dough_under_a_line_of_its_own_is_never_sure_dough(heading):
    read = lines(f"{DOUGH_JA}{heading}\nバター 30g\n砂糖 40g\n薄力粉 50g")
    assert not any(part == "dough" and sure for part, _, _, sure in read[6:])


@pytest.mark.parametrize(
    "more",
    [
        "黄油 10g",
        "2g 小苏打\n10g 红糖\n2L 水",
        "8茶匙面粉\n4茶匙糖",
        "卡仕达酱 200g\n牛奶 200g\n低筋面粉 15g",
    ],
)
def test_what_a_whole_dough_has_already_is_never_sure_dough(more):
    assert not any(part == "dough" and sure for part, _, _, sure in lines(DOUGH_ZH + more)[6:])


def test_a_list_for_another_size_is_no_dough():
    read = parts(f"{DOUGH_JA}強力粉 390g\n砂糖 27g\n塩 6g\nイースト 4.5g\n水 225g\nバター 27g")
    assert [part for part, _ in read] == ["dough"] * 6 + ["aside"] * 6


@pytest.mark.parametrize(
    "heading, part",
    [
        ("麻薯面包面团", "dough"),
        ("奶酥麵包主麵團材料", "dough"),
        ("ビスケ生地", "aside"),
        ("トッピング用クッキー生地", "aside"),
        ("芝士餡料", "aside"),
    ],
)
def test_the_end_of_a_heading_says_what_it_is_of(heading, part):
    assert parts(f"【{heading}】\n高筋麵粉 100g\n奶油 20g")[0][0] == part


def test_groups_by_a_letter_are_dough_until_it_is_whole():
    read = parts(
        "A\n強力粉 200g\nイースト 3g\n砂糖 20g\n塩 3g\nB\n牛乳 140g\nC\nバター 20g\nD\nバター 9g\nシナモン 5g"
    )
    assert [part for part, _ in read] == ["dough"] * 6 + ["aside"] * 2


@pytest.mark.parametrize(
    "line, name",
    [
        ("バター（有塩） 10g", "salted_butter"),
        ("マーガリン(無塩・常温) 10g", "unsalted_margarine"),
        ("10g バター（加塩）", "salted_butter"),
        ("黄油（含盐）10克", "salted_butter"),
        ("牛奶（低脂）60克", "semi_skimmed_milk"),
        ("法国T65面粉 60克", "plain_flour"),
        ("全卵粉 8g", "whole_egg_powder"),
        ("蛋液（45克）", "whole_egg"),
    ],
)
def test_the_kind_beside_a_name_is_read(line, name):
    assert lines(f"塩 4g\nイースト 3g\n{line}")[-1][1] == name


@pytest.mark.parametrize("filling", ["油条 60克", "黒蜜 20g", "きな粉 20g"])
def test_what_the_catalogue_lacks_is_none_of_ours(filling):
    assert not any(sure for _, name, _, sure in lines(f"高筋面粉 200克\n{filling}")[1:] if name)


@pytest.mark.parametrize(
    "line", ["卵1個＋牛乳＝180g", "卵1個（約50g）と牛乳　合わせて180g", "卵1個+牛乳で180g"]
)
def test_eggs_and_milk_weighed_together_are_taken_apart(line):
    read = lines(f"強力粉 250g\n{line}")
    assert [(name, grams) for _, name, grams, _ in read[1:]] == [("whole_egg", 50), ("whole_milk", 130)]
    assert not read[-1][3]


def test_eggs_in_a_list_of_numbers_are_grams_too():
    assert lines("強力粉 250\n全卵 30\n砂糖 25\n塩 4\nイースト 4\n牛乳 140")[1][2] == 30


@pytest.mark.parametrize("heading", ["【メロン皮】 ", "[菠萝皮] ", "(奶酥餡) "])
def test_a_heading_in_brackets_before_a_list_opens_its_part(heading):
    read = parts(f"{DOUGH_ZH}{heading}低筋粉 100g、黄油 50g、糖粉 40g、蛋液 20g")
    assert [part for part, _ in read] == ["dough"] * 6 + ["aside"] * 4


def test_what_the_letters_of_groups_are_of_is_said_in_parentheses():
    read = parts("材料A(汤种)\n高粉 20g\n水 100g\n材料B(主面团)\n高粉 250g\n材料C(内馅)\n黄油 30g")
    assert [part for part, _ in read] == ["scald", "scald", "dough", "aside"]


def test_strokes_part_a_list_on_one_line():
    read = lines("高筋粉：280克 / 糖：40克 / 盐：3克 / 酵母：3克 / 黄油：25克")
    assert [grams for _, _, grams, _ in read] == [280, 40, 3, 3, 25]


def test_a_wash_among_the_lines_leaves_those_below_it_in_the_dough():
    read = parts("高筋面粉 250克\n盐 3克\n蛋液 适量（刷表面）\n酵母 3克\n牛奶 170克")
    assert [part for part, _ in read] == ["dough", "dough", "aside", "dough", "dough"]


@pytest.mark.parametrize("remark", ["水可以替换成牛奶180克", "参考：水 300ml"])
def test_a_remark_about_another_recipe_is_no_ingredient(remark):
    assert len(lines(DOUGH_ZH + remark)) == 6


@pytest.mark.parametrize("more", ["蜂蜜 大さじ1", "砂糖 大さじ1"])
def test_what_boils_bagels_is_never_sure_dough(more):
    assert not lines(f"強力粉 250g\n塩 4g\nイースト 2g\n水 150g\n{more}")[-1][3]


@pytest.mark.parametrize(
    "line", ["強力粉 250g(うち50gは湯種に)", "高筋面粉250克（其中50克做汤种）", "高筋麵粉 250g（50g做湯種）"]
)
def test_a_part_for_the_scald_is_read_though_its_unit_is_glued_to_what_follows(line):
    read = lines(f"{line}\n塩 4g\n水 170g")[:2]
    assert [(part, grams) for part, _, grams, _ in read] == [("scald", 50), ("dough", 200)]


def test_the_parts_in_front_of_the_rows_of_a_table_open():
    read = parts("湯種 強力粉 20% 50g\n熱湯 20% 50g\n本捏 強力粉 80% 200g\n塩 2% 5g\n水 50% 125g")
    assert [part for part, _ in read] == ["scald"] * 2 + ["dough"] * 3


@pytest.mark.parametrize("line", ["蛋液：30克", "溶き卵：30g", "卵液:約30g(室温)"])
def test_a_name_before_a_colon_and_its_amount_heads_no_list(line):
    read = lines(f"高筋面粉 200克\n盐：3克\n{line}\n牛奶：90克")
    assert read[2][:3] == ("dough", "whole_egg", 30) and read[3][0] == "dough"


@pytest.mark.parametrize("line", ["全卵 50g（うち10gは塗り卵用）", "全蛋液50克（其中10克刷表面）"])
def test_a_part_for_the_crust_is_taken_from_what_the_dough_has(line):
    assert lines(f"高筋面粉 200克\n{line}\n盐 3克")[1] == ("dough", "whole_egg", 40, False)


@pytest.mark.parametrize(
    "line, name, grams",
    [
        ("速發酵母 3g 或 新鮮酵母 9g", "instant_yeast", 3),
        ("干酵母3克或鲜酵母9克", "instant_yeast", 3),
        ("ドライイースト3gまたは生イースト9g", "instant_yeast", 3),
        ("新鮮酵母9g=乾酵母3g", "compressed_yeast", 9),
        ("新鮮酵母 9g（速發酵母則 3g）", "compressed_yeast", 9),
        ("イースト(生の場合9g) 3g", "instant_yeast", 3),
        ("奶油25g或植物油20g", "butter", 25),
        ("butter 25 g or oil 20 g", "butter", 25),
        ("lievito fresco 12 g o lievito secco 4 g", "compressed_yeast", 12),
    ],
)
def test_of_two_that_would_do_the_first_is_taken(line, name, grams):
    read = lines(f"塩 4g\n水 150g\n{line}")[2:]
    assert [(each[1], each[2]) for each in read] == [(name, grams)]


@pytest.mark.parametrize(
    "yeasts, name, grams",
    [
        ("生イーストの場合 8g", "compressed_yeast", 8),
        ("ドライイーストの場合は 3g\n生イーストの場合は 8g", "instant_yeast", 3),
        ("生イーストの場合 8g\nドライイースト 3g", "instant_yeast", 3),
    ],
)
def test_a_yeast_for_its_own_case_is_the_recipes_only_without_another(yeasts, name, grams):
    read = lines(f"強力粉 260g\n塩 4g\n水 150g\n{yeasts}\nバター 18g")
    assert [(each[1], each[2]) for each in read[3:-1]] == [(name, grams)]


@pytest.mark.parametrize(
    "line, grams",
    [
        ("糖 1兩5錢", 56.25),
        ("糖 一兩五錢", 56.25),
        ("糖 半兩", 18.75),
        ("糖 2兩半", 93.75),
        ("糖 1斤2兩", 675),
        ("盐 3钱", 15),
        ("糖 二两", 100),
        ("面粉 一斤半", 750),
        ("鮮奶 120 C.C.", 123.7),
    ],
)
def test_a_catty_and_its_parts_are_weighed_by_region(line, grams):
    base = "麵團\n高筋麵粉 600g" if line[0] in "糖鮮" and "两" not in line else "面团\n高筋面粉 600g"
    read = perform(RECIPE_IMPORT, {"text": f"{base}\n{line}"})["lines"][-1]
    assert read["mass"]["best"] == pytest.approx(grams, rel=0.01)


@pytest.mark.parametrize(
    "line", ["水(預留10g) 150g", "水（预留10克） 150克", "水(調整水10g含む) 150g", "水 150g(うち調整水10g)"]
)
def test_water_that_is_held_back_is_in_the_amount(line):
    assert lines(f"塩 4g\n高筋麵粉 260g\n{line}")[2][1:3] == ("water", 150)


@pytest.mark.parametrize(
    "line, code",
    [
        ("老麵 80g", "preferment"),
        ("中种面团 150克", "preferment"),
        ("液種 100g", "preferment"),
        ("ホシノ天然酵母生種 20g", "sourdough"),
        ("酒種 30g", "sourdough"),
        ("天然酵母液 50g", "sourdough"),
        ("150 g poolish", "preferment"),
    ],
)
def test_a_dough_made_before_is_not_read_and_the_reason_says_what_to_enter(line, code):
    read = perform(RECIPE_IMPORT, {"text": f"高筋麵粉 260g\n鹽 4g\n{line}"})["lines"][-1]
    assert (read["sure"], read["in_formula"]) == ("not_read", False)
    assert [doubt["code"] for doubt in read["doubts"]] == [code]


@pytest.mark.parametrize(
    "text",
    [
        "老麵\n高筋麵粉 100g\n水 60g\n主麵團\n高筋麵粉 260g\n老麵 80g\n鹽 4g\n水 150g",
        "主麵團\n高筋麵粉 260g\n老麵 80g\n鹽 4g\n水 150g\n老麵\n高筋麵粉 100g\n水 60g",
        "老麺\n強力粉 100g\n水 60g\n本生地\n強力粉 260g\n老麺 80g\n塩 4g\n水 150g",
        "Biga\nflour 100 g\nwater 60 g\nDough\nflour 260 g\nbiga 80 g\nsalt 4 g\nwater 150 g",
    ],
)
def test_only_what_is_used_of_a_dough_made_before_is_counted(text):
    read = [each for each in perform(RECIPE_IMPORT, {"text": text})["lines"] if each["in_formula"]]
    assert sorted(round(each["mass"]["best"]) for each in read) == [4, 30, 50, 150, 260]
    assert all(each["sure"] == "likely" for each in read if each["mass"]["best"] in (30, 50))


@pytest.mark.parametrize("line", ["中種 全量", "中種(全量)", "中種麵團 全部", "中种 全部"])
def test_all_of_the_sponge_is_no_heading(line):
    read = lines(f"中種\n高筋麵粉 180g\n水 110g\n酵母 2g\n主麵團\n{line}\n高筋麵粉 80g\n鹽 4g")
    assert [each[3] for each in read[-2:]] == [True, True]


@pytest.mark.parametrize(
    "line, name, sure",
    [
        ("吉士粉 10g", "custard_powder", "likely"),
        ("卡士達粉 10g", "custard_powder", "likely"),
        ("カスタードパウダー 10g", "custard_powder", "likely"),
        ("改良劑 2g", "bread_improver", "sure"),
        ("面包改良剂 2g", "bread_improver", "sure"),
        ("イーストフード 0.3g", "yeast_food", "sure"),
        ("乳化劑 2g", None, "not_read"),
    ],
)
def test_powders_of_the_bakery_are_of_the_dough(line, name, sure):
    read = perform(RECIPE_IMPORT, {"text": f"高筋麵粉 260g\n鹽 4g\n水 150g\n{line}"})["lines"][-1]
    assert (read["part"], read["ingredient"], read["sure"]) == ("dough", name, sure)


@pytest.mark.parametrize("line, name", [("地瓜粉 20g", "tapioca_starch"), ("蕃薯泥 80g", "sweet_potato")])
def test_the_starch_and_the_mash_of_sweet_potato_are_told_apart(line, name):
    assert lines(f"高筋麵粉 260g\n鹽 4g\n水 150g\n{line}")[-1][1] == name


@pytest.mark.parametrize(
    "title",
    [
        "北海道牛奶吐司",
        "湯種牛奶吐司 (450g)",
        "蜂蜜小餐包（12個）",
        "はちみつバターロール",
        "豆乳食パン 1斤",
        "くるみパンの作り方",
        "红糖核桃软欧包",
        "牛奶哈斯的做法",
    ],
)
def test_a_first_line_that_is_the_name_of_a_bread_is_the_title(title):
    flour = "强力粉" if "软" in title else "強力粉"
    first, second = perform(RECIPE_IMPORT, {"text": f"{title}\n{flour} 250g\n水 160g"})["lines"][:2]
    assert (first["kind"], first["part"], second["part"]) == ("heading", "dough", "dough")


@pytest.mark.parametrize(
    "line", ["合計 414g", "總重量：414公克", "面团总重 414克", "総量 414g", "Total 414 g"]
)
def test_what_a_list_adds_up_to_is_no_ingredient(line):
    read = perform(RECIPE_IMPORT, {"text": f"高筋麵粉 250g\n水 160g\n鹽 4g\n{line}"})["lines"][-1]
    assert read["kind"] == "step"


@pytest.mark.parametrize(
    "heading, line",
    [
        ("水煮部分", "糖 50g"),
        ("蛋白液部分", "蛋白 30g"),
        ("表面沾料部份", "白芝麻 20g"),
        ("煮液", "糖 50g"),
        ("起司部分", "奶油乳酪 100g"),
        ("くるみの材料", "くるみ 30g"),
    ],
)
def test_a_heading_that_names_an_ingredient_is_no_line_of_the_dough(heading, line):
    *_, opened, read = perform(RECIPE_IMPORT, {"text": f"高筋麵粉 250g\n水 160g\n鹽 4g\n{heading}\n{line}"})[
        "lines"
    ]
    assert opened["kind"] == "heading"
    assert read["part"] == "aside" or read["section_sure"] != "sure"


def test_a_list_without_kana_may_be_japanese():
    assert lines("強力粉 250g\n水 160g\n砂糖 大匙2\n塩 小匙1")[2][1:3] == ("soft_white_sugar", 18)


@pytest.mark.parametrize(
    "line, ingredient, grams",
    [
        ("20 ml 中性油,另備刷麵用", "oil", 18),
        ("奶油 20g,以及少許抹模", "butter", 20),
        ("高筋麵粉 20g,再備一些手粉", "bread_flour", 20),
        ("高筋面粉 20克，另备手粉", "bread_flour", 20),
        ("黄油 20克（另加少许抹模）", "butter", 20),
        ("バター 20g(型用は別に適量)", "butter", 20),
        ("強力粉 20g(打ち粉は分量外)", "bread_flour", 20),
        ("強力粉 20g、打ち粉適量", "bread_flour", 20),
        ("橄欖油 20克(表面及烤盤上淋油另計)", "oil", 20),
        ("高筋面粉 20克(不包括手粉)", "bread_flour", 20),
        ("バター 20g(型用は含まず)", "butter", 20),
        ("卵 1個(塗り卵は別)", "whole_egg", 50),
    ],
)
def test_more_that_is_not_weighed_leaves_the_amount_in_the_dough(line, ingredient, grams):
    read = lines(f"鹽 4g\n高筋麵粉 260g\n{line}\n水 150g")[2]
    assert read[:3] == ("dough", ingredient, grams)


@pytest.mark.parametrize(
    "line", ["高筋麵粉 260g(含手粉)", "高筋面粉 260克(包括手粉)", "強力粉 260g(打ち粉含む)"]
)
def test_what_includes_the_dusting_is_dough_and_never_sure(line):
    assert lines(f"鹽 4g\n水 150g\n{line}")[2] == ("dough", "bread_flour", 260, False)


@pytest.mark.parametrize("line", ["奶油 10g(抹模用)", "バター 10g(型用)", "バター(分量外・型用) 10g"])
def test_what_is_for_the_tin_is_no_dough(line):
    assert lines(f"鹽 4g\n高筋麵粉 260g\n{line}\n水 150g")[2][:3] == ("aside", "butter", 10)


@pytest.mark.parametrize(
    "line, ingredient, grams",
    [
        ("糖 麵包機附的湯匙 x 3大匙", "sucrose", 38),
        ("酵母 面包机自带量勺1小勺", "instant_yeast", 3),
        ("ドライイースト 付属のスプーン小1", "instant_yeast", 3),
        ("牛乳:170cc …電子レンジ(500W)で1分加熱", "whole_milk", 175),
        ("牛乳 20mlほど", "whole_milk", 21),
        ("水 20ml ← 牛乳でもOK", "water", 20),
    ],
)
def test_the_spoon_and_what_is_done_with_it_are_beside_the_amount(line, ingredient, grams):
    assert lines(f"鹽 4g\n高筋麵粉 260g\n{line}")[2][:3] == ("dough", ingredient, grams)


@pytest.mark.parametrize(
    "form",
    [
        "食材：{}",
        "材料-{}",
        "材料・{}",
        "材料 {}",
        "Part 1：{}",
        "第1步 {}",
        "{} 1份",
        "{} 120g",
        "{}（約120g）",
        "【材料】{}",
    ],
)
@pytest.mark.parametrize(
    "names", [("湯種", "主麵糰", "內餡"), ("汤种", "主面团", "馅料"), ("湯種", "本生地", "トッピング")]
)
def test_what_is_beside_the_name_of_a_part_leaves_it_a_heading(form, names):
    flour = "高筋面粉" if "汤种" in names else "高筋麵粉"
    lists = f"{flour} 20g\n水 100g", f"{flour} 250g\n塩 4g", "バター 50g\n糖 20g"
    text = "\n".join(f"{form.format(name)}\n{each}" for name, each in zip(names, lists, strict=True))
    read = lines(text)
    assert [each[0] for each in read] == ["scald", "scald", "dough", "dough", "aside", "aside"]


@pytest.mark.parametrize("line", ["湯種 1份", "湯種 120g"])
def test_a_scald_among_the_dough_is_no_heading(line):
    read = lines(f"主麵糰\n高筋麵粉 250g\n鹽 4g\n{line}\n水 100g\n湯種\n高筋麵粉 20g\n水 100g")
    assert [each[0] for each in read] == ["dough", "dough", "scald", "dough", "scald", "scald"]


def test_the_part_of_a_list_is_its_heading_in_other_languages_too():
    text = "Ingredients: Dough\nbread flour 250 g\nsalt 4 g\nIngredients: Filling\nbutter 50 g"
    assert [each[0] for each in lines(text)] == ["dough", "dough", "aside"]
    text = "Zutaten: Teig\nWeizenmehl 250 g\nSalz 4 g\nZutaten: Füllung\nButter 50 g"
    assert [each[0] for each in lines(text)] == ["dough", "dough", "aside"]


def test_old_dough_under_the_word_ingredients_is_counted_as_far_as_it_is_used():
    text = "食材:老麵糰\n高筋麵粉 125g\n水 75g\n食材:主麵糰\n老麵 100g\n高筋麵粉 520g\n鹽 9g"
    assert sorted(each[2] for each in lines(text) if each[1]) == [9, 38, 62, 520]


@pytest.mark.parametrize(
    "line, ingredient, grams",
    [
        ("卵 3分の1個", "whole_egg", 17),
        ("水 1と4分の3カップ", "water", 349),
        ("蛋液 30g,剩下的刷面", "whole_egg", 30),
        ("蛋液 35g(留5g刷表面)", "whole_egg", 30),
        ("黄油 40g(面团20、馅料20)", "butter", 20),
        ("卵 1個(半量は塗り用)", "whole_egg", 25),
    ],
)
def test_a_share_in_words_is_of_the_amount(line, ingredient, grams):
    assert ("dough", ingredient, grams) in [each[:3] for each in lines(f"強力粉 260g\n塩 3g\n{line}")]


@pytest.mark.parametrize("place", ["before", "behind"])
@pytest.mark.parametrize("heading", ["かぶせ生地", "フラワーペースト", "外层"])
def test_a_part_without_yeast_beside_a_whole_dough_is_never_surely_dough(heading, place):
    other, dough = f"{heading}\n薄力粉 40g\nバター 25g\n砂糖 25g\n", f"生地\n{DOUGH_JA}"
    read = lines(other + dough if place == "before" else dough + other)
    found = read[:3] if place == "before" else read[-3:]
    assert not any(part == "dough" and sure for part, _, _, sure in found)


@pytest.mark.parametrize("place", ["before", "behind"])
@pytest.mark.parametrize("form", ["({})", "({}用)"])
@pytest.mark.parametrize("use", ["フィリング", "クッキー生地", "菠萝皮", "紫薯馅"])
def test_what_parentheses_say_is_for_a_filling_is_no_dough(use, form, place):
    other = f"薄力粉{form.format(use)} 40g\n粉糖{form.format(use)} 25g\n"
    read = lines(other + DOUGH_JA if place == "before" else DOUGH_JA + other)
    assert [part for part, _, _, _ in (read[:2] if place == "before" else read[-2:])] == ["aside"] * 2


@pytest.mark.parametrize(
    "line", ["バター(食塩不使用) 18g", "葡萄干(泡软备用) 18g", "黄油 18g(面团用)+ 20g(夹层用)"]
)
def test_other_uses_in_parentheses_leave_a_line_in_the_dough(line):
    assert lines(DOUGH_JA + line)[-1][0] == "dough"


@pytest.mark.parametrize("between", ["、", "\n"])
def test_the_lists_of_parts_may_be_in_parentheses(between):
    text = between.join(
        (
            "湯種(強力粉50g、熱湯(95℃)50g)",
            "本捏ね(強力粉200g、砂糖18g、塩4g、イースト3g、牛乳120g)",
            "仕上げ(バター10g、砂糖5g)",
        )
    )
    assert [part for part, _ in parts(text)] == ["scald"] * 2 + ["dough"] * 5 + ["aside"] * 2


def test_the_part_of_a_table_is_that_of_the_rows_below():
    rows = (
        "馅料 | 黄油 | 30g",
        " | 糖粉 | 25g",
        "主面团 | 高粉 | 260g",
        " | 盐 | 3g",
        " | 酵母 | 3g",
        " | 水 | 160g",
    )
    text = "\n".join(f"| {row} |" for row in rows)
    assert [part for part, _ in parts(text)] == ["aside"] * 2 + ["dough"] * 4


def test_a_bare_flour_and_what_is_served_with_it_are_read():
    assert lines("粉500グラム/水350ml/塩8g/イースト5g/バター25g")[:2] == [
        ("dough", "plain_flour", 500, False),
        ("dough", "water", 349, True),
    ]
    assert lines("最佳配方:一斤面粉搭配3克盐、5克糖、5克油和120毫升水。")[:2] == [
        ("dough", "plain_flour", 500, False),
        ("dough", "salt", 3, True),
    ]


def test_cinnamon_beside_the_sugar_behind_a_dough_is_never_surely_of_it():
    read = lines(f"生地\n{DOUGH_JA}グラニュー糖 大さじ2\nシナモンパウダー 大さじ1/2\n打ち粉 適量")
    assert [sure for _, name, _, sure in read if name in ("sucrose", "cinnamon")] == [False, False]


@pytest.mark.parametrize("line", ["塩 5/10g", "強力粉 250/375g", "高筋麵粉 280克+20克(湯種)"])
def test_amounts_for_two_loaves_or_with_the_scald_are_never_sure(line):
    assert not any(sure for _, _, _, sure in lines(f"{line}\n水 180g\nイースト 3g")[:1])


@pytest.mark.parametrize(
    "line",
    [
        "高筋面粉280g、牛奶170g、酵母3g、黄油22g一起混合揉面",
        "高筋麵粉280g、鮮奶170g、酵母3g、奶油22g攪拌成糰",
        "強力粉280g、牛乳170g、イースト3g、バター22gを混ぜてこねる",
    ],
)
def test_what_is_done_behind_the_last_amount_takes_nothing_from_its_ingredient(line):
    assert [(name, grams) for _, name, grams, _ in lines(line)][2:] == [("instant_yeast", 3), ("butter", 22)]
    assert lines(line)[3][3]  # for sure


@pytest.mark.parametrize(
    "line", ["高筋面粉280g、牛奶170g、盐3g、全蛋液20g刷表面", "強力粉280g、牛乳170g、塩3g、卵20gを表面に塗る"]
)
def test_what_the_last_amount_of_a_run_is_for_concerns_it_alone(line):
    assert parts(line)[1:] == [("dough", "whole_milk"), ("dough", "salt"), ("aside", "whole_egg")]
    assert not lines(line)[-1][3]


def test_how_many_pieces_it_makes_is_no_ingredient_above_a_heading():
    assert (
        parts(f"10個分(直径12cm)\n<パン生地>\n{DOUGH_JA}充填:\nバター 80g\n砂糖 20g")[0][1] == "bread_flour"
    )
    assert [part for part, _ in parts(f"{DOUGH_JA}充填:\nバター 80g\n砂糖 20g")] == ["dough"] * 6 + [
        "aside"
    ] * 2

"""Lines and tables as Japanese and Chinese writers have them, each class in a short one of ours."""

import pytest

from importing.readings import sure_or_not as lines

DOUGH_ZH = "高筋麵粉 250g\n糖 25g\n鹽 3g\n速發酵母 3g\n鮮奶 80g\n奶油 20g\n"
DOUGH_JA = "強力粉 250g\n塩 4g\nインスタントドライイースト 3g\n水 160g\n"


@pytest.mark.parametrize(
    "text, names",
    [
        ("湯種：高筋麵粉20g/水100g", ["bread_flour", "water"]),
        ("汤种：高筋面粉20g／水100g", ["bread_flour", "water"]),
        ("湯種\n強力粉20g／牛乳100g", ["bread_flour", "whole_milk"]),
        ("酵母 3g ／ 鮮奶 80g\n高筋麵粉 250g", ["instant_yeast", "whole_milk", "bread_flour"]),
        ("flour 250 g\nyeast 3 g / milk 80 g", ["plain_flour", "instant_yeast", "whole_milk"]),
        ("高筋麵粉 250g\n奶油 20g ／ 橄欖油 15g", ["bread_flour", "butter"]),
        ("flour 250 g\nbutter 20 g / oil 15 g", ["plain_flour", "butter"]),
    ],
)
def test_a_stroke_parts_two_ingredients_unless_one_would_do_for_the_other(text, names):
    assert [name for _, name, _, _ in lines(text)] == names


@pytest.mark.parametrize(
    "head", ["項目\t材料\t克\t%", "階段\t材料\t克\t%", "\t材料\t克\t%", "|項目|材料|克|%|", "| |材料|克|%|"]
)
def test_a_column_that_names_the_scald_and_the_dough_says_the_parts(head):
    rows = ["湯種\t高筋麵粉\t20\t8", "\t水\t100\t40", "主麵團\t高筋麵粉\t230\t92", "\t酵母\t3\t1.2"]
    if "|" in head:
        rows = [f"|{row}|".replace("\t", "|") for row in rows]
    assert [each[:3] for each in lines("\n".join([head, *rows]))] == [
        ("scald", "bread_flour", 20),
        ("scald", "water", 100),
        ("dough", "bread_flour", 230),
        ("dough", "instant_yeast", 3),
    ]


@pytest.mark.parametrize(
    "line", ["高筋麵粉*1 250g", "強力粉※2　250g", "強力粉 ※1 250g", "bread flour*1 250 g"]
)
def test_the_number_of_a_note_is_no_part_of_the_amount(line):
    assert lines(line)[0] == ("dough", "bread_flour", 250, True)


@pytest.mark.parametrize(
    "line",
    ["全蛋液 30g，剩餘刷表面", "全蛋液 30g，剩下的刷面", "鸡蛋液 30克，剩余刷面", "全蛋液 30g（多的刷面）"],
)
def test_the_rest_for_the_crust_is_besides_the_amount(line):
    assert lines(f"鹽 3g\n{line}\n高筋麵粉 250g")[1][:3] == ("dough", "whole_egg", 30)


@pytest.mark.parametrize(
    "line, name",
    [
        ("バター（有塩でも可） 20g", "butter"),
        ("バター（有塩でもOK） 20g", "butter"),
        ("牛乳（低脂肪乳でも可） 20g", "whole_milk"),
        ("奶油（有鹽亦可） 20g", "butter"),
        ("黄油（有盐也行） 20克", "butter"),
        ("butter (salted is fine) 20 g", "butter"),
        ("砂糖（てんさい糖使用） 20g", "sucrose"),
        ("砂糖（きび砂糖を使用） 20g", "sucrose"),
        ("バター（有塩） 20g", "salted_butter"),
    ],
)
def test_what_would_do_as_well_is_not_what_is_used(line, name):
    assert lines(f"{DOUGH_JA}{line}")[-1][1:3] == (name, 20)


@pytest.mark.parametrize(
    "line, name, grams",
    [
        ("はちみつ…10g（お好みで）", "honey", 10),
        ("きょうりきこ…100g", "bread_flour", 100),
        ("はくりきこ 30g", "cake_flour", 30),
        ("ぎゅうにゅう 60g", "whole_milk", 60),
        ("とかち野酵母 3g", "instant_yeast", 3),
        ("麵團水份 110毫升", "water", 110),
        ("面团用水 110克", "water", 110),
    ],
)
def test_words_of_kitchens_are_read(line, name, grams):
    assert lines(f"塩 4g\n{line}\nバター 20g")[1][:3] == ("dough", name, grams)


def test_a_middle_dot_between_names_shares_the_amount():
    assert lines("強力粉 250g\n塩・砂糖 各5g")[1:] == [
        ("dough", "salt", 5, True),
        ("dough", "soft_white_sugar", 5, False),
    ]


@pytest.mark.parametrize("line", ["クープ用バター 5g", "巻く用のバター 40g"])
def test_butter_for_cuts_and_rolls_is_no_dough(line):
    assert lines(f"{DOUGH_JA}バター 15g\n{line}")[-1][0] == "aside"


def test_water_for_the_scald_joins_the_part_of_the_flour_for_it():
    read = lines("用料\n高筋面粉 280克（其中20克做汤种）\n水 100克（汤种用）\n盐 3克\n酵母 3克\n牛奶 80克")
    assert [(part, grams) for part, _, grams, _ in read[:3]] == [
        ("scald", 20),
        ("dough", 260),
        ("scald", 100),
    ]


@pytest.mark.parametrize(
    "heading", ["汤种（高粉20+水100）", "湯種(高筋麵粉20、水100)", "湯種（強力粉20＋水100）"]
)
def test_numbers_without_units_beside_the_scald_are_grams_and_never_sure(heading):
    read = lines(f"{heading}\n高粉260\n糖30\n盐3\n酵母3\n牛奶80\n黄油25")
    assert [(part, grams) for part, _, grams, _ in read[:3]] == [
        ("scald", 20),
        ("scald", 100),
        ("dough", 260),
    ]
    assert not any(sure for _, _, _, sure in read[:2])


@pytest.mark.parametrize(
    "mark, step",
    [
        ("※", "※を混ぜて湯種を作る。"),
        ("☆", "☆の強力粉に沸騰した☆のお湯を入れて混ぜる。"),
        ("★", "★を耐熱容器に入れ、レンジで加熱して混ぜる。"),
    ],
)
def test_marked_lines_are_the_scald_that_the_steps_make_of_them(mark, step):
    text = f"{mark}強力粉 50g\n{mark}お湯 50g\n{DOUGH_JA}バター 15g\n作り方\n{step}"
    assert [part for part, _, _, _ in lines(text)] == ["scald"] * 2 + ["dough"] * 5


def test_marked_lines_that_are_only_warmed_stay_in_the_dough():
    text = f"☆薄力粉 50g\n☆牛乳 50g\n{DOUGH_JA}作り方\n☆を人肌に温めて混ぜ、残りとこねる。"
    assert [part for part, _, _, _ in lines(text)] == ["dough"] * 6


@pytest.mark.parametrize("remark", ["(夏天請用冰的)", "（我用的是新良）", "(冬天可用溫水)"])
def test_a_remark_in_parentheses_is_no_heading(remark):
    read = lines(f"{DOUGH_ZH}{remark}\n葡萄乾 50g")
    assert read[-1][:3] == ("dough", "raisins", 50)


@pytest.mark.parametrize(
    "line, name, grams",
    [
        ("砂糖 大さじ山盛り2", "soft_white_sugar", 27),
        ("糖（喜欢甜的加到40克） 25克", "sucrose", 25),
        ("鸡蛋一个，留少许刷面", "whole_egg", 50),
    ],
)
def test_what_is_beside_an_amount_leaves_it(line, name, grams):
    assert lines(f"强力粉 250g\n塩 4g\n{line}")[-1][:3] == ("dough", name, grams)


def test_a_bracket_drawn_behind_lines_names_their_part():
    text = f"強力粉 50g　┐\n熱湯 60g　　┘湯種\n{DOUGH_JA}"
    assert [part for part, _, _, _ in lines(text)] == ["scald"] * 2 + ["dough"] * 4
    assert [part for part, _, _, _ in lines("塩 4g ┐\n砂糖 20g ┘\n強力粉 250g\n水 160g")] == ["dough"] * 4


@pytest.mark.parametrize(
    "scald, line",
    [
        ("湯種：高筋麵粉50g、水250g", "湯種 100g"),
        ("Tangzhong: 50 g bread flour, 250 g water", "tangzhong 100 g"),
    ],
)
def test_a_scald_on_one_line_above_the_dough_is_counted_as_far_as_it_is_used(scald, line):
    read = lines(f"{scald}\nbread flour 260 g\n{line}\nsugar 30 g\nsalt 3 g\ninstant yeast 3 g\nmilk 80 g")
    assert [(part, grams, sure) for part, _, grams, sure in read[:2]] == [
        ("scald", 17, False),
        ("scald", 83, False),
    ]
    assert read[3][:2] == ("scald", None)


@pytest.mark.parametrize(
    "line",
    [
        "强力粉 250g（湯種用20g・生地用230g）",
        "高筋麵粉 250g（湯種20g、麵團230g）",
        "強力粉 250g（湯種に20g、生地に230g）",
    ],
)
def test_an_amount_shared_out_in_parentheses_goes_to_both_parts(line):
    read = lines(f"{line}\n塩 4g\nインスタントドライイースト 3g\n水 160g")
    assert [(part, grams) for part, _, grams, _ in read[:2]] == [("scald", 20), ("dough", 230)]


@pytest.mark.parametrize(
    "line, grams",
    [
        ("无盐黄油:8%(后油法加入更顺滑)", 20),
        ("バター 8%（こね上がる直前に加える）", 20),
        ("盐（最后加入）", None),
    ],
)
def test_what_is_done_with_it_in_parentheses_leaves_it_an_ingredient(line, grams):
    assert lines(f"高筋面粉 250g\n{line}")[1][2] == grams


@pytest.mark.parametrize(
    "line, size", [("卵Lサイズ1個(60g)", 60), ("卵Mサイズ1個", 50), ("卵L 1個", 58), ("卵 1個 25円", 50)]
)
def test_the_size_and_the_price_of_an_egg_are_beside_it(line, size):
    assert lines(f"強力粉 250g\n{line}")[1][1:3] == ("whole_egg", size)


@pytest.mark.parametrize("line", ["总粉量：250g", "總麵粉量 250g", "粉の総量 250g", "总液体 160g"])
def test_the_sum_of_a_kind_is_no_ingredient(line):
    assert len(lines(f"强力粉 200g\n薄力粉 50g\n水 160g\n{line}")) == 3


@pytest.mark.parametrize(
    "note", ["*酵母冬天可加到4g", "*鮮奶可用水150g代替", "※イーストは冬は4g", "＊水若太乾可加10g"]
)
def test_an_amount_for_another_case_in_a_note_is_none_of_the_list(note):
    assert len(lines(f"{DOUGH_ZH}{note}")) == 6


def test_marks_before_lines_of_the_list_leave_them_in_it():
    assert len(lines(f"{DOUGH_ZH}*葡萄乾 50g\n*核桃 30g 可不加")) == 8


def test_the_name_of_the_part_may_stand_behind_the_amount():
    rows = "強力粉 50g 湯種\n熱湯 50g 湯種\n強力粉 200g 本ごね\n塩 4g 本ごね\n水 120g 本ごね"
    assert [part for part, _, _, _ in lines(rows)] == ["scald"] * 2 + ["dough"] * 3


def test_two_doughs_of_one_bread_are_both_dough():
    text = f"白生地\n{DOUGH_JA}抹茶生地\n強力粉 240g\n抹茶 8g\n塩 4g\nインスタントドライイースト 3g\n水 165g"
    assert {part for part, _, _, _ in lines(text)} == {"dough"}


@pytest.mark.parametrize(
    "line, grams",
    [("約250g高筋麵粉", 250), ("约250克高筋面粉", 250), ("強力粉 50g ※1", 50), ("高筋麵粉:125gx2", 250)],
)
def test_what_is_glued_to_an_amount_is_read(line, grams):
    assert lines(f"鹽 4g\n{line}")[1] == ("dough", "bread_flour", grams, True)


def test_a_note_with_its_number_is_no_ingredient():
    assert len(lines(f"{DOUGH_JA}砂糖 5g ※2\n※1 国産小麦でもよい。\n※2 砂糖は素焚糖を使用。")) == 5


@pytest.mark.parametrize(
    "step",
    [
        "把20公克的高筋麵粉跟100公克的鮮奶煮成麵糊。",
        "20gの高筋麵粉と100gの鮮奶を鍋に入れ、弱火で糊状にする。",
        "把20克的高筋面粉和100克的鲜奶熬成面糊。",
    ],
)
def test_an_amount_with_of_is_that_of_the_name_behind_it(step):
    listed = "高筋麵粉 270g\n鮮奶 170g\n糖 25g\n鹽 4g\n速發酵母 3g\n奶油 20g"
    text = f"{listed}\n作法\n1. {step}\n2. 其餘材料揉成團。"
    found = {(part, name, grams) for part, name, grams, _ in lines(text)}
    assert {
        ("scald", "bread_flour", 20),
        ("scald", "whole_milk", 100),
        ("dough", "bread_flour", 250),
    } <= found


@pytest.mark.parametrize(
    "form",
    [
        "{}【湯種】 {}g",
        "{}＜湯種＞{}g",
        "{}・湯種 {}g",
        "・{}-湯種 {}g",
        "{} 湯種用 {}g",
        "{}湯種用 {}g",
        "{} {}g※湯種",
        "{} {}g ← 湯種",
        "{} {}g……湯種用",
        "{}（湯種） {}g",
    ],
)
@pytest.mark.parametrize("names", [("強力粉", "水"), ("高筋麵粉", "鮮奶")])
def test_the_scald_may_be_named_beside_the_name_or_the_amount(form, names):
    flour, liquid = (form.format(name, grams) for name, grams in zip(names, (20, 100), strict=True))
    read = lines(f"{flour}\n塩 4g\n{liquid}\n強力粉 230g\n水 70g\nバター 20g")
    assert [(part, grams) for part, _, grams, _ in read] == [
        ("scald", 20),
        ("dough", 4),
        ("scald", 100),
        ("dough", 230),
        ("dough", 70),
        ("dough", 20),
    ]


@pytest.mark.parametrize("line", ["全粒粉湯種 100g", "豆漿湯種 100g"])
def test_a_scald_named_by_what_it_is_made_of_is_not_that_alone(line):
    assert not any(part == "scald" and name and sure for part, name, _, sure in lines(f"{DOUGH_ZH}{line}"))


@pytest.mark.parametrize("heading", ["墨西哥咖啡麵糊", "花紋麵糊", "泡芙面糊"])
def test_a_batter_for_the_crust_is_no_scald(heading):
    read = lines(f"{DOUGH_ZH}{heading}\n奶油 40g\n糖 30g\n低筋麵粉 20g")
    assert [part for part, _, _, _ in read[6:]] == ["aside"] * 3


@pytest.mark.parametrize(
    "line",
    ["卵黄1個（塗り用）＋水小さじ1", "蛋黃1顆(刷面)+牛奶1小匙", "1 egg yolk (for brushing) + 1 tsp water"],
)
def test_what_thins_the_egg_for_the_crust_is_no_dough(line):
    assert [part for part, _, _, _ in lines(f"{DOUGH_ZH}{line}")[6:]] == ["aside"] * 2


def test_a_part_kept_for_the_crust_is_taken_from_the_egg():
    assert lines(f"{DOUGH_JA}溶き卵 30g（5gは塗り用に残す）")[-1][:3] == ("dough", "whole_egg", 25)


@pytest.mark.parametrize("line", ["含水量 65%", "總含水量：68%", "吸水率 66%"])
def test_how_wet_the_dough_is_adds_no_water(line):
    assert [each for each in lines(f"{DOUGH_ZH}{line}") if each[1] == "water"] == []


@pytest.mark.parametrize(
    "heading", ["70%中種", "甜老麵", "基本老麵", "意式硬种", "5度C冰種", "Poolish波兰种", "加糖中種"]
)
def test_a_sponge_of_any_kind_ends_the_scald(heading):
    scald, dough = "湯種\n高筋麵粉 20g\n水 100g", "主麵團\n高筋麵粉 130g\n鹽 4g"
    text = f"{scald}\n{heading}\n高筋麵粉 100g\n水 60g\n速發酵母 1g\n{dough}"
    assert [part for part, _, _, _ in lines(text)] == ["scald"] * 2 + ["dough"] * 5


@pytest.mark.parametrize(
    "head", ["| 材料 | 分量 | ベーカーズ% |\n|---|---|---|", "材料 | 份量 | 烘焙百分比", "材料|用量|比例\n\n"]
)
def test_percentages_of_a_table_are_no_grams_though_the_water_is_100(head):
    rows = [
        ("湯種", "", ""),
        ("強力粉", 20, 8),
        ("水", 100, 40),
        ("主麵團", "", ""),
        ("強力粉", 230, 92),
        ("塩", 4, 1.6),
    ]
    text = "\n".join([head, *(f"| {name} | {grams} | {percent} |" for name, grams, percent in rows)])
    assert [each[:3] for each in lines(text)] == [
        ("scald", "bread_flour", 20),
        ("scald", "water", 100),
        ("dough", "bread_flour", 230),
        ("dough", "salt", 4),
    ]


@pytest.mark.parametrize("head", ["材料 | % | 1斤 | 2斤", "材料 % 12兩 24兩"])
def test_of_a_percentage_and_two_batches_the_first_batch_is_read(head):
    mark = " | " if "|" in head else " "
    rows = [("高筋麵粉", 100, 250, 500), ("糖", 8, 20, 40), ("鹽", 1.6, 4, 8), ("水", 66, 165, 330)]
    text = "\n".join([head, *(mark.join(map(str, row)) for row in rows)])
    assert [grams for _, name, grams, _ in lines(text) if name] == [250, 20, 4, 165]


@pytest.mark.parametrize(
    "text",
    [
        "■湯種 強力粉20g、水100g ■本ごね 強力粉230g、塩4g、水60g",
        "湯種→強力粉20g、水100g 本ごね→強力粉230g、塩4g、水60g",
        "湯種…強力粉20g 水100g 本ごね…強力粉230g 塩4g 水60g",
        "(湯種)高筋麵粉20g，水100g (主麵團)高筋麵粉230g，鹽4g，水60g",
        "汤种👉高粉20g，水100g\n主面团👉高粉230g，盐4g，水60g",
        "湯種：20g高筋麵粉 | 100g水\n主麵團：230g高筋麵粉 | 4g鹽 | 60g水",
        "湯種：高筋麵粉(20g)・水(100g)\n主麵團：高筋麵粉(230g)・鹽(4g)・水(60g)",
        "湯種：高筋麵粉(20g)+水(100g)\n主麵團：高筋麵粉(230g)+鹽(4g)+水(60g)",
    ],
)
def test_marks_before_and_behind_the_names_of_parts_open_them(text):
    assert [(part, grams) for part, _, grams, _ in lines(text)] == [
        ("scald", 20),
        ("scald", 100),
        ("dough", 230),
        ("dough", 4),
        ("dough", 60),
    ]


@pytest.mark.parametrize("watts", ["微波爐600瓦加熱2分鐘", "600瓦加热1分钟", "用烤箱1200瓦烤30分鐘"])
def test_a_watt_is_no_gram(watts):
    """瓦 is a gram in Japan."""
    assert [name for _, name, _, _ in lines(DOUGH_ZH + watts)] == [name for _, name, _, _ in lines(DOUGH_ZH)]
    assert lines("強力粉 250瓦\n水 160瓦\n塩 4瓦")[0][1:3] == lines("強力粉 250g\n水 160g\n塩 4g")[0][1:3]

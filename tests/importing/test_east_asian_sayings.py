"""What Japanese and Chinese writers say beside a name or an amount, each way in a short recipe of ours."""

import pytest

from importing.readings import sure_or_not as lines

DOUGH = "高筋麵粉 250g\n糖 25g\n鹽 4g\n速發酵母 3g\n"
DOUGH_JA = "強力粉 250g\n塩 4g\nインスタントドライイースト 3g\n"


@pytest.mark.parametrize(
    "line, name",
    [
        ("牛乳 水でも可 100g", "whole_milk"),
        ("牛乳(低温殺菌)水でも可 100g", "whole_milk"),
        ("バター マーガリンでもOKです 100g", "butter"),
        ("無塩バター有塩でも可 100g", "butter"),
        ("サラダ油 米油で代用可 100g", "oil"),
        ("鮮奶水也可 100g", "whole_milk"),
        ("無鹽奶油有鹽也行 100g", "butter"),
        ("黄油玉米油也可以 100g", "butter"),
        ("牛奶 100g 豆浆也可以", "whole_milk"),
    ],
)
def test_what_would_do_as_well_is_said_without_parentheses_too(line, name):
    assert lines(f"{DOUGH_JA}{line}")[-1][:3] == ("dough", name, 100)


def test_both_of_what_or_joins_are_still_offered():
    assert lines(f"{DOUGH}奶油或植物油皆可 20g")[-1] == ("dough", "butter", 20, False)


@pytest.mark.parametrize(
    "line, name",
    [
        ("酵母用お湯（30℃） 50g", "water"),
        ("酵母を溶かすぬるま湯 50g", "water"),
        ("イースト溶き用の水 50g", "water"),
        ("イーストを溶かす牛乳 50g", "whole_milk"),
        ("酵母用溫水 50g", "water"),
        ("溶酵母用水 50g", "water"),
        ("泡酵母的溫水 50克", "water"),
        ("溶解酵母的牛奶 50克", "whole_milk"),
    ],
)
def test_what_is_for_the_yeast_is_no_yeast(line, name):
    assert lines(f"強力粉 250g\n塩 4g\nイースト 3g\n{line}")[-1][:3] == ("dough", name, 50)


@pytest.mark.parametrize("line", ["酵母 3g（用温水化开）", "酵母用温水化开 3g", "酵母3克用温水"])
def test_yeast_that_is_stirred_into_water_is_never_water_for_sure(line):
    (read,) = lines(f"高筋面粉 250克\n糖 20克\n{line}")[2:]
    assert read[1] != "water" or not read[3]


@pytest.mark.parametrize(
    "line, name",
    [
        ("乾酵母(active dry yeast) 3g", "active_dry_yeast"),
        ("麵粉 (bread flour) 3g", "bread_flour"),
        ("鮮奶（skim milk）3g", "skim_milk"),
        ("奶油 (salted butter) 3g", "salted_butter"),
        ("鮮奶油 (light cream) 3g", "single_cream"),
        ("ドライイースト(active dry yeast) 3g", "active_dry_yeast"),
        ("小麦粉（Bread Flour） 3g", "bread_flour"),
        ("砂糖（granulated sugar） 3g", "sucrose"),
    ],
)
def test_the_kind_may_be_said_in_latin_letters(line, name):
    assert lines(f"蛋 1個\n{line}\n水 80g")[1] == ("dough", name, 3, True)


def test_the_bare_word_in_latin_letters_is_no_kind():
    assert lines("強力粉 250g\n塩 4g\n砂糖(sugar) 20g")[-1] == ("dough", "soft_white_sugar", 20, False)
    assert lines("高筋面粉 250克\n盐 4克\n奶油 (butter) 30克")[-1] == ("dough", "butter", 30, True)


@pytest.mark.parametrize(
    "amount, grams",
    [("½杯+1大匙(135g)", 135), ("半杯+1大匙", 133), ("1/2杯又1大匙", 133), ("100ml+大匙1", 115)],
)
def test_a_sum_may_be_on_the_line_below_its_name(amount, grams):
    text = f"高筋麵粉\n450g\n水\n{amount}\n糖\n2大匙+1小匙\n鹽\n1小匙\n酵母\n1小匙"
    assert [name for _, name, _, _ in lines(text)] == [
        "bread_flour",
        "water",
        "sucrose",
        "salt",
        "instant_yeast",
    ]
    assert lines(text)[1][2] == grams


@pytest.mark.parametrize(
    "line, name, grams, other",
    [
        ("冷水 200g + レモン汁", "water", 200, "lemon_juice"),
        ("牛乳50g＋はちみつ", "whole_milk", 50, "honey"),
        ("冰水 180g+檸檬汁", "water", 180, "lemon_juice"),
        ("Wasser 200 g + Zitronensaft", "water", 200, "lemon_juice"),
        ("Eau 200 g + jus de citron", "water", 200, "lemon_juice"),
        ("Milk 200 g + honey", "whole_milk", 200, "honey"),
    ],
)
def test_the_amount_of_the_first_thing_is_not_that_of_what_is_added(line, name, grams, other):
    first, second = lines(f"bread flour 500 g\n{line}\nsalt 8 g")[1:3]
    assert first[:3] == ("dough", name, grams)
    assert second == ("dough", other, None, False)


@pytest.mark.parametrize("line", ["水＋牛乳 200g", "200 g water + milk", "卵1個+牛乳"])
def test_one_amount_of_two_things_is_still_not_shared_out(line):
    (read,) = lines(f"bread flour 500 g\nsalt 8 g\n{line}")[2:]
    assert read[1:] == (None, None, False)


@pytest.mark.parametrize(
    "heading, first, own",
    [
        ("肉馅", "猪肉末150克", "生抽10克、老抽3克、蚝油8克"),
        ("內餡", "絞肉200克", "醬油10克、米酒10克、蔥花30克"),
        ("フィリング", "ひき肉200g", "玉ねぎ1個、ケチャップ10g、ソース10g"),
    ],
)
def test_all_of_a_long_line_is_of_the_filling_that_heads_it(heading, first, own):
    rest = "糖3克、盐1克、白胡椒粉1克、姜末3克、香油5克、水20克、洋葱30克、牛奶10克、料酒5克"
    text = f"面团：高筋面粉250克、水150克、酵母3克、糖20克\n{heading}：{first}、{own}、{rest}"
    read = lines(text)
    assert {part for part, *_ in read[4:]} == {"aside"}
    assert len(read) > 12


def test_flour_and_yeast_on_a_long_line_may_be_of_the_dough():
    rest = "姜末3克、料酒5克、葱花30克、高筋面粉250克、水150克、酵母3克、糖20克、盐4克、鸡蛋50克、黄油20克"
    assert ("dough", "bread_flour", 250) in [
        each[:3] for each in lines(f"肉馅：猪肉末150克、生抽10克、{rest}")
    ]


@pytest.mark.parametrize(
    "scald, flour, used, dough",
    [
        ("湯種\n高筋麵粉 100%\n水 500%", 5, "湯種 30%", "主麵團\n高筋麵粉 95%\n"),
        ("烫种\n高筋面粉 100%\n水 200%\n糖 20%", 8, "烫种 25.6%", "主面团\n高筋面粉 92%\n"),
        ("湯種\n強力粉 20%\n熱湯 20%", 20, "湯種 40%", "本捏ね\n強力粉 80%\n"),
        ("Tangzhong\nbread flour 100%\nwater 500%", 5, "tangzhong 30%", "Dough\nbread flour 95%\n"),
    ],
)
def test_a_scald_in_its_own_percent_is_used_as_far_as_the_dough_says(scald, flour, used, dough):
    rest = "鹽 1.5%\n速發酵母 1.2%\n水 40%"
    read = lines(f"{scald}\n{dough}{used}\n{rest}")
    assert read[0][:3] == ("scald", "bread_flour", flour)
    assert [each[:3] for each in read[-3:]] == [
        ("dough", "salt", 2),
        ("dough", "instant_yeast", 1),
        ("dough", "water", 40),
    ]


@pytest.mark.parametrize(
    "line, name",
    [("速發酵母：12%", "instant_yeast"), ("烤熟核桃 12%", "walnuts"), ("煮熟南瓜 12%", "pumpkin_puree")],
)
def test_a_share_of_the_flour_is_no_step(line, name):
    assert lines(f"高筋麵粉 100%\n水 60%\n{line}")[-1][:3] == ("dough", name, 12)


@pytest.mark.parametrize("line", ["室溫發酵 濕度 75%", "發酵至麵團 80%"])
def test_a_step_with_a_percentage_is_still_one(line):
    assert len(lines(f"高筋麵粉 100%\n水 60%\n{line}")) == 2


@pytest.mark.parametrize(
    "line",
    [
        "牛乳 卵と合わせて180gになる量（約130g）",
        "牛乳 バター、溶き卵と合わせて220mlになる量(約130g)",
        "鮮奶(和蛋共180g，約130g)",
        "牛奶 和鸡蛋一共180克（约130克）",
    ],
)
def test_of_a_sum_the_amount_that_is_its_own_is_read(line):
    assert lines(f"高筋麵粉 250g\n蛋 1個\n{line}")[-1][:3] == ("dough", "whole_milk", 130)


def test_a_sum_below_its_name_is_of_it():
    text = "強力粉\n250g\n卵\n1個\n牛乳\n卵と合わせて180g\n塩\n4g"
    assert [each[:3] for each in lines(text)][2:] == [("dough", "whole_milk", 130), ("dough", "salt", 4)]


@pytest.mark.parametrize(
    "again",
    [
        "有塩バター 45g\n岩塩 適量",
        "有鹽奶油 60g\n海鹽 適量",
        "有盐黄油 60克\n粗盐 少许",
        "有鹽奶油條 8g*8條\n玫瑰鹽 適量",
        "salted butter 60 g\nflaky sea salt",
    ],
)
def test_butter_and_salt_that_end_the_list_again_are_of_salt_rolls(again):
    first, second = lines(f"{DOUGH}水 150g\n奶油 15g\n{again}")[-2:]
    assert (first[0], second[0]) == ("aside", "aside")


def test_a_second_salt_is_in_doubt():
    assert lines(f"{DOUGH}水 150g\nバター 15g\n粗鹽 2g")[-1][3] is False


@pytest.mark.parametrize("name", ["蜜漬橘子皮", "糖漬柑橘皮", "蜜渍橘子皮", "香橙丁"])
def test_candied_peel_is_known_by_its_names(name):
    assert lines(f"{DOUGH}{name} 50g\n水 150g\n奶油 20g")[4][:3] == ("dough", "candied_peel", 50)


@pytest.mark.parametrize("heading", ["いるものは：", "材料は、", "使うもの"])
def test_a_list_may_be_headed_by_what_is_needed(heading):
    assert lines(f"{heading}\n強力粉 250g\n塩 4g\n水 160g")[0] == ("dough", "bread_flour", 250, True)


@pytest.mark.parametrize("line", ["150g 鮮奶 + 湯種", "牛乳150g＋湯種", "牛奶 150克+汤种"])
def test_the_scald_that_is_added_to_an_amount_is_none_of_it(line):
    read = lines(f"{DOUGH}{line}\n奶油 20g\n湯種：高筋麵粉20g、水100g")
    assert [each[:3] for each in read if each[1]][4:] == [
        ("dough", "whole_milk", 150),
        ("dough", "butter", 20),
        ("scald", "bread_flour", 20),
        ("scald", "water", 100),
    ]


@pytest.mark.parametrize("lead", ["", "B: ", "B、"])
@pytest.mark.parametrize("egg", ["蛋液", "全蛋液", "蛋汁"])
def test_beaten_egg_with_its_amount_heads_no_wash(lead, egg):
    text = f"高筋麵粉 250g、糖 25g、鹽 4g、酵母 3g\n{lead}{egg} 30g、鮮奶 60g、奶油 20g"
    assert [each[:3] for each in lines(text)][4:] == [
        ("dough", "whole_egg", 30),
        ("dough", "whole_milk", 60),
        ("dough", "butter", 20),
    ]


def test_a_wash_by_its_heading_still_is_one():
    text = f"{DOUGH}水 150g\n刷面 蛋液 20g 水 10g 糖 5g"
    assert {part for part, *_ in lines(text)[5:]} == {"aside"}

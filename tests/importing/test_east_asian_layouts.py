"""How Japanese and Chinese writers set out a list, each way in a short recipe of ours."""

import pytest

from importing.readings import lines_of
from importing.readings import sure_or_not as lines

DOUGH_JA = "強力粉 200g\n塩 4g\n水 110g\nバター 12g\nイースト 3g\n"


def _parts(text):
    return [each[:3] for each in lines(text)]


@pytest.mark.parametrize("blank", [" ", "　", "  ", "\t"])
def test_lines_that_are_set_in_below_the_scald_are_all_of_it(blank):
    text = f"強力粉 260g\n湯種\n{blank}強力粉 20g\n{blank}水 100g\n牛乳 120g\n塩 4g\n速發酵母 3g"
    assert [part for part, *_ in lines(text)] == ["dough", "scald", "scald", "dough", "dough", "dough"]
    assert lines(text)[-1] == ("dough", "instant_yeast", 3, True)


def test_lines_set_in_below_the_dough_do_not_end_it():
    text = "湯種\n強力粉 20g\n水 100g\n本生地\n　強力粉 250g\n　牛乳 120g\n塩 4g\nイースト 3g"
    assert [part for part, *_ in lines(text)] == ["scald"] * 2 + ["dough"] * 4


@pytest.mark.parametrize(
    "scald, dough",
    [
        ("＜前日：湯種＞", "＜当日＞"),
        ("【前日・湯種】", "【当日・本捏ね】"),
        ("1日目　湯種", "2日目　本ごね"),
        ("1日目：湯種", "2日目：本生地"),
        ("前一晚：湯種", "當天：主麵團"),
        ("第一天 湯種", "第二天 主麵團"),
        ("提前一晚：汤种", "第二天：主面团"),
        ("头天晚上 汤种", "当天 主面团"),
    ],
)
def test_a_heading_may_say_the_day(scald, dough):
    text = f"{scald}\n高筋麵粉 60g\n熱水 60g\n{dough}\n高筋麵粉 240g\n速發酵母 3g\n鹽 4g\n水 120g"
    assert [each[0] for each in lines(text)] == ["scald"] * 2 + ["dough"] * 4
    assert all(each[3] for each in lines(text))
    assert [each["kind"] for each in lines_of(text)].count("heading") == 2


@pytest.mark.parametrize(
    "flour, milk",
    [
        ("（取出20g做湯種）", "（其中100g做湯種）"),
        ("（其中20克用于汤种）", "（其中100克用于汤种）"),
        ("（うち20gは湯種用）", "（うち100gは湯種用）"),
        ("(20 g for the tangzhong)", "(100 g of it for the tangzhong)"),
    ],
)
def test_parentheses_below_a_line_say_what_of_it_is_for_the_scald(flour, milk):
    name, other = ("bread flour", "milk") if flour.isascii() else ("高筋麵粉", "鮮奶")
    text = f"{name} 300 g\n{flour}\n{other} 210 g\n{milk}\nsalt 4 g\nyeast 3 g"
    assert _parts(text)[:4] == [
        ("scald", "bread_flour", 20),
        ("dough", "bread_flour", 280),
        ("scald", "whole_milk", 100),
        ("dough", "whole_milk", 110),
    ]


@pytest.mark.parametrize(
    "legend",
    ["☆は湯種用です", "☆＝湯種", "☆印は湯種の材料", "（☆は湯種用）", "☆…湯種", "☆・・・湯種", "☆為湯種材料"],
)
@pytest.mark.parametrize("is_first", [True, False])
def test_a_legend_says_which_sign_is_of_the_scald(legend, is_first):
    listed = f"☆強力粉 50g\n☆熱湯 40g\n{DOUGH_JA}".strip()
    text = f"{legend}\n{listed}" if is_first else f"{listed}\n{legend}"
    read = [each for each in lines(text) if each[1]]
    assert [each[0] for each in read] == ["scald"] * 2 + ["dough"] * 5
    assert read[0] == ("scald", "bread_flour", 50, True)


def test_a_sign_before_every_line_is_a_bullet():
    text = "★湯種\n★高筋麵粉 20g\n★水 100g\n★主麵團\n★高筋麵粉 250g\n★酵母 3g\n★鹽 4g"
    assert [part for part, *_ in lines(text)] == ["scald"] * 2 + ["dough"] * 3


@pytest.mark.parametrize(
    "text",
    [
        "强力粉 250g\n湯種 75g\n塩 4g\nイースト 3g\n牛乳 110g\n湯種の配合：強力粉100%、熱湯100%",
        "高筋麵粉 250g\n湯種 75g\n鹽 4g\n酵母 3g\n水 110g\n湯種\n高筋麵粉 100%\n水 100%",
        "250 g bread flour\n75 g tangzhong\n4 g salt\n3 g yeast\nTangzhong\n50% bread flour\n50% water",
    ],
)
def test_a_scald_in_percent_weighs_what_the_dough_takes(text):
    assert [each for each in _parts(text) if each[0] == "scald" and each[1]] == [
        ("scald", "bread_flour", 38),
        ("scald", "water", 38),
    ]
    assert ("dough", "salt", 4) in _parts(text)


@pytest.mark.parametrize(
    "line",
    ["鮮奶100g/湯種90g/雞蛋30g/油 20g", "牛奶100克/汤种全部/鸡蛋30克/油20克", "水100g/湯種全量/卵30g/油20g"],
)
def test_the_scald_may_be_among_things_between_strokes(line):
    text = f"湯種：高筋麵粉15g、水75g\n主麵團\n高筋麵粉250g/糖20g/鹽3g/酵母3g\n{line}"
    assert [grams for part, _, grams, _ in lines(text) if part == "dough"][-3:] == [100, 30, 20]
    assert _parts(text)[:2] == [("scald", "bread_flour", 15), ("scald", "water", 75)]


def test_a_list_by_kinds_has_its_seasoning_in_the_dough():
    text = "主料\n高筋面粉 300克\n牛奶 180克\n辅料\n黄油 30克\n调料\n白糖 40克\n盐 3克\n酵母 4克"
    assert {part for part, *_ in lines(text)} == {"dough"}
    filled = "面团\n高筋面粉 300克\n牛奶 180克\n酵母 4克\n肉馅\n猪肉 200克\n调料\n白糖 40克\n盐 3克"
    assert [part for part, *_ in lines(filled)][3:] == ["aside"] * 3


@pytest.mark.parametrize("heading", ["步骤：", "步驟:", "手順："])
def test_the_word_for_steps_alone_begins_the_method(heading):
    text = f"高筋面粉 300克\n盐 3克\n酵母 3克\n水 180克\n{heading}\n1、面粉和水混合揉成面团\n2、发酵"
    assert [each["kind"] for each in lines_of(text)][4:] == ["step"] * 3


def test_water_held_back_is_part_of_the_amount():
    assert lines(f"{DOUGH_JA}水 130g(調整水10gを含む)")[-1][1:3] == ("water", 130)
    assert lines("強力粉 200g\n水 130g(調整水10gを含む)\n塩 3g")[1] == ("dough", "water", 130, True)


@pytest.mark.parametrize("heading", ["湯種(麵粉:水=1:5)", "湯種（1:5）", "汤种(粉水比1:5)"])
def test_a_ratio_above_the_scalds_own_list_adds_nothing(heading):
    text = f"{heading}\n高筋麵粉 20g\n水 100g\n主麵團\n高筋麵粉 280g\n湯種 120g\n鹽 4g\n酵母 3g"
    assert [grams for _, name, grams, _ in lines(text) if name in ("bread_flour", "water")] == [20, 100, 280]


def test_a_ratio_without_a_list_still_makes_the_scald():
    text = "高筋麵粉 280g\n湯種 120g（麵粉:水=1:5）\n鮮奶 100g\n鹽 4g\n酵母 3g"
    assert _parts(text)[1:3] == [("scald", "bread_flour", 20), ("scald", "water", 100)]


@pytest.mark.parametrize(
    "scald",
    [
        "湯種 100g\n（強力粉 50g、熱湯 50g）",
        "湯種\n(強力粉 50g、熱湯 50g)",
        "湯種 100g\n（強力粉50g＋熱湯50gで作る）",
        "湯種 100g←強力粉50g＋熱湯50g",
        "湯種 100g＝強力粉50g＋熱湯50g",
        "强力粉 50g→湯種へ\n熱湯 50g→湯種に使用",
        "強力粉…50g（20％）→湯種に使用\n熱湯…50g（20％）→湯種に使用",
    ],
)
def test_what_the_scald_is_made_of_stands_below_or_behind_it(scald):
    read = [
        each for each in lines(f"強力粉 240g\n{scald}\n砂糖 32g\n塩 4g\n速發酵母 3g\n牛乳 80g") if each[1]
    ]
    assert read[1:3] == [("scald", "bread_flour", 50, True), ("scald", "water", 50, True)]
    assert [each[0] for each in read[3:]] == ["dough"] * 4


@pytest.mark.parametrize(
    "line", ["湯種 50g(粉25g+熱湯25g)", "湯種（粉25g、湯25g）", "汤种（粉25克、水25克）"]
)
def test_a_bare_flour_in_parentheses_is_flour(line):
    assert _parts(f"高筋麵粉 250g\n{line}\n鹽 5g\n酵母 3g")[1:3] == [
        ("scald", "bread_flour", 25),
        ("scald", "water", 25),
    ]


@pytest.mark.parametrize(
    "note",
    [
        "※湯種は強力粉50gと熱湯50gを混ぜて一晩おく",
        "※湯種は強力粉50g、熱湯50gを混ぜておいたもの",
        "*湯種為高筋麵粉50g加熱水50g拌勻",
    ],
)
def test_a_note_may_say_how_the_scald_is_made(note):
    read = _parts(f"強力粉 240g\n湯種 100g\n砂糖 32g\n塩 4g\nイースト 3g\n牛乳 80g\n{note}")
    assert ("scald", "bread_flour", 50) in read
    assert ("scald", "water", 50) in read


@pytest.mark.parametrize(
    "title", ["蔥花麵包材料", "芋泥吐司食材", "葱花面包用料", "カレーパンの材料", "クリームパン材料"]
)
def test_a_bread_with_a_filling_in_its_name_is_no_filling(title):
    text = f"{title}：\n強力粉 250g\n塩 4g\n速發酵母 3g\n水 160g"
    assert all(part == "dough" and is_sure for part, _, _, is_sure in lines(text))


@pytest.mark.parametrize(
    "title", ["蔥花餡", "菠蘿麵包皮", "芋泥餡材料", "メロンパンの皮", "クリームパンのクリーム"]
)
def test_its_filling_and_its_crust_still_are_none_of_the_dough(title):
    text = f"強力粉 250g\n塩 4g\n速發酵母 3g\n水 160g\n{title}：\n砂糖 20g\nバター 30g"
    assert [part for part, *_ in lines(text)][4:] == ["aside"] * 2


@pytest.mark.parametrize(
    "text",
    [
        "国産強力粉\n230g\n湯種\n国産強力粉\n20g\n水\n100g\n塩\n4g\n酵母\n3g\n牛乳\n60g",
        "高筋麵粉 230g\n湯種\n高筋麵粉 20g\n水 100g\n鹽 4g\n酵母 3g\n鮮奶 60g",
        "230 g bread flour\nTangzhong\n20 g bread flour\n100 g water\n4 g salt\n3 g yeast\n60 g milk",
        "230 g Mehl\nKochstück\n20 g Mehl\n100 g Wasser\n4 g Salz\n3 g Trockenhefe\n60 g Milch",
    ],
)
def test_a_scald_in_the_middle_of_the_dough_ends_behind_its_liquid(text):
    read = lines(text)
    assert [part for part, *_ in read] == ["dough", "scald", "scald", "dough", "dough", "dough"]
    assert not any(is_sure for _, _, _, is_sure in read[1:])


@pytest.mark.parametrize(
    "note",
    [
        "註：湯種作法 水100g+高粉20g小火煮至糊狀",
        "備註：湯種：水100g、高筋麵粉20g",
        "备注：汤种是水100克和高筋面粉20克煮成糊",
        "注：汤种为水100克、高筋面粉20克",
        "メモ：湯種は水100gと強力粉20gを煮たもの",
        "湯種作法 水100g+高粉20g小火煮至糊狀",
    ],
)
def test_a_remark_below_the_list_may_hold_the_scald(note):
    text = f"高筋麵粉 210g\n酵母 6g\n水 85g\n湯種 120g\n奶油 22g\n表面：\n蛋液 少許\n{note}"
    read = _parts(text)
    assert ("scald", "bread_flour", 20) in read
    assert ("scald", "water", 100) in read


def test_a_remark_on_what_is_listed_adds_nothing():
    note = "注：中种部分为高筋面粉300克+牛奶140克+酵母2.5克，其余为主面团。"
    text = f"高筋面粉 500克\n牛奶 300克\n酵母 5克\n盐 8克\n{note}"
    assert [each["kind"] for each in lines_of(text)] == ["ingredient"] * 4 + ["step"]

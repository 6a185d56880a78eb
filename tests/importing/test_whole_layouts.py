"""Whole recipes in odd layouts: sentences, scalds made for more than one bread, and what copying leaves."""

import pytest

from importing.readings import sure_or_not_in_formula as lines
from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

DOUGH_JA = "強力粉 250g\n塩 4g\nインスタントドライイースト 3g\n水 160g"
DOUGH_ZH = "高筋麵粉 250g\n鹽 4g\n速發酵母 3g\n水 160g"
DOUGH_EN = "250 g bread flour\n4 g salt\n3 g instant yeast\n160 g water"


def parts(text):
    """Part and grams of each ingredient in the formula."""
    return [(part, grams) for part, _, grams, _ in lines(text)]


@pytest.mark.parametrize(
    "text",
    [
        "汤种部分高筋面粉25克、水125克，主面团部分高筋面粉300克、白糖45克、盐4克",
        "湯種用高筋麵粉25g、水125g，主麵團用高筋麵粉300g、糖45g、鹽4g",
        "汤种高筋面粉25克、水125克，面团高筋面粉300克、白糖45克、盐4克",
        "湯種が強力粉25gと水125g\n本ごねが強力粉300gに砂糖45g、塩4g",
    ],
)
def test_a_sentence_names_its_parts_in_front_of_the_first_thing_of_each(text):
    assert parts(text) == [("scald", 25), ("scald", 125), ("dough", 300), ("dough", 45), ("dough", 4)]


@pytest.mark.parametrize(
    "line",
    [
        "盐4克、黄油35克，表面刷蛋液适量",
        "盐4克、黄油35克、表面刷蛋液适量。",
        "塩4g、バター35g、ドリュール用卵適量",
        "鹽4g、奶油35g，蛋液適量刷表面",
        "salt 4 g, butter 35 g, egg wash as needed",
        "Salz 4 g, Butter 35 g, Ei zum Bestreichen",
        "sel 4 g, beurre 35 g, œuf pour dorer",
    ],
)
def test_what_the_crust_is_brushed_with_leaves_the_butter_before_it(line):
    assert parts(f"bread flour 250 g\n{line}") == [("dough", 250), ("dough", 4), ("dough", 35)]


@pytest.mark.parametrize("line", ["butter 35 g, for brushing", "奶油35g，刷表面用"])
def test_what_an_amount_is_for_stays_with_it(line):
    assert parts(f"bread flour 250 g\nsalt 4 g\n{line}") == [("dough", 250), ("dough", 4)]


@pytest.mark.parametrize("line", ["油脂 30g", "fat 30 g", "Fett 30 g"])
def test_an_amount_of_a_kind_is_no_heading(line):
    text = f"bread flour 250 g\nsalt 4 g\n{line}\nwater 160 g"
    read = perform(RECIPE_IMPORT, {"text": text})["lines"][2]
    assert (read["kind"], read["sure"]) == ("ingredient", "not_read")


def test_a_heading_with_the_weight_of_its_list_is_one():
    text = "湯種 120g\n強力粉 20g\n水 100g\n本生地 360g\n強力粉 230g\n塩 4g\n水 130g"
    assert [part for part, _ in parts(text)] == ["scald"] * 2 + ["dough"] * 3


@pytest.mark.parametrize(
    "text",
    [
        f"湯種：強力粉20g、水100g、うち60g使用\n生地\n{DOUGH_JA}",
        f"烫种：高筋面粉20克 开水100克，只用60克\n主面团\n{DOUGH_ZH}",
        f"湯種\n高筋麵粉20g\n水100g\n（取60g使用）\n主麵團\n{DOUGH_ZH}",
        f"湯種（強力粉20g、水100g）のうち60g使用\n生地\n{DOUGH_JA}",
        f"湯種 60g（強力粉20g＋水100gで作る）\n{DOUGH_JA}",
        f"Tangzhong: 20 g bread flour, 100 g water, use 60 g\nDough\n{DOUGH_EN}",
        f"Kochstück: 20 g Mehl, 100 g Wasser (davon nur 60 g verwenden)\nHauptteig\n{DOUGH_EN}",
        f"湯種（2回分）\n強力粉 20g\n水 100g\n生地\n{DOUGH_JA}",
        f"汤种（2次的量）\n高筋面粉 20g\n水 100g\n主面团\n{DOUGH_ZH}",
        f"Tangzhong (makes 2 batches)\n20 g bread flour\n100 g water\nDough\n{DOUGH_EN}",
    ],
)
def test_half_of_a_scald_is_used_where_the_recipe_says_so(text):
    scald = [(grams, sure) for part, _, grams, sure in lines(text) if part == "scald"]
    assert scald == [(10, False), (50, False)]


@pytest.mark.parametrize(
    "heading, dough",
    [
        ("湯種（作りやすい分量）", f"生地\n{DOUGH_JA}"),
        ("湯種（残りは冷凍）", f"生地\n{DOUGH_JA}"),
        ("汤种（多的可冷藏）", f"主面团\n{DOUGH_ZH}"),
        ("Tangzhong (enough for two loaves)", f"Dough\n{DOUGH_EN}"),
        ("Tangzhong (more than you need)", f"Dough\n{DOUGH_EN}"),
        ("Kochstück (doppelte Menge)", f"Hauptteig\n{DOUGH_EN}"),
    ],
)
def test_a_scald_of_which_some_may_be_left_over_is_asked_about(heading, dough):
    text = f"{heading}\n20 g bread flour\n100 g water\n{dough}"
    read = [each for each in perform(RECIPE_IMPORT, {"text": text})["lines"] if each["part"] == "scald"]
    codes = [doubt["code"] for each in read if each["in_formula"] for doubt in each["doubts"]]
    assert codes == ["scald_left_over"] * 2


def test_a_scald_of_which_the_dough_has_all_is_not_asked_about():
    text = f"湯種（作りやすい分量）\n強力粉 20g\n水 100g\n生地\n湯種 全量\n{DOUGH_JA}"
    assert [each for each in lines(text) if each[0] == "scald"] == [
        ("scald", "bread_flour", 20, True),
        ("scald", "water", 100, True),
    ]


@pytest.mark.parametrize(
    "line",
    [
        "放涼的湯種（高筋麵粉20g＋水100g煮成）",
        "做好的汤种（高粉20克、水100克）",
        "cooled tangzhong (20 g bread flour, 100 g water)",
        "abgekühltes Kochstück (20 g Mehl, 100 g Wasser)",
    ],
)
def test_words_before_a_scald_with_its_parts_in_parentheses_leave_it_one(line):
    assert parts(f"{line}\n{DOUGH_EN}")[:2] == [("scald", 20), ("scald", 100)]


@pytest.mark.parametrize("line", ["湯種、牛乳70g", "放涼的湯種、鮮奶70g", "the tangzhong, 70 g milk"])
def test_a_scald_named_first_ends_before_the_next_thing(line):
    text = f"湯種\n強力粉 20g\n水 100g\n生地\n強力粉 250g\n{line}"
    assert parts(text) == [("scald", 20), ("scald", 100), ("dough", 250), ("dough", 70)]


def test_the_amount_behind_a_scald_is_that_of_what_it_names():
    text = f"湯種\n強力粉 20g\n水 100g\n生地\n{DOUGH_JA}\n1の湯種を入れ、イースト容器に ドライイースト 3g"
    assert [grams for part, grams in parts(text) if part == "scald"] == [20, 100]


@pytest.mark.parametrize("heading", ["【甲部】", "A部分"])
def test_flour_and_liquid_under_a_first_line_that_is_not_known_are_asked_about(heading):
    read = lines(f"{heading}\n黑麥粉 20g\n水 100g\n主麵團\n{DOUGH_ZH}")
    assert [sure for *_, sure in read] == [False] * 2 + [True] * 4


@pytest.mark.parametrize("line", ["湯種 高粉20 水100", "湯種：高粉20 水100 煮到65度"])
def test_numbers_without_units_side_by_side_are_of_the_names_before_them(line):
    assert parts(f"{line}\n主麵團\n高粉 280\n鹽 4")[:2] == [("scald", 20), ("scald", 100)]


@pytest.mark.parametrize(
    "line, name",
    [
        ("鹽 3g 放角落", "salt"),
        ("無鹽奶油 3g 20分鐘後投入", "butter"),
        ("酵母 3g 挖洞埋進去", "instant_yeast"),
    ],
)
def test_what_is_said_behind_a_weight_leaves_the_name_before_it(line, name):
    assert lines(f"高筋麵粉 250g\n水 100g\n{line}")[-1] == ("dough", name, 3, False)


@pytest.mark.parametrize(
    "note", ["※なければ強力粉200gでも", "（没有耐高糖酵母可以用5克普通酵母）", "※ない場合は薄力粉50g"]
)
def test_what_to_use_if_something_is_missing_is_no_ingredient(note):
    assert len(lines(f"{DOUGH_JA}\n{note}")) == 4


@pytest.mark.parametrize(
    "line",
    ["強力粉 250g（分量外含まず）", "高筋麵粉 250g（不含手粉）", "bread flour 250 g (not including dusting)"],
)
def test_what_an_amount_does_not_include_leaves_it_whole(line):
    assert lines(f"{line}\nsalt 4 g")[0] == ("dough", "bread_flour", 250, True)


@pytest.mark.parametrize(
    "line", ["水 130g～", "水 130g以上", "water 130 g or more", "Wasser 130 g oder mehr"]
)
def test_an_amount_open_upwards_is_never_sure(line):
    assert lines(f"bread flour 200 g\n{line}")[1] == ("dough", "water", 130, False)


def test_an_amount_open_upwards_is_never_sure_beside_another_doubt():
    text = "湯種\n強力粉 50g\n熱湯 50g\n本ごね\n強力粉 200g\n牛乳 130g～"
    read = perform(RECIPE_IMPORT, {"text": text})["lines"][-1]
    assert [each["code"] for each in read["doubts"]] == ["milk_fat", "unknown_words"]
    assert read["sure"] == "likely"


@pytest.mark.parametrize("line", ["水 130g～140g", "water 130 g"])
def test_an_amount_with_its_end_is_sure(line):
    assert lines(f"bread flour 200 g\n{line}")[1][3]


@pytest.mark.parametrize("line", ["砂　糖　　　15g", "砂 　糖　15ｇ", "上 白 糖 15g"])
def test_letters_of_a_name_apart_are_one_word(line):
    assert lines(f"強力粉 200g\n{line}")[1][:3] == ("dough", "soft_white_sugar", 15)


def test_the_times_of_messages_are_no_amounts():
    text = "20:16 強力粉250g\n20:17 塩4g\n20:17 水160g、バター20g"
    assert parts(text) == [("dough", 250), ("dough", 4), ("dough", 160), ("dough", 20)]


def test_a_recipe_in_sentences_has_what_is_added_behind_its_amount():
    text = (
        "奶锅里倒入100克水和20克高筋面粉，小火加热至糊状。\n"
        "厨师机桶里加入280克高筋面粉、40克糖、4克盐、4克酵母、70克牛奶。\n"
        "高速揉5分钟，加入30克黄油继续揉出手套膜。"
    )
    assert ("dough", "butter", 30, False) in lines(text)


@pytest.mark.parametrize(
    "line",
    [
        "湯種：高筋麵粉(20g) 水(100g)",
        "[湯種] 强力粉(20g) 水(100g)",
        "湯種、強力粉20gに対して水100gで作りました",
    ],
)
def test_two_things_of_a_line_are_two(line):
    assert parts(f"{line}\n主麵團\n高筋麵粉 250g\n鹽 4g")[:2] == [("scald", 20), ("scald", 100)]


def test_a_weight_of_something_that_is_not_known_is_not_lost():
    read = perform(RECIPE_IMPORT, {"text": "湯種 30g粉+30g滾水\n主麵團 270g高粉+30g糖+4g鹽"})["lines"]
    assert [(line["part"], line["sure"]) for line in read[:2]] == [("scald", "not_read"), ("scald", "sure")]


@pytest.mark.parametrize("line", ["本ごね用 牛乳 125g", "◆イースト容器へ インスタントドライイースト 125g"])
def test_where_a_thing_goes_may_be_said_before_its_name(line):
    assert parts(f"湯種用 強力粉 50g\n湯種用 熱湯 50g\n生地用 強力粉 250g\n{line}")[-1] == ("dough", 125)


@pytest.mark.parametrize(
    "text",
    [
        f"湯種 強力粉20g＋水100g（うち半量使用）\n生地\n{DOUGH_JA}",
        f"汤种：高粉20g，水100g，只用一半\n主面团\n{DOUGH_ZH}",
        f"汤种\n高粉 20g\n水 100g\n做好后称出60g用\n主面团\n{DOUGH_ZH}",
        f"Tangzhong: 20 g bread flour, 100 g water (use only half)\nDough\n{DOUGH_EN}",
        f"Kochstück: 20 g Mehl, 100 g Wasser, davon die Hälfte verwenden\nHauptteig\n{DOUGH_EN}",
    ],
)
def test_half_of_a_scald_may_be_said_behind_what_goes_into_it(text):
    assert [grams for part, _, grams, _ in lines(text) if part == "scald"] == [10, 50]


@pytest.mark.parametrize("line", ["水 100g（半量は生地に使う）", "牛乳 100g"])
def test_half_of_a_liquid_is_not_half_of_the_scald(line):
    assert lines(f"湯種\n強力粉 20g\n{line}\n生地\n{DOUGH_JA}")[0][:3] == ("scald", "bread_flour", 20)


@pytest.mark.parametrize(
    "heading", ["Tangzhong for 2 loaves:", "Kochstück für 2 Brote", "Tangzhong para 2 panes:"]
)
@pytest.mark.parametrize("dough, is_sure", [("Dough", False), ("Dough for 2 loaves", True)])
def test_a_heading_says_how_many_loaves_its_part_is_for(heading, dough, is_sure):
    read = lines(f"My bread\n\n{heading}\n20 g bread flour\n100 g water\n\n{dough}\n{DOUGH_EN}")
    assert [(part, grams, sure) for part, _, grams, sure in read[:2]] == [
        ("scald", 20, is_sure),
        ("scald", 100, is_sure),
    ]


def test_half_of_one_liquid_and_half_of_another_is_all_of_the_scald():
    text = f"Tangzhong (half milk, half water)\n20 g bread flour\n50 g milk\n50 g water\nDough\n{DOUGH_EN}"
    assert lines(text)[0] == ("scald", "bread_flour", 20, True)


def test_percentages_beside_a_column_of_each_part_are_left_out():
    text = (
        "| Ingredient | Scald (g) | Dough (g) | % |\n|---|---|---|---|\n| Bread flour | 25 | 475 | 100 |\n"
        "| Water | 125 | 150 | 55 |\n| Salt | | 9 | 1.8 |\n| Instant yeast | | 6 | 1.2 |"
    )
    assert parts(text) == [
        ("scald", 25),
        ("dough", 475),
        ("scald", 125),
        ("dough", 150),
        ("dough", 9),
        ("dough", 6),
    ]


@pytest.mark.parametrize("line", ["砂糖 大さじ2/18g", "砂糖 大さじ2／18g", "糖 大匙2/18g"])
def test_spoons_and_their_grams_are_no_fraction(line):
    assert parts(f"{DOUGH_JA}\n{line}")[-1] == ("dough", 18)


def test_percentages_that_only_blanks_align_are_left_out():
    text = (
        "Ingredient      Amount   %\nTangzhong\nBread flour     25 g     5\nWater           125 g    25\n"
        "\nDough\nBread flour     475 g    95\nSalt            10 g     2\nInstant yeast   7 g      1.4"
    )
    assert [(part, grams) for part, _, grams, sure in lines(text) if sure] == [
        *(("scald", 25), ("scald", 125)),
        *(("dough", 475), ("dough", 10), ("dough", 7)),
    ]


@pytest.mark.parametrize("line, grams", [("150 water", 150), ("110 milk", 110), ("55 sugar", 55)])
def test_a_number_beside_what_is_no_flour_is_no_type_of_flour(line, grams):
    read = parts(f"400 bread flour\n8 salt\n5 instant yeast\n30 butter\n{line}")
    assert read[-1] == ("dough", grams)

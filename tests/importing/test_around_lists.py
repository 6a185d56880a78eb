"""What pages have around a list: dates, tools, remarks with commas, the same recipe made otherwise."""

import pytest

from importing.readings import weighed
from scaldloaf.importing.words.dates import is_date
from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

HANS = "高筋面粉 260g\n糖 26g\n盐 3g\n酵母 3g\n牛奶 165g\n黄油 22g\n"
ENGLISH = "260 g bread flour\n26 g sugar\n3 g salt\n3 g instant yeast\n165 g milk\n22 g butter\n"
OF_LIST = [260, 26, 3, 3, 165, 22]


def ingredients(text):
    """The lines of the reply that may be ingredients."""
    return [line for line in perform(RECIPE_IMPORT, {"text": text})["lines"] if line["kind"] == "ingredient"]


def in_dough(text):
    """What the formula weighs of each line of the dough [g]."""
    return [grams for part, _, grams in weighed(text) if part == "dough"]


DATES = (
    *("2016/03/09", "2016.03.09", "9.3.2016", "2016-03-09 18:45:10", "2016.03.09更新", "2016年3月9日 星期三"),
    *(
        "2016年3月9日(水)",
        "Wednesday, March 9, 2016",
        "Mittwoch, 9. März 2016",
        "le 9 mars 2016",
        "9 de marzo de 2016",
    ),
    "mercoledì 9 marzo 2016",
    "Publicado el miércoles 9 de marzo de 2016 a las 18:45 h",
)


@pytest.mark.parametrize("date", DATES)
def test_a_line_that_is_only_a_date_is_no_ingredient(date):
    assert is_date(date)
    assert [round(line["mass"]["best"]) for line in ingredients(f"{date}\n\n{ENGLISH}")] == OF_LIST
    assert [round(line["mass"]["best"]) for line in ingredients(f"{ENGLISH}\n\n{date}")] == OF_LIST


@pytest.mark.parametrize(
    "line",
    ["水 2016g", "2016", "1/2 3/4", "12.5", "水3月9", "March flour 2016 9 g", "10.12.13", "2016 9 61 水"],
)
def test_other_numbers_are_no_date(line):
    assert not is_date(line)


@pytest.mark.parametrize(
    "heading", ["做这款餐包需要准备以下材料和工具：", "需要準備的材料與工具：", "准备食材和工具："]
)
def test_a_heading_of_ingredients_and_tools_heads_the_dough(heading):
    read = ingredients(f"{heading}\n{HANS}烤箱\n擀面杖")
    assert [(line["part"], line["section_sure"]) for line in read[:6]] == [("dough", "sure")] * 6
    assert [line["part"] for line in read[6:]] == ["aside"] * 2


@pytest.mark.parametrize("heading", ["工具：", "馅料的材料和工具："])
def test_a_heading_of_tools_or_of_a_filling_with_tools_does_not(heading):
    assert [grams for part, _, grams in weighed(f"{HANS}{heading}\n糖 30g") if part == "dough"] == OF_LIST


REMARKS = (
    "高筋面粉260克(先过筛,留10克作手粉)、白糖26克(普通的就行,换成蜂蜜也好)、盐3克(不要碰酵母,盐多了发不起来)、"
    "酵母3克(耐糖的,放久了不行)、牛奶165克(冰箱里拿出来的,夏天少放)、黄油22克(提前软化,用油代替也行)。"
)


def test_a_comma_inside_a_remark_of_a_long_line_begins_no_ingredient():
    assert [line["ingredient"] for line in ingredients(REMARKS)] == [
        *("bread_flour", "sucrose", "salt", "instant_yeast", "whole_milk", "butter")
    ]
    assert in_dough(REMARKS) == [250, 26, 3, 3, 165, 22]


@pytest.mark.parametrize(
    ("line", "grams"),
    [
        ("高筋面粉260克(含手粉10克)", 250),
        ("高筋麵粉260g（包含手粉20g）", 240),
        ("黄油30克(包括涂抹用8克)", 22),
    ],
)
def test_what_an_amount_includes_for_elsewhere_is_no_part_of_the_dough(line, grams):
    assert in_dough(f"高粉 100g\n盐 3g\n酵母 3g\n牛奶 165g\n{line}")[-1] == grams


VERSIONS = (
    (f"配方一\n{HANS}", "配方二\n高筋面粉 250g\n水 160g\n盐 4g\n酵母 3g\n"),
    (HANS, "豆奶版\n高筋面粉 250g\n豆浆 160g\n盐 4g\n酵母 3g\n"),
    (HANS, "2. 清爽版\n高筋面粉 250g\n水 160g\n盐 4g\n酵母 3g\n"),
    (f"1. 香浓版\n{HANS}", "2. 全麦版\n高筋面粉200g + 全麦面粉50g\n水 180g\n糖 20g\n酵母 3g\n盐 4g\n"),
    (ENGLISH, "Lighter version\n250 g bread flour\n160 g water\n4 g salt\n3 g instant yeast\n"),
    (ENGLISH, "Version 2: no milk\n250 g bread flour\n160 g water\n4 g salt\n3 g instant yeast\n"),
    (ENGLISH, "Version 2 (no sugar)\n250 g bread flour\n160 g water\n4 g salt\n3 g instant yeast\n"),
    (ENGLISH, "Chocolate variation\n250 g bread flour\n160 g water\n4 g salt\n3 g instant yeast\n"),
    (HANS, "配方二：无奶\n高筋面粉 250g\n水 160g\n盐 4g\n酵母 3g\n"),
    (ENGLISH, "Versión 2: sin leche\n250 g de harina\n160 g de agua\n4 g de sal\n3 g de levadura seca\n"),
    (ENGLISH, "Version allégée\n250 g de farine T65\n160 g d'eau\n4 g de sel\n3 g de levure sèche\n"),
)


@pytest.mark.parametrize(("first", "other"), VERSIONS)
def test_a_whole_recipe_called_a_version_of_the_one_above_is_not_added_to_it(first, other):
    assert in_dough(f"{first}\n{other}") == OF_LIST
    again = [line for line in ingredients(f"{first}\n{other}") if not line["in_formula"]]
    assert len(again) >= 4
    assert {(line["part"], line["section_sure"]) for line in again} == {("aside", "unsure")}


def test_a_line_with_an_amount_heads_no_version():
    assert in_dough(f"{ENGLISH}12 g milk powder, light version\n3 g malt") == [*OF_LIST, 12, 3]


@pytest.mark.parametrize("heading", ["巧克力面团", "第二种面团"])
def test_a_second_dough_is_no_version(heading):
    second = f"{heading}\n高筋面粉 250g\n水 160g\n盐 4g\n酵母 3g\n"
    assert in_dough(f"{HANS}\n{second}") == [*OF_LIST, 250, 160, 4, 3]


@pytest.mark.parametrize("said", ["（试做版）", "（出版社配方）"])
def test_the_dough_of_a_sponge_with_salt_is_no_version_of_it(said):
    sponge = f"中种{said}\n高筋面粉 350g\n水 210g\n盐 1g\n酵母 2g\n"
    dough = f"主面团{said}\n高筋面粉 150g\n牛奶 90g\n盐 7g\n酵母 3g\n"
    assert in_dough(sponge + dough) == [350, 210, 1, 2, 150, 90, 7, 3]


@pytest.mark.parametrize("said", ["含全麦粉40克", "其中全麦粉40克", "包括全麦粉40克"])
def test_another_flour_that_is_a_part_of_a_flour_is_not_that_flour(said):
    read = weighed(f"高筋面粉 260克({said})\n盐 3g\n酵母 3g\n牛奶 165g")
    assert read[:2] == [("dough", "bread_flour", 220), ("dough", "whole_wheat_flour", 40)]


def test_a_part_of_the_same_flour_is_not_added_to_it():
    read = weighed("面粉 260克(其中中种面粉180克)\n盐 3g\n酵母 3g\n牛奶 165g")
    assert [grams for _, name, grams in read if name == "plain_flour"] == [260]


def test_amounts_behind_hashes_are_no_tags():
    line = "#高筋面粉260克 #牛奶165克"
    assert [each["text"] for each in ingredients(f"{line}\n酵母 3g")].count(line) >= 1


@pytest.mark.parametrize(
    "line",
    [
        "#bread #sandwich #softbread #tangzhong #homebaking #breakfast",
        "#餐包 #湯種 #手揉",
        "#面包机#早餐",
        "成品：9个，每个60g",
    ],
)
def test_tags_and_what_is_made_are_no_ingredients(line):
    read = ingredients(f"{line}\n{HANS}")
    assert [round(each["mass"]["best"]) for each in read] == OF_LIST
    assert {each["section_sure"] for each in read} == {"sure"}


def test_one_word_behind_a_hash_stays_a_heading():
    assert ("scald", "bread_flour", 20) in weighed(f"#汤种\n高筋面粉 20g\n水 100g\n#主面团\n{HANS}")


@pytest.mark.parametrize("heading", ["汤种牛奶吐司的做法", "湯種小餐包做法", "烫种面包制作步骤"])
def test_a_heading_of_how_a_bread_is_made_begins_the_method_whatever_is_in_the_bread(heading):
    listed = f"汤种\n高筋面粉 20g\n水 100g\n主面团\n{HANS}"
    steps = "1. 20g面粉加100g水煮成汤种，冷藏1小时。\n2. 全部揉成团。"
    assert weighed(f"{listed}{heading}\n{steps}") == weighed(listed)


def test_the_method_of_a_scald_is_not_that_of_the_bread():
    text = f"主面团\n{HANS}汤种做法：高筋面粉20g、水100g，小火煮成糊"
    assert [grams for part, _, grams in weighed(text) if part == "scald"] == [20, 100]


@pytest.mark.parametrize("said", ["粉水比1:5", "水:粉=5:1", "粉水 1:5", "1:5"])
def test_a_ratio_of_flour_and_water_without_the_kind_of_flour_is_of_the_recipes_own(said):
    read = weighed(f"高筋面粉 300g\n汤种({said}) 90g\n糖 30g\n盐 4g\n酵母 4g\n牛奶 120g")
    assert [line for line in read if line[0] == "scald"] == [
        ("scald", "bread_flour", 15),
        ("scald", "water", 75),
    ]


@pytest.mark.parametrize("water", ["水 100g（煮湯種用）", "湯種水份 100g"])
def test_water_listed_for_the_scald_gets_the_flour_that_the_method_takes_for_it(water):
    steps = "做法\n1. 取20g高筋粉，加入100g水，小火煮至65度。\n2. 其餘材料揉成團。"
    read = weighed(f"高筋粉 260g\n糖 26g\n鹽 3g\n酵母 3g\n牛奶 80g\n{water}\n{steps}")
    assert sorted(line for line in read if line[1] in ("bread_flour", "water")) == [
        ("dough", "bread_flour", 240),
        ("scald", "bread_flour", 20),
        ("scald", "water", 100),
    ]


@pytest.mark.parametrize("powder", ["发酵粉 3g", "發酵粉 3克"])
def test_what_may_be_baking_powder_is_that_beside_another_yeast(powder):
    (read,) = [line for line in ingredients(f"{HANS}{powder}") if line["text"] == powder]
    assert (read["ingredient"], read["sure"]) == ("baking_powder", "likely")
    (read,) = [line for line in ingredients(f"高筋面粉 260g\n水 160g\n{powder}") if line["text"] == powder]
    assert (read["ingredient"], read["sure"]) == ("instant_yeast", "likely")

"""Recipes in sentences, groups of lines by marks, and amounts of two things or for two cases."""

import pytest

from importing.readings import sure_or_not_in_formula as lines
from scaldloaf.importing.method.steps import begins_a_step


def parts(text):
    return {(part, name): grams for part, name, grams, _ in lines(text)}


@pytest.mark.parametrize(
    "text",
    [
        "強力粉240gに砂糖20g、塩4g、ドライイースト3gを混ぜ、水150gを加えてこねます。バター18gも加えます。",
        "取高筋面粉240克，加入上白糖20克、盐4克、酵母3克，倒入水150克揉成面团，再加入黄油18克揉出膜。",
        "將高筋麵粉240克、上白糖20克、鹽4克、酵母3克混合，加入水150克搓成糰，再加入牛油18克搓至光滑。",
        "Mix 240 g bread flour, 20 g sugar, 4 g salt and 3 g yeast. Add 150 g water. Work in 18 g butter.",
    ],
)
def test_a_recipe_in_sentences_is_read_and_never_sure(text):
    read = lines(text)
    assert [grams for _, _, grams, _ in read] == [240, 20, 4, 3, 150, 18]
    assert not any(sure for _, _, _, sure in read)


def test_the_scald_of_a_recipe_in_sentences_is_one():
    read = parts(
        "先把20克高筋面粉和100克水煮成糊状做汤种。"
        "然后把280克高筋面粉、40克糖、3克盐、4克酵母、60克牛奶和汤种揉成面团，加入30克黄油。"
    )
    assert (read["scald", "bread_flour"], read["scald", "water"], read["dough", "bread_flour"]) == (
        20,
        100,
        280,
    )


def test_a_scald_told_in_one_paragraph_is_apart_from_the_dough_and_nothing_counts_twice():
    read = lines(
        "Method:\nFor the tangzhong, whisk 25 gr. bread flour and 125 ml milk in a pan and cook it. Mix"
        " 300 gr. bread flour, 6 gr. instant yeast and 5 gr. salt. Add 125 ml milk, 1 egg and the tangzhong."
    )
    flour, milk = "bread_flour", "whole_milk"
    found = [(part, name, grams) for part, name, grams, _ in read if name in (flour, milk)]
    assert found == [("scald", flour, 25), ("scald", milk, 129), ("dough", flour, 300), ("dough", milk, 129)]
    assert not any(sure for _, _, _, sure in read) and len(read) == 7


@pytest.mark.parametrize(
    ("language", "step"),
    [
        (("Mehl", "Trockenhefe", "Wasser"), "Zubereitung:\nDann 9 g Salz zugeben und kneten."),
        (("farine", "levure sèche", "eau"), "Préparation :\nAjouter 9 g de sel et pétrir."),
        (("harina", "levadura seca", "agua"), "Preparación:\nAñadir 9 gr. de sal y amasar."),
    ],
)
def test_salt_that_only_a_step_names_is_added_to_a_list_that_has_yeast(language, step):
    flour, yeast, water = language
    *_, salt = lines(f"500 g {flour}\n7 g {yeast}\n300 g {water}\n{step}")
    assert salt == ("dough", "salt", 9, False)


def test_only_yeast_or_salt_is_added_from_a_step_to_a_list():
    read = parts(
        "強力粉 200g\n砂糖 10g\n塩 3g\n水 120g\n最後に、ドライイースト3gをのせる。お湯500gを沸かす。"
    )
    assert read["dough", "instant_yeast"] == 3 and read["dough", "water"] == 120


@pytest.mark.parametrize(
    ("scald", "rest", "step"),
    [
        ("☆強力粉 20g\n☆牛乳 100g", "", "1. ☆を小鍋に入れて弱火にかけ、とろみをつける。"),
        ("A 強力粉 20g\nA 牛乳 100g", "B ", "1 Aを鍋で混ぜながら火にかけ、糊状にする。"),
        ("材料A：高筋面粉 20克 牛奶 100克", "材料B：", "1. 材料A混合，小火加热至糊状，放凉。"),
    ],
)
def test_a_group_that_a_step_cooks_is_the_scald(scald, rest, step):
    read = parts(f"強力粉 230g\n塩 4g\n{rest}イースト 3g\n水 80g\n{scald}\n作り方\n{step}\n2. 残りをこねる。")
    assert read["scald", "bread_flour"] == 20 and read["scald", "whole_milk"] in (100, 103)
    assert read["dough", "bread_flour"] == 230


@pytest.mark.parametrize(
    ("lead", "step"), [("◎", "◎をのせて巻く。"), ("C ", "焼く前にCを塗る。"), ("(C) ", "(C)拌匀后涂在表面。")]
)
def test_a_group_that_a_step_puts_on_is_no_dough(lead, step):
    dough = "A 強力粉 250g\nA 塩 4g\nB 水 160g\nB イースト 3g\nバター 20g\n"
    read = lines(f"{dough}{lead}バター 12g\n作り方\nAにBを加えてこねる。\n{step}")
    assert [grams for _, name, grams, _ in read if name == "butter"] == [20]


def test_a_mark_that_all_lines_have_or_that_begins_a_step_groups_nothing():
    marked = "●強力粉 250g\n●塩 4g\n●水 160g\n●イースト 3g\n●バター 20g\n作り方\n●バターをのせる。"
    assert len(lines(marked)) == 5


def test_a_letter_over_lines_that_the_steps_knead_is_no_doubt():
    text = "A\n高筋面粉 250克\n盐 3克\n水 150克\n鲜酵母 6克\nB\n黄油 20克\n做法\n将A揉成面团，加入B揉匀。"
    assert all(sure for _, _, _, sure in lines(text))


@pytest.mark.parametrize("rows", ["{} {} {}", "{}|{}|{}", "{}\t{}\t{}"])
def test_of_a_percentage_and_a_mass_the_mass_counts(rows):
    table = [("高筋麵粉", 100, 300), ("上白糖", 15, 45), ("鹽", 1.5, 4.5), ("水", 60, 180), ("奶油", 10, 30)]
    read = lines("\n".join(rows.format(*row) for row in table))
    assert [grams for _, _, grams, _ in read] == [300, 45, 4, 180, 30]


@pytest.mark.parametrize("row", ["{}g {}g", "{}g({}g)", "{}g / {}g"])
def test_of_the_masses_for_two_loaves_the_first_counts_and_is_not_sure(row):
    names = {"強力粉": 250, "上白糖": 20, "塩": 5, "水": 170, "バター": 15}
    read = lines("\n".join(f"{name} {row.format(grams, 2 * grams)}" for name, grams in names.items()))
    assert [(grams, sure) for _, _, grams, sure in read] == [(grams, False) for grams in names.values()]


@pytest.mark.parametrize(
    "line",
    [
        "卵1個+水=180g",
        "水+卵(1個)で180g",
        "水(卵1個と合わせて) 180g",
        "1个鸡蛋+水=180克",
        "鸡蛋1个和水共200克",
    ],
)
def test_of_eggs_and_water_weighed_together_the_water_is_the_rest(line):
    read = parts(f"強力粉 250g\n塩 4g\nイースト 3g\n{line}")
    assert read["dough", "whole_egg"] == 50
    assert read["dough", "water"] in (130, 150)


@pytest.mark.parametrize("line", ["水(卵と合わせて) 180g", "水 卵と合わせて180g"])
def test_water_weighed_with_the_egg_of_another_line_is_the_rest_and_never_sure(line):
    assert parts(f"強力粉 250g\n卵 1個\n{line}")["dough", "water"] == 130
    assert not lines(f"強力粉 250g\n{line}")[-1][3]


def test_one_season_counts_and_another_yeast_is_a_remark():
    read = lines("強力粉 250g\n生イースト 6g\nドライイーストの場合は2g\n塩 4g\n水(夏)160g\n水(冬)170g")
    assert [grams for _, _, grams, _ in read] == [250, 6, 4, 160]


@pytest.mark.parametrize(
    "line", ["エスプリ(強力粉) 250g", "ひまわり（強力粉） 250g", "某牌（高筋面粉）250克"]
)
def test_an_unknown_name_is_what_its_parentheses_say(line):
    assert lines(f"{line}\n塩 4g")[0][:3] == ("dough", "bread_flour", 250)


@pytest.mark.parametrize("flour", ["強力粉 250g(うち50gは湯種用)", "湯種用強力粉 50g\n強力粉 200g"])
def test_boiling_water_goes_to_the_flour_of_the_scald(flour):
    read = parts(f"{flour}\n湯種用熱湯 60g\n水 110g\n塩 4g\nイースト 3g")
    assert (read["scald", "bread_flour"], read["scald", "water"], read["dough", "water"]) == (50, 60, 110)


@pytest.mark.parametrize("line", ["蛋液 30克（其餘塗面）", "卵 1個(30gを生地に、残りはつや出し用)"])
def test_what_the_dough_has_of_an_egg_stays(line):
    assert parts(f"高筋麵粉 250克\n{line}")["dough", "whole_egg"] == 30


def test_what_bagels_are_boiled_with_is_no_dough():
    text = "強力粉 210g\nきび糖 6g\n塩 3g\n水 110g\nはちみつ 大さじ1\n作り方\n"
    assert ("dough", "honey") not in parts(f"{text}鍋にお湯を沸かし、はちみつを入れて茹でます。")


def test_a_dash_in_the_first_column_of_amounts_is_nothing():
    rows = [
        "強力粉 | 250g | 200g",
        "砂糖 | 20g | 18g",
        "塩 | 4g | 4g",
        "水 | 160g | 130g",
        "脱脂粉乳 | – | 4g",
    ]
    assert ("dough", "skim_milk_powder") not in parts("\n".join(rows))


DOUGH = "強力粉 250g\n砂糖 20g\n塩 4g\nイースト 3g\n水 160g\nバター 20g\n"
CRUST = "薄力粉 100g\nバター 50g\n砂糖 40g\n卵 30g"


@pytest.mark.parametrize("title", ["クッキー生地", "2. 菠萝皮部分", "三、酥皮"])
def test_a_list_behind_a_method_is_of_the_part_that_is_named_above_it(title):
    read = lines(f"1. パン生地\n材料\n{DOUGH}作り方\n1. 材料をこねる。\n{title}\n材料\n{CRUST}")
    assert [grams for _, _, grams, _ in read] == [250, 20, 4, 3, 160, 20]


def test_a_list_behind_a_method_under_no_known_title_is_never_sure():
    read = lines(f"材料\n{DOUGH}作り方\n1. 材料をこねる。\nもう一つ\n材料\n{CRUST}")
    assert not any(sure for _, _, _, sure in read[6:])


def test_flour_again_behind_a_whole_dough_and_all_below_it_is_never_sure():
    read = lines(f"薄力粉 40g\n{DOUGH}薄力粉 60g\n米粉 20g\n水 120ml\nごま油 大さじ2")
    assert not any(sure for _, _, _, sure in read[7:])


def test_butter_that_a_step_wraps_in_dough_is_not_kneaded_in():
    read = lines(f"{DOUGH}有塩バター 40g\n作り方\n1. 材料をこねる。\n2. 有塩バターをのせて巻く。")
    assert "salted_butter" not in {name for _, name, _, _ in read}


@pytest.mark.parametrize(
    "listed, step",
    [
        (
            "700 g bread flour\n300 ml whole milk\n14 g salt\n10 g instant yeast",
            "Take 60 g of the flour and 240 ml of the milk and whisk in a pan until thick. Leave to cool.",
        ),
        (
            "700 g Weizenmehl Type 550\n300 ml Vollmilch\n14 g Salz\n10 g Trockenhefe",
            "Zuerst 60 g vom Mehl mit 240 ml von der Milch in einem Topf aufkochen, bis es bindet.",
        ),
    ],
)
def test_a_step_without_a_heading_that_takes_from_the_list_adds_no_flour(listed, step):
    read = parts(f"{listed}\n\n{step}\n")
    assert (read["scald", "bread_flour"], read["dough", "bread_flour"]) == (60, 640)


def test_a_verb_that_begins_as_a_short_word_of_headings_begins_a_step():
    assert begins_a_step("Leave to rise for 2 hours")  # le
    assert not begins_a_step("Le levain de la veille, 100 g")

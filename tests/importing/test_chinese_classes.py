"""What recipes in Chinese, and lists with stars and columns anywhere, do that a plain list does not."""

import pytest

from importing.readings import sure_or_not as lines
from importing.readings import weighed
from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

HANT = "高筋麵粉 260g\n糖 26g\n鹽 3g\n酵母 3g\n牛奶 165g\n牛油 22g\n"
HANS = "高筋面粉 260g\n糖 26g\n盐 3g\n酵母 3g\n牛奶 165g\n黄油 22g\n"
MILK_LOAF = "500 g bread flour{star}\n300 g milk\n10 g salt\n7 g instant yeast\n50 g butter\n"


def answer(text):
    return perform(RECIPE_IMPORT, {"text": text})


def parts(text):
    return [(part, name) for part, name, _, _ in lines(text)]


def codes(text, name):
    """The codes of the doubts about an ingredient."""
    return {
        doubt["code"]
        for line in answer(text)["lines"]
        if line["kind"] == "ingredient" and line["ingredient"] == name
        for doubt in line["doubts"]
    }


@pytest.mark.parametrize("marks", [("(A)", "(B)"), ("A:", "B:"), ("①", "②")])
def test_marks_of_groups_alone_on_their_lines_do_not_hide_the_list_below_a_method(marks):
    first, second = marks
    text = (
        "湯種\n高粉 20g\n水 100g\n做法：小火攪拌成糊\n"
        f"麵團材料\n{first}\n高粉 260g\n糖 26g\n鹽 3g\n酵母 3g\n牛奶 90g\n{second}\n牛油 22g"
    )
    assert [part for part, _ in parts(text)] == ["scald"] * 2 + ["dough"] * 6


@pytest.mark.parametrize("verb", ["将", "把", "先将", "再把", "最后将"])
def test_a_numbered_sentence_that_takes_an_ingredient_is_a_step(verb):
    read = answer(f"{HANS}做法\n1. {verb}所有材料放入面包机揉成团\n2. {verb}全蛋液10g刷在面包表面")["lines"]
    assert [line["kind"] for line in read[6:]] == ["step"] * 3


@pytest.mark.parametrize("head", ["抹茶奶油馅、", "抹茶奶油馅：", "内馅、", "表面装饰、"])
def test_a_filling_heads_what_follows_it_in_a_run(head):
    read = parts(
        f"面团：高筋面粉260g、糖26g、盐3g、酵母3g、牛奶165g、黄油22g、{head}抹茶粉6g、淡奶油110g、糖12g"
    )
    assert [part for part, _ in read] == ["dough"] * 6 + ["aside"] * 3


@pytest.mark.parametrize("named", ["手粉", "红豆馅", "植物油"])
def test_what_has_no_amount_in_a_run_is_no_heading(named):
    read = parts(f"高筋面粉260g、糖26g、盐3g、{named}、酵母3g、牛奶165g、黄油22g")
    assert ("dough", "whole_milk") in read and ("dough", "butter") in read


def test_a_filling_in_brackets_heads_the_run_behind_it():
    read = parts(f"{HANS}【奶香酥粒】低筋面粉35g 黄油25g 糖18g")
    assert [part for part, _ in read[6:]] == ["aside"] * 3


@pytest.mark.parametrize("line", ["植物油 6g（防粘、增加光泽）", "植物油 6g（更香、防粘）"])
def test_one_of_several_uses_in_parentheses_is_doubted(line):
    read = lines(f"{HANS}{line}")[-1]
    assert read[1:] == ("oil", 6, False)


@pytest.mark.parametrize(
    "line",
    ["湯種 60g（麵粉:水=1:5）", "湯種 60g（水:麵粉=5:1）", "60g 湯種（高筋麵粉和水 1:5）"],
)
def test_a_scald_as_a_mass_and_a_ratio_is_read_as_its_flour_and_water(line):
    read = lines(f"{HANT}{line}")
    assert [(part, name, grams) for part, name, grams, _ in read[6:]] == [
        ("scald", "bread_flour", 10),
        ("scald", "water", 50),
    ]


def test_a_ratio_on_its_own_line_takes_the_mass_of_the_scald_from_another():
    read = weighed("高筋麵粉 260g\n湯種 90g\n糖 26g\n鹽 3g\n酵母 3g\n牛奶 90g\n湯種做法 麵粉:水=1:5")
    assert [grams for part, _, grams in read if part == "scald"] == [15, 75]


def test_a_ratio_beside_a_listed_scald_changes_nothing():
    read = weighed(f"湯種\n高粉 20g\n水 100g\n主麵團\n{HANT}湯種 120g（麵粉:水=1:5）")
    assert [grams for part, _, grams in read if part == "scald"] == [20, 100]


def test_what_is_listed_again_behind_a_whole_dough_is_doubted_to_its_end():
    text = f"{HANT}椰絲 50g\n雞蛋 12g\n牛油 30g\n糖 20g\n煉奶 30g"
    assert [sure for _, _, _, sure in lines(text)[6:]] == [False] * 5


@pytest.mark.parametrize("step", ["擀开后包入黄油，三折两次", "把片状黄油裹入面团"])
def test_much_butter_is_doubted_where_the_method_folds_it_in(step):
    text = f"高筋面粉 250g\n黄油 130g\n牛奶 130g\n酵母 3g\n糖 30g\n盐 5g\n做法\n1. 面团揉好冷藏\n2. {step}"
    assert "may_be_filling" in codes(text, "butter")


def test_a_little_butter_is_not_doubted_where_dough_is_folded():
    text = f"{HANS}做法\n1. 揉成团\n2. 擀开三折"
    assert "may_be_filling" not in codes(text, "butter")


def test_butter_of_a_folded_dough_is_not_doubted_where_another_is_set_aside():
    text = (
        "高筋面粉 250g\n黄油 70g\n牛奶 130g\n酵母 3g\n糖 30g\n盐 5g\n裹入用黄油\n黄油 130g\n"
        "做法\n1. 揉成团\n2. 裹入黄油，三折"
    )
    assert "may_be_filling" not in codes(text, "butter")


@pytest.mark.parametrize("note", ["* 没有奶粉可以不加，加的话放12g", "*沒有奶粉的話，可加牛奶12g"])
def test_a_starred_note_with_commas_on_another_case_weighs_nothing(note):
    assert len(lines(f"{HANS}{note}")) == 6


@pytest.mark.parametrize(
    "sentence", ["水溫很關鍵:用少許溫水先化開，避免酵母失效", "看到這個表格,你可能會想水為什麼這麼多"]
)
def test_a_sentence_to_the_reader_below_a_list_is_a_remark(sentence):
    read = answer(f"材料\n{HANT}{sentence}")["lines"]
    assert read[-1]["kind"] == "step"


@pytest.mark.parametrize("second", ["杏仁片 6g", "糖粉 6g", "黃油 6g"])
def test_what_follows_a_semicolon_stays_under_the_heading_of_its_line(second):
    read = lines(f"{HANT}表面：全蛋液 10g；{second}")
    assert [(part, sure) for part, _, _, sure in read[6:]] == [("aside", True)] * 2


def test_a_heading_behind_a_semicolon_opens_its_own_part():
    read = parts(f"表面：全蛋液 10g；杏仁片 6g\n主麵團\n{HANT}")
    assert [part for part, _ in read] == ["aside"] * 2 + ["dough"] * 6


@pytest.mark.parametrize("title", ["紫薯麻薯软欧", "可可碱水包", "海苔肉松卷"])
def test_a_first_line_that_ends_as_breads_do_is_the_title(title):
    assert answer(f"{title}\n{HANS}")["lines"][0]["kind"] == "heading"


@pytest.mark.parametrize("line", ["1. 鍋中放入高粉20g+水90g", "將高粉20g、水90g放入鍋中小火攪拌成糊"])
def test_a_vessel_or_a_verb_before_an_ingredient_leaves_its_name(line):
    read = lines(f"湯種\n{line}\n主麵團\n{HANT}")
    assert [each for each in read if each[0] == "scald"] == [
        ("scald", "bread_flour", 20, True),
        ("scald", "water", 90, True),
    ]


@pytest.mark.parametrize("line", ["沙糖 4両", "沙糖 4兩"])
def test_a_tael_may_be_written_as_in_hong_kong(line):
    assert lines(f"高筋麵粉 1斤\n{line}")[1][1:3] == ("sucrose", 150)


@pytest.mark.parametrize(
    "heads", ["\tA.湯種\tB.主麵糰", "材料\t(A) 湯種\t(B) 主麵糰", "\ta) Tangzhong\tb) Dough"]
)
def test_the_letter_of_a_part_does_not_hide_it_at_the_head_of_a_column(heads):
    read = lines(f"{heads}\n高筋麵粉\t20g\t260g\n水\t100g\t90g\n糖\t-\t26g\n酵母\t-\t3g\n鹽\t-\t3g")
    assert [(part, grams) for part, _, grams, _ in read[:4]] == [
        ("scald", 20),
        ("dough", 260),
        ("scald", 100),
        ("dough", 90),
    ]


@pytest.mark.parametrize(
    "star, note",
    [
        ("*", "* or 400 g whole wheat flour and 100 g white flour"),
        (" *", "*of which 100 g may be rye flour"),
        ("**", "** with 50 g of wheat germ it is darker"),
    ],
)
def test_a_footnote_of_an_ingredient_is_no_line_of_the_list(star, note):
    text = MILK_LOAF.format(star=star)
    assert lines(f"{text}{note}") == lines(text)


def test_a_star_is_the_bullet_of_a_list_where_many_lines_have_it():
    bulleted = "".join(f"* {line}\n" for line in MILK_LOAF.format(star="*").splitlines())
    assert len(lines(f"{bulleted}* sugar 30 g")) == 6


def test_a_star_that_no_ingredient_has_is_no_footnote():
    assert len(lines(f"{MILK_LOAF.format(star='')}* sugar 30 g")) == 6


def test_a_footnote_that_says_what_is_in_the_scald_is_read():
    read = weighed(
        f"{MILK_LOAF.format(star='')}120 g tangzhong*\n* tangzhong from 20 g flour and 100 g water"
    )
    assert [grams for part, _, grams in read if part == "scald"] == [20, 100]


def test_what_a_heading_repeats_of_a_starter_is_not_counted_with_it():
    read = weighed(f"{HANT}Levain 40g\n\nLevain:40g\n酵種 20g\n高粉 20g\n水 20g")
    assert ("dough", "bread_flour", 13) in read and ("dough", "water", 13) in read


@pytest.mark.parametrize(
    "line, expected",
    [
        ("黄油 40g（20g和面，20g抹烤盘）", ("butter", 20)),
        ("鸡蛋 2个（1个和面，1个刷表面）", ("whole_egg", 50)),
        ("全蛋液 45g（35g加入面团，10g刷表面）", ("whole_egg", 35)),
        ("蛋液 50g（面团 40g／刷面 10g）", ("whole_egg", 40)),
        ("糖 50克（40克揉进面团，10克做馅）", ("sucrose", 40)),
    ],
)
def test_of_an_amount_that_is_shared_out_what_is_kneaded_in_is_of_the_dough(line, expected):
    part, *read, sure = lines(f"高筋面粉 260g\n酵母 3g\n盐 3g\n牛奶 165g\n{line}")[-1]
    assert (part, tuple(read), sure) == ("dough", expected, False)


def test_another_version_in_parentheses_shares_nothing_out():
    assert lines("高筋麵粉 460g(全麥版:高筋310g + 全麥150g)\n水 290g\n鹽 8g\n酵母 5g")[0][2] == 460


NUMBERS_HANT = "高筋麵粉 500\n砂糖 60\n鹽 8\n速發酵母 6\n鮮奶 330\n奶油 50\n"
NUMBERS_EN = "Bread flour 500\nSugar 60\nSalt 8\nInstant yeast 6\nMilk 330\nButter 50\n"


def sure_masses(text):
    """Grams and how sure they are, of each ingredient."""
    return [
        (round(line["mass"]["best"]), line["sure"])
        for line in answer(text)["lines"]
        if line["kind"] == "ingredient" and line["mass"]
    ]


@pytest.mark.parametrize(
    "head, numbers",
    [
        ("材料（g）", NUMBERS_HANT),
        ("材料 重量(g)", NUMBERS_HANT),
        ("單位：克", NUMBERS_HANT),
        ("主麵團(公克)", NUMBERS_HANT),
        ("Ingredients (g)", NUMBERS_EN),
        ("Zutaten in Gramm", NUMBERS_EN),
    ],
)
def test_numbers_below_a_heading_with_their_unit_are_sure(head, numbers):
    read = sure_masses(f"{head}\n{numbers}")
    assert [grams for grams, _ in read] == [500, 60, 8, 6, 330, 50]
    assert "unsure" not in {sure for _, sure in read}


@pytest.mark.parametrize("head", ["材料", "Bread by G. Miller", "材料 600g"])
def test_numbers_below_another_heading_stay_unsure(head):
    assert sure_masses(f"{head}\n{NUMBERS_HANT}")[0] == (500, "unsure")


@pytest.mark.parametrize(
    "table",
    [
        "材料 重量(g) 百分比\n高筋麵粉 500 100%\n砂糖 60 12%\n鹽 8 1.6%\n"
        "速發酵母 6 1.2%\n鮮奶 330 66%\n奶油 50 10%",
        "材料 百分比 重量\n高筋麵粉 100% 500\n砂糖 12% 60\n鹽 1.6% 8\n"
        "速發酵母 1.2% 6\n鮮奶 66% 330\n奶油 10% 50",
        "Ingredient Weight (g) %\nBread flour 500 100%\nSugar 60 12%\nSalt 8 1.6%\n"
        "Instant yeast 6 1.2%\nMilk 330 66%\nButter 50 10%",
    ],
)
def test_percentages_with_their_sign_beside_numbers_leave_the_masses(table):
    read = sure_masses(table)
    assert [grams for grams, _ in read] == [500, 60, 8, 6, 330, 50]
    assert "unsure" not in {sure for _, sure in read}


def test_percentages_that_do_not_fit_the_numbers_are_not_dropped_for_sure():
    table = "高筋麵粉 500 100%\n砂糖 60 40%\n鹽 8 7%\n速發酵母 6 30%\n鮮奶 330 5%\n奶油 50 90%"
    assert ("bread_flour", 500, True) not in [read[1:] for read in lines(table)]


def test_a_list_on_one_line_ends_before_the_steps_that_arrows_lead_to():
    list_on_a_line = "高筋面粉250克+牛奶130克+糖30克+盐2克+酵母3克+黄油25克"
    assert lines(f"{list_on_a_line}→揉出膜→发酵1小时→分成9份→烤箱170度20分钟") == lines(list_on_a_line)


def test_an_arrow_before_amounts_ends_no_list():
    read = parts("湯種→粉20g、水100g 本種→高粉250g、糖30g、鹽2g、酵母3g、水90g、牛油25g")
    assert [part for part, _ in read] == ["scald"] * 2 + ["dough"] * 6


@pytest.mark.parametrize("title", ["牛奶卷", "奶香小花糕", "Pan de leche de la abuela"])
def test_an_unread_first_line_above_a_list_is_a_title(title):
    assert answer(f"{title}\n{HANS}")["usable"]["verdict"] == "usable"


def test_a_dough_made_before_on_the_first_line_is_no_title():
    assert answer(f"老面\n{HANS}")["lines"][0]["read_as"] != "a remark"


def test_the_times_of_a_film_are_remarks_unless_they_have_masses():
    times = "00:00 開場\n01:20 揉麵\n05:35 發酵60分鐘\n"
    assert lines(f"{HANT}{times}") == lines(HANT)
    assert ("dough", "sucrose", 26, True) in lines("00:10 高筋麵粉 260g\n00:20 糖 26g\n00:30 水 165g")


STEPS_HANS = (
    "加入22g软化黄油揉出手套膜",
    "28度发酵60分钟至2倍大",
    "分成6份，每份约80g，松弛15分钟",
)


@pytest.mark.parametrize("step", STEPS_HANS)
def test_what_is_done_below_a_list_without_a_heading_is_no_ingredient(step):
    read = answer(f"{HANS}{step}\n烤箱170度25分钟")
    assert read["lines"][6]["kind"] == "step" and read["usable"]["verdict"] == "usable"


@pytest.mark.parametrize("line", ["混合坚果 30g", "老面团 100g", "加入水100g混合揉成团"])
def test_what_may_be_of_the_dough_below_a_list_is_not_passed_over(line):
    assert len(lines(f"{HANS}{line}")) == 7


@pytest.mark.parametrize(
    "step", ["湯種做法：將20g麵粉與100g水拌勻，小火煮至65度", "麵團做法：全部材料揉勻，15分鐘後下22g牛油"]
)
def test_a_method_behind_its_heading_is_a_step(step):
    listed = f"湯種：高粉20g、水100g\n主麵團\n{HANT}"
    assert lines(f"{listed}{step}") == lines(listed)


def test_the_method_of_a_scald_that_is_not_listed_is_read():
    read = weighed(f"{HANT}湯種做法：高粉20g、水100g，小火煮成糊")
    assert [grams for part, _, grams in read if part == "scald"] == [20, 100]


def test_a_number_on_a_key_is_no_amount():
    read = answer("🍞高筋面粉260g\n🥛牛奶165g\n🧂盐3g\n🍬糖26g\n🧫酵母3g\n1️⃣除黄油外揉成团\n2️⃣发酵1小时")
    assert [line["kind"] == "ingredient" for line in read["lines"]] == [True] * 5 + [False] * 2


@pytest.mark.parametrize("name", ["发酵粉", "發酵粉"])
def test_a_powder_to_raise_dough_is_yeast_and_not_for_sure(name):
    text = f"高筋面粉 260g\n盐 3g\n牛奶 165g\n{name} 4g"
    assert weighed(text)[-1] == ("dough", "instant_yeast", 4)
    assert codes(text, "instant_yeast") == {"yeast_or_baking_powder"}


@pytest.mark.parametrize(
    ("line", "grams", "is_sure"),
    [
        ("鸡蛋 1个（含壳60克）", 53, False),
        ("雞蛋 1顆（含殼60克）", 53, False),
        ("鸡蛋 50克（不含壳）", 50, True),
        ("鸡蛋 50克（不带壳）", 50, True),
    ],
)
def test_an_egg_weighed_in_its_shell_or_without(line, grams, is_sure):
    assert lines(f"{HANS}{line}")[-1] == ("dough", "whole_egg", grams, is_sure)

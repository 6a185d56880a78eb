"""What the layout of a recipe shows: titles in their marks, numbered steps, tables, amounts in a row."""

import pytest

from scaldloaf.importing.layouts.layout import lines_of_table, underline

LISTED = ("Scald:", "20 g bread flour", "100 g water", "Dough:", "300 g bread flour", "5 g salt")


def used(readings) -> list[tuple[str, str, float]]:
    return [
        (reading.part, reading.ingredient.name, reading.mass.best)
        for reading in readings
        if reading.in_formula and reading.ingredient and reading.mass
    ]


PLAIN = [
    ("scald", "bread_flour", 20),
    ("scald", "water", 100),
    ("dough", "bread_flour", 300),
    ("dough", "salt", 5),
]


@pytest.mark.parametrize(
    "title", ["500 g flour", "Milk bread, 450 g", "2 lb loaf with 30 g butter", "牛奶 450克"]
)
def test_a_title_in_its_marks_is_no_ingredient(read_all, title):
    assert used(read_all(title, underline(title), "", *LISTED)) == PLAIN
    headings = ["## Scald", *LISTED[1:3], "## Dough", *LISTED[4:]]
    assert used(read_all(f"# {title}", "", *headings)) == PLAIN


def test_the_same_line_without_marks_is_one(read_all):
    assert used(read_all("500 g flour", "100 g water"))[0] == ("dough", "plain_flour", 500)
    assert used(read_all("# 500 g flour", "# 100 g water"))[0] == ("dough", "plain_flour", 500)


def test_a_line_that_parts_the_text_makes_no_title_of_an_ingredient(read_all):
    assert used(read_all("20 g bread flour", "=====", "100 g water"))[0] == ("dough", "bread_flour", 20)


@pytest.mark.parametrize(
    "lines",
    [
        ("Tangzhong", "=========", *LISTED[1:3], "Dough", "=====", *LISTED[4:]),
        ("Tangzhong", "=========", *LISTED[1:3], "Dough", "-----", *LISTED[4:]),
        ("# Tangzhong", *LISTED[1:3], "## Dough", *LISTED[4:]),
    ],
)
def test_a_marked_part_is_no_title(read_all, lines):
    readings = read_all(*lines)
    assert used(readings) == PLAIN
    assert {reading.section_sure for reading in readings} == {"sure"}


def test_headings_among_numbered_steps_open_no_list(read_all):
    method = (
        "Method:",
        "Scald",
        "1. Pour 100 g of water on 20 g of flour at 99 °C and stir.",
        "2. Let it cool.",
        "Dough",
        "1. Mix 300 g of flour with the scald.",
    )
    readings = read_all(*LISTED, *method)
    assert used(readings) == PLAIN
    assert {reading.kind for reading in readings[len(LISTED) + 1 :]} == {"step"}


def test_another_list_behind_the_method_is_read(read_all):
    readings = read_all(*LISTED[:3], "Method:", "Stir the flour in.", "Dough:", *LISTED[4:])
    assert used(readings) == PLAIN


@pytest.mark.parametrize("unit", [" g", "g", ".5 g"])
def test_amounts_that_count_up_are_no_numbers_of_lines(read_all, unit):
    names = ("bread flour", "water", "sugar", "butter", "salt")
    readings = read_all(*(f"{11 + at}{unit} {name} (1 oz)" for at, name in enumerate(names)))
    assert [round(reading.mass.best) for reading in readings] == [
        round(float(f"{11 + at}{'.5' * ('.5' in unit)}")) for at in range(len(names))
    ]


def test_numbers_of_lines_still_are(read_all):
    readings = read_all("1 強力粉 200g", "2 水 130g", "3 砂糖 10g", "4 塩 4g")
    assert [reading.mass.best for reading in readings] == [200, 130, 10, 4]


@pytest.mark.parametrize("name", ["泡打粉", "小苏打粉", "小蘇打粉"])
def test_a_part_of_a_name_does_not_put_it_outside_the_dough(read, name):
    assert read(f"{name} 5g").part == "dough"
    assert read(f"{name} 表面用 5g").part == "aside"


@pytest.mark.parametrize("line", ["打粉 強力粉 5g", "強力粉（打粉用） 5g"])
def test_dusting_flour_stays_outside(read, line):
    assert read(line).part == "aside"


def test_under_the_heading_of_the_dough_a_little_flour_is_dough(read_all):
    lines = ("300 g bread flour", "50 g bread flour", "100 g water")
    assert all(reading.section_sure == "sure" for reading in read_all("Dough:", *lines))
    assert any(reading.section_sure != "sure" for reading in read_all(*lines))


@pytest.mark.parametrize(
    "title", ["", "Milk bread", "Shokupan\n", "Milk bread\n==========", "For the starter", "Ingredients"]
)
def test_under_no_other_heading_a_scald_is_surely_dough(read_all, title):
    lines = ("20 g bread flour", "100 g water", "480 g bread flour", "5 g instant yeast")
    listed = [reading for reading in read_all(*title.split("\n"), *lines) if reading.ingredient]
    assert [(each.part, each.section_sure) for each in listed[:2]] == [("scald", "unsure")] * 2


def rows(*cells: str, mark: str = ",", end: str = "\n") -> str:
    return end.join(cells).replace("|", mark)


@pytest.mark.parametrize(
    "table",
    [
        rows(
            "Part|Ingredient|Amount",
            "Scald|bread flour|20 g",
            "Scald|water|100 g",
            "Dough|bread flour|300 g",
            "Dough|salt|5 g",
        ),
        rows(
            "\ufeffMenge|Zutat|Teil",
            "20 g|bread flour|Scald",
            "100 g|water|Scald",
            "300 g|bread flour|Dough",
            "5 g|salt|Dough",
            mark=";",
            end="\r\n",
        ),
        rows(
            "ingredient|weight|note|section",
            '"bread flour"|20 g|hot, or so|Tangzhong',
            "water|100 g||Tangzhong",
            "",
            "bread flour|300 g|5 %|Main dough",
            "salt|5 g|fine|Main dough",
            mark="\t",
        ),
        rows(
            "Teil|Zutat|Masse (g)",
            "Brühstück|bread flour|20",
            "Brühstück|water|100,0",
            "Teig|bread flour|300",
            "Teig|salt|5",
            mark=";",
        ),
        rows("区分|材料|分量", "湯種|強力粉|20g", "湯種|水|100g", "本生地|強力粉|300g", "本生地|塩|5g"),
        rows(
            "Part|Ingredient|Amount",
            "Scald|'-bread flour|20 g",
            "Scald|water|100 g",
            "Dough|bread flour|300 g",
            "Dough|'=salt|5 g",
        ),
    ],
)
def test_a_table_is_read_by_its_heads(read_all, table):
    assert used(read_all(*lines_of_table(table, 200))) == PLAIN


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\n\n",
        "500 g flour, 10 g salt",
        "Ingredients, amounts and notes",
        "Ingredients\nSalt, 5 g",
        "amount;note",
    ],
)
def test_other_text_is_no_table(text):
    assert lines_of_table(text, 200) is None


def test_a_row_that_does_not_fit_is_kept_as_it_is():
    table = "part,ingredient,amount\nDough,salt,5 g\nx\n\nDough,rye,8 g\n,,13 g\n"
    assert lines_of_table(table, 200) == ["Dough:", "5 g salt", "x", "8 g rye", ",,13 g"]
    long = "ingredient,amount\n" + "salt,5 g\n" * 1000
    assert len(lines_of_table(long, 200)) == 201


@pytest.mark.parametrize(
    "head", ["Zutat, Menge", "Menge, Zutat", "Teil,Zutat,Menge", "Part,Ingredient,Amount"]
)
def test_lines_that_do_not_fit_their_head_are_no_table(head):
    assert lines_of_table(f"{head}\n1,5 g Salz\n500 g Mehl\n14,4 oz Zitronenschale, abgerieben", 200) is None


def test_a_row_of_more_cells_than_the_head_is_kept_as_it_is():
    row = "9 g Salz, 50 g Wasser, 6 g Hefe"
    assert lines_of_table(f"Zutaten,Mengen\n{row}", 200) is None
    assert lines_of_table(f"Zutaten,Mengen\nMehl,500 g\n{row}", 200) == ["500 g Mehl", row]


def test_a_decimal_comma_cuts_no_amount_in_a_table():
    assert lines_of_table("Menge,Zutat\n500 g,Mehl\n1,5 g Salz", 200) == ["500 g Mehl", "1,5 g Salz"]


def test_a_unit_in_a_column_of_its_own_goes_with_its_amount(read_all):
    table = "Ingredient,Amount,Unit\nbread flour,0.5,kg\nwater,1 1/2,cups\nsalt,9,g"
    assert lines_of_table(table, 200) == ["0.5 kg bread flour", "1 1/2 cups water", "9 g salt"]


def test_words_in_other_columns_are_kept(read_all):
    table = rows(
        "Ingredient|Amount|Baker's %|Note",
        "bread flour|20 g|5 %|",
        "milk|100 g|25 %|for the tangzhong",
        "egg|50 g||for brushing",
    )
    lines = lines_of_table(table, 200)
    assert lines == ["20 g bread flour", "100 g milk, for the tangzhong", "50 g egg, for brushing"]
    assert [reading.part for reading in read_all("480 g bread flour", *lines)][2:] == ["scald", "aside"]


@pytest.mark.parametrize("head", ["Grams", "g", "Weight in grams", "Weight (g)"])
def test_the_head_of_a_column_may_be_its_unit(read_all, head):
    table = f"Ingredient,{head},Note\nBread flour,500,\nWater,320,warm"
    readings = read_all(*lines_of_table(table, 200))
    assert [(reading.mass.best, reading.sure) for reading in readings] == [(500, "sure"), (320, "sure")]


def test_a_column_of_ounces_is_read_only_without_grams():
    assert lines_of_table("ingredient,oz\nbread flour,17.6", 200) == ["17.6 oz bread flour"]
    table = "ingredient,oz,grams\nbread flour,17.6,500"
    assert lines_of_table(table, 200) == ["500 grams bread flour"]
    assert lines_of_table("ingredient,notes\nbread flour,500 g", 200) is None


def test_a_markdown_table_in_ounces_is_in_ounces(read_all):
    rows = (
        "| Ingredient | oz |",
        "|---|---|",
        "| Bread flour | 17.6 |",
        "| Water | 10 1/2 | ",
        "| Salt | 9 g |",
    )
    found = [(reading.text, round(reading.mass.best, 1)) for reading in read_all(*rows) if reading.mass]
    assert found == [("| Bread flour | 17.6 |", 499.0), ("| Water | 10 1/2 |", 297.7), ("| Salt | 9 g |", 9)]
    parted = "| Stage | Ingredient | oz |\n|---|---|---|\n| Dough | Salt | 9 |"
    assert lines_of_table(parted, 200) == ["Dough:", "| Salt | 9 oz |"]

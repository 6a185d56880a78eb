"""What is read of a list does not hang on its layout: where an amount stands, and by what marks."""

import pytest

# Of each language: the name and the amount of five lines.
LISTS = {
    "de": ("Weizenmehl 300 g", "lauwarme Milch 190 g", "Zucker 30 g", "Salz 6 g", "weiche Butter 40 g"),
    "en": ("bread flour 300 g", "warm milk 190 g", "sugar 30 g", "salt 6 g", "softened butter 40 g"),
    "es": ("harina de fuerza 300 g", "leche tibia 190 g", "azúcar 30 g", "sal 6 g", "mantequilla 40 g"),
    "fr": ("farine T45 300 g", "lait tiède 190 g", "sucre 30 g", "sel 6 g", "beurre mou 40 g"),
    "it": ("farina 00 300 g", "latte tiepido 190 g", "zucchero 30 g", "sale 6 g", "burro morbido 40 g"),
    "ja": ("強力粉 300 g", "牛乳 190 g", "グラニュー糖 30 g", "塩 6 g", "無塩バター 40 g"),
    "zh-Hans": ("高筋面粉 300 克", "牛奶 190 克", "细砂糖 30 克", "盐 6 克", "黄油 40 克"),
    "zh-Hant": ("高筋麵粉 300 公克", "鮮奶 190 公克", "細砂糖 30 公克", "鹽 6 公克", "無鹽奶油 40 公克"),
}
FULL_WIDTH = {ord("!") + at: 0xFF01 + at for at in range(94)}
LAYOUTS = {
    "amount first": "{a} {u} {n}",
    "glued": "{n} {a}{u}",
    "colon": "{n}: {a} {u}",
    "full-width colon": "{n}：{a}{u}",
    "comma": "{n}, {a} {u}",
    "dash": "{n} – {a} {u}",
    "dash before the name": "{a} {u} – {n}",
    "parentheses": "{n} ({a} {u})",
    "full-width parentheses": "{n}（{a}{u}）",
    "leader": "{n} ........ {a} {u}",
    "cells": "| {n} | {a} {u} |",
    "amount in the first cell": "| {a} {u} | {n} |",
    "a cell for the unit": "| {n} | {a} | {u} |",
    "amount and unit in cells": "| {a} | {u} | {n} |",
    "percent behind": "| {n} | {a} {u} | 12 % |",
    "bold": "- **{n}**: {a} {u}",
    "bold amount": "* **{a} {u}** {n}",
    "box": "- [ ] {a} {u} {n}",
    "bullet": "・{n} {a}{u}",
    "picture": "🥛 {a} {u} {n}",
    "circled number": "① {n} {a}{u}",
    "no-break spaces": "{a}\u00a0{u}\u00a0{n}",
    "tab": "{n}\t{a} {u}",
    "tags": "<td>{n}</td><td>{a} {u}</td>",
    "semicolon": "{a} {u} {n};",
    "two lines": "{n}\n{a} {u}",
    "amount above the name": "{a} {u}\n{n}",
    "number, unit and name in lines": "{a}\n{u}\n{n}",
}


def read_as(read_all, lines):
    return [
        (reading.ingredient.name, round(reading.mass.best, 1))
        for reading in read_all(*lines)
        if reading.ingredient and reading.mass
    ]


@pytest.mark.parametrize("language", LISTS)
def test_a_list_is_read_alike_in_every_layout(read_all, language):
    split = [line.rsplit(" ", 2) for line in LISTS[language]]
    whole = read_as(read_all, LISTS[language])
    assert len(whole) == len(split)
    for name, layout in LAYOUTS.items():
        lines = [layout.format(n=n, a=a, u=u) for n, a, u in split]
        assert read_as(read_all, "\n".join(lines).split("\n")) == whole, name
    wide = [f"{n} {a.translate(FULL_WIDTH)}{u.translate(FULL_WIDTH)}" for n, a, u in split]
    assert read_as(read_all, wide) == whole


@pytest.mark.parametrize("between", [", ", "; ", " / ", " - ", " • "])
@pytest.mark.parametrize("language", ["de", "en", "es", "fr", "it"])
def test_a_long_list_on_one_line_is_cut_at_its_marks(read_all, language, between):
    of = {"es": "de ", "fr": "de ", "it": "di "}.get(language, "")
    split = [line.rsplit(" ", 2) for line in LISTS[language]]
    line = between.join(f"{a} {u} {of}{n}" for n, a, u in split * 5)
    assert len(line) > 300
    assert read_as(read_all, [line]) == read_as(read_all, LISTS[language]) * 5

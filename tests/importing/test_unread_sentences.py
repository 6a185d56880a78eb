"""Sentences of a page that are no line of its list, and what keeps a line that was not read in sight."""

import pytest

from scaldloaf.operations.perform import perform
from scaldloaf.operations.recipe_import import RECIPE_IMPORT

LISTS = {
    "en": "Dough\n500 g bread flour\n320 g water\n9 g salt\n5 g instant yeast\n",
    "de": "Teig\n500 g Weizenmehl 550\n320 g Wasser\n9 g Salz\n5 g Trockenhefe\n",
    "fr": "Pâte\n500 g de farine T45\n320 g d'eau\n9 g de sel\n5 g de levure sèche\n",
    "it": "Impasto\n500 g di farina 00\n320 g di acqua\n9 g di sale\n5 g di lievito secco\n",
    "ja": "本生地\n強力粉 500g\n水 320g\n塩 9g\nドライイースト 5g\n",
    "zh-Hant": "主麵團\n高筋麵粉 500克\n水 320克\n鹽 9克\n速發酵母 5克\n",
    "zh-Hans": "主面团\n高筋面粉 500克\n水 320克\n盐 9克\n速发酵母 5克\n",
}


def answer(text):
    return perform(RECIPE_IMPORT, {"text": text})


@pytest.mark.parametrize(
    "language, sentence",
    [
        ("en", "2. With the hook on low speed, bring it together, then mix well until it is smooth."),
        ("en", "The dough of 834 g is enough for two small tins or for ten soft rolls."),
        ("de", "Den Teig in sechs Stücke von etwa 140 g teilen und rund formen."),
        ("de", "Der Teig wiegt am Ende etwa 830 g und passt damit gut in eine große Form."),
        ("fr", "La pâte de 830 g est assez grande pour un moule et quelques petits pains."),
        ("it", "L'impasto di 830 g basta per uno stampo grande e per alcuni panini piccoli."),
        (
            "zh-Hant",
            "4. 麵糰分成四份,每份大約200公克,逐一滾圓,蓋好休息20分鐘。",
        ),
        ("zh-Hans", "这份面团约830克,正好装满一个模具,多出来的做小餐包。"),
    ],
)
def test_a_sentence_about_the_dough_is_no_line_of_the_list(language, sentence):
    reply = answer(LISTS[language] + sentence)
    last = reply["lines"][-1]
    assert last["text"].startswith(sentence[:10]) and last["kind"] == "step" and not last["in_formula"]
    assert reply["usable"]["verdict"] == "usable", reply["usable"]


@pytest.mark.parametrize(
    "language, line",
    [
        ("en", "Harbour mix (brown rice, barley, oats, rye and a little wheat germ) 80 g"),
        ("en", "Harbour mix of brown rice, barley, oats and rye, 3 cups stirred well"),
        ("de", "Hafenmischung aus Reis, Gerste und Hafer, gut verrühren, 80 g"),
        ("zh-Hant", "港口綜合穀物,先浸泡,瀝乾水分後攪拌均勻,80克"),
    ],
)
def test_what_may_weigh_something_stays_a_line_that_was_not_read(language, line):
    reply = answer(LISTS[language] + line)
    last = reply["lines"][-1]
    assert last["kind"] == "ingredient" and last["sure"] in ("not_read", "unsure")
    assert reply["usable"]["verdict"] == "doubtful"

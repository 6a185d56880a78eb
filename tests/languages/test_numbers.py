"""How the page reads a typed number, without a browser. A slip of the finger is refused."""

import shutil

import pytest

from page_script import run_script
from running import ROOT

SCRIPT = """
import { readFileSync } from "node:fs";
import { readNumber } from "./numbers.js";
const texts = JSON.parse(readFileSync(0, "utf8"));
console.log(JSON.stringify(texts.map(([text, locale]) => readNumber(text, locale))));
"""


@pytest.fixture(scope="module")
def read(tmp_path_factory):
    """read([(text, locale), ...]) -> what the page makes of each."""
    folder = tmp_path_factory.mktemp("numbers")
    (file,) = (ROOT / "web").rglob("numbers.js")
    shutil.copy(file, folder)

    def run(texts):
        return run_script(folder, SCRIPT, texts)

    return run


def test_numbers_as_bakers_write_them(read):
    numbers = {
        ("0.8", "en-GB"): 0.8,
        ("0,8", "en-GB"): 0.8,
        ("0,8", "de-DE"): 0.8,
        (".5", "en-GB"): 0.5,
        ("5,", "de-DE"): 5,
        (" 12 ", "en-GB"): 12,
        ("\u22125", "en-GB"): -5,
        ("- 5", "en-GB"): -5,
        ("1 000,5", "fr-FR"): 1000.5,
        ("1\u202f000", "fr-FR"): 1000,
        ("1’000", "de-CH"): 1000,
        ("1,000.5", "en-GB"): 1000.5,
        ("1.000,5", "en-GB"): 1000.5,
        ("1.000.000", "de-DE"): 1_000_000,
        ("1,00,000", "en-IN"): 100_000,
        ("1.000", "en-GB"): 1,
        ("1,000", "de-DE"): 1,
        ("４７０", "ja-JP"): 470,
        ("７０．５", "zh-Hant"): 70.5,
        ("70。5", "zh-Hans"): 70.5,
    }
    assert read(list(numbers)) == [{"number": number} for number in numbers.values()]


def test_two_readings_are_both_offered(read):
    texts = [("1,000", "en-GB"), ("1.000", "de-DE"), ("-12,345", "en-US")]
    assert read(texts) == [{"unclear": [1000, 1]}, {"unclear": [1000, 1]}, {"unclear": [-12345, -12.345]}]


@pytest.mark.parametrize("locale", ["en-GB", "de-DE", "de-CH", "fr-FR"])
def test_a_slip_of_the_finger_is_no_number(read, locale):
    """1..5 g of yeast is not 15 g."""
    dots = ["1..5", "0..8", "1.5.", "1,,5", "1.2.3", "1,2.5", "1,000,5", "12,34,5", ".", ","]
    slips = [*dots, "1 5", "1 000 5", "1 1/2", "-", "--5", "1e3", "5 g"]
    assert read([(slip, locale) for slip in slips]) == [{}] * len(slips)


def test_nothing_is_nothing(read):
    assert read([("", "en-GB"), (" \u00a0", "de-DE")]) == [{"nothing": True}] * 2

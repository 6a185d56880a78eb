"""Labels by language, and the names of every language: what an integrator shows and searches."""

import json
from dataclasses import replace

import pytest

from scaldloaf.operations import facts
from scaldloaf.reference import INGREDIENTS, LANGUAGES


@pytest.fixture
def labels(client):
    def get(language):
        response = client.get("/v1/labels", query_string={"language": language})
        assert response.status_code == 200, response.get_data(as_text=True)
        return json.loads(response.get_data())

    return get


def test_without_a_language_labels_are_what_they_always_were(client):
    reply = json.loads(client.get("/v1/labels").get_data())
    assert list(reply) == ["ingredients"]
    assert [list(row.items()) for row in reply["ingredients"]] == [
        [("name", row.name), ("label", row.names["en"][0]), ("is_liquid", row.is_liquid)]
        for row in INGREDIENTS.values()
    ]


@pytest.mark.parametrize("language", LANGUAGES)
def test_labels_in_each_language(labels, client, language):
    reply = labels(language)
    assert reply["language"] == language
    assert [(row["name"], row["label"], row["language"]) for row in reply["ingredients"]] == [
        (name, row.names[language][0], language) for name, row in INGREDIENTS.items()
    ]
    plain = json.loads(client.get("/v1/labels").get_data())["ingredients"]
    assert [row["is_liquid"] for row in reply["ingredients"]] == [row["is_liquid"] for row in plain]


@pytest.mark.parametrize(
    "tag, language",
    [
        ("de-AT", "de"),
        ("DE", "de"),
        ("de-CH-1996", "de"),
        ("ja-JP", "ja"),
        ("en-GB", "en"),
        ("deu", "en"),
        ("fr", "en"),
        ("fr-CA", "en"),
        ("zh-Hant-TW", "zh-Hant"),
        ("zh-hans-cn", "zh-Hans"),
        ("zh", "en"),
        ("it-Latn-IT", "en"),
    ],
)
def test_a_region_falls_back_to_its_language_and_an_unknown_language_to_english(labels, tag, language):
    assert labels(tag) == labels(language)


@pytest.mark.parametrize(
    "given, nearest",
    [
        ("de_AT", "de-AT"),
        ("de,en;q=0.5", "de"),
        ("Deutsch", "en"),
        ("", "en"),
        ("*", "en"),
        ("d", "en"),
        ("de-", "de"),
        (" ja", "ja"),
        ("de-" + "x" * 9, "de"),
        ("x" * 5000, "en"),
        ("日本", "en"),
        ("de\n", "de"),
        ("日本 de", "de"),
        ("de" + "-latn" * 9, "de" + "-latn" * 6 + "-la"),
    ],
)
def test_what_is_no_tag_is_refused_with_the_nearest_that_is(client, assert_problem, given, nearest):
    response = client.get("/v1/labels", query_string={"language": given})
    fault = assert_problem(response, 422, "", "not_a_language")
    assert (fault["given"], fault["nearest"]) == (given[:80], nearest)
    assert client.get("/v1/labels", query_string={"language": nearest}).status_code == 200


@pytest.mark.parametrize(
    "path",
    [
        "/v1/labels?lang=de",
        "/v1/labels?language=de&language=en",
        "/v1/names?language=de",
        "/v1/ingredients?language=de",
    ],
)
def test_other_queries_are_refused(client, assert_problem, path):
    assert_problem(client.get(path), 422, "", "unknown_parameter")


def test_each_language_is_kept_by_its_own_etag(client):
    tags = {}
    for query in ("", *(f"?language={language}" for language in LANGUAGES)):
        whole = client.get(f"/v1/labels{query}")
        assert whole.headers["Cache-Control"].startswith("public, max-age=3600") and not whole.headers[
            "ETag"
        ].startswith("W/")
        tags[query] = whole.headers["ETag"]
        assert client.get(f"/v1/labels{query}", headers={"If-None-Match": tags[query]}).status_code == 304
    assert len(set(tags.values())) == len(tags)
    assert (
        client.get("/v1/labels?language=de", headers={"If-None-Match": tags["?language=en"]}).status_code
        == 200
    )
    assert client.get("/v1/labels?language=de-AT").headers["ETag"] == tags["?language=de"]


def test_a_label_that_a_language_lacks_is_english_and_says_so(monkeypatch):
    known = INGREDIENTS["water"]
    lacking = replace(
        known, names={language: names for language, names in known.names.items() if language != "de"}
    )
    monkeypatch.setattr(facts, "INGREDIENTS", {"water": lacking, "salt": INGREDIENTS["salt"]})
    reply = facts.labels("de")
    assert reply["language"] == "de"
    assert [(row["label"], row["language"]) for row in reply["ingredients"]] == [
        ("Water", "en"),
        ("Salz", "de"),
    ]


def test_names_of_every_language(client):
    reply = json.loads(client.get("/v1/names").get_data())
    assert reply["languages"] == list(LANGUAGES)
    assert {
        row["name"]: {each["language"]: (each["label"], *each["spellings"]) for each in row["names"]}
        for row in reply["ingredients"]
    } == {name: dict(row.names) for name, row in INGREDIENTS.items()}


def test_the_document_says_which_languages_there_are(document):
    (parameter,) = document["paths"]["/v1/labels"]["get"]["parameters"]
    assert f"Labels exist in {', '.join(LANGUAGES)} " in parameter["description"]

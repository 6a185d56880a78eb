"""Tables as CSV: each has the figures of the JSON reply, written as the query asks."""

import csv
import io

import pytest

from scaldloaf.operations.lantern_quay import A_DAY_WITH_CODES, PRICES, SIDE_BY_SIDE, SWEETER_OR_NOT
from scaldloaf.operations.wire.order_tables import MOST_CODE_NAMES

PATH = "/v1/order-demand.csv"
BUN = A_DAY_WITH_CODES["formulas"][0]
LOAF = {
    "lines": [
        {"ingredient": "bread_flour", "mass": 1000, "own": {"sku": "FL-550", "lot": "L 1180"}},
        {"ingredient": "=cmd()", "mass": 10, "composition": {"fat_percent": 50}, "own": {"sku": "-1"}},
        {"ingredient": "salt", "mass": 18.5},
    ]
}
DAY = {
    **A_DAY_WITH_CODES,
    "formulas": [BUN, {"id": "loaf; plain", "formula": LOAF, "mixer_capacity": 4000}, {**BUN, "id": "idle"}],
    "orders": [
        *A_DAY_WITH_CODES["orders"],
        {"formula": "loaf; plain", "target": {"kind": "dough_mass", "mass": 9000}},
    ],
    "prices": PRICES,
}


@pytest.fixture
def table(client):
    def table(query="", body=DAY, path=PATH, delimiter=","):
        """The rows of a table, by their heads."""
        response = client.post(f"{path}?{query}", json=body)
        assert response.status_code == 200 and response.content_type == "text/csv; charset=utf-8"
        head, *rows = csv.reader(
            io.StringIO(response.get_data(as_text=True), newline=""), delimiter=delimiter
        )
        assert all(len(row) == len(head) for row in rows)
        return [dict(zip(head, row, strict=True)) for row in rows]

    return table


def shown(number) -> str:
    return "" if number is None else repr(float(number))


def test_ingredients_have_codes_packs_and_what_is_left(table, call):
    reply, rows = call("order-demand", DAY), table()
    for row, made in zip(rows, reply["ingredients"], strict=True):
        assert row["ingredient"].lstrip("'") == made["ingredient"]
        for field in ("mass", "scald", "dough", "dusting", "weighed"):
            assert row[f"{field} (g)"] == shown(made[field])
        packs = made["packs"] or {"count": "", "stock_unit": "", "pack_mass": None, "left_over": None}
        assert (row["packs"], row["stock_unit"]) == (str(packs["count"]), packs["stock_unit"])
        assert row["pack_mass (g)"] == shown(packs["pack_mass"])
        assert row["left_over (g)"] == shown(packs["left_over"])
    flour = rows[0]  # three lines with codes: two lots of the bun's, and one of these again
    assert (flour["own: sku"], flour["own: lot"]) == ("FL-550", "L 1180 | L 1174")
    assert table() == table("table=ingredients") == table("show=result")


def test_lines_without_a_code_beside_others_with_one_show(table):
    lines = [
        {"ingredient": "bread_flour", "mass": 100, "own": {"lot": "A"}},
        {"ingredient": "bread_flour", "mass": 400},
        {"ingredient": "water", "mass": 300},
    ]
    body = {
        "formulas": [{"id": "a", "formula": {"lines": lines}}],
        "orders": [{"formula": "a", "target": {"kind": "dough_mass", "mass": 900}}],
    }
    assert [row["own: lot"] for row in table(body=body)] == ["A | ", ""]
    del lines[1]
    assert [row["own: lot"] for row in table(body=body)] == ["A", ""]


def test_batches_are_a_row_for_each_formula(table, call):
    reply, rows = call("order-demand", DAY), table("table=batches")
    for row, made, cost in zip(rows, reply["formulas"], reply["cost"]["batches"], strict=True):
        assert row["formula"] == made["id"]
        assert (row["orders"], row["batches"]) == (str(made["orders"]), str(made["batches"]))
        for field in ("dough_mass", "batch_dough_mass", "scald_mass", "dusting"):
            assert row[f"{field} (g)"] == shown(made[field])
        assert row["allergens"].split() == [each["allergen"] for each in made["allergens"]]
        assert row["own: batch"] == made.get("own", {}).get("batch", "")
        assert (row["cost_per_batch"], row["cost_total"]) == (shown(cost["per_batch"]), shown(cost["total"]))


@pytest.mark.parametrize("scale", [DAY["scale"], None])
def test_what_to_weigh_is_a_row_for_each_line_of_a_batch(table, call, scale):
    body = {name: value for name, value in DAY.items() if name != "scale" or scale}
    reply, rows = call("order-demand", body), table("table=weigh_out", body)
    wanted = [
        (made, line, made["batch_weigh_out"][index] if scale else {"mass": None, "resolution": None})
        for made in reply["formulas"]
        for index, line in enumerate(made["batch"]["lines"] if made["batch"] else [])
    ]
    for row, (made, line, weighed) in zip(rows, wanted, strict=True):
        assert (row["formula"], row["batches"]) == (made["id"], str(made["batches"]))
        assert (row["ingredient"].lstrip("'"), row["part"]) == (line["ingredient"], line["part"])
        assert row["mass (g)"] == shown(line["mass"])
        assert row["weighed (g)"] == shown(weighed["mass"])
        assert row["resolution (g)"] == shown(weighed["resolution"])
        assert row["own: sku"].lstrip("'") == line.get("own", {}).get("sku", "")
        assert row["formula own: batch"] == made.get("own", {}).get("batch", "")


@pytest.mark.parametrize("name", ["ingredients", "batches", "weigh_out"])
def test_semicolons_and_decimal_commas_say_the_same(table, name):
    plain = table(f"table={name}&decimals=2")
    other = table(f"table={name}&decimals=2&separator=semicolon", delimiter=";")
    assert [row.keys() for row in other] == [row.keys() for row in plain]
    for row, same in zip(other, plain, strict=True):
        for head, cell in row.items():
            number = head.endswith("(g)") or head.startswith("cost")
            assert cell == (same[head].replace(".", ",") if number else same[head])


def test_decimals_round_what_is_not_rounded_yet(table):
    exact, rounded = table("table=weigh_out")[0], table("table=weigh_out&decimals=1")[0]
    assert rounded["mass (g)"] == f"{float(exact['mass (g)']):.1f}" != exact["mass (g)"]
    assert rounded["weighed (g)"] == exact["weighed (g)"] == "7700.0"
    (spread,) = {len(row["dough (g)"].partition(".")[2]) for row in table("decimals=3")}
    assert spread == 3
    costs = [[row["cost"] for row in table(query)] for query in ("", "decimals=0")]
    assert costs[0] == costs[1] and any("." in cost for cost in costs[0])


@pytest.mark.parametrize("path, body", [(PATH, DAY), ("/v1/variants.csv", SIDE_BY_SIDE)])
def test_a_byte_order_mark_when_it_is_asked_for(client, path, body):
    with_mark, without, usual = (
        client.post(f"{path}{query}", json=body).get_data()
        for query in ("?byte_order_mark=true", "?byte_order_mark=false", "")
    )
    assert with_mark == b"\xef\xbb\xbf" + usual and without == usual


def test_the_table_of_variants_takes_the_same_parameters(table):
    plain = table("decimals=1", SWEETER_OR_NOT, "/v1/variants.csv")
    other = table("decimals=1&separator=semicolon", SWEETER_OR_NOT, "/v1/variants.csv", ";")
    assert plain[0]["hydration_percent"] == other[0]["hydration_percent"].replace(",", ".")
    assert plain[0]["hydration_percent"].partition(".")[2].isdigit() and "," in other[0]["cost_per_piece"]
    assert other[-1]["problem"] == plain[-1]["problem"] != ""


@pytest.mark.parametrize("name", ["=cmd()", " =cmd()", "+1", "-1", "@sum", "＝cmd()", "\u2003＋1"])
@pytest.mark.parametrize("separator, delimiter", [("comma", ","), ("semicolon", ";")])
def test_no_text_is_a_formula_to_a_spreadsheet(table, name, separator, delimiter):
    spice = {"ingredient": name, "mass": 10, "own": {"sku": name}}
    spice["composition"] = {"fat_percent": 50, "allergens": [name]}
    body = {
        "formulas": [{"id": name, "formula": {"lines": [LOAF["lines"][0], spice]}, "own": {"plu": name}}],
        "orders": [{"formula": name, "target": {"kind": "dough_mass", "mass": 1500}}],
        "packs": [{"ingredient": name, "pack_mass": 25, "stock_unit": name}],
    }
    rows = [
        table(f"table={each}&separator={separator}", body, delimiter=delimiter)[-1]
        for each in ("ingredients", "batches", "weigh_out")
    ]
    ingredients, batches, weigh_out = rows
    quoted = [ingredients[head] for head in ("ingredient", "allergens", "stock_unit", "own: sku")]
    quoted += [batches["formula"], batches["own: plu"]]
    quoted += [weigh_out[head] for head in ("formula", "ingredient", "own: sku", "formula own: plu")]
    assert set(quoted) == {"'" + name}


@pytest.mark.parametrize(
    "path, query, code, nearest",
    [
        (PATH, "table=batch", "not_one_of", "batches"),
        (PATH, "table=foo", "not_one_of", "ingredients"),
        (PATH, "table=batches&table=ingredients", "unknown_parameter", "table"),
        ("/v1/variants.csv", "table=variants", "unknown_parameter", None),
        (PATH, "separator=;", "not_one_of", "semicolon"),
        (PATH, "byte_order_mark=yes", "not_one_of", "true"),
        (PATH, "byte_order_mark=True", "not_one_of", "true"),
        (PATH, "decimals=10", "too_large", 9),
        (PATH, "decimals=-1", "too_small", 0),
        (PATH, "decimals=two", "wrong_type", None),
        (PATH, "decimals=", "wrong_type", None),
        (PATH, "show=all", "not_one_of", "full"),
        ("/v1/order-demand", "table=batches", "unknown_parameter", None),
    ],
)
def test_a_query_that_cannot_be_followed_is_refused_by_name(
    client, assert_problem, path, query, code, nearest
):
    body = SIDE_BY_SIDE if "variants" in path else DAY
    found = assert_problem(client.post(f"{path}?{query}", json=body), 422, "", code)
    assert query.partition("=")[0] in found["detail"] and found["nearest"] == nearest


def test_codes_of_too_many_names_do_not_make_a_table(client, assert_problem):
    """Each name is a column, so a body of the longest would make millions of cells."""
    owns = [{f"name {10 * index + each}": "x" for each in range(10)} for index in range(5)]
    lines = [{"ingredient": "bread_flour", "mass": 10, "own": own} for own in owns]
    body = {
        "formulas": [{"id": "a", "formula": {"lines": lines}}],
        "orders": [{"formula": "a", "target": {"kind": "dough_mass", "mass": 900}}],
    }
    found = assert_problem(client.post(PATH, json=body), 422, "/formulas", "too_many_code_names")
    assert found["values"] == {"names": 50, "most": MOST_CODE_NAMES}
    assert client.post("/v1/order-demand", json=body).status_code == 200


def test_accept_still_works_and_says_what_comes_after_it(client):
    old = client.post("/v1/order-demand", json=DAY, headers={"Accept": "text/csv"})
    assert old.status_code == 200 and old.content_type == "text/csv; charset=utf-8"
    assert old.headers["Deprecation"] == "@1795910400"  # RFC 9745: a Date of RFC 9651
    assert old.headers["Link"] == '</v1/order-demand.csv>; rel="successor-version"'
    new = client.post(PATH, json=DAY)
    assert new.get_data() == old.get_data()
    for other in (new, client.post("/v1/order-demand", json=DAY)):
        assert "Deprecation" not in other.headers and "Link" not in other.headers


def test_the_document_lists_one_type_for_each_path(document):
    types = {
        path: list(document["paths"][path]["post"]["responses"]["200"]["content"])
        for path in ("/v1/order-demand", PATH, "/v1/variants.csv")
    }
    assert types == {
        "/v1/order-demand": ["application/json"],
        PATH: ["text/csv"],
        "/v1/variants.csv": ["text/csv"],
    }

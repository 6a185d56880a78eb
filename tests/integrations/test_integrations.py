"""Runs the programs of openapi/examples/ by their own instructions, on the real service and with faults."""

import csv
import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from integrations.relay import Relay
from running import ROOT, Service
from scaldloaf.operations.lantern_quay import TIN_LOAF

EXAMPLES = ROOT / "openapi" / "examples"
QUAY = EXAMPLES / "lantern_quay"
PRODUCTS, ORDERS, FORMULAS = QUAY / "products.json", QUAY / "orders.csv", QUAY / "formulas.ndjson"
TILL, STOCK_SYSTEM = EXAMPLES / "till_nightly_job.py", EXAMPLES / "stock_system.py"
DAY = "2026-11-26"


def run(script: Path, *arguments) -> subprocess.CompletedProcess:
    return subprocess.run(
        [sys.executable, "-W", "error", script, *map(str, arguments)],
        capture_output=True,
        text=True,
        timeout=120,
        env={**os.environ, "no_proxy": "*"},
    )


def busy(status: str, *headers: str) -> bytes:
    body = (
        b'{"type": "/problems/unavailable", "title": "Not ready", "status": 503, "detail": "", "errors": []}'
    )
    head = [
        f"HTTP/1.1 {status}",
        "Content-Type: application/problem+json",
        f"Content-Length: {len(body)}",
        "Connection: close",
        *headers,
    ]
    return "\r\n".join(head).encode() + b"\r\n\r\n" + body


def rows(path: Path) -> list[dict]:
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


# A till's nightly job


@pytest.fixture
def stock(tmp_path) -> Path:
    return tmp_path / "stock.csv"


def kilograms(stock: Path) -> dict[str, float]:
    return {row["ingredient"]: float(row["kg"]) for row in rows(stock)}


def test_the_till_takes_from_stock_what_the_orders_need(service, stock):
    done = run(TILL, PRODUCTS, ORDERS, DAY, stock, service.url)
    assert (done.returncode, done.stderr) == (0, "")
    # By hand: 45 tins of 470 g with 2 % handling loss, from a formula of 949 g; 160 buns of 70 g and
    # 15 baked loaves of 400 g with 11 % bake loss and 3 % handling loss, from a formula of 944 g.
    # Dusting flour is 1 % of the tins' flour.
    tins = 45 * 470 / 0.98 / 949
    buns = (160 * 70 + 15 * 400 / 0.89) / 0.97 / 944
    taken = kilograms(stock)
    assert taken["bread_flour"] == pytest.approx((tins * 500 * 1.01 + buns * 500) / 1000, abs=5e-4)
    assert taken["whole_milk"] == pytest.approx((tins * 150 + buns * 150) / 1000, abs=5e-4)
    assert taken["compressed_yeast"] == pytest.approx(buns * 15 / 1000, abs=5e-4)
    scald = {row["ingredient"]: float(row["of it in tonight's scald, kg"]) for row in rows(stock)}
    assert scald["water"] == pytest.approx(tins * 175 / 1000, abs=5e-4)
    flour, butter = (
        {row["ingredient"]: row for row in rows(stock)}[name] for name in ("bread_flour", "butter")
    )
    assert (flour["sku"], flour["packs"], flour["pack"]) == ("FL-550", "1", "sack")
    assert float(flour["left over, kg"]) == pytest.approx(25 - taken["bread_flour"], abs=1e-3)
    assert (butter["sku"], butter["packs"]) == ("BT-82", "1")
    assert {row["packs"] for row in rows(stock)} == {"1", ""}
    assert "tin loaf: 2 batches of" in done.stdout and "Mind: A scald kept for later" in done.stdout


def test_the_till_waits_as_asked_and_retries(service, stock, tmp_path):
    plain = tmp_path / "plain.csv"
    assert run(TILL, PRODUCTS, ORDERS, DAY, plain, service.url).returncode == 0
    soon = time.strftime("%a, %d %b %Y %H:%M:%S GMT", time.gmtime())
    with Relay(
        service.url,
        busy("429 Too Many Requests", "Retry-After: 2"),
        busy("503 Service Unavailable", f"Retry-After: {soon}"),
        30,
    ) as relay:
        start = time.monotonic()
        done = run(TILL, PRODUCTS, ORDERS, DAY, stock, relay.url)
        assert done.returncode == 0, done.stderr
        assert time.monotonic() - start > 2 and relay.connections == 4
    assert done.stderr.startswith("status 429; again in 2 s\nstatus 503; again in 0 s\n")
    assert stock.read_bytes() == plain.read_bytes()


def test_the_till_exits_with_an_error_and_keeps_the_old_table(service, stock):
    stock.write_text("yesterday's")
    with Relay(service.url, *[busy("503 Service Unavailable", "Retry-After: 0")] * 6) as relay:
        done = run(TILL, PRODUCTS, ORDERS, DAY, stock, relay.url)
    assert done.returncode == 1 and "after 6 attempts: status 503" in done.stderr
    assert stock.read_text() == "yesterday's" and list(stock.parent.iterdir()) == [stock]


def test_the_till_names_the_faulty_line_of_the_orders(service, stock, tmp_path):
    stock.write_text("yesterday's")
    products = json.loads(PRODUCTS.read_text("utf-8"))
    products["articles"]["BUN-70"]["target"]["mass"] = -70
    wrong = tmp_path / "products.json"
    wrong.write_text(json.dumps(products))
    done = run(TILL, wrong, ORDERS, DAY, stock, service.url)
    assert done.returncode == 1 and stock.read_text() == "yesterday's"
    assert done.stderr.startswith(f"{ORDERS}, line 3, 5: /orders/1/target/mass must be at least ")
    assert "would work" in done.stderr and "Traceback" not in done.stderr


@pytest.mark.parametrize(
    "line, words",
    [
        ("2026-11-26,Counter,TIM-470,4\n", "line 9: no such article"),
        ("2026-11-26,Counter,TIN-470,four\n", "line 9: no such article, or no count"),
        ("2026-11-26,Counter,TIN-470,²\n", "line 9: no such article, or no count"),
        ("2026-11-26,Counter,TIN-470\n", "line 9: no such article, or no count"),
    ],
)
def test_the_till_refuses_what_it_cannot_read(line, words, stock, tmp_path):
    orders = tmp_path / "orders.csv"
    orders.write_text(ORDERS.read_text("utf-8") + line, "utf-8")
    done = run(TILL, PRODUCTS, orders, DAY, stock)
    assert done.returncode == 1 and words in done.stderr and not stock.exists()
    assert "Traceback" not in done.stderr


def test_the_till_reads_a_spreadsheets_file_and_names_a_missing_column(service, stock, tmp_path):
    orders = tmp_path / "orders.csv"
    orders.write_text("\ufeff" + ORDERS.read_text("utf-8").replace("\n", "\r\n"), "utf-8", newline="")
    assert run(TILL, PRODUCTS, orders, DAY, stock, service.url).returncode == 0 and stock.exists()
    orders.write_text(ORDERS.read_text("utf-8").replace("for_day", "day").replace("count", "number"), "utf-8")
    done = run(TILL, PRODUCTS, orders, DAY, stock, service.url)
    assert done.returncode == 1 and done.stderr == f"{orders}, line 1: there is no column for_day nor count\n"


# A stock system


class Batch:
    """One run of the stock system, and the memory it used."""

    def __init__(self, formulas: Path, url: str, folder: Path):
        folder.mkdir()
        self.stock, self.refused = folder / "stock.csv", folder / "refused.csv"
        command = [sys.executable, "-W", "error", STOCK_SYSTEM, formulas, self.stock, self.refused, url]
        with open(folder / "said", "w+", encoding="utf-8") as said:
            process = subprocess.Popen(command, stdout=said, stderr=subprocess.STDOUT)
            _, status, usage = os.wait4(process.pid, 0)
            process.returncode = self.status = os.waitstatus_to_exitcode(status)
            said.seek(0)
            self.said = said.read()
        self.memory_kb = usage.ru_maxrss


def test_the_stock_system_scales_what_it_can_and_names_the_rest(service, session, tmp_path):
    batch = Batch(FORMULAS, service.url, tmp_path / "run")
    assert (batch.status, batch.said) == (1, "3 scaled, 2 refused\n")
    requests = [json.loads(line) for line in FORMULAS.read_text("utf-8").splitlines()]
    replies = [session.post(f"{service.url}/v1/scaling", json=request).json() for request in requests]
    assert [(row["line"], row["ingredient"], row["g"]) for row in rows(batch.stock)] == [
        (str(number), line["ingredient"], f"{line['mass']:.1f}")
        for number, reply in enumerate(replies, 1)
        if "formula" in reply
        for line in reply["formula"]["lines"]
    ]
    assert [(row["line"], row["status"], row["where"], row["why"]) for row in rows(batch.refused)] == [
        (str(number), "422", error["pointer"], error["detail"])
        for number, reply in enumerate(replies, 1)
        for error in reply.get("errors", [])
    ]
    assert rows(batch.refused)[0]["nearest"] == "bread_flour"


def test_a_line_that_the_service_cannot_read_stops_no_other(service, tmp_path):
    """The answer has no id: the line was too long, or is JSON only to Python."""
    good = json.dumps({"formula": TIN_LOAF, "target": {"kind": "dough_mass", "mass": 1000}})
    bad = [
        '{"formula": NaN}',
        '{"formula": "\\ud800"}',
        '{"formula": "' + "x" * 70_000 + '"}',
        '{"target": 1e999}',
    ]
    source = tmp_path / "formulas"
    source.write_text("\n".join([good, *(line for each in bad for line in (each, good))]) + "\n")
    batch = Batch(source, service.url, tmp_path / "run")
    assert (batch.status, batch.said) == (1, "5 scaled, 4 refused\n")
    assert [(row["line"], row["status"]) for row in rows(batch.refused)] == [
        ("2", "400"),
        ("4", "400"),
        ("6", "413"),
        ("8", "400"),
    ]
    assert list(dict.fromkeys(row["line"] for row in rows(batch.stock))) == ["1", "3", "5", "7", "9"]


def formulas(path: Path, count: int) -> Path:
    """A file of scaling requests; every hundredth line is not JSON."""
    with open(path, "w", encoding="utf-8") as file:
        for number in range(count):
            request = {
                "formula": {**TIN_LOAF, "name": f"Loaf {number}"},
                "target": {"kind": "dough_mass", "mass": 1000 + number},
            }
            file.write("no JSON\n" if number % 100 == 99 else json.dumps(request) + "\n")
    return path


def test_the_stock_system_reads_while_it_writes_and_its_memory_does_not_grow(service, tmp_path):
    few = Batch(formulas(tmp_path / "few", 100), service.url, tmp_path / "run few")
    source = formulas(tmp_path / "many", 10_000)  # more than a socket's buffers hold
    folder = tmp_path / "run many"

    def has_written() -> bool:
        stock = folder / "stock.csv"
        return stock.exists() and stock.stat().st_size > 50_000

    with Relay(service.url, hold=(500_000, has_written)) as relay:
        many = Batch(source, relay.url, folder)
        assert relay.released and relay.connections == 1
    assert (few.said, many.said) == ("99 scaled, 1 refused\n", "9900 scaled, 100 refused\n")
    assert (tmp_path / "many").stat().st_size > 5_000_000
    assert many.memory_kb - few.memory_kb < 3000
    assert [int(row["line"]) for row in rows(many.refused)] == list(range(100, 10_001, 100))
    names = dict.fromkeys(row["formula"] for row in rows(many.stock))
    assert list(names) == [f"Loaf {number}" for number in range(10_000) if number % 100 != 99]


def test_the_stock_system_resumes_after_the_last_answer(service, tmp_path):
    source = formulas(tmp_path / "formulas", 400)
    whole = Batch(source, service.url, tmp_path / "whole")
    with Relay(service.url, 100_003, busy("503 Service Unavailable", "Retry-After: 1"), 150_001, 10) as relay:
        cut = Batch(source, relay.url, tmp_path / "cut")
        assert relay.connections == 5
    assert cut.said.endswith(whole.said) and "; on from line " in cut.said
    assert cut.stock.read_bytes() == whole.stock.read_bytes()
    assert cut.refused.read_bytes() == whole.refused.read_bytes()


def test_the_stock_system_resumes_where_the_service_stopped(service, tmp_path):
    """The service has no room at first; then it answers each request until its budget ends."""
    source = formulas(tmp_path / "formulas", 400)
    whole = Batch(source, service.url, tmp_path / "whole")
    with (
        Service(SCALDLOAF_MAX_BULK_LINES="90") as sparing,
        Relay(sparing.url, busy("429 Too Many Requests", "Retry-After: 2")) as relay,
    ):
        start = time.monotonic()
        batch = Batch(source, relay.url, tmp_path / "spent")
        assert time.monotonic() - start > 2 and relay.connections == 6
    notes = [f"90 lines answered; on from line {line}\n" for line in (91, 181, 271, 361)]
    assert batch.said == "status 429; on from line 1\n" + "".join(notes) + whole.said
    assert batch.stock.read_bytes() == whole.stock.read_bytes()
    assert batch.refused.read_bytes() == whole.refused.read_bytes()


def test_the_stock_system_stops_when_the_service_can_read_nothing(service, tmp_path):
    good = json.dumps({"formula": TIN_LOAF, "target": {"kind": "dough_mass", "mass": 1000}}) + "\n"
    source = tmp_path / "formulas"
    source.write_text(good + '{"formula": "\\ud800"}\n' * 1100 + good)
    batch = Batch(source, service.url, tmp_path / "run")
    assert batch.status == 1
    assert batch.said.startswith(
        "The service stopped at line 1001, and sending the rest would not help: 1000 lines in a row"
    )
    assert [row["line"] for row in rows(batch.refused)] == [str(line) for line in range(2, 1002)]
    assert {row["line"] for row in rows(batch.stock)} == {"1"}


@pytest.mark.parametrize("script", [TILL, STOCK_SYSTEM], ids=lambda script: script.stem)
def test_each_program_prints_its_usage(script):
    done = run(script)
    assert done.returncode == 1 and f"Usage: python {script.name}" in done.stderr

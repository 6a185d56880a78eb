"""A till's nightly job: tomorrow's orders to what the bakery takes from stock.

Usage: python till_nightly_job.py PRODUCTS ORDERS DAY STOCK [URL]

PRODUCTS  JSON: the formulas with the stock's codes on their lines, the packs that ingredients come in, and
          for each article of the till its formula and what one piece is
ORDERS    CSV of the till: for_day, customer, article, count
DAY       the day to bake for, as 2026-11-26
STOCK     CSV to write: each ingredient with its code in kg and in packs, what is left of the last pack, and
          how much of it goes into the scald tonight

A timer runs it unattended: it repeats a call that met a full or restarting service, says which
line of the orders is at fault when the service refuses one, and writes STOCK whole or not at all.
Standard library only.
"""

import csv
import email.utils
import http.client
import json
import os
import sys
import time
import urllib.error
import urllib.request

COLUMNS = ("for_day", "article", "count")
ATTEMPTS = 6
LONGEST_WAIT_S = 120


class Refused(Exception):
    """An answer that sending again won't change; ``problem`` says why (RFC 9457)."""

    def __init__(self, problem: dict):
        super().__init__(problem.get("detail", "no reason given"))
        self.problem = problem


def call(url: str, body: dict) -> dict:
    """The reply. Waits and repeats after 429, 5xx and a broken connection: every call may be sent again."""
    request = urllib.request.Request(url, json.dumps(body).encode(), {"Content-Type": "application/json"})
    for attempt in range(ATTEMPTS):
        try:
            with urllib.request.urlopen(request, timeout=60) as answer:
                return json.load(answer)
        except urllib.error.HTTPError as error:
            with error:
                if error.code != 429 and error.code < 500:
                    raise Refused(json.load(error)) from None
                wait, why = retry_after(error.headers.get("Retry-After")), f"status {error.code}"
        except (OSError, http.client.HTTPException, ValueError) as error:
            wait, why = None, str(error) or type(error).__name__
        if attempt + 1 < ATTEMPTS:
            wait = min(2 ** attempt if wait is None else wait, LONGEST_WAIT_S)
            print(f"{why}; again in {wait:.0f} s", file=sys.stderr)
            time.sleep(wait)
    sys.exit(f"No answer from {url} after {ATTEMPTS} attempts: {why}")


def retry_after(header: str | None) -> float | None:
    """Seconds that a Retry-After header asks for: a number of them, or a date."""
    if header is None:
        return None
    if header.isdigit():
        return float(header)
    try:
        return max(0.0, email.utils.parsedate_to_datetime(header).timestamp() - time.time())
    except ValueError:
        return None


def read_orders(path: str, day: str, articles: dict) -> tuple[list[dict], list[str]]:
    """The day's orders as order-demand takes them, one an article, and where in the file each comes from."""
    counts: dict[str, int] = {}
    lines: dict[str, list[int]] = {}
    # What spreadsheets save may begin with a mark of its own.
    with open(path, newline="", encoding="utf-8-sig") as file:
        table = csv.DictReader(file)
        if missing := [column for column in COLUMNS if column not in (table.fieldnames or ())]:
            sys.exit(f"{path}, line 1: there is no column {' nor '.join(missing)}")
        for number, row in enumerate(table, 2):
            if row["for_day"] != day:
                continue
            article, count = row["article"], row["count"]
            if article not in articles or not (count and count.isdecimal()):
                sys.exit(f"{path}, line {number}: no such article, or no count: {article}, {count}")
            counts[article] = counts.get(article, 0) + int(count)
            lines.setdefault(article, []).append(number)
    orders = [{"id": article, "formula": articles[article]["formula"],
               "target": {**articles[article]["target"], "count": count}}
              for article, count in counts.items() if count]
    places = [f"{path}, line {', '.join(map(str, lines[order['id']]))}" for order in orders]
    return orders, places


def explain(problem: dict, places: list[str], products: str) -> str:
    """A refusal in the words of the till: which of its files, which line, and what would work."""
    said = []
    for error in problem["errors"] or [{"pointer": "", "detail": problem["detail"], "nearest": None}]:
        field = error["pointer"].split("/")
        place = places[int(field[2])] if field[1:2] == ["orders"] else products
        nearest = "" if error["nearest"] is None else f"; {error['nearest']} would work"
        said.append(f"{place}: {error['pointer']} {error['detail']}{nearest}")
    return "\n".join(said)


def write_stock(path: str, reply: dict) -> None:
    """STOCK, whole or not at all: another program may read it at any time."""
    unfinished = f"{path}.unfinished"
    with open(unfinished, "w", newline="", encoding="utf-8") as file:
        table = csv.writer(file)
        table.writerow(["ingredient", "sku", "kg", "of it in tonight's scald, kg", "packs", "pack", "left over, kg",
                        "allergens"])
        for row in reply["ingredients"]:
            # An ingredient may come under several codes, and not every one has a pack.
            codes = [each["own"]["sku"] for each in row.get("by_own", []) if "sku" in each["own"]]
            packs = row.get("packs") or {"count": "", "stock_unit": "", "left_over": None}
            left = "" if packs["left_over"] is None else f"{packs['left_over'] / 1000:.3f}"
            table.writerow([row["ingredient"], " ".join(dict.fromkeys(codes)), f"{row['mass'] / 1000:.3f}",
                            f"{row['scald'] / 1000:.3f}", packs["count"], packs["stock_unit"], left,
                            " ".join(row["allergens"])])
    os.replace(unfinished, path)


def main(products: str, orders: str, day: str, stock: str, url: str = "http://127.0.0.1:8000") -> None:
    with open(products, encoding="utf-8") as file:
        known = json.load(file)
    wanted, places = read_orders(orders, day, known["articles"])
    if not wanted:
        sys.exit(f"Nothing is ordered for {day}.")
    try:
        asked = {"formulas": known["formulas"], "orders": wanted, "packs": known["packs"]}
        reply = call(f"{url}/v1/order-demand?show=result", asked)
    except Refused as refused:
        sys.exit(explain(refused.problem, places, products))
    write_stock(stock, reply)
    for made in reply["formulas"]:
        print(f"{made['id']}: {made['batches']} batches of {made['batch_dough_mass'] / 1000:.2f} kg dough")
    for caution in reply["cautions"]:
        print(f"Mind: {caution['text']}")


if __name__ == "__main__":
    if len(sys.argv) not in (5, 6):
        sys.exit(__doc__)
    main(*sys.argv[1:])

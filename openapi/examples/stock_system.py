"""A stock system's batch: any number of formulas scaled in one bulk request, in constant memory.

Usage: python stock_system.py FORMULAS STOCK REFUSED [URL]

FORMULAS  one scaling request a line: {"formula": ..., "target": {"kind": "dough_mass", "mass": 30000}}
STOCK     CSV to write: line of FORMULAS, formula, ingredient, grams
REFUSED   CSV to write: line, status, where, why, and what would work; the other lines are not touched by it

A thread sends while the answers are read, so neither side waits for the other and nothing piles up. Answers
come in order, one a line: after a cut connection it goes on behind the last answer that came, and so it does
when the service has answered as many lines as it will in one request.
Standard library only.
"""

import csv
import http.client
import json
import socket
import sys
import threading
import time
from collections.abc import Iterator
from urllib.parse import urlsplit

ATTEMPTS = 6                    # without a single new answer
PATIENCE_S = 3600               # with a service that is busy: other bulks may take minutes
LONGEST_WAIT_S = 120
SILENCE_S = 300                 # the longest that an answer may take to come
GRACE_S = 10                    # after the last answer, for the sender to notice that it is done


class Sender(threading.Thread):
    """Sends lines in chunks while somebody else reads the answers. It has a hold of its own on the socket, for
    http.client lets go of it as soon as an answer begins."""

    def __init__(self, connection: http.client.HTTPConnection, lines: Iterator[bytes]):
        super().__init__(daemon=True)
        self.socket, self.lines, self.sent, self.finished = connection.sock.dup(), lines, 0, False

    def run(self) -> None:
        try:
            for line in self.lines:
                self.socket.sendall(b"%x\r\n%s\r\n" % (len(line), line))
                self.sent += 1
            self.socket.sendall(b"0\r\n\r\n")
            self.finished = True
        except OSError:
            pass                # the other side has hung up; the reader finds out by itself

    def hang_up(self) -> None:
        try:
            self.socket.shutdown(socket.SHUT_RDWR)      # wakes a send that waits for room
        except OSError:
            pass                # it was closed already
        self.join()
        self.socket.close()


def calls(path: str, skip: int) -> Iterator[bytes]:
    """The lines of a bulk body, without the first ``skip``. A line that is no JSON goes as null, for the
    service to refuse in its place."""
    with open(path, "rb") as file:
        filled = (line for line in file if line.strip())
        for number, line in enumerate(filled, 1):
            if number > skip:
                try:
                    body = json.loads(line)
                except ValueError:
                    body = None
                yield json.dumps({"id": number, "call": "scaling", "body": body}).encode() + b"\n"


class Busy(Exception):
    """The service answers nothing for now; ``wait_s``: how long it asks to be left alone."""

    def __init__(self, status: int, wait: str):
        super().__init__(f"status {status}")
        self.wait_s = min(int(wait) if wait.isdigit() else 1, LONGEST_WAIT_S)


class Spent(Exception):
    """The service has answered as many lines as it will in one request; the rest goes into another."""


def heed_last_word(answer: dict, read: int, skip: int) -> None:
    """What follows from a line that answers none of ours: it has ``answered``, and says why the answers end here."""
    status, problem = answer["status"], answer["body"]
    codes = {error["code"] for error in problem["errors"]}
    if status == 400 and "broken_off" not in codes:
        sys.exit(f"The service stopped at line {skip + read}, and sending the rest would not help: {problem['detail']}")
    if status in (413, 429) and read and answer["answered"] == read:
        raise Spent(f"{read} lines answered")
    raise ConnectionError(f"the answers broke off: {problem['detail']}")


def answers(url: str, path: str, skip: int) -> Iterator[dict]:
    """The answers to the lines after ``skip``. Raises Busy before the first, Spent after the last that there is for
    now, and OSError or an error of http.client's when they break off."""
    where = urlsplit(url)
    connection = http.client.HTTPConnection(where.hostname, where.port, timeout=SILENCE_S)
    connection.putrequest("POST", "/v1/bulk?show=result")
    connection.putheader("Content-Type", "application/x-ndjson")
    connection.putheader("Transfer-Encoding", "chunked")
    connection.endheaders()
    sender = Sender(connection, calls(path, skip))
    sender.start()
    try:
        with connection.getresponse() as response:
            if response.status in (429, 503):
                raise Busy(response.status, response.headers.get("Retry-After", "1"))
            if response.status >= 500:
                raise ConnectionError(f"status {response.status}")
            if response.status != 200:
                sys.exit(f"The request as a whole was refused: {response.read(2000).decode()}")
            read = 0
            for line in response:
                if not line.endswith(b"\n"):
                    raise ConnectionError("the answers broke off")
                answer = json.loads(line)
                if "answered" in answer:
                    heed_last_word(answer, read, skip)
                read += 1
                answer["id"] = skip + read      # a line that could not be read has no id; the order tells it
                yield answer
            sender.join(GRACE_S)
            if not sender.finished or read != sender.sent:
                raise ConnectionError(f"{read} answers came to {sender.sent} lines")
    finally:
        sender.hang_up()
        connection.close()


def every_answer(url: str, path: str) -> Iterator[dict]:
    """The answer to every line, in order and once, over as many connections as it takes."""
    done = failed = waited = 0
    while True:
        try:
            for answer in answers(url, path, done):
                done, failed, waited = answer["id"], 0, 0
                yield answer
            return
        except Spent as spent:
            wait, why = 0, spent
        except Busy as busy:
            wait, why = busy.wait_s, busy
            waited += max(wait, 1)
            if waited > PATIENCE_S:
                sys.exit(f"No answer from {url} in {PATIENCE_S} s: {busy}")
        except (OSError, http.client.HTTPException) as error:
            failed += 1
            if failed == ATTEMPTS:
                sys.exit(f"No answer from {url} after {ATTEMPTS} attempts: {error}")
            wait, why = min(0.25 * 2 ** failed, LONGEST_WAIT_S), error
        print(f"{why}; on from line {done + 1}", file=sys.stderr)
        time.sleep(wait)


def main(formulas: str, stock: str, refused: str, url: str = "http://127.0.0.1:8000") -> None:
    good = bad = 0
    with open(stock, "w", newline="", encoding="utf-8") as taken, \
            open(refused, "w", newline="", encoding="utf-8") as left:
        taken_rows, left_rows = csv.writer(taken), csv.writer(left)
        taken_rows.writerow(["line", "formula", "ingredient", "g"])
        left_rows.writerow(["line", "status", "where", "why", "nearest"])
        for answer in every_answer(url, formulas):
            body = answer["body"]
            if answer["status"] == 200:
                good += 1
                name = body["formula"].get("name", "")
                taken_rows.writerows([answer["id"], name, line["ingredient"], f"{line['mass']:.1f}"]
                                     for line in body["formula"]["lines"])
            else:
                bad += 1
                left_rows.writerows([answer["id"], answer["status"], error["pointer"], error["detail"],
                                     error["nearest"]] for error in body["errors"] or [
                                         {"pointer": "", "detail": body["detail"], "nearest": None}])
    print(f"{good} scaled, {bad} refused")
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    if len(sys.argv) not in (4, 5):
        sys.exit(__doc__)
    main(*sys.argv[1:])

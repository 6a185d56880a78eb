"""The pages that a problem's ``type`` resolves to, and the list of them.

A page says what the problem means and what to do about it, and shows an example call with its answer. A
test runs each example and compares the answer with the one on the page.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from html import escape
from typing import Any

from scaldloaf.http.error_codes import COMMON, OF_THE_DOUGH
from scaldloaf.http.negotiation import too_slow
from scaldloaf.http.problems import KINDS, Kind, problem_body, summary
from scaldloaf.operations.faults import Fault, Option

HERE = "http://127.0.0.1:8000"
REQUEST_ID = "k7m2x9q-318"  # of the answers shown; each answer has its own
_JSON = "-H 'Content-Type: application/json'"
_TIN = (
    '{"lines": [{"ingredient": "bread_flour", "mass": 500},\n  {"ingredient": "water", "mass": 300}, '
    '{"ingredient": "salt", "mass": 9}]}'
)


@dataclass(frozen=True, slots=True)
class Help:
    """The text of one page.

    meaning: what the problem says about the request. steps: what to do about it. call: a shell command that
    gets this problem, or one that recovers from it. detail, faults, instance: fields of the answer shown.
    gets_problem: whether ``call`` gets this problem.
    """

    meaning: str
    steps: tuple[str, ...]
    call: str
    faults: tuple[Fault, ...] = ()
    detail: str | None = None  # default: from the faults, or the kind's help without faults
    instance: str = "/v1/breakdown"
    gets_problem: bool = True


HELP = {
    "bad-request": Help(
        "The service could not read the bytes as an HTTP request: the request line or a header is "
        "malformed, the body ends early, or there are two lengths, or a length and chunks.",
        (
            "Use an HTTP library to write the request.",
            "Send either Content-Length or chunks.",
            "Check any proxy on the way: it may truncate bodies.",
        ),
        f"curl -s -X POST {HERE}/v1/breakdown {_JSON} -H 'Transfer-Encoding: gzip' -d '{{}}'",
        detail=f"Bad Request: {KINDS['bad-request'].help}",
        instance="",
    ),
    "not-json": Help(
        "The body is not one JSON text in UTF-8, or it has a value that JSON cannot represent (NaN, "
        "infinity), or an object has the same key twice, so one value would be lost.",
        (
            "Use a JSON library to write the body, and make sure that it does not write NaN: in Python, pass "
            "allow_nan=False to json.dumps.",
            "Remove one of the two equal keys.",
            "Use a decimal point, not a decimal comma. Do not put a comma after the last entry.",
        ),
        f'curl -s {HERE}/v1/breakdown {_JSON} -d \'{{"formula": 1, "formula": 2}}\'',
        faults=(Fault("", "duplicate_key", "an object has the key 'formula' twice; keep one", "formula"),),
    ),
    "not-found": Help(
        "There is no call or page at this address.",
        (
            "Check the spelling: calls are under /v1, in lower case with hyphens.",
            "Write the path as in the OpenAPI document: one slash between parts, no slash at the end, "
            "nothing percent-encoded.",
            "Copy addresses from the OpenAPI document instead of typing them.",
        ),
        f"curl -s {HERE}/v1/breakdowns",
        instance="/v1/breakdowns",
    ),
    "method-not-allowed": Help(
        "The address exists but does not accept this method.",
        (
            "Use POST for calculations and GET for facts.",
            "See the Allow header of the answer for the methods that work.",
        ),
        f"curl -s {HERE}/v1/breakdown",
    ),
    "not-acceptable": Help(
        "The Accept header excludes every media type in which the service can answer this call.",
        (
            "Leave out the Accept header, or include application/json in it.",
            "For a table, call the path of the tables, such as /v1/order-demand.csv, which answers text/csv.",
        ),
        f"curl -s {HERE}/v1/breakdown {_JSON} -H 'Accept: text/csv' -d '{{\"formula\": {_TIN}}}'",
        faults=(Fault("", "not_acceptable", "answers are application/json", "text/csv", "application/json"),),
    ),
    "too-slow": Help(
        "The body did not arrive in time: by default, every 64 kB of it must within 20 s; the operator may "
        "set another time. A bulk has no such limit, but ends after 30 s in which nothing is sent or read.",
        (
            "Prepare the whole body before you open the connection, then send it at once.",
            "Send the same request again, over a better network if there is one.",
            "Send many calculations as lines of /v1/bulk, which may come slowly.",
        ),
        f"curl -s --retry 5 {HERE}/v1/breakdown {_JSON} -d '{{\"formula\": {_TIN}}}'",
        faults=(too_slow(20),),
        gets_problem=False,
    ),
    "too-large": Help(
        "The body exceeds the limit for one call: 64 kB by default, 2 MB for order-demand; the operator "
        "may set others. The limit in bytes is in the error's nearest.",
        (
            "Send many formulas as lines of /v1/bulk: there the limit applies to each line.",
            "Send each formula of an order-demand once, and let the orders name it by its id.",
            "From a recipe page, send only the recipe's JSON-LD.",
        ),
        f"head -c 70000 /dev/zero | curl -s {HERE}/v1/breakdown {_JSON} --data-binary @-",
        faults=(Fault("", "too_large", "the body may have at most 65536 bytes", "70000", 65536),),
        detail=KINDS["too-large"].help,
    ),
    "unsupported-media-type": Help(
        "The call does not accept this Content-Type, or the body is compressed.",
        (
            "Send Content-Type: application/json, or application/x-ndjson for the lines of /v1/bulk.",
            "Send UTF-8 without Content-Encoding.",
            "Set the header explicitly in curl -d and in forms: their default is "
            "application/x-www-form-urlencoded.",
        ),
        f"curl -s {HERE}/v1/breakdown -d '{{}}'",
        faults=(
            Fault(
                "",
                "wrong_media_type",
                "the body must be application/json in UTF-8",
                "application/x-www-form-urlencoded",
                "application/json",
            ),
        ),
    ),
    "invalid-request": Help(
        "The body is JSON but not a valid request: a field is missing, misspelled, of the wrong type or "
        "out of range, or the dough cannot be made. Each entry in errors has a JSON Pointer to the field, "
        "a code for your program, the reason in words, the value given and the nearest value that works.",
        (
            "Show detail next to the field at pointer, and offer nearest, or the options: each was tried.",
            "Branch on code, never on detail: codes are stable, wording is not.",
            "Do not send the same request again: the answer will be the same.",
        ),
        f"curl -s {HERE}/v1/breakdown {_JSON} -d "
        f"'{{\"formula\": {_TIN.replace('500', chr(34) + '500' + chr(34))}}}'",
        faults=(
            Fault(
                "/formula/lines/0/mass",
                "wrong_type",
                "must be a number",
                "500",
                500,
                options=(Option("", {"/formula/lines/0/mass": 500}),),
            ),
        ),
    ),
    "too-many-requests": Help(
        "This client has exceeded the operator's rate limit (by default there is none), or the service is "
        "answering as many bulks as it may at a time. In the last line of a bulk: the bulk has used up its "
        "lines or its processor time, and answered is the number of lines that have an answer.",
        (
            "Wait for the seconds in the Retry-After header, then send the same request again. Every call "
            "is safe to repeat, because nothing is stored.",
            "Send many calculations as lines of one /v1/bulk. If the bulk ends with this problem, send the "
            "rest in another one.",
            "Fetch facts once and cache them by their ETag.",
        ),
        f"curl -s --retry 5 {HERE}/v1/breakdown {_JSON} -d '{{\"formula\": {_TIN}}}'",
        faults=(
            Fault(
                "",
                "too_many_requests",
                "too many requests from this client; try again in 12 s",
            ),
        ),
        gets_problem=False,
    ),
    "internal-error": Help(
        "The service failed; the request may be fine. What you sent is neither stored nor logged.",
        (
            "Send the request once more. If it fails again, give its request_id to the operator, whose log "
            "has it too.",
            "In /v1/bulk, only the line with this problem failed; the others are not affected.",
        ),
        f"curl -s --retry 1 --retry-all-errors {HERE}/v1/breakdown {_JSON} -d '{{\"formula\": {_TIN}}}'",
        gets_problem=False,
    ),
    "unavailable": Help(
        "The service is starting or stopping, or is too busy for this call. At /readyz, the error's code is "
        "stopping or full.",
        (
            "Wait for the seconds in the Retry-After header, or one second if there is none, then send the "
            "same request again. Every call is safe to repeat.",
            "Let a load balancer check /readyz, so that it routes calls to other instances.",
        ),
        f"curl -s --retry 5 {HERE}/v1/breakdown {_JSON} -d '{{\"formula\": {_TIN}}}'",
        gets_problem=False,
    ),
}


def answer_shown(slug: str) -> dict[str, Any]:
    """The answer on the page of this kind of problem."""
    kind, help_ = KINDS[slug], HELP[slug]
    faults = list(help_.faults)
    details = [summary([fault]) if fault.pointer else fault.detail for fault in faults]
    detail = help_.detail or "".join(details) or kind.help
    return problem_body(kind, detail, faults, help_.instance, REQUEST_ID)


def _page(title: str, body: str) -> bytes:
    return (
        f'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<title>{escape(title)} (Scaldloaf)</title>\n<meta name="color-scheme" content="light dark">\n'
        f'<link rel="icon" href="/icon.svg" type="image/svg+xml">\n'
        f'<link rel="stylesheet" href="/styles/look.css">\n<link rel="stylesheet" href="/styles/page.css">\n'
        f'<link rel="stylesheet" href="/styles/reading.css">\n</head>\n'
        f'<body>\n<header class="masthead"><h1>{escape(title)}</h1>\n'
        f'<nav aria-label="Scaldloaf"><a href="/">Calculator</a> <a href="/docs">API calls</a> '
        f'<a href="/problems">Problems</a></nav></header>\n'
        f'<main class="card reading">\n{body}\n</main>\n</body>\n</html>\n'
    ).encode()


def _table_of(codes: Mapping[str, str]) -> str:
    """A table of codes, which may be broken after each of their words: long ones are wider than a phone."""
    rows = "\n".join(
        f'<tr><th scope="row"><code>{code.replace("_", "_<wbr>")}</code></th><td>{escape(words)}</td></tr>'
        for code, words in codes.items()
    )
    return f"<table>\n<tbody>\n{rows}\n</tbody>\n</table>"


def problem_page(kind: Kind) -> bytes:
    """The page that a problem's ``type`` resolves to."""
    help_ = HELP[kind.slug]
    steps = "\n".join(f"<li>{escape(step)}</li>" for step in help_.steps)
    answer = json.dumps(answer_shown(kind.slug), indent=1, ensure_ascii=False)
    codes = ""
    if kind.slug == "invalid-request":
        codes = (
            f"<h2>Codes common to all calls</h2>\n{_table_of(COMMON)}\n"
            f"<h2>Codes of refusals that concern the dough</h2>\n{_table_of(OF_THE_DOUGH)}\n"
            "<p>More may be added; each detail says what would work.</p>\n"
        )
    heading = "A call that gets this problem" if help_.gets_problem else "A call that tries again"
    shown = "Its answer" if help_.gets_problem else "The answer with this problem"
    return _page(
        kind.title,
        (
            f"<p>Status <strong>{kind.status}</strong>, "
            f"problem type <code>/problems/{kind.slug}</code>.</p>\n"
            f"<h2>What it means</h2>\n<p>{escape(help_.meaning)}</p>\n"
            f"<h2>What to do</h2>\n<ul>\n{steps}\n</ul>\n"
            f'<h2>{heading}</h2>\n<pre tabindex="0"><code>{escape(help_.call)}</code></pre>\n'
            f'<h2>{shown}</h2>\n<pre tabindex="0"><code>{escape(answer)}</code></pre>\n{codes}'
            "<p>All problems have the same format: RFC 9457, with <code>errors</code> added. "
            '<a href="/problems">The list</a> has all of them.</p>'
        ),
    )


def problems_page() -> bytes:
    """The page that lists all kinds of problem."""
    rows = "\n".join(
        f'<tr><th scope="row">{kind.status}</th><td><a href="/problems/{kind.slug}">'
        f"{escape(kind.title)}</a><br>{escape(kind.help)}</td></tr>"
        for kind in KINDS.values()
    )
    return _page(
        "Problems",
        (
            "<p>Every answer with status 400 or above is <code>application/problem+json</code> (RFC 9457). "
            "Its <code>type</code> is the address of one of these pages, and its <code>errors</code> point "
            "to the fields at fault.</p>\n"
            '<table>\n<thead><tr><th scope="col">Status</th><th scope="col">Problem</th></tr></thead>\n'
            f"<tbody>\n{rows}\n</tbody>\n</table>\n"
            "<h2>What you may send again</h2>\n<p>Everything: nothing is stored, so repeating a call does no "
            "harm. Repeat it after 408, 429 and 503, once the time in <code>Retry-After</code> has passed, "
            "and after a dropped connection. Repeating does not help after any other 4xx.</p>"
        ),
    )

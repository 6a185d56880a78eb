"""The pages that a problem's ``type`` resolves to, and the list of them.

A page says what went wrong, what to do, and shows a call that ends that way. A test runs each call shown
and holds the page's answer to the real one.
"""

import json
from dataclasses import dataclass
from html import escape

from scaldloaf.http.problems import KINDS, Kind, problem_body, summary
from scaldloaf.operations.faults import Fault

HERE = "http://127.0.0.1:8000"
_JSON = "-H 'Content-Type: application/json'"
_TIN = (
    '{"lines": [{"ingredient": "bread_flour", "mass": 500},\n  {"ingredient": "water", "mass": 300}, '
    '{"ingredient": "salt", "mass": 9}]}'
)


@dataclass(frozen=True, slots=True)
class Help:
    """meaning: what it says about the request. steps: what to do. call: a shell command that ends in this
    problem, or how to go on after it. detail, faults, instance: of the answer shown."""

    meaning: str
    steps: tuple[str, ...]
    call: str
    faults: tuple[Fault, ...] = ()
    detail: str | None = None  # else that of the faults, or the kind's help when there are none
    instance: str = "/v1/breakdown"
    ends_so: bool = True  # the call shown ends in this problem


def _because(*fault) -> dict:
    """The one fault that an answer tells of."""
    return {"faults": (Fault(*fault),)}


HELP = {
    "bad-request": Help(
        "The bytes that arrived are no HTTP request, or their framing contradicts itself: two lengths, a length and "
        "chunks, a body that ends early, a malformed request line or header.",
        (
            "Let an HTTP library write the request instead of assembling it by hand.",
            "Send Content-Length or chunks, not both.",
            "Look at what stands between: a proxy that cuts bodies off shows up here.",
        ),
        f"curl -s -X POST {HERE}/v1/breakdown {_JSON} -H 'Transfer-Encoding: gzip' -d '{{}}'",
        detail=f"Bad Request: {KINDS['bad-request'].help}",
        instance="",
    ),
    "not-json": Help(
        "The body is not one JSON text in UTF-8, or it would lose something if it were read: a key that stands twice "
        "in one object, NaN, infinity.",
        (
            "Write the body with a JSON library, and check that it does not write NaN: Python's json does so unless told "
            "allow_nan=False.",
            "Keep one of the two equal keys.",
            "Write a decimal point, not a decimal comma, and no comma after the last entry.",
        ),
        f'curl -s {HERE}/v1/breakdown {_JSON} -d \'{{"formula": 1, "formula": 2}}\'',
        **_because("", "duplicate_key", "the key 'formula' stands twice in one object; keep one", "formula"),
    ),
    "not-found": Help(
        "No call or page has this address.",
        (
            "Look for a misspelling: calls are lower case with hyphens, under /v1.",
            "Write the path as the document does: one slash between its parts, none at the end, nothing "
            "percent-encoded.",
            "Take the addresses from the document rather than typing them.",
        ),
        f"curl -s {HERE}/v1/breakdowns",
        instance="/v1/breakdowns",
    ),
    "method-not-allowed": Help(
        "The address is right, and it does not take this method.",
        (
            "Send calculations with POST and fetch facts with GET.",
            "The Allow header of the answer names the methods that work.",
        ),
        f"curl -s {HERE}/v1/breakdown",
    ),
    "not-acceptable": Help(
        "The Accept header rules out every form that the answer has.",
        (
            "Leave Accept out, or let it allow application/json.",
            "Only order-demand answers in another form as well: text/csv.",
        ),
        f"curl -s {HERE}/v1/breakdown {_JSON} -H 'Accept: text/csv' -d '{{\"formula\": {_TIN}}}'",
        **_because("", "not_acceptable", "answers are application/json", "text/csv", "application/json"),
    ),
    "too-large": Help(
        "The body is larger than one call may be, 64 kB unless whoever runs the service chose otherwise. The "
        "error's nearest says how many bytes it takes.",
        (
            "Send many formulas as lines through /v1/bulk: its limit is for each line, not for all of them.",
            "Split the orders of a large day over several calls; the totals add up.",
            "A recipe page sends its recipe's JSON-LD, not the whole page.",
        ),
        f"head -c 70000 /dev/zero | curl -s {HERE}/v1/breakdown {_JSON} --data-binary @-",
        **_because("", "too_large", "the body may have at most 65536 bytes", "70000", 65536),
        detail=KINDS["too-large"].help,
    ),
    "unsupported-media-type": Help(
        "The Content-Type is not what the call takes, or the body is compressed.",
        (
            "Send Content-Type: application/json; for /v1/bulk, application/x-ndjson.",
            "Send UTF-8, and no Content-Encoding.",
            "A form or a plain curl -d sends application/x-www-form-urlencoded unless told otherwise.",
        ),
        f"curl -s {HERE}/v1/breakdown -d '{{}}'",
        **_because(
            "",
            "wrong_media_type",
            "the body must be application/json in UTF-8",
            "application/x-www-form-urlencoded",
            "application/json",
        ),
    ),
    "invalid-request": Help(
        "The body is JSON and does not make sense to this call: a field is missing, misspelt, of the wrong type or out "
        "of bounds, or the dough it describes cannot be made. Each entry of errors has the place as a JSON Pointer, a "
        "code to branch on, the reason in words, what was given and the nearest value that works.",
        (
            "Show detail beside the field that pointer names, and offer nearest.",
            "Branch on code and never on the words: codes stay, words get better.",
            "Do not send the same again: it will be refused again.",
        ),
        f"curl -s {HERE}/v1/breakdown {_JSON} -d '{{\"formula\": {_TIN.replace('500', chr(34) + '500' + chr(34))}}}'",
        **_because("/formula/lines/0/mass", "wrong_type", "must be a number", "500", 500),
    ),
    "too-many-requests": Help(
        "This client has asked more often than whoever runs the service allows (there is no such limit unless they set "
        "one), or as many bulks as may be at a time are being answered. As the last line of a bulk: it has had as many "
        "lines, or as much processor time, as one bulk may have, and answered says how many lines are answered.",
        (
            "Wait as many seconds as the Retry-After header says, then send the same request again; every call may be "
            "repeated, for nothing is stored.",
            "Send many calculations as the lines of one /v1/bulk; where it ends so, send the rest of them in another.",
            "Fetch facts once and keep them by their ETag.",
        ),
        f"curl -s --retry 5 {HERE}/v1/breakdown {_JSON} -d '{{\"formula\": {_TIN}}}'",
        **_because(
            "",
            "too_many_requests",
            "this client has made as many requests as it may for now; try again in 12 s",
        ),
        ends_so=False,
    ),
    "internal-error": Help(
        "A fault of ours, not of the request. What was sent is neither kept nor logged.",
        (
            "Send the request once more; if it fails again, tell whoever runs the service the call and the time.",
            "A line of /v1/bulk that ends so leaves the other lines alone.",
        ),
        f"curl -s --retry 1 --retry-all-errors {HERE}/v1/breakdown {_JSON} -d '{{\"formula\": {_TIN}}}'",
        ends_so=False,
    ),
    "unavailable": Help(
        "The service is starting or stopping, or it is too busy to take the call.",
        (
            "Wait as long as Retry-After says, a second without it, and send the same request again; every call may be "
            "repeated.",
            "A balancer asks /readyz and sends calls elsewhere meanwhile.",
        ),
        f"curl -s --retry 5 {HERE}/v1/breakdown {_JSON} -d '{{\"formula\": {_TIN}}}'",
        ends_so=False,
    ),
}

# Codes of errors that any call may give. The craft's own refusals have codes of their own, such as
# scald_liquid_short; they all come with words and mostly with a nearest value.
CODES = {
    "missing": "The field is needed; a misspelt field nearby is named.",
    "unknown_field": "There is no such field here; nearest is the one it was probably meant to be.",
    "wrong_type": "Text where a number belongs, and the like; nothing is converted on the quiet.",
    "too_small": "Below the least value, which is in nearest.",
    "too_large": "Above the largest value, which is in nearest.",
    "not_one_of": "Not one of the names that the field takes; nearest is the likeliest.",
    "too_short": "Too few entries or characters.",
    "too_long": "Too many entries or characters.",
    "not_plain_text": "Control characters in a text.",
    "unknown_parameter": "A query parameter that is not taken here.",
}


def answer_shown(slug: str) -> dict:
    """The problem that the page of this kind shows."""
    kind, help_ = KINDS[slug], HELP[slug]
    faults = list(help_.faults)
    told = [summary([fault]) if fault.pointer else fault.detail for fault in faults]
    return problem_body(kind, help_.detail or "".join(told) or kind.help, faults, help_.instance)


def _page(title: str, body: str) -> bytes:
    return (
        f'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<title>{escape(title)} (Scaldloaf)</title>\n<meta name="color-scheme" content="light dark">\n'
        f'<link rel="icon" href="/icon.svg" type="image/svg+xml">\n'
        f'<link rel="stylesheet" href="/styles/look.css">\n<link rel="stylesheet" href="/styles/page.css">\n'
        f'<link rel="stylesheet" href="/styles/reading.css">\n</head>\n'
        f'<body>\n<header class="masthead"><h1>{escape(title)}</h1>\n'
        f'<nav aria-label="Scaldloaf"><a href="/">The page</a> <a href="/docs">Every call</a> '
        f'<a href="/problems">What can go wrong</a></nav></header>\n'
        f'<main class="card reading">\n{body}\n</main>\n</body>\n</html>\n'
    ).encode()


def problem_page(kind: Kind) -> bytes:
    """The page that a problem's ``type`` resolves to."""
    help_ = HELP[kind.slug]
    steps = "\n".join(f"<li>{escape(step)}</li>" for step in help_.steps)
    answer = json.dumps(answer_shown(kind.slug), indent=1, ensure_ascii=False)
    codes = ""
    if kind.slug == "invalid-request":
        rows = "\n".join(
            f'<tr><th scope="row"><code>{code}</code></th><td>{escape(words)}</td></tr>'
            for code, words in CODES.items()
        )
        codes = (
            f"<h2>Codes that any call may give</h2>\n<table>\n<tbody>\n{rows}\n</tbody>\n</table>\n"
            "<p>The craft's own refusals have codes of their own, such as <code>scald_liquid_short</code>; each "
            "says in words what could be done instead.</p>\n"
        )
    heading = "A call that ends so" if help_.ends_so else "Going on after it"
    shown = "Its answer" if help_.ends_so else "The answer it comes with"
    return _page(
        kind.title,
        (
            f"<p>Status <strong>{kind.status}</strong>, problem type <code>/problems/{kind.slug}</code>.</p>\n"
            f"<h2>What it means</h2>\n<p>{escape(help_.meaning)}</p>\n"
            f"<h2>What to do</h2>\n<ul>\n{steps}\n</ul>\n"
            f'<h2>{heading}</h2>\n<pre tabindex="0"><code>{escape(help_.call)}</code></pre>\n'
            f'<h2>{shown}</h2>\n<pre tabindex="0"><code>{escape(answer)}</code></pre>\n{codes}'
            f"<p>Problems have one shape, that of RFC 9457, with <code>errors</code> beside it; every one that the service "
            f'gives stands in <a href="/problems">the list</a>.</p>'
        ),
    )


def problems_page() -> bytes:
    """The list of all kinds of problem."""
    rows = "\n".join(
        f'<tr><th scope="row">{kind.status}</th><td><a href="/problems/{kind.slug}">'
        f"{escape(kind.title)}</a><br>{escape(kind.help)}</td></tr>"
        for kind in KINDS.values()
    )
    return _page(
        "What can go wrong",
        (
            "<p>Every answer from 400 up is <code>application/problem+json</code> (RFC 9457). Its <code>type</code> is one "
            "of these pages, and its <code>errors</code> point at the fields at fault.</p>\n"
            f'<table>\n<thead><tr><th scope="col">Status</th><th scope="col">Problem</th></tr></thead>\n<tbody>\n{rows}\n'
            "</tbody>\n</table>\n<h2>What may be sent again</h2>\n<p>Everything: nothing is stored, so the same call twice "
            "does no harm. It helps after 429 and 503, once the time in <code>Retry-After</code> has passed, and "
            "after a connection that broke. It does not help after any other 4xx.</p>"
        ),
    )

"""A link to a plan as a QR code, for the printed card. Nothing of the link is stored or logged."""

import io
import re
from collections.abc import Iterable
from typing import Any

from flask import Response

from scaldloaf.http.negotiation import (
    best_media,
    not_acceptable,
    read_body,
    refuse_media,
    refuse_query,
)
from scaldloaf.http.reading import read_json
from scaldloaf.operations.faults import InputFault
from scaldloaf.operations.schemas.explain import schema_faults
from scaldloaf.operations.schemas.fields import AnyText, Reason, Schema
from scaldloaf.operations.schemas.json_schema import gate
from scaldloaf.operations.schemas.objects import Closed

PATH, SVG = "/v1/link-code", "image/svg+xml"
# Version 30 at level L, 137 modules wide: with its margin on 65 mm of paper a module is 0.45 mm, which
# phones read.
MOST_CHARACTERS = 1732
QUIET_MODULES = 4  # the margin that ISO/IEC 18004 asks for
# Characters of an address, each one byte of the code; the plan is in base64url, as the page writes it.
PLAN_LINK = re.compile(r'^https?://[!-"$-~]{1,300}#plan=[A-Za-z0-9_-]+$')


class PlanLink(AnyText):
    """A link that opens a plan in the page."""

    expects = "a link to a plan"

    def __init__(self, description: str, **options: Any):
        super().__init__(description, MOST_CHARACTERS, **options)

    def keywords(self) -> Schema:
        return {**super().keywords(), "pattern": PLAN_LINK.pattern}

    def faults_of(self, text: str) -> Iterable[Reason]:
        if len(text) > MOST_CHARACTERS:
            # Not the first so many of them as the nearest: a part of a link is no link.
            longest = {"longest": MOST_CHARACTERS}
            yield Reason("too_long", f"must have at most {MOST_CHARACTERS} characters", None, longest)
        if not PLAN_LINK.fullmatch(text):
            yield Reason(
                "not_a_plan_link", "must be a link to a plan as the page copies it: https://…/#plan=…"
            )


class LinkCodeRequest(Closed):
    """A link to a plan, as the page copies it."""

    link = PlanLink(
        "The address of the page with the plan in its fragment. It is neither stored nor logged.",
        required=True,
        examples=["https://bakery.example/#plan=q1bKS8xNVbJSUPJJzCtJLUpVCCxNzakEAA"],
    )


GATE = gate(LinkCodeRequest)


def code_of(link: str) -> bytes:
    """The QR code of a link as an SVG document, one unit a module."""
    import segno  # few processes ever need it, and all would start later

    code = segno.make_qr(link, error="l", mode="byte", encoding="iso-8859-1")
    written = io.BytesIO()
    code.save(
        written,
        kind="svg",
        border=QUIET_MODULES,
        light="#fff",
        dark="#000",
        omitsize=True,
        xmldecl=False,
        svgclass=None,
        lineclass=None,
    )
    return written.getvalue()


def link_code(most: int) -> Response:
    """The answer to the current request. most: bytes of a body."""
    refused = refuse_media()
    if refused is not None:
        return refused
    if best_media(SVG) is None:
        return not_acceptable(SVG)
    refuse_query()
    asked = read_json(read_body(most))
    if not GATE.is_valid(asked) or not isinstance(asked, dict):
        raise InputFault(schema_faults(LinkCodeRequest, asked))
    return Response(code_of(asked["link"]), headers={"Cache-Control": "no-store"}, content_type=SVG)

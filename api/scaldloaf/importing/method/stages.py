"""Headings that say their place among the others: ``Step 1: Tangzhong``."""

import re

from scaldloaf.dough.formula import DOUGH, SCALD
from scaldloaf.importing.method.sentences import AMOUNTS
from scaldloaf.importing.words import sections
from scaldloaf.importing.words.vocabulary import OUTSIDE, SPONGE, STAGES, heading_words

MOST_STAGE_WORDS = 10  # of a step's heading that ends with its part
_STAGE = re.compile(
    rf"^(?:{'|'.join(STAGES)}"
    r"|材料|第[一二三]步|第[一二三]部分|[一二三四五六1-9](?=\s?[.)、:–-]))\s*[0-9A-Ca-cⅠⅡ一二三]{0,2}\s*[:.)、–-]\s*",
    re.IGNORECASE,
)
_TIMED = re.compile(r"(?=[^–—-]{0,39}\d)[^–—-]{3,40}\s[–—-]\s([^\d–—]{3,40})")  # Day 1, 8 pm – Scald
_STAGED = (SCALD, DOUGH, OUTSIDE, SPONGE)


def without_stage(plain: str, next_is_listed: bool) -> str:
    """A heading without its place among the others: ``Step 1: Tangzhong``.

    Above a list its last word can name what is no dough: ``Schritt 2 – Nun geht es an die Nussfüllung``.
    """
    stage = _STAGE.match(plain)
    timed = _TIMED.fullmatch(plain) if next_is_listed and not stage and not AMOUNTS.search(plain) else None
    if timed and (named := sections.title_in(timed.group(1))).exact and named.part in _STAGED:
        return f"{timed.group(1)}:"
    title = plain[stage.end() :] if stage else ""
    if not stage or not title or title[0].isdigit() and stage.group().endswith((".", ",")):
        return plain  # 步驟：; 1.5 g
    words = heading_words(title).split()
    if sections.title_of(words).exact:
        return title
    is_amount = plain[0].isdigit() and stage.group().rstrip()[-1] in ":–-"  # 1 – egg
    if is_amount or not next_is_listed or len(words) > MOST_STAGE_WORDS or any(map(str.isdigit, title)):
        return plain
    of_dough = any(sections.title_of([word]).part in (DOUGH, SCALD) for word in words)
    if of_dough or sections.title_of(words[-1:]) != (OUTSIDE, True):
        return f"{title}:"
    return title.split()[-1]

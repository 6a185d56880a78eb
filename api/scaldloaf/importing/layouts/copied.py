"""What copying leaves in lines: letters of a name apart, as a scan has them, and the times of messages."""

import re
from collections.abc import Sequence

from scaldloaf.importing.words.lexicon import ENGLISH
from scaldloaf.importing.words.sections import title_of
from scaldloaf.importing.words.vocabulary import name_words

LEAST_MESSAGES = 3
_LETTER = r"[\u3040-\u30ff\u4e00-\u9fff]"
_APART = re.compile(rf"(?<![^\s・:：]){_LETTER}(?:[ \u3000]{{1,4}}{_LETTER}){{1,7}}(?=[\s\d:：…]|$)")
_SENT = re.compile(r"^\s*\d{1,2}[:：]\d{2}\s+(?!\d{1,2}[:：])(?=[^\W\d])")


def without_copying(lines: Sequence[str]) -> list[str]:
    """The lines without the times of messages, and with the letters of each name together: ``砂　糖``."""
    messages = [at for at, line in enumerate(lines) if _SENT.match(line)]
    is_chat = len(messages) >= LEAST_MESSAGES and 2 * len(messages) > len(list(filter(str.strip, lines)))
    return [
        _APART.sub(_together, _SENT.sub("", line) if is_chat else line) if not line.isascii() else line
        for line in lines
    ]


def _together(found: re.Match[str]) -> str:
    """Letters that make a name or a heading only together, as one word; as they are for others."""
    apart = found.group()
    joined = "".join(apart.split())
    is_name = name_words(joined) in ENGLISH.read_as or title_of([joined]).exact
    return joined if is_name else apart

"""The list of what has changed in the document, for those who call the service: openapi/CHANGELOG.md.

Each entry ends with a mark of the document that it was written for, so that a test sees when the document has
changed and the list has not.
"""

import hashlib
import re
from collections.abc import Iterable

ENTRY = re.compile(r"^- (?P<words>.+) \(`(?P<mark>[0-9a-f]{12})`\)\n", re.MULTILINE)


def mark_of(document: str) -> str:
    """The mark of a document."""
    return hashlib.sha256(document.encode()).hexdigest()[:12]


def with_entries(changes: str, entries: Iterable[str], document: str, version: str) -> str:
    """The list with entries for a document at its top, below its version.

    An entry that has the same words already moves there: so the same command may be given again while a
    change is made, or after another one was merged.

    Parameters
        changes : str  the list as it is
        entries : Iterable[str]  what has changed, for a caller
        document : str  as it is written now
        version : str  of the service
    Returns
        str
    """
    words = [" ".join(entry.split()) for entry in entries]
    kept = ENTRY.sub(lambda found: "" if found["words"] in words else found[0], changes)
    lines = "".join(f"- {each} (`{mark_of(document)}`)\n" for each in words)
    heading = f"## {version}\n\n"
    if heading not in kept:
        before, mark, after = kept.partition("## ")
        kept = f"{before}{heading}\n{mark}{after}" if mark else f"{before.rstrip()}\n\n{heading}"
    return kept.replace(heading, heading + lines, 1)

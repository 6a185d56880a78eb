"""Write the OpenAPI document, and what has changed in it.

    PYTHONPATH=api python -m scaldloaf.http "What changed, for those who call the service." ["What else ..."]

writes openapi/openapi.json, and an entry of openapi/CHANGELOG.md for each text. Without one it prints the
document.
"""

import sys

from scaldloaf import __version__
from scaldloaf.http.document import pretty
from scaldloaf.http.document_changes import with_entries
from scaldloaf.http.pages import DOCUMENT

CHANGES = DOCUMENT.with_name("CHANGELOG.md")

if __name__ == "__main__":
    document, entries = pretty(), sys.argv[1:]
    if entries:
        changes = CHANGES.read_text("utf-8")
        CHANGES.write_text(with_entries(changes, entries, document, __version__), "utf-8")
        DOCUMENT.write_text(document, "utf-8")
    else:
        print(document, end="")

"""The service over HTTP: bytes to operations and back. Nothing is computed or stored here."""

from scaldloaf import pint_apart

pint_apart.begin()  # it works while what needs no unit is imported

import scaldloaf.importing.words.tables  # noqa: E402, F401
from scaldloaf.http.app import create_app  # noqa: E402

__all__ = ["create_app"]

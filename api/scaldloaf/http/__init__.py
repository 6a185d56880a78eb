"""The service over HTTP: bytes to operations and back. Nothing is computed or stored here."""

from scaldloaf import pint_apart

pint_apart.begin()  # it works while the rest is imported

from scaldloaf.http.app import create_app  # noqa: E402

__all__ = ["create_app"]

"""The service over HTTP: bytes to operations and back. Nothing is computed or stored here."""

from scaldloaf.http.app import create_app

__all__ = ["create_app"]

"""Print the OpenAPI document: ``python -m scaldloaf.http > openapi/openapi.json``."""

from scaldloaf.http.document import pretty

print(pretty(), end="")

"""A calculation over HTTP: from the bytes of a request to the bytes of its answer."""

import gzip
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from werkzeug.http import parse_accept_header

from scaldloaf.http.headers import BY_ENCODING, JSON, NO_STORE, OF_JSON
from scaldloaf.http.negotiation import CSV
from scaldloaf.http.reading import read_json, write_json
from scaldloaf.http.settings import Settings
from scaldloaf.operations.operation import Operation
from scaldloaf.operations.perform import perform
from scaldloaf.operations.tables import csv_of

PACKED_FROM_BYTES = 1400  # a smaller answer fits one packet anyway
PACKED_LEVEL = 4
TABLES_SINCE = 1795910400  # 29 November 2026, when tables got paths of their own


class Calculation:
    """An operation at one of its paths, with its media types and the headers for each.

    most_bytes: of the body of a request. Where JSON is not the only media type, the others are deprecated for
    the path of the operation's tables, and say so (RFC 9745, RFC 8288).
    """

    def __init__(
        self,
        operation: Operation,
        path: str,
        writers: Mapping[str, Callable[[Any], bytes]],
        most_bytes: int,
    ):
        self.operation, self.path, self.writers, self.most_bytes = operation, path, writers, most_bytes
        vary = ("Vary", "Accept, Accept-Encoding") if len(writers) > 1 else BY_ENCODING
        self._headers = {
            media: [
                OF_JSON if media == JSON else ("Content-Type", f"{media}; charset=utf-8"),
                NO_STORE,
                vary,
                *(_deprecated(operation) if JSON in writers and media != JSON else ()),
            ]
            for media in self.writers
        }

    @property
    def has_tables(self) -> bool:
        """Whether its query says which table it answers, and how that is written."""
        return self.path == self.operation.csv_path

    def answer(
        self,
        body: bytes,
        full: bool,
        media: str,
        encodings: str,
        write: Callable[[Any], bytes] | None = None,
    ) -> tuple[bytes, list[tuple[str, str]]]:
        """The answer and its headers, compressed if the client accepts gzip.

        encodings: its Accept-Encoding. write: in place of the writer of the media type. Raises NotJson and
        InputFault.
        """
        written = (write or self.writers[media])(perform(self.operation, read_json(body), full))
        headers = self._headers[media]
        if len(written) < PACKED_FROM_BYTES or not _takes_gzip(encodings):
            return written, headers
        return gzip.compress(written, PACKED_LEVEL, mtime=0), [*headers, ("Content-Encoding", "gzip")]


def calculations_of(operation: Operation, settings: Settings) -> Iterator[Calculation]:
    """An operation at its path, and at that of its table where it has one."""
    most = settings.max_orders_bytes if operation.takes_a_day else settings.max_body_bytes
    yield Calculation(operation, operation.path, {JSON: write_json, **operation.writers}, most)
    if operation.tables:
        table = next(iter(operation.tables.values()))
        yield Calculation(operation, operation.csv_path, {CSV: lambda reply: csv_of(table(reply))}, most)


def _deprecated(operation: Operation) -> Iterator[tuple[str, str]]:
    yield "Deprecation", f"@{TABLES_SINCE}"
    yield "Link", f'<{operation.csv_path}>; rel="successor-version"'


def _takes_gzip(encodings: str) -> bool:
    return "gzip" in encodings and parse_accept_header(encodings)["gzip"] > 0

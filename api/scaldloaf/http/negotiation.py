"""Content negotiation, query and body of a request, and the refusals for them."""

from flask import Response, request
from werkzeug.datastructures import MIMEAccept
from werkzeug.exceptions import BadRequest, HTTPException, RequestEntityTooLarge, RequestTimeout

from scaldloaf.http.headers import JSON
from scaldloaf.http.problems import KINDS, problem
from scaldloaf.operations.facts import language_for
from scaldloaf.operations.faults import Fault, closest

CSV = "text/csv"
SHOWS = ("full", "result")


class BadQuery(ValueError):
    """An invalid query; ``fault`` says why."""

    def __init__(self, fault: Fault):
        self.fault = fault


class TooLong(RequestEntityTooLarge):
    """A body of more than ``most`` bytes."""

    def __init__(self, most: int):
        super().__init__()
        self.most = most


def too_slow(seconds: int) -> Fault:
    """Why a body that does not arrive in time is refused."""
    values = {"seconds": seconds, "kilobytes": 64}
    return Fault("", "too_slow", f"every 64 kB of the body must arrive within {seconds} s", values=values)


def read_body(most: int) -> bytes:
    """The body of a call, ``most`` bytes at most.

    A chunked body has no length, so one byte more than allowed is read. Raises BadRequest if the body is cut
    off, RequestTimeout if it arrives too slowly, TooLong if it is too long.
    """
    request.max_content_length = most + 1
    try:
        body = request.get_data(cache=False)
    except RequestEntityTooLarge:
        raise TooLong(most) from None
    except HTTPException as error:
        if isinstance(error.__context__, TimeoutError):  # werkzeug has put its own error in its place
            raise RequestTimeout from error
        raise
    except TimeoutError as error:
        raise RequestTimeout from error
    except Exception as error:  # gunicorn's own types, for malformed chunks or a dropped connection
        raise BadRequest from error
    if len(body) > most:
        raise TooLong(most)
    return body


def refuse_media(media: str = JSON) -> Response | None:
    """415 unless the body has this media type, in UTF-8."""
    content_type = request.environ.get("CONTENT_TYPE", "")
    if content_type != media:
        charset = request.mimetype_params.get("charset", "utf-8").lower()
        if request.mimetype != media or charset not in ("utf-8", "utf8"):
            fault = Fault(
                "", "wrong_media_type", f"the body must be {media} in UTF-8", content_type[:80], media
            )
            return _unsupported(fault, {"Accept-Post": media})
    encoding = request.environ.get("HTTP_CONTENT_ENCODING", "identity")
    if encoding.lower() != "identity":
        fault = Fault("", "compressed_body", "the body must not be compressed", encoding[:80], "identity")
        return _unsupported(fault, {"Accept-Encoding": "identity"})
    return None


def _unsupported(fault: Fault, headers: dict[str, str]) -> Response:
    return problem(KINDS["unsupported-media-type"], fault.detail, [fault], headers)


def best_media(*medias: str) -> str | None:
    """The client's preferred one of these media types; the first if it prefers none.

    Parameters are passed over: we have each type in one form, and many clients send ``charset=utf-8`` along.
    """
    accept = request.environ.get("HTTP_ACCEPT") or "*/*"
    if accept == "*/*" or accept == medias[0]:
        return medias[0]
    accepted = [(value.partition(";")[0].rstrip(), quality) for value, quality in request.accept_mimetypes]
    return MIMEAccept(accepted).best_match(medias)


def refuse_accept(media: str = JSON) -> Response | None:
    """406 unless the client accepts this media type."""
    return None if best_media(media) else not_acceptable(media)


def not_acceptable(*medias: str) -> Response:
    """406: the client accepts none of these media types."""
    detail = f"answers are {' or '.join(medias)}"
    fault = Fault("", "not_acceptable", detail, request.headers["Accept"][:80], medias[0])
    return problem(KINDS["not-acceptable"], fault.detail, [fault])


def refuse_query(allowed: tuple[str, ...] = ()) -> None:
    """Raise BadQuery for a parameter that is unknown or sent twice."""
    for name in request.args:
        if name not in allowed or len(request.args.getlist(name)) > 1:
            known = f"this call takes {', '.join(allowed)}, once" if allowed else "this call takes none"
            detail = f"the query parameter {name[:80]!r} is not allowed: {known}"
            raise BadQuery(Fault("", "unknown_parameter", detail, name[:80], closest(name, allowed)))


def shows_all(*others: str) -> bool:
    """Whether the client asked for working, basis and notes. others: more parameters of the call, read
    elsewhere. Raises BadQuery."""
    refuse_query(("show", *others))
    show = request.args.get("show", "full")
    if show not in SHOWS:
        detail = "show must be full or result"
        raise BadQuery(Fault("", "not_one_of", detail, show[:80], closest(show, SHOWS) or "full"))
    return show == "full"


def language() -> str | None:
    """The available language nearest to the one asked for; None without a query. Raises BadQuery."""
    refuse_query(("language",))
    tag = request.args.get("language")
    if tag is None:
        return None
    try:
        return language_for(tag)
    except ValueError as error:
        detail = "language must be a BCP 47 tag, such as de or de-AT"
        raise BadQuery(Fault("", "not_a_language", detail, tag[:80], str(error))) from None

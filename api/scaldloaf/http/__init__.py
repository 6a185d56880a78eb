"""The thin edge: bytes to operations and back. Nothing is computed or stored here."""

import re

from flask import Flask, Response, request
from werkzeug.exceptions import BadRequest, HTTPException, RequestEntityTooLarge
from werkzeug.routing import BaseConverter

from scaldloaf.http import bulk, docs, limits, metrics, pages
from scaldloaf.http.addresses import one_spelling
from scaldloaf.http.calculations import JSON, Calculation, raise_failed, straight
from scaldloaf.http.logs import RequestLog
from scaldloaf.http.problems import BY_STATUS, KINDS, log_unforeseen, problem, summary
from scaldloaf.http.problem_pages import problem_page, problems_page
from scaldloaf.http.reading import NotJson, write_json
from scaldloaf.http.settings import Settings, settings_from
from scaldloaf.http.watching import watched
from scaldloaf.operations import OPERATIONS
from scaldloaf.operations.facts import FACTS, language_for
from scaldloaf.operations.faults import Fault, InputFault, closest

ALL_HEADERS = [("X-Content-Type-Options", "nosniff"), ("Access-Control-Allow-Origin", "*")]
# Metrics are for those who run the service: no page that they look at may read them.
METRICS_HEADERS = [("X-Content-Type-Options", "nosniff"), ("Cross-Origin-Resource-Policy", "same-origin")]
JSON_POLICY = ("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'")
PREFLIGHT_HEADERS = [("Access-Control-Allow-Headers", "Content-Type"), ("Access-Control-Max-Age", "86400")]
FACTS_MAX_AGE_S = 3600
SHOWS = ("full", "result")


class BadQuery(ValueError):
    def __init__(self, fault: Fault):
        self.fault = fault


def create_app(settings: Settings | None = None) -> Flask:
    """The application. Settings come from the environment unless given."""
    settings = settings or settings_from()
    app = Flask("scaldloaf", static_folder=None, template_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = settings.max_body_bytes
    app.url_map.merge_slashes = False

    calculations = [Calculation(operation) for operation in OPERATIONS]
    for each in calculations:
        app.add_url_rule(each.operation.path, each.operation.name, _calculation(each, settings.max_body_bytes),
                         methods=["POST"])
    figures = metrics.Metrics() if settings.metrics else None
    app.add_url_rule("/v1/bulk", "bulk", _bulk(bulk.Bulks(settings, figures and figures.line)), methods=["POST"])
    for facts in FACTS:
        _add_fixed(app, facts.path, pages.fixed(write_json(facts.produce()), JSON),
                   {each: pages.fixed(write_json(facts.produce(each)), JSON) for each in facts.languages})
    _add_fixed(app, "/openapi.json", pages.fixed(pages.read_document(), JSON), {})
    limiter = limits.limit(app, settings)
    app.add_url_rule("/livez", "/livez", _health(), methods=["GET"])
    app.add_url_rule("/readyz", "/readyz", _health(limiter), methods=["GET"])
    if figures:
        metrics.serve(app, figures)
    _add_pages(app)
    _add_problems(app)

    by_path = {each.operation.path: each for each in calculations}
    answering = straight(app.wsgi_app, by_path, settings.max_body_bytes, limiter and limiter.wait_s)
    if settings.metrics_bind:
        answering = metrics.apart(answering, settings.metrics_bind)
    log = RequestLog(settings.log_addresses, settings.proxies) if settings.log else None
    app.wsgi_app = watched(_with_headers(one_spelling(answering)), tuple(filter(None, (figures, log))))
    return app


def _with_headers(wsgi_app):
    """The application with the headers that every answer carries. Below Flask, where a header costs nothing."""
    def wrapped(environ, start_response):
        def start(status, headers, exc_info=None):
            own = environ.get("PATH_INFO") == metrics.PATH
            headers += METRICS_HEADERS if own else ALL_HEADERS
            if all(name != "Content-Security-Policy" for name, _ in headers):
                headers.append(JSON_POLICY)
            if environ["REQUEST_METHOD"] == "OPTIONS" and not own:
                allow = next((value for name, value in headers if name == "Allow"), "")
                headers += [("Access-Control-Allow-Methods", allow), *PREFLIGHT_HEADERS]
            return start_response(status, headers, exc_info)

        return wsgi_app(environ, start)

    return wrapped


def _calculation(calculation: Calculation, most: int):
    medias = tuple(calculation.writers)

    def view() -> Response:
        raise_failed(request.environ)
        media = _best_media(*medias)
        refused = _refuse_media() or (None if media else _not_acceptable(*medias))
        if refused is not None:
            return refused
        full = _shows_all()
        body, headers = calculation.answer(_body(most), full, media, request.headers.get("Accept-Encoding", ""))
        return Response([body], headers=headers)

    return view


def _body(most: int) -> bytes:
    """The body of a call. One sent in chunks has no length to go by, so a byte more than allowed is read."""
    request.max_content_length = most + 1
    try:
        body = request.get_data(cache=False)
    except HTTPException:
        raise
    except Exception as error:      # of the server's own, for chunks that are none or end too soon
        raise BadRequest from error
    if len(body) > most:
        raise RequestEntityTooLarge
    return body


def _bulk(bulks: bulk.Bulks):
    def view() -> Response:
        refused = _refuse_media(bulk.MEDIA) or _refuse_accept(bulk.MEDIA)
        return refused or bulks.response(_shows_all())

    return view


def _health(limiter: limits.Limiter | None = None):
    def view() -> Response:
        _refuse_query()
        body = {"status": "ok", **({"rate_limit": limiter.state()} if limiter else {})}
        return Response(write_json(body), headers={"Cache-Control": "no-store"}, content_type=JSON)

    return view


def _refuse_media(media: str = JSON) -> Response | None:
    """415 for a body that is not of this media type in UTF-8."""
    content_type = request.environ.get("CONTENT_TYPE", "")
    if content_type != media:
        charset = request.mimetype_params.get("charset", "utf-8").lower()
        if request.mimetype != media or charset not in ("utf-8", "utf8"):
            fault = Fault("", "wrong_media_type", f"the body must be {media} in UTF-8", content_type[:80], media)
            return problem(KINDS["unsupported-media-type"], fault.detail, [fault], {"Accept-Post": media})
    if request.environ.get("HTTP_CONTENT_ENCODING", "identity").lower() != "identity":
        fault = Fault("", "compressed_body", "the body must not be compressed",
                      request.headers["Content-Encoding"][:80], "identity")
        return problem(KINDS["unsupported-media-type"], fault.detail, [fault], {"Accept-Encoding": "identity"})
    return None


def _best_media(*medias: str) -> str | None:
    """The media type the client likes best of those there are, the first when it likes all alike."""
    accept = request.environ.get("HTTP_ACCEPT") or "*/*"
    if accept == "*/*" or accept == medias[0]:
        return medias[0]
    return request.accept_mimetypes.best_match(medias)


def _refuse_accept(media: str = JSON) -> Response | None:
    return None if _best_media(media) else _not_acceptable(media)


def _not_acceptable(*medias: str) -> Response:
    """406: the client takes none of the media types there are."""
    fault = Fault("", "not_acceptable", f"answers are {' or '.join(medias)}", request.headers["Accept"][:80], medias[0])
    return problem(KINDS["not-acceptable"], fault.detail, [fault])


def _refuse_query(allowed: tuple[str, ...] = ()) -> None:
    for name in request.args:
        if name not in allowed or len(request.args.getlist(name)) > 1:
            known = f"it takes {', '.join(allowed)}, once" if allowed else "it takes none"
            raise BadQuery(Fault("", "unknown_parameter", f"the query parameter {name[:80]!r} is not taken here: {known}",
                                 name[:80], closest(name, allowed)))


def _shows_all() -> bool:
    _refuse_query(("show",))
    show = request.args.get("show", "full")
    if show not in SHOWS:
        raise BadQuery(Fault("", "not_one_of", "show must be full or result", show[:80], closest(show, SHOWS) or "full"))
    return show == "full"


def _language() -> str | None:
    """The language that labels are asked for in, None for no query."""
    _refuse_query(("language",))
    wanted = request.args.get("language")
    try:
        return None if wanted is None else language_for(wanted)
    except ValueError as error:
        raise BadQuery(Fault("", "not_a_language", "language must be a BCP 47 tag, such as de or de-AT",
                             wanted[:80], str(error))) from None


def _add_fixed(app: Flask, path: str, body: pages.Body, by_language: dict[str, pages.Body]) -> None:
    def view() -> Response:
        if not by_language:
            _refuse_query()
        found = by_language.get(_language(), body) if by_language else body
        return _refuse_accept() or pages.send(found, request, FACTS_MAX_AGE_S, {})

    app.add_url_rule(path, path, view, methods=["GET"])


def _add_pages(app: Flask) -> None:
    """The page's files and those of /docs and /problems: one route for them all, as making one for each takes longer
    than reading them."""
    files = pages.read_pages()
    files = {**files, "": files["index.html"], "docs": files["docs.html"]}
    html = pages.TYPES[".html"]
    # A page and a worker live by their policy; scripts and styles by that of the page they are in.
    served = {path: (body, 0, pages.PAGE_POLICY if body.content_type == html or path == "sw.js" else {})
              for path, body in files.items()}
    served["embed"] = files["embed.html"], 0, pages.EMBED_POLICY
    described = {"problems": problems_page(), **{f"problems/{slug}": problem_page(kind) for slug, kind in KINDS.items()}}
    fixed = {**docs.read_renderer(), **{path: pages.fixed(text, html) for path, text in described.items()}}
    served |= {path: (body, FACTS_MAX_AGE_S, pages.PAGE_POLICY) for path, body in fixed.items()}

    class OneOf(BaseConverter):
        """A path that there is a file for; werkzeug's own ``any`` takes no slash."""

        regex = "|".join(map(re.escape, filter(None, served)))
        part_isolating = False

    def view(path: str = "") -> Response:
        body, max_age, policy = served[path]
        return pages.send(body, request, max_age, policy)

    app.url_map.converters["file"] = OneOf
    app.add_url_rule("/", "page /", view, methods=["GET"])
    app.add_url_rule("/<file:path>", "page file", view, methods=["GET"])


def _add_problems(app: Flask) -> None:
    @app.errorhandler(NotJson)
    def not_json(error: NotJson) -> Response:
        return problem(KINDS["not-json"], error.detail, [Fault(error.pointer, error.code, error.detail, error.given)])

    @app.errorhandler(InputFault)
    def invalid(error: InputFault) -> Response:
        return problem(KINDS["invalid-request"], summary(error.faults), error.faults)

    @app.errorhandler(BadQuery)
    def bad_query(error: BadQuery) -> Response:
        return problem(KINDS["invalid-request"], error.fault.detail, [error.fault])

    @app.errorhandler(HTTPException)
    def http_error(error: HTTPException) -> Response:
        kind = BY_STATUS.get(error.code, KINDS["bad-request"])
        if kind.slug == "too-large":
            most = app.config["MAX_CONTENT_LENGTH"]
            # As text: a length can be declared that is beyond any number JSON writers take.
            return problem(kind, kind.help, [Fault("", "too_large", f"the body may have at most {most} bytes",
                                                   request.headers.get("Content-Length", "")[:40] or None, most)])
        headers = {"Allow": ", ".join(sorted(error.valid_methods))} if getattr(error, "valid_methods", None) else None
        return problem(kind, kind.help, headers=headers)

    @app.errorhandler(Exception)
    def unforeseen(error: Exception) -> Response:
        log_unforeseen(error, request.endpoint)
        return problem(KINDS["internal-error"], KINDS["internal-error"].help)

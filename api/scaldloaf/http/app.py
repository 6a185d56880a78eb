"""The Flask application: routes, error handlers and the WSGI middleware around it."""

import re
from collections.abc import Callable, Iterable
from typing import Any
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

from flask import Flask, Response, request
from werkzeug.exceptions import HTTPException
from werkzeug.routing import BaseConverter

from scaldloaf.http import bulk, ids, limits, link_code, metrics, pages, readiness, swagger_ui, version
from scaldloaf.http.addresses import one_spelling
from scaldloaf.http.backlog import Figures
from scaldloaf.http.calculations import Calculation, calculations_of
from scaldloaf.http.cross_origin import ANY_HOST, EXPOSED, PREFLIGHT_HEADERS
from scaldloaf.http.fast_path import fast_path, raise_failed
from scaldloaf.http.headers import JSON, JSON_POLICY, NOSNIFF
from scaldloaf.http.instrumented import instrumented
from scaldloaf.http.logs import RequestLog
from scaldloaf.http.negotiation import (
    BadQuery,
    best_media,
    language,
    not_acceptable,
    read_body,
    refuse_accept,
    refuse_media,
    refuse_query,
    shows_all,
    too_slow,
)
from scaldloaf.http.problem_pages import problem_page, problems_page
from scaldloaf.http.problems import BY_STATUS, KINDS, log_unexpected, problem, summary
from scaldloaf.http.reading import NotJson, write_json
from scaldloaf.http.settings import Settings, settings_from
from scaldloaf.http.table_query import table_writer
from scaldloaf.operations.facts import FACTS, Facts
from scaldloaf.operations.faults import Fault, InputFault
from scaldloaf.operations.registry import OPERATIONS

API_PATHS = ("/v1/", "/openapi.json", "/livez", "/readyz")
# Metrics are for operators: no web page may read them, not even one open in an operator's browser.
METRICS_POLICY = ("Cross-Origin-Resource-Policy", "same-origin")
FACTS_MAX_AGE_S = 3600


def create_app(settings: Settings | None = None) -> Flask:
    """The application. By default, settings come from the environment."""
    settings = settings or settings_from()
    app = Flask("scaldloaf", static_folder=None, template_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = settings.max_body_bytes
    app.url_map.merge_slashes = False

    calculations = [each for operation in OPERATIONS for each in calculations_of(operation, settings)]
    for each in calculations:
        app.add_url_rule(
            each.path,
            each.path.removeprefix("/v1/"),
            _calculation(each),
            methods=["POST"],
        )
    figures = metrics.Metrics(settings) if settings.metrics else None
    app.extensions[metrics.EXTENSION] = figures
    bulks = app.extensions["scaldloaf.bulks"] = bulk.Bulks(settings, figures or Figures())
    app.add_url_rule(bulk.PATH, "bulk", _bulk(bulks), methods=["POST"])
    app.add_url_rule(
        link_code.PATH, "link-code", lambda: link_code.link_code(settings.max_body_bytes), methods=["POST"]
    )
    for facts in FACTS:
        by_language = {each: _facts(facts, each) for each in facts.languages}
        _add_fixed(app, facts.path, _facts(facts), by_language)
    _add_fixed(app, "/openapi.json", pages.document(), {})
    limiter = limits.limit(app, settings)
    app.add_url_rule("/livez", "/livez", _health, methods=["GET"])
    app.add_url_rule("/readyz", "/readyz", _readiness(limiter), methods=["GET"])
    if figures:
        metrics.serve(app, figures)
    _add_pages(app)
    _add_problems(app, settings)

    by_path = {each.path: each for each in calculations if JSON in each.writers}
    answering = fast_path(app.wsgi_app, by_path, limiter.wait_s if limiter else None)
    if settings.metrics_bind:
        answering = metrics.apart(answering, settings.metrics_bind)
    log = RequestLog(settings.log_addresses, settings.proxies) if settings.log else None
    app.wsgi_app = instrumented(  # type: ignore[method-assign,assignment]  # Flask's documented way
        _with_headers(one_spelling(answering)), tuple(filter(None, (figures, log)))
    )
    return app


def _with_headers(wsgi_app: WSGIApplication) -> WSGIApplication:
    """Middleware: adds the headers of every answer. Below Flask, where adding a header is cheapest."""

    def wrapped(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        named = ids.identify(environ)

        def start(status: str, headers: list[tuple[str, str]], exc_info: Any = None) -> Any:
            own = environ.get("PATH_INFO") == metrics.PATH
            headers += named
            headers.append(NOSNIFF)
            if own:
                headers.append(METRICS_POLICY)
            shared = not own and not _is_of_our_page(environ)
            if shared:
                headers.append(ANY_HOST)
            if not own and (environ["PATH_INFO"].startswith(API_PATHS) or status >= "4"):
                headers.append(version.HEADER)
                if shared:
                    headers.append(EXPOSED)
                headers.append(JSON_POLICY)
            elif not any([name == "Content-Security-Policy" for name, _ in headers]):
                headers.append(JSON_POLICY)
            if environ["REQUEST_METHOD"] == "OPTIONS" and not own:
                allow = next((value for name, value in headers if name == "Allow"), "")
                headers += [("Access-Control-Allow-Methods", allow), *PREFLIGHT_HEADERS]
            return start_response(status, headers, exc_info)

        return wsgi_app(environ, start)

    return wrapped


def _is_of_our_page(environ: WSGIEnvironment) -> bool:
    """Whether a call is from a page of this service, which may read every answer unasked. The answer to
    another method may be kept by a cache for anyone."""
    return environ["REQUEST_METHOD"] == "POST" and environ.get("HTTP_SEC_FETCH_SITE") == "same-origin"


def _calculation(calculation: Calculation) -> Callable[[], Response]:
    medias = tuple(calculation.writers)

    def view() -> Response:
        raise_failed(request.environ)
        media = best_media(*medias)
        refused = refuse_media()
        if refused is not None:
            return refused
        if media is None:
            return not_acceptable(*medias)
        write = table_writer(calculation.operation) if calculation.has_tables else None
        full = write is None and shows_all()
        encodings = request.headers.get("Accept-Encoding", "")
        body, headers = calculation.answer(read_body(calculation.most_bytes), full, media, encodings, write)
        return Response([body], headers=headers)

    return view


def _bulk(bulks: bulk.Bulks) -> Callable[[], Response]:
    def view() -> Response:
        media = JSON if request.mimetype == JSON else bulk.MEDIA
        refused = refuse_media(media) or refuse_accept(media)
        return refused or bulks.response(shows_all(), media)

    return view


def _health(**more: str) -> Response:
    refuse_query()
    body = {"status": "ok", **more}
    return Response(write_json(body), headers={"Cache-Control": "no-store"}, content_type=JSON)


def _readiness(limiter: limits.Limiter | None) -> Callable[[], Response]:
    def view() -> Response:
        refused = readiness.refusal()
        return refused or _health(**({"rate_limit": limiter.state()} if limiter else {}))

    return view


def _facts(facts: Facts, *language: str) -> pages.Body:
    return pages.Body(lambda: write_json(facts.produce(*language)), JSON)


def _add_fixed(app: Flask, path: str, body: pages.Body, by_language: dict[str, pages.Body]) -> None:
    def view() -> Response:
        found = body
        if by_language:
            found = by_language.get(language() or "", body)
        else:
            refuse_query()
        return refuse_accept() or pages.send(found, request, FACTS_MAX_AGE_S, {})

    app.add_url_rule(path, path, view, methods=["GET"])


def _add_pages(app: Flask) -> None:
    """Serve the files of the page, of /docs and of /problems.

    One route for all of them: creating one for each takes longer than reading them.
    """
    files = pages.read_pages()
    files = {**files, "": files["index.html"], "docs": files["docs.html"]}
    html = pages.TYPES[".html"]
    policies = {
        html: pages.PAGE_POLICY,
        pages.TYPES[".js"]: pages.PART_POLICY,
        pages.TYPES[".css"]: pages.PART_POLICY,
    }
    served = {path: (body, 0, policies.get(body.content_type, {})) for path, body in files.items()}
    served["sw.js"] = files["sw.js"], 0, pages.PAGE_POLICY
    served["embed"] = files["embed.html"], 0, pages.EMBED_POLICY
    described = {
        "problems": problems_page(),
        **{f"problems/{slug}": problem_page(kind) for slug, kind in KINDS.items()},
    }
    fixed = {
        **swagger_ui.renderer(),
        **{path: pages.fixed(text, html) for path, text in described.items()},
    }
    served |= {path: (body, FACTS_MAX_AGE_S, pages.PAGE_POLICY) for path, body in fixed.items()}

    class OneOf(BaseConverter):
        """The path of a served file; werkzeug's own ``any`` accepts no slash."""

        regex = "|".join(map(re.escape, filter(None, served)))
        part_isolating = False

    def view(path: str = "") -> Response:
        body, max_age, policy = served[path]
        if policy is pages.EMBED_POLICY:
            policy = pages.embed_policy(request.host)
        return pages.send(body, request, max_age, policy)

    app.url_map.converters["file"] = OneOf
    app.add_url_rule("/", "page /", view, methods=["GET"])
    app.add_url_rule("/<file:path>", "page file", view, methods=["GET"])


def _add_problems(app: Flask, settings: Settings) -> None:
    @app.errorhandler(NotJson)
    def not_json(error: NotJson) -> Response:
        return problem(
            KINDS["not-json"], error.detail, [Fault(error.pointer, error.code, error.detail, error.given)]
        )

    @app.errorhandler(InputFault)
    def invalid(error: InputFault) -> Response:
        return problem(KINDS["invalid-request"], summary(error.faults), error.faults)

    @app.errorhandler(BadQuery)
    def bad_query(error: BadQuery) -> Response:
        return problem(KINDS["invalid-request"], error.fault.detail, [error.fault])

    @app.errorhandler(HTTPException)
    def http_error(error: HTTPException) -> Response:
        kind = BY_STATUS.get(error.code or 0, KINDS["bad-request"])
        if kind.slug == "too-large":
            most = getattr(error, "most", app.config["MAX_CONTENT_LENGTH"])
            # As text: the declared length can exceed any number that JSON writers accept.
            return problem(
                kind,
                kind.help,
                [
                    Fault(
                        "",
                        "too_large",
                        f"the body may have at most {most} bytes",
                        request.headers.get("Content-Length", "")[:40] or None,
                        most,
                    )
                ],
            )
        if kind.slug == "too-slow":
            fault = too_slow(settings.read_seconds)
            return problem(kind, fault.detail, [fault])
        methods = getattr(error, "valid_methods", None)
        headers = {"Allow": ", ".join(sorted(methods))} if methods else None
        return problem(kind, kind.help, headers=headers)

    @app.errorhandler(Exception)
    def unexpected(error: Exception) -> Response:
        log_unexpected(error, request.endpoint, request.environ[ids.KEY])
        return problem(KINDS["internal-error"], KINDS["internal-error"].help)

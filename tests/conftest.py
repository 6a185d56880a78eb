"""What all tests share.

``client`` (in process) and ``session`` (with ``service``: gunicorn over loopback) hold every reply they
get to the OpenAPI document. ``assert_problem`` is how a test looks at a failing reply.
A test that skips fails: what can't be tested here is said out loud.
"""

import gc
import json
import os
import signal
from pathlib import Path

import hypothesis
import pytest
import requests
from flask.testing import FlaskClient

import replies
from replies import Contract
from running import Service

# To collect 14,000 tests makes some million values and no garbage. To look through them 4,500 times takes as
# long as the rest.
gc.set_threshold(50_000, 20, 100)

# Machines that run tests are shared and slow at times, so no example has a deadline of its own;
# continuous integration draws the same examples every time.
hypothesis.settings.register_profile("here", deadline=None)
hypothesis.settings.register_profile("ci", deadline=None, derandomize=True)
hypothesis.settings.load_profile("ci" if os.environ.get("CI") else "here")

HERE = Path(__file__).parent
# The folders whose files take or wait long. A whole run gives them out first, so that none is left to one
# process at the end.
LONG_FIRST = ("browser", "service", "deploy", "clients", "contract", "integrations", "web", "checks")


def pytest_addoption(parser):
    parser.addoption("--all", action="store_true", help="also what takes long or is repeated in every engine")


def _turn(item) -> int:
    """Where the item's folder is in LONG_FIRST, or behind them."""
    folder = item.path.relative_to(HERE).parts[0]
    return LONG_FIRST.index(folder) if folder in LONG_FIRST else len(LONG_FIRST)


def pytest_collection_modifyitems(config, items):
    items.sort(key=_turn)
    if config.getoption("--all"):
        return
    long = ("every_engine", "at_length")
    more = [item for item in items if any(item.get_closest_marker(name) for name in long)]
    items[:] = [item for item in items if item not in more]
    config.hook.pytest_deselected(items=more)


def pytest_collection_finish(session):
    # Thousands of tests and their values stay to the end: the collector need not look through them each time.
    gc.collect()
    gc.freeze()


def pytest_configure(config):
    # Asked to end, a run ends as on Ctrl-C: what its fixtures started is stopped, not left running.
    signal.signal(signal.SIGTERM, signal.default_int_handler)


def _hides(node, report) -> str:
    return f"{node.nodeid} was skipped, which hides what it should show: {report.longrepr}"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    report = yield
    if report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = _hides(item, report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector):
    report = yield
    if report.skipped:
        report.outcome = "failed"
        report.longrepr = _hides(collector, report)
    return report


class CheckedClient(FlaskClient):
    """Flask's test client, each reply checked against the document."""

    contract: Contract

    def open(self, *args, **kwargs):
        response = super().open(*args, **kwargs)
        # A stream is left to its reader; everything else is read here and judged.
        body = b"" if response.mimetype == "application/x-ndjson" else response.get_data()
        self.contract.check(
            response.request.method,
            response.request.path,
            response.status_code,
            response.content_type or "",
            body,
        )
        return response


@pytest.fixture(scope="session")
def app():
    from scaldloaf.http import create_app

    app = create_app()
    app.test_client_class = CheckedClient
    return app


@pytest.fixture(scope="session")
def document(app) -> dict:
    """The OpenAPI document as served."""
    return json.loads(FlaskClient(app).get("/openapi.json").get_data())


@pytest.fixture(scope="session")
def contract(document) -> Contract:
    return Contract(document)


@pytest.fixture
def client(app, contract, monkeypatch) -> FlaskClient:
    monkeypatch.setattr(CheckedClient, "contract", contract, raising=False)
    return app.test_client()


@pytest.fixture
def call(client):
    """call("breakdown", body, full=True) -> the reply's value; a reply other than 200 fails the test."""

    def post(name: str, body: dict, full: bool = True) -> dict:
        response = client.post(f"/v1/{name}" + ("" if full else "?show=result"), json=body)
        assert response.status_code == 200, response.get_data(as_text=True)[:2000]
        return json.loads(response.get_data())

    return post


@pytest.fixture(name="assert_problem")
def assert_problem_fixture():
    return replies.assert_problem


@pytest.fixture(scope="session")
def service():
    """The real service, one for the whole run; it must stop cleanly and log nothing."""
    with Service() as running:
        yield running


@pytest.fixture
def session(service, contract):
    """A requests session whose replies are checked against the document."""

    def check(response: requests.Response, **_):
        path = requests.utils.unquote(requests.utils.urlparse(response.url).path)
        contract.check(
            response.request.method,
            path,
            response.status_code,
            response.headers.get("Content-Type", ""),
            response.content,
        )

    with requests.Session() as session:
        session.trust_env = False  # a proxy in the environment has no business on loopback
        session.hooks["response"].append(check)
        yield session

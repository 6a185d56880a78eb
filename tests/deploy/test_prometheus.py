"""The figures, the alerts on them and the dashboard: each names only what the real service shows."""

import json
import re
import socket
import subprocess

import pytest
import requests
import yaml

import tools
from running import ROOT, TalkingService, until
from scaldloaf.http.backlog import HELD_BYTES, Backlog
from scaldloaf.http.bulk import MEDIA
from scaldloaf.http.error_codes import ERROR_CODES
from scaldloaf.http.metrics import Metrics
from scaldloaf.http.settings import Settings
from scaldloaf.operations.lantern_quay import TIN_LOAF

RULES = ROOT / "deploy" / "prometheus"
DASHBOARD = json.loads((ROOT / "deploy/grafana/scaldloaf.json").read_text("utf-8"))
OF_PROMETHEUS = {"up"}
BODY = {"formula": TIN_LOAF}
LINE = json.dumps({"call": "breakdown", "body": BODY}).encode() + b"\n"
PLACES, LIMIT = 1, 3


def promtool(*arguments, given: str | None = None) -> str:
    done = subprocess.run(
        [tools.find("promtool"), *arguments],
        cwd=RULES,
        input=given,
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def figures(service) -> str:
    return requests.get(f"{service.url}/metrics", timeout=120).text


@pytest.fixture(scope="module")
def shown():
    """/metrics of a service that has answered, refused and limited calls, while a bulk waits in a file."""
    with TalkingService(
        SCALDLOAF_METRICS="on",
        SCALDLOAF_WORKERS="1",
        SCALDLOAF_THREADS="3",
        SCALDLOAF_BULKS=str(PLACES),
        SCALDLOAF_RATE=f"{LIMIT}/hour",
        SCALDLOAF_BULK_RATE="1000/hour",
    ) as service:
        breakdown = f"{service.url}/v1/breakdown"
        sent = [{**BODY, "user's own": 1}, {"formula": 3}, BODY, BODY]
        statuses = [requests.post(breakdown, json=body, timeout=120).status_code for body in sent]
        assert statuses == [422] * 2 + [200, 429]
        requests.get(f"{service.url}/no/such/place", timeout=120)
        requests.get(f"{service.url}//v1/units", timeout=120)
        bulk = {"url": f"{service.url}/v1/bulk", "headers": {"Content-Type": MEDIA}, "timeout": 120}
        assert requests.post(**bulk, data=LINE + b"{\n").status_code == 200
        # A bulk whose caller sends much, reads nothing, and keeps its place.
        host, port = service.url.removeprefix("http://").split(":")
        with socket.socket() as caller:
            caller.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
            caller.connect((host, int(port)))
            head = (
                "POST /v1/bulk HTTP/1.1",
                "Host: a",
                f"Content-Type: {MEDIA}",
                "Content-Length: 999999999",
                "",
                "",
            )
            caller.sendall("\r\n".join(head).encode() + LINE * 8000)
            until(lambda: requests.post(**bulk, data=LINE).status_code == 429)
            wanted = r'^scaldloaf_bulk_waiting_bytes\{place="file"\} [1-9].*\n'

            def is_at_rest(text: str) -> bool:  # nothing more arrives between two figures
                found = re.search(wanted, text, re.M)
                return bool(found) and found[0] in figures(service)

            yield until(lambda: figures(service), is_at_rest)
        # Its end gives back all that it took.
        until(
            lambda: figures(service),
            lambda text: all(
                f"{name} 0.0\n" in text
                for name in (
                    "scaldloaf_bulks_running",
                    'scaldloaf_bulk_waiting_bytes{place="file"}',
                    'scaldloaf_bulk_waiting_bytes{place="memory"}',
                )
            ),
        )


def value(shown: str, name: str) -> float:
    return float(re.search(rf"^{re.escape(name)} (\S+)$", shown, re.M)[1])


def test_the_figures_tell_of_refusals_and_bulks(shown):
    refused = dict(re.findall(r"^scaldloaf_refusals_total\{(.*?)\} (\S+)$", shown, re.M))
    refused.pop('code="too_many_bulks",problem="too-many-requests"')
    assert refused == {
        'code="unknown_field",problem="invalid-request"': "1.0",
        'code="wrong_type",problem="invalid-request"': "1.0",
        'code="too_many_requests",problem="too-many-requests"': "1.0",
        'code="none",problem="not-found"': "2.0",
        'code="not_json",problem="not-json"': "1.0",
    }
    assert "user" not in shown and "no/such" not in shown
    assert value(shown, "scaldloaf_bulks_running") == value(shown, "scaldloaf_bulk_places") == PLACES
    assert value(shown, "scaldloaf_bulk_room_bytes") == PLACES * Settings().max_bulk_bytes
    in_file = value(shown, 'scaldloaf_bulk_waiting_bytes{place="file"}')
    assert in_file <= value(shown, "scaldloaf_bulk_spilled_bytes_total")
    assert 0 < value(shown, 'scaldloaf_bulk_waiting_bytes{place="memory"}') <= HELD_BYTES
    assert value(shown, "scaldloaf_connections_waiting") >= 0
    assert value(shown, "scaldloaf_connections_unaccepted") >= 0
    promtool("check", "metrics", given=shown)


def names_in(text: str) -> set[str]:
    """The names of figures in expressions."""
    return set(re.findall(r"\b(scaldloaf_[a-z_]+|up)\b(?!=)", re.sub(r'"[^"]*"', "", text)))


def expressions() -> dict[str, str]:
    """Of the rules and of the dashboard, by where they are."""
    groups = yaml.safe_load(rules())["groups"]
    found = {rule["alert"]: rule["expr"] for group in groups for rule in group["rules"]}
    for panel in DASHBOARD["panels"]:
        found |= {f"{panel['title']} {each['refId']}": each["expr"] for each in panel["targets"]}
    return found


def rules() -> str:
    return (RULES / "rules.yml").read_text("utf-8")


def test_the_alerts_and_the_dashboard_name_figures_that_there_are(shown):
    there = set(re.findall(r"^(scaldloaf_[a-z_]+)", shown, re.M))
    said = expressions()
    assert len(said) == rules().count("- alert:") + sum(len(each["targets"]) for each in DASHBOARD["panels"])
    for where, expression in said.items():
        assert names_in(expression) and names_in(expression) <= there | OF_PROMETHEUS, where
    (asked,) = [each["query"] for each in DASHBOARD["templating"]["list"] if each["type"] == "query"]
    assert names_in(asked) <= there | {"scaldloaf_request_seconds_count"} and names_in(asked)
    # And every figure is described, and shown by one of the two.
    families = set(re.findall(r"^# TYPE (scaldloaf_[a-z_]+) ", shown, re.M))
    guide = (ROOT / "deploy/README.md").read_text("utf-8")
    used = " ".join(said.values())
    for name in families:
        assert f"`{name}`" in guide and name in used, name


def test_each_alert_begins_when_it_should():
    promtool("check", "rules", "rules.yml")
    tried = promtool("test", "rules", "rules_test.yml")
    assert "SUCCESS" in tried
    for name in re.findall(r"alert: (\w+)", rules()):
        told = (RULES / "rules_test.yml").read_text("utf-8")
        assert len(re.findall(rf"alertname: {name}\b", told)) >= 2, name  # silent, and not


def test_the_dashboards_expressions_can_be_read(tmp_path):
    """As rules, since promtool reads no dashboards."""
    panels = [(where, each) for where, each in expressions().items() if where.split()[-1] in "ABCDEF"]
    written = [{"record": "a", "expr": each.replace("$instance", ".*")} for _, each in panels]
    (tmp_path / "rules.json").write_text(json.dumps({"groups": [{"name": "panels", "rules": written}]}))
    promtool("check", "rules", "--lint=none", str(tmp_path / "rules.json"))
    assert len({tuple(panel["gridPos"].values()) for panel in DASHBOARD["panels"]}) == len(
        DASHBOARD["panels"]
    )


def test_only_codes_that_are_listed_become_labels():
    counted = Metrics(Settings())
    for code in (*ERROR_CODES, "midnight-rye", "tin 7"):
        counted.line(422, ("invalid-request", code))
    shown = counted.text().decode()
    assert shown.count("scaldloaf_refusals_total{") == len(ERROR_CODES) + 1
    assert 'scaldloaf_refusals_total{code="other",problem="invalid-request"} 2.0' in shown


def test_a_backlog_counts_what_comes_and_goes_however_it_ends():
    from io import BytesIO

    for taken in (0, 1, 4):
        counted = Metrics(Settings())
        backlog = Backlog(4 * HELD_BYTES, counted)
        backlog.fill(BytesIO(bytes(2 * HELD_BYTES)), 65536, wait=False)
        for _ in range(taken * 10):
            backlog.read(65536)
        backlog.close()
        shown = counted.text().decode()
        assert 'waiting_bytes{place="memory"} 0.0' in shown and 'waiting_bytes{place="file"} 0.0' in shown
        assert (
            f"spilled_bytes_total {float(HELD_BYTES):.7g}" in shown
            or "spilled_bytes_total 1.048576e+06" in shown
        )

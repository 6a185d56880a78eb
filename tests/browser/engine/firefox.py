"""Firefox, driven by WebDriver BiDi, a standard of the W3C, over its own socket: no program is in between."""

import contextlib
import json
import subprocess
import tempfile
from base64 import b64decode
from pathlib import Path

import websocket

import tools
from browser.engine.engine import CHOOSE, FIND, TO_THE_MIDDLE, Engine, call
from running import until

# Nothing is fetched in the background: every host but this machine is behind a proxy that does not exist.
PREFERENCES = """
user_pref("network.proxy.type", 1);
user_pref("network.proxy.http", "127.0.0.1");
user_pref("network.proxy.http_port", 9);
user_pref("network.proxy.ssl", "127.0.0.1");
user_pref("network.proxy.ssl_port", 9);
user_pref("network.proxy.allow_hijacking_localhost", false);
"""
CONTROL, BACKSPACE = "\ue009", "\ue003"
PATIENCE_S = 120
LEAVE_S = 10


class Refused(RuntimeError):
    """Firefox refused a command."""


class Firefox(Engine):
    name = "firefox"

    def start(self) -> None:
        self._socket = self._process = None
        self._events: list[dict] = []
        self._complaints: list[str] = []
        self._numbered = 0
        self._user = self._context = ""
        self._folder = tempfile.TemporaryDirectory(prefix="firefox-", ignore_cleanup_errors=True)
        profile = Path(self._folder.name)
        (profile / "user.js").write_text(PREFERENCES)
        with (profile / "output.txt").open("w") as output:
            self._process = subprocess.Popen(
                [
                    tools.find("firefox"),
                    "--headless",
                    "--no-remote",
                    "--profile",
                    profile,
                    "--remote-debugging-port",
                    "0",
                    "about:blank",
                ],
                stdin=subprocess.DEVNULL,
                stdout=output,
                stderr=subprocess.STDOUT,
            )
        address = until(lambda: self._address(profile))
        self._socket = websocket.create_connection(address, timeout=PATIENCE_S, suppress_origin=True)
        self._command("session.new", capabilities={})
        self._command("session.subscribe", events=["log.entryAdded"])

    def _address(self, profile: Path) -> str:
        assert self._process.poll() is None, (profile / "output.txt").read_text()
        try:
            server = json.loads((profile / "WebDriverBiDiServer.json").read_text())
        except (FileNotFoundError, json.JSONDecodeError):
            return ""
        return f"ws://{server['ws_host']}:{server['ws_port']}/session"

    def stop(self) -> None:
        if self._socket:
            with contextlib.suppress(websocket.WebSocketException, ConnectionError):
                self._command("browser.close")
            self._socket.close()
        if self._process:
            try:
                self._process.wait(LEAVE_S if self._socket else 0)
            except subprocess.TimeoutExpired:  # its profile is thrown away: nothing is lost
                self._process.kill()
                self._process.wait()
        self._folder.cleanup()

    def _command(self, method: str, **parameters) -> dict:
        self._numbered += 1
        self._socket.send(json.dumps({"id": self._numbered, "method": method, "params": parameters}))
        while True:
            said = json.loads(self._socket.recv())
            if said["type"] == "event":
                self._events.append(said)
            elif said["id"] == self._numbered:
                if said["type"] == "error":
                    raise Refused(f"{method}: {said['error']}: {said['message']}")
                return said["result"]

    def fresh(self, width: int, height: int) -> None:
        if self._user:
            self._command("browser.removeUserContext", userContext=self._user)
        self._user = self._command("browser.createUserContext")["userContext"]
        self._context = self._command("browsingContext.create", type="tab", userContext=self._user)["context"]
        self._command(
            "browsingContext.setViewport", context=self._context, viewport={"width": width, "height": height}
        )

    def goto(self, path: str) -> None:
        self._command("browsingContext.navigate", context=self._context, url=self.url + path, wait="complete")

    def reload(self) -> None:
        self._command("browsingContext.reload", context=self._context, wait="complete")

    def back(self) -> None:
        self._command("browsingContext.traverseHistory", context=self._context, delta=-1)

    def _script(self, expression: str) -> dict:
        result = self._command(
            "script.evaluate",
            expression=expression,
            target={"context": self._context},
            awaitPromise=True,
            userActivation=True,
        )
        assert result["type"] == "success", result
        return result["result"]

    def evaluate(self, function: str, *arguments):
        return json.loads(self._script(call(function, *arguments))["value"])

    def _found(self, role: str, name: str) -> dict:
        """A reference to the element, scrolled into view."""
        node = f"({FIND})(...{json.dumps((role, name))})"
        expression = f"(async () => {{ const node = {node}; return node && ({TO_THE_MIDDLE})(node); }})()"
        node = until(lambda: self._script(expression), lambda result: result["type"] == "node")
        return {"sharedId": node["sharedId"]}

    def _act(self, *sources: dict) -> None:
        self._command("input.performActions", context=self._context, actions=list(sources))

    def click(self, role: str, name: str) -> None:
        to = {
            "type": "pointerMove",
            "x": 0,
            "y": 0,
            "origin": {"type": "element", "element": self._found(role, name)},
        }
        press = [{"type": "pointerDown", "button": 0}, {"type": "pointerUp", "button": 0}]
        self._act({"type": "pointer", "id": "mouse", "actions": [to, *press]})

    def _type(self, name: str, text: str) -> None:
        self._found("textbox", name)
        self.evaluate(f"(...what) => {{ ({FIND})(...what).focus(); }}", "textbox", name)
        everything = [
            {"type": "keyDown", "value": CONTROL},
            {"type": "keyDown", "value": "a"},
            {"type": "keyUp", "value": "a"},
            {"type": "keyUp", "value": CONTROL},
        ]
        typed = [{"type": f"key{way}", "value": key} for key in text or BACKSPACE for way in ("Down", "Up")]
        self._act({"type": "key", "id": "keyboard", "actions": [*everything, *typed]})

    def choose(self, name: str, value: str) -> None:
        what = json.dumps(("combobox", name))
        self.wait_for(f"() => ({FIND})(...{what}) !== null")
        self.evaluate(f"(value) => ({CHOOSE})(({FIND})(...{what}), value)", value)

    def screenshot(self, path: Path) -> None:
        path.write_bytes(
            b64decode(self._command("browsingContext.captureScreenshot", context=self._context)["data"])
        )

    def complaints(self) -> list[str]:
        self._command("session.status")  # events that were on their way are here now
        for event in self._events:
            entry = event["params"]
            if entry["level"] in ("error", "warn"):
                self._complaints.append(f"{entry['type']} {entry['level']}: {entry['text']}")
        self._events.clear()
        return self._complaints

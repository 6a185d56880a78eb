"""WebKit: the MiniBrowser of WebKitGTK on a screen of its own, driven by WebDriver.

Its driver tells nothing of the console, and can't run a script before the page's own. So the page comes
through a small server that puts one into the HTML and passes on everything else as it is.
"""

import contextlib
import json
import os
import subprocess
import tempfile
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import requests
from selenium import webdriver
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.common.proxy import Proxy, ProxyType
from selenium.webdriver.remote.client_config import ClientConfig
from selenium.webdriver.remote.remote_connection import RemoteConnection
from selenium.webdriver.webkitgtk.options import Options
from selenium.webdriver.webkitgtk.service import Service

import tools
from browser.engine.engine import CHOOSE, FIND, TO_THE_MIDDLE, Engine, call
from running import until

WATCHED = (Path(__file__).parent / "watched.js").read_bytes()
HEAD = b'<script src="/watched.js"></script>'
# Of one connection, not of what is sent.
HOP = {"connection", "content-encoding", "content-length", "date", "server", "transfer-encoding", "vary"}
# A theme without any space: the buttons of the browser's bar would be wider than 390 pixels.
THEME = (
    "* { min-width: 0; min-height: 0; padding: 0; margin: 0; font-size: 1px; -gtk-icon-transform: scale(0) }"
)
FORGET = """async () => {
  for (const each of await navigator.serviceWorker?.getRegistrations() ?? []) await each.unregister();
  for (const name of await globalThis.caches?.keys() ?? []) await caches.delete(name);
  localStorage.clear();
  sessionStorage.clear();
}"""
PATIENCE_S = 120


class _Between(ThreadingHTTPServer):
    """The server between the browser and the service."""

    daemon_threads = True

    def __init__(self, service: str):
        self.service = service
        super().__init__(("127.0.0.1", 0), _Passing)
        self.url = f"http://127.0.0.1:{self.server_port}"

    def handle_error(self, request: object, client_address: object) -> None:
        """Silent: a browser that has left a page drops its connections."""


class _Passing(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        if self.path == "/watched.js":
            return self._send(200, {"Content-Type": "text/javascript"}, WATCHED)
        return self._pass_on("GET", None)

    def do_POST(self) -> None:
        self._pass_on("POST", self.rfile.read(int(self.headers.get("Content-Length", 0))))

    def do_OPTIONS(self) -> None:
        self._pass_on("OPTIONS", None)

    def _pass_on(self, method: str, body: bytes | None) -> None:
        sent = {
            name: self.headers[name] for name in ("Host", "Content-Type", "Accept") if name in self.headers
        }
        with requests.Session() as session:
            session.trust_env = False
            reply = session.request(method, self.server.service + self.path, data=body, headers=sent)
        headers = {name: value for name, value in reply.headers.items() if name.lower() not in HOP}
        content = reply.content
        if headers.get("Content-Type", "").startswith("text/html"):
            content = content.replace(b"<head>", b"<head>" + HEAD, 1)
        self._send(reply.status_code, headers, content)

    def _send(self, status: int, headers: dict[str, str], content: bytes) -> None:
        # A browser that has left a page does not wait for its files.
        with contextlib.suppress(ConnectionError):
            self.send_response(status)
            for name, value in {**headers, "Content-Length": str(len(content))}.items():
                self.send_header(name, value)
            self.end_headers()
            self.wfile.write(content)

    def log_message(self, *_) -> None:
        pass


class WebKit(Engine):
    name = "webkit"

    def start(self) -> None:
        self._driver = self._screen = self._service = None
        self._complaints: list[str] = []
        self._folder = tempfile.TemporaryDirectory(prefix="webkit-", ignore_cleanup_errors=True)
        self._between = _Between(self.url)
        threading.Thread(target=self._between.serve_forever, daemon=True).start()
        self.url = self._between.url
        theme = Path(self._folder.name, "themes", "None", "gtk-3.0", "gtk.css")
        theme.parent.mkdir(parents=True)
        theme.write_text(THEME)
        options = Options()
        options.binary_location = tools.find("minibrowser")
        options.add_argument("--automation")
        # Neither a bus for accessibility nor a graphics processor is needed; to look for them takes seconds.
        environment = {
            **os.environ,
            "DISPLAY": self._new_screen(),
            "XDG_DATA_HOME": self._folder.name,
            "GTK_THEME": "None",
            "LC_ALL": "C.UTF-8",
            "LANGUAGE": "en_GB",
            "NO_AT_BRIDGE": "1",
            "GTK_A11Y": "none",
            "WEBKIT_DISABLE_COMPOSITING_MODE": "1",
            "no_proxy": "127.0.0.1,localhost",
        }
        self._service = Service(tools.find("webkit"), env=environment, log_output=subprocess.DEVNULL)
        self._service.start()
        where = ClientConfig(
            self._service.service_url, timeout=PATIENCE_S, proxy=Proxy({"proxyType": ProxyType.DIRECT})
        )
        self._driver = webdriver.Remote(RemoteConnection(client_config=where), options=options)
        self._driver.set_script_timeout(PATIENCE_S)

    def _new_screen(self) -> str:
        reading, writing = os.pipe()
        self._screen = subprocess.Popen(
            [
                tools.find("xvfb"),
                "-displayfd",
                str(writing),
                "-screen",
                "0",
                "1600x1400x24",
                "-nolisten",
                "tcp",
            ],
            pass_fds=[writing],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(writing)
        with os.fdopen(reading) as said:
            number = said.readline().strip()
        assert number, "Xvfb did not start"
        return f":{number}"

    def stop(self) -> None:
        if self._driver:
            self._driver.quit()
        if self._service:
            self._service.stop()
        if self._screen:
            self._screen.terminate()
            self._screen.wait(PATIENCE_S)
        self._between.shutdown()
        self._between.server_close()
        self._folder.cleanup()

    def fresh(self, width: int, height: int) -> None:
        self.goto("/icon.svg")  # a page that is left saves its work
        self.complaints()
        self.evaluate(FORGET)
        self._driver.set_window_rect(0, 0, width, height)
        inside = "() => [innerWidth, innerHeight]"
        bar = height - until(lambda: self.evaluate(inside), lambda size: size[0] == width)[1]
        self._driver.set_window_rect(0, 0, width, height + bar)
        until(lambda: self.evaluate(inside), lambda size: size == [width, height])

    def goto(self, path: str) -> None:
        self._driver.get(self.url + path)

    def reload(self) -> None:
        self._driver.refresh()

    def back(self) -> None:
        self._driver.back()

    def evaluate(self, function: str, *arguments):
        return json.loads(self._driver.execute_script(f"return {call(function, *arguments)}"))

    def _found(self, role: str, name: str):
        what = json.dumps((role, name))
        script = f"const node = ({FIND})(...{what}); return node && ({TO_THE_MIDDLE})(node);"
        return until(lambda: self._driver.execute_script(script), lambda node: node is not None)

    def click(self, role: str, name: str) -> None:
        # Not the click of an element: the driver does not find those in the shadow tree of the panel.
        self._actions().click(self._found(role, name)).perform()

    def _actions(self) -> ActionChains:
        return ActionChains(self._driver, duration=0)

    def _type(self, name: str, text: str) -> None:
        self._driver.execute_script("arguments[0].focus()", self._found("textbox", name))
        typed = self._actions().key_down(Keys.CONTROL).send_keys("a").key_up(Keys.CONTROL)
        typed.send_keys(text or Keys.BACKSPACE).perform()

    def choose(self, name: str, value: str) -> None:
        self._driver.execute_script(f"({CHOOSE})(...arguments)", self._found("combobox", name), value)

    def screenshot(self, path: Path) -> None:
        self._driver.get_screenshot_as_file(str(path))

    def complaints(self) -> list[str]:
        noted = self.evaluate("() => JSON.parse(sessionStorage.getItem('watched') ?? '[]')")
        self.evaluate("() => sessionStorage.removeItem('watched')")
        self._complaints += noted
        return self._complaints

"""Real programs around the service, on loopback: Redis that counts with it, nginx in front of it."""

import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import tools
from running import ROOT, START_S, STOP_S, environment

NGINX_SITE = ROOT / "deploy" / "nginx" / "scaldloaf.conf"
# What lets one address ask as fast as it can, for nginx takes all callers of a test for one.
UNLIMITED = {
    "rate=100r/s": "rate=1000000r/s",
    "limit_conn scaldloaf_calls 64": "limit_conn scaldloaf_calls 10000",
}


def free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return listener.getsockname()[1]


class _Program:
    """A program that listens on a port, in its own folder."""

    def __init__(self):
        self.folder = Path(tempfile.mkdtemp(prefix="scaldloaf-test-"))
        self.port = free_port()
        self.process: subprocess.Popen | None = None

    def _command(self) -> list:
        raise NotImplementedError

    def start(self):
        with (self.folder / "said").open("ab") as said:
            self.process = subprocess.Popen(
                self._command(),
                cwd=self.folder,
                stdin=subprocess.DEVNULL,
                stdout=said,
                stderr=subprocess.STDOUT,
                start_new_session=True,
            )
        end = time.monotonic() + START_S
        while True:
            try:
                socket.create_connection(("127.0.0.1", self.port), timeout=1).close()
                return self
            except OSError:
                if self.process.poll() is not None or time.monotonic() > end:
                    self.kill()
                    raise AssertionError(f"{self._command()[0]} did not start:\n{self.output()}") from None
                time.sleep(0.02)

    def output(self) -> str:
        return (self.folder / "said").read_text("utf-8", "replace")

    def stop(self) -> None:
        if self.process and self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)
            try:
                self.process.wait(STOP_S)
            except subprocess.TimeoutExpired:
                self.kill()

    def kill(self) -> None:
        if self.process and self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()

    def __enter__(self):
        return self.start()

    def __exit__(self, kind, error, trace) -> None:
        self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)


class Redis(_Program):
    """A Redis that keeps nothing on disk."""

    @property
    def url(self) -> str:
        return f"redis://127.0.0.1:{self.port}/0"

    def connections(self) -> int:
        """How many have been made to it so far, this one not counted; waits until it answers."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=START_S) as connection:
            connection.sendall(b"INFO stats\r\nQUIT\r\n")
            said = b"".join(iter(lambda: connection.recv(65536), b""))
        return int(re.search(rb"total_connections_received:(\d+)", said)[1]) - 1

    def _command(self) -> list:
        return [
            tools.find("redis"),
            "--port",
            str(self.port),
            "--bind",
            "127.0.0.1",
            "--save",
            "",
            "--appendonly",
            "no",
            "--dir",
            str(self.folder),
        ]


class Nginx(_Program):
    """nginx with the site of deploy/, its addresses and paths changed for here and nothing else."""

    def __init__(self, upstream: str, own: dict[str, str] | None = None, **changes: str):
        """upstream: where the service listens. own: files of /etc/nginx/scaldloaf/, by name. changes: further
        texts of the site -> what to put there."""
        super().__init__()
        self._upstream, self._changes = upstream, changes
        for name, text in (own or {}).items():
            file = self.folder / "own" / name
            file.parent.mkdir(exist_ok=True)
            file.write_text(text.replace("/etc/nginx/scaldloaf", str(file.parent)))
        self._configure()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def site(self) -> str:
        """The site here. Every change must find what it changes, or the site would drift from its test."""
        text = NGINX_SITE.read_text("utf-8")
        changes = {
            "server unix:/run/scaldloaf/socket": f"server {self._upstream}",
            "listen 80;": f"listen 127.0.0.1:{self.port};",
            "listen [::]:80;": "",
            "/opt/scaldloaf/web": str(ROOT / "web"),
            "/var/cache/scaldloaf": str(self.folder / "cache"),
            "/var/log/nginx": str(self.folder),
            "/etc/nginx/scaldloaf": str(self.folder / "own"),
            **self._changes,
        }
        for old, new in changes.items():
            assert old in text, f"{NGINX_SITE.name} has no {old!r}"
            text = text.replace(old, new)
        return text

    def _configure(self) -> None:
        (self.folder / "site.conf").write_text(self.site())
        for name in ("body", "proxy", "fastcgi", "uwsgi", "scgi"):
            (self.folder / name).mkdir(exist_ok=True)
        # What a distribution's nginx.conf holds around a site.
        user = "user root;" if os.geteuid() == 0 else ""
        mime = next(
            (
                path
                for path in ("/etc/nginx/mime.types", "/usr/local/nginx/conf/mime.types")
                if os.path.exists(path)
            ),
            None,
        )
        types = f"include {mime};" if mime else ""
        (self.folder / "nginx.conf").write_text(
            f"{user} daemon off; worker_processes 1; pid {self.folder}/pid;\n"
            f"error_log {self.folder}/errors warn;\n"
            f"events {{ worker_connections 2048; }}\n"
            f"http {{ {types} default_type application/octet-stream; access_log off; sendfile on;\n"
            f"client_body_temp_path {self.folder}/body; proxy_temp_path {self.folder}/proxy;\n"
            f"fastcgi_temp_path {self.folder}/fastcgi; uwsgi_temp_path {self.folder}/uwsgi;\n"
            f"scgi_temp_path {self.folder}/scgi;\ninclude {self.folder}/site.conf; }}\n"
        )

    def _command(self) -> list:
        return [tools.find("nginx"), "-c", str(self.folder / "nginx.conf"), "-e", str(self.folder / "errors")]

    def test(self) -> subprocess.CompletedProcess:
        """nginx's own check of the configuration."""
        return subprocess.run([*self._command(), "-t"], capture_output=True, text=True, timeout=120)

    def errors(self, *expected: str) -> list[str]:
        """What it logged, without notes that a body went through a file, and what a test provoked."""
        path = self.folder / "errors"
        lines = path.read_text("utf-8", "replace").splitlines() if path.exists() else []
        fine = ("buffered to a temporary file", *expected)
        return [line for line in lines if not any(words in line for words in fine)]


class Activated:
    """The service as systemd runs it: it is handed sockets that were there before it and stay after it."""

    def __init__(self, *more: int, **settings: str):
        """more: further ports with a socket each. settings: variables for the service."""
        self._settings = settings
        self._listeners = [socket.create_server(("127.0.0.1", port), backlog=1024) for port in (0, *more)]
        self.port = self._listeners[0].getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}"
        self._said = tempfile.TemporaryFile("w+b")  # noqa: SIM115 - closed at the end of the block
        self.process: subprocess.Popen | None = None

    def start_service(self) -> None:
        # What starts becomes gunicorn, so LISTEN_PID is gunicorn's own number; the sockets are 3 and up. In
        # ascending order none is overwritten before it is moved.
        handing_over = (
            "import os, sys; numbers = sys.argv[1].split(','); "
            "[os.dup2(int(number), 3 + at) for at, number in enumerate(numbers)]; "
            "os.environ.update(LISTEN_PID=str(os.getpid()), LISTEN_FDS=str(len(numbers))); "
            "os.execv(sys.executable, [sys.executable, *sys.argv[2:]])"
        )
        numbers = [listener.fileno() for listener in self._listeners]
        assert numbers == sorted(numbers)
        self.process = subprocess.Popen(
            [
                sys.executable,
                "-c",
                handing_over,
                ",".join(map(str, numbers)),
                "-m",
                "gunicorn",
                "--config",
                "deploy/gunicorn.conf.py",
            ],
            cwd=ROOT,
            env=environment(**self._settings),
            pass_fds=numbers,
            stdin=subprocess.DEVNULL,
            stdout=self._said,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )

    def stop_service(self) -> int:
        """Its exit status."""
        self.process.send_signal(signal.SIGTERM)
        return self.process.wait(STOP_S)

    def output(self) -> str:
        return os.pread(self._said.fileno(), os.fstat(self._said.fileno()).st_size, 0).decode(
            "utf-8", "replace"
        )

    def __enter__(self) -> "Activated":
        self.start_service()
        return self

    def __exit__(self, kind, error, trace) -> None:
        if self.process.poll() is None:
            self.stop_service()
        for listener in self._listeners:
            listener.close()
        self._said.close()

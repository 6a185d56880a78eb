"""The programs that tests need beside Python: where they are, and how Debian installs them.

Usage: python tests/tools.py chromium ...   installs what is missing, or says how and fails.
"""

import os
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path


class ToolMissing(RuntimeError):
    """A program that a test needs and this machine lacks."""


@dataclass(frozen=True, slots=True)
class Tool:
    variable: str  # an environment variable that may name the program
    programs: tuple[str, ...]  # its possible names, the one that the packages bring first
    packages: tuple[str, ...]  # what Debian calls it
    # The place of the program in its package, if only that is taken out: a package may start a server.
    taken_from: str = ""


TOOLS = {
    # The headless shell is the same engine without windows and takes half of the processor time of the whole
    # browser. A page can't be looked at without a font.
    "chromium": Tool(
        "TESTS_CHROMIUM",
        ("chromium-headless-shell", "chromium", "chromium-browser"),
        ("chromium-headless-shell", "fonts-dejavu-core"),
    ),
    "firefox": Tool("TESTS_FIREFOX", ("firefox-esr", "firefox"), ("firefox-esr",)),
    # WebKitGTK's driver, the browser that it drives, and the screen that this is shown on.
    "webkit": Tool("TESTS_WEBKIT", ("WebKitWebDriver",), ("webkit2gtk-driver",)),
    "minibrowser": Tool("TESTS_MINIBROWSER", ("MiniBrowser",), ("webkit2gtk-driver",)),
    "xvfb": Tool("TESTS_XVFB", ("Xvfb",), ("xvfb",)),
    # The TypeScript client made from the document: 18.17 or newer.
    "node": Tool("TESTS_NODE", ("node", "nodejs"), ("nodejs",)),
    "npm": Tool("TESTS_NPM", ("npm",), ("npm",)),
    "nginx": Tool("TESTS_NGINX", ("nginx",), ("nginx",)),
    "openssl": Tool("TESTS_OPENSSL", ("openssl",), ("openssl",)),
    "systemd-analyze": Tool("TESTS_SYSTEMD_ANALYZE", ("systemd-analyze",), ("systemd",)),
    "redis": Tool("TESTS_REDIS", ("redis-server",), ("redis-server",)),
    "promtool": Tool("TESTS_PROMTOOL", ("promtool",), ("prometheus",), "usr/bin/promtool"),
}
TAKEN_OUT = Path(__file__).resolve().parent / "deploy" / "build"


def _path() -> str:
    """Where to look: Debian keeps daemons, and WebKitGTK's browser, where an ordinary PATH does not."""
    browsers = sorted(map(str, Path("/usr/lib").glob("*/webkit2gtk-4.*")))
    return os.pathsep.join((os.environ.get("PATH", ""), "/usr/sbin", "/sbin", *browsers, str(TAKEN_OUT)))


def find(name: str) -> str:
    """The path of the program, or ToolMissing with what to install or to set."""
    tool = TOOLS[name]
    named = os.environ.get(tool.variable)
    candidates = (named,) if named else tool.programs
    for candidate in candidates:
        if found := shutil.which(candidate, path=_path()):
            return found
    if named:
        raise ToolMissing(f"{tool.variable} names {named!r}, which is no program here.")
    raise ToolMissing(
        f"{name} is needed and was not found.\n"
        f"On Debian: apt-get install {' '.join(tool.packages)}\n"
        f"Elsewhere, name the program: {tool.variable}=/path/to/{tool.programs[0]}"
    )


def _is_missing(name: str) -> bool:
    """Whether the program is to be installed; one that was named by hand and isn't there is a mistake."""
    tool = TOOLS[name]
    if os.environ.get(tool.variable):
        find(name)
        return False
    return shutil.which(tool.programs[0], path=_path()) is None


def _as_root() -> list[str] | None:
    """What to put before a command to run it as root without being asked; None: can't."""
    if os.geteuid() == 0:
        return []
    if shutil.which("sudo") and subprocess.run(["sudo", "-n", "true"], capture_output=True).returncode == 0:
        return ["sudo", "-n"]
    return None


def _take_out(tool: Tool) -> None:
    """Download a tool's package, and take its program out of it and nothing else."""
    TAKEN_OUT.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        apt = ["apt-get", "-qq", "-o", "APT::Sandbox::User=root", "download"]
        subprocess.run([*apt, *tool.packages], cwd=folder, stdin=subprocess.DEVNULL)
        for package in Path(folder).glob("*.deb"):
            whole = Path(folder, "whole")
            subprocess.run(["dpkg-deb", "--extract", package, whole], stdin=subprocess.DEVNULL)
            if (program := whole / tool.taken_from).is_file():
                # Only whole at its place: another run may look for it meanwhile.
                shutil.copy(program, TAKEN_OUT / f".{program.name}.{os.getpid()}")
                os.replace(TAKEN_OUT / f".{program.name}.{os.getpid()}", TAKEN_OUT / program.name)


def install(names: list[str]) -> None:
    """Installs the tools that are missing; ToolMissing when that can't be done and nothing else will do."""
    missing = [name for name in names if _is_missing(name)]
    wanted = [TOOLS[name] for name in missing]
    packages = dict.fromkeys(package for tool in wanted if not tool.taken_from for package in tool.packages)
    root = _as_root()
    if missing and root is not None and shutil.which("apt-get"):
        named = packages or dict.fromkeys(package for tool in wanted for package in tool.packages)
        print(f"Installing {' '.join(named)} with apt-get ...", flush=True)
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        apt = [*root, "apt-get", "-qq", "-o", "DPkg::Lock::Timeout=300"]
        # A list that can't be refreshed is no failure yet: the package may be known already.
        subprocess.run([*apt, "update"], env=quiet, stdin=subprocess.DEVNULL)
        if packages:
            done = subprocess.run(
                [*apt, "install", "--yes", "--no-install-recommends", *packages],
                env=quiet,
                stdin=subprocess.DEVNULL,
                stdout=subprocess.PIPE,
                text=True,
            )
            if done.returncode != 0:
                print(done.stdout, file=sys.stderr)
        for tool in wanted:
            if tool.taken_from:
                _take_out(tool)
    for name in missing:
        find(name)


if __name__ == "__main__":
    try:
        install(sys.argv[1:])
    except ToolMissing as missing:
        sys.exit(f"{Path(sys.argv[0]).name}: {missing}")

"""Install a file of pinned requirements into .venv; standard library only.

Usage: python deploy/environment.py deploy/requirements.txt

Does nothing if they are already installed. Two starts at the same time take turns. An incomplete
environment, or one whose Python is missing or has changed, is created again.
"""

import fcntl
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv"
PYTHON = ENVIRONMENT / "bin" / "python"
# Present during an installation. If a later start finds it, the installation was interrupted.
UNFINISHED = ENVIRONMENT / "unfinished"


def say(text: str) -> None:
    print(text, flush=True)


def stamp(requirements: Path) -> Path:
    """The copy of ``requirements`` from the last complete installation."""
    return ENVIRONMENT / "installed" / requirements.relative_to(ROOT)


def is_sound() -> bool:
    """Whether .venv is complete, and its Python runs, finds pip and has the requested version."""
    if UNFINISHED.exists():
        return False
    probe = "import pip, sys; print(*sys.version_info[:2])"
    try:
        answer = subprocess.run([PYTHON, "-c", probe], capture_output=True, text=True, timeout=60)
    except OSError:
        return False
    if answer.returncode != 0:
        return False
    version = tuple(map(int, answer.stdout.split()))
    asked_for = os.environ.get("PYTHON")
    return version == sys.version_info[:2] if asked_for else version >= (3, 11)


def make() -> None:
    say(f"Making the environment .venv with Python {sys.version.split()[0]} ...")
    if ENVIRONMENT.is_symlink():
        ENVIRONMENT.unlink()
    elif ENVIRONMENT.exists():
        shutil.rmtree(ENVIRONMENT)
    ENVIRONMENT.mkdir()
    UNFINISHED.touch()
    subprocess.run([sys.executable, "-m", "venv", ENVIRONMENT], check=True)


def install(requirements: Path) -> None:
    pinned = sum("==" in line for line in requirements.read_text("utf-8").splitlines())
    say(f"Installing {pinned} pinned packages from {requirements.relative_to(ROOT)} ...")
    UNFINISHED.touch()
    subprocess.run(
        [
            PYTHON,
            "-m",
            "pip",
            "--disable-pip-version-check",
            "install",
            "-qq",
            "--no-input",
            "--no-deps",
            "--require-hashes",
            "--no-compile",
            "--requirement",
            requirements,
        ],
        check=True,
        stdin=subprocess.DEVNULL,
    )
    # On all cores; pip would use one. A file that can't be compiled is not for this Python, nor imported.
    compileall = [PYTHON, "-m", "compileall", "-qq", "-j", "0", ENVIRONMENT / "lib"]
    subprocess.run(compileall, stdin=subprocess.DEVNULL)
    stamp(requirements).parent.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(requirements, stamp(requirements))
    UNFINISHED.unlink()


def bring_up_to(requirements: Path) -> None:
    if not is_sound():
        make()
    installed = stamp(requirements)
    if not installed.is_file() or installed.read_bytes() != requirements.read_bytes():
        install(requirements)


def main() -> None:
    requirements = (ROOT / sys.argv[1]).resolve()
    # The lock is on the root folder itself: it leaves no file behind and ends with the process.
    turn = os.open(ROOT, os.O_RDONLY)
    try:
        fcntl.flock(turn, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        say("Another start is preparing .venv; waiting for it ...")
        fcntl.flock(turn, fcntl.LOCK_EX)
    try:
        bring_up_to(requirements)
    except subprocess.CalledProcessError as failure:
        sys.exit(
            f"The environment could not be made (the lines above say why; the first time it needs "
            f"the network): {Path(failure.cmd[0]).name} ended with status {failure.returncode}."
        )
    except OSError as failure:
        sys.exit(f"The environment could not be made: {failure}")
    except KeyboardInterrupt:
        sys.exit("Stopped before the environment was ready; the next start creates it again.")


if __name__ == "__main__":
    main()

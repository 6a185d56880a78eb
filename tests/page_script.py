"""A script in Node over modules of the page: what it makes of what it is given."""

import json
import subprocess
from pathlib import Path
from typing import Any

import tools


def run_script(folder: Path, script: str, given: Any = None) -> Any:
    """What a script prints as JSON. folder: has the page's modules; given: its standard input, as JSON."""
    (folder / "package.json").write_text('{"type": "module"}')
    (folder / "script.js").write_text(script)
    done = subprocess.run(
        [tools.find("node"), "script.js"],
        cwd=folder,
        text=True,
        timeout=120,
        input=json.dumps(given),
        capture_output=True,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)

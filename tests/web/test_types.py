"""The TypeScript compiler checks web/, with the types of web/types.d.ts and of the document."""

import subprocess
from pathlib import Path

import npm
import tools

HERE = Path(__file__).parent
MISSPELT = """/** Seen only while the compiler really checks. @param {Bench} bench */
export const misspelt = (bench) => bench.anwsers;
"""


def test_every_module_uses_what_it_shares_as_it_is():
    build = HERE / "build"
    npm.write_types(build / "schema.ts")
    (build / "misspelt.js").write_text(MISSPELT)
    done = subprocess.run(
        [
            tools.find("node"),
            npm.node_modules() / "typescript/bin/tsc",
            "--project",
            HERE,
            "--pretty",
            "false",
        ],
        cwd=HERE,
        capture_output=True,
        text=True,
        timeout=300,
        stdin=subprocess.DEVNULL,
    )
    errors = [line for line in done.stdout.splitlines() if not line.startswith(" ")]
    assert errors == [
        "build/misspelt.js(2,42): error TS2551: Property 'anwsers' does not exist on type 'Bench'. "
        "Did you mean 'answers'?"
    ], done.stdout + done.stderr

"""The TypeScript compiler checks web/ with the types of web/types.d.ts and of the document."""

import subprocess
from pathlib import Path

import npm
import tools

HERE = Path(__file__).parent
MISSPELT = """/** Seen only while the compiler really checks. @param {Bench} bench */
export const misspelt = (bench) => bench.anwsers;
"""


def errors_of(project: str) -> list[str]:
    done = subprocess.run(
        [tools.find("node"), npm.node_modules() / "typescript/bin/tsc", "-p", project, "--pretty", "false"],
        cwd=HERE,
        capture_output=True,
        text=True,
        timeout=300,
        stdin=subprocess.DEVNULL,
    )
    assert done.stderr == ""
    return [line for line in done.stdout.splitlines() if not line.startswith(" ")]


def test_every_module_uses_shared_objects_by_their_types():
    build = HERE / "build"
    npm.write_types(build / "schema.ts")
    (build / "misspelt.js").write_text(MISSPELT)
    assert errors_of("tsconfig.json") == [
        "build/misspelt.js(2,42): error TS2551: Property 'anwsers' does not exist on type 'Bench'. "
        "Did you mean 'answers'?"
    ]


def test_the_service_worker_uses_what_workers_have():
    assert errors_of("worker.json") == []

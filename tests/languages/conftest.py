"""The page's own modules, asked through Node."""

import json
import shutil
import subprocess
from pathlib import Path

import pytest

import tools
from running import ROOT

SCRIPT = Path(__file__).with_name("texts.mjs")


@pytest.fixture(scope="module")
def web(tmp_path_factory) -> Path:
    """The page's files where Node reads them as modules, plus a language with only two texts."""
    folder = tmp_path_factory.mktemp("page") / "web"
    shutil.copytree(ROOT / "web", folder)
    (folder / "package.json").write_text('{"type": "module"}')
    begun = folder / "messages" / "fr"
    begun.mkdir()
    (begun / "page.js").write_text('export default { working: { title: "Le calcul" } };')
    (begun / "more.js").write_text('export default { working: { sources: "Sources consultées" } };')
    (begun / "series.js").write_text("export default {};")
    (begun / "notes.js").write_text("export default {};")
    (folder / "messages" / "zh-HK.js").write_text('export default { tonight: { tin: "方包模" } };')
    return folder


@pytest.fixture(scope="module")
def ask(web):
    """ask("languages") -> the answer of the page's modules."""
    (messages,) = web.rglob("messages.js")

    def run(what, **given):
        done = subprocess.run(
            [tools.find("node"), SCRIPT, messages],
            cwd=web,
            text=True,
            timeout=120,
            input=json.dumps({"what": what, **given}),
            capture_output=True,
            env={"TEXTS": str(web / "messages")},
        )
        assert done.returncode == 0, done.stderr
        return json.loads(done.stdout)

    return run

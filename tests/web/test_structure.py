"""The structure of web/: folders in layers, no import cycles, preloads that match the imports."""

import re
from graphlib import TopologicalSorter
from pathlib import Path

from icons import ICONS
from running import ROOT

WEB = ROOT / "web"
MODULES = {file.relative_to(WEB).as_posix(): file.read_text("utf-8") for file in sorted(WEB.rglob("*.js"))}
# The order of web/README.md: a folder imports only itself and those after it.
LAYERS = ["", "demo", "page", "panel", "sections", "state", "messages", "service", "ui"]
PUBLIC = {
    *(
        "index.html",
        "embed.html",
        "docs.html",
        "docs.js",
        "sw.js",
        "panel.js",
        "icon.svg",
        "manifest.webmanifest",
    ),
    *ICONS,
}
MOST_LINES = 450


def imported(path: str, pattern: str) -> set[str]:
    """The modules that a module imports, as paths below web/."""
    folder = (WEB / path).parent
    code = re.sub(r"/\*.*?\*/", "", MODULES[path], flags=re.DOTALL)
    return {(folder / name).resolve().relative_to(WEB).as_posix() for name in re.findall(pattern, code)}


STATIC = {
    path: imported(path, r'(?m)^(?:import (?:\{[^}]*\} from )?|\} from )"(\.[^"]+)"') for path in MODULES
}
ALL = {path: STATIC[path] | imported(path, r'import\("(\.[^"]+)"\)') for path in MODULES}


def test_imports_name_files_and_make_no_circle():
    assert sum(map(len, ALL.values())) > 100
    assert not {name for names in ALL.values() for name in names} - MODULES.keys()
    assert set(TopologicalSorter(ALL).static_order()) == MODULES.keys()


def test_folders_import_only_those_below():
    def layer(path):
        return LAYERS.index(path.rpartition("/")[0])

    assert [(path, name) for path, names in ALL.items() for name in names if layer(path) > layer(name)] == []


def test_public_addresses_are_at_the_top_and_nothing_else():
    top = {file.name for file in WEB.iterdir() if file.is_file()}
    assert top == PUBLIC | {"README.md", "types.d.ts", "types-log.d.ts"}


def test_the_page_preloads_what_it_imports():
    needed, found = {"page/start.js", "page/main.js"}, set()
    while needed:
        found |= needed
        needed = {name for path in needed for name in STATIC[path]} - found
    html = (WEB / "index.html").read_text("utf-8")
    preloaded = set(re.findall(r'<link rel="modulepreload" href="([^"]+)">', html))
    assert preloaded == (found - {"page/start.js"}) | {"messages/en/page.js"}


def test_files_are_short_enough_to_read():
    long = {
        path: text.count("\n")
        for path, text in MODULES.items()
        if text.count("\n") > MOST_LINES and not Path(path).match("messages/*")
    }
    assert long == {}

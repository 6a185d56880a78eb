"""The structure of web/: folders in layers, no import cycles, preloads that match the imports."""

import json
import posixpath
import re
import subprocess
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

import tools
from icons import ICONS
from running import ROOT
from scaldloaf.http.joined import Joined, _name
from scaldloaf.http.pages import PAGE, PANEL

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


# The forms that joining knows, each at the start of its line.
IMPORTS = re.compile(r'import (?:\{[^}]*\} from )"\.[^"]+";\n')
EXPORTS = re.compile(r"export (?:(?:async )?function \w+\(|class \w+ (?:extends \w+ )?\{|const \w+ = )")


PAGES = {"page": PAGE, "panel": PANEL}
# What its page names, and no module loads.
OWN_ADDRESS = {"page": {"page/start.js"}, "panel": {"panel.js", "panel/embed.js"}}


def test_modules_keep_to_the_forms_that_are_joined():
    joined = {path for folder, starts in PAGES.items() for path in Joined(MODULES, starts, folder).modules}
    for path in joined:
        code = re.sub(r"/\*.*?\*/", "", MODULES[path], flags=re.DOTALL)
        assert MODULES[path].startswith("/** "), path
        # import.meta would be that of the joined file.
        assert path in OWN_ADDRESS["panel"] or "import.meta" not in code, path
        for start in re.finditer(r"^(?:import|export) ", code, re.MULTILINE):
            form = IMPORTS if start[0] == "import " else EXPORTS
            assert form.match(code, start.start()), f"{path}: {code[start.start() :].splitlines()[0]}"
        for said in re.findall(r"\bimport\([^)]*\)", code):
            assert re.fullmatch(r'import\((?:"\./[^"]+"|"\.\./[^"]+"|`\./\$[^`]+`)\)', said), (
                f"{path}: {said}"
            )


@pytest.mark.parametrize("folder", PAGES)
def test_no_joined_file_has_the_address_of_a_module_that_others_load(folder):
    """A page from before modules were joined, which loads its parts one after the other, still finds them."""
    files = Joined(MODULES, PAGES[folder], folder).files()
    assert files.keys() & MODULES.keys() == OWN_ADDRESS[folder]


# Modules by path and files by path -> what each module exports, by path. Nothing runs.
READ = """import { posix } from "node:path";
import { text } from "node:stream/consumers";
import { SourceTextModule } from "node:vm";
const { modules, files } = JSON.parse(await text(process.stdin));
async function linked(sources) {
  const all = Object.fromEntries(Object.entries(sources).map(
    ([identifier, source]) => [identifier, new SourceTextModule(source, { identifier })]));
  const found = (address, from) => all[posix.join(posix.dirname(from.identifier), address)];
  for (const each of Object.values(all)) if (each.status === "unlinked") await each.link(found);
  return Object.entries(all);
}
await linked(files);
const names = (module) => Reflect.ownKeys(module.namespace).filter((name) => typeof name === "string");
const exported = Object.fromEntries((await linked(modules)).map(([path, module]) => [path, names(module)]));
console.log(JSON.stringify(exported));
"""


@pytest.mark.parametrize("folder", PAGES)
def test_joined_files_can_be_read_and_have_all_that_their_modules_export(folder):
    """As Node reads them: names that an import lacks, or a form that was not joined, are a fault."""
    joined = Joined(MODULES, PAGES[folder], folder)
    files = joined.files()
    said = subprocess.run(
        [tools.find("node"), "--experimental-vm-modules", "--no-warnings", "--input-type=module", "-e", READ],
        input=json.dumps({"modules": MODULES, "files": files}),
        capture_output=True,
        text=True,
        check=False,
    )
    assert not said.returncode, said.stderr
    exported = json.loads(said.stdout)
    kept = {}
    for source in files.values():
        kept |= re.findall(r"(?s)const (\$\w+)=\(\(\)=>\{.*?\nreturn\{([^}]*)\}\}\)\(\);", source)
    assert kept.keys() == {_name(path) for path in joined.modules}
    for path in joined.modules:
        assert {*kept[_name(path)].split(",")} - {""} == {*exported[path]}, path


@pytest.mark.parametrize("folder", PAGES)
def test_joined_files_have_what_others_take_from_them(folder):
    joined = Joined(MODULES, PAGES[folder], folder)
    files = joined.files()
    exported = {
        path: set(re.search(r"export\{(.*)\};$", source)[1].split(",")) for path, source in files.items()
    }
    assert sum(map(len, exported.values())) == len(joined.modules) > len(files)
    circles = TopologicalSorter()
    for path, source in files.items():
        circles.add(path)
        for names, address in re.findall(r'^import\{([^}]*)\}from"([^"]+)";', source, re.MULTILINE):
            other = posixpath.normpath(posixpath.join(posixpath.dirname(path), address))
            assert set(names.split(",")) <= exported[other], f"{path} of {other}"
            circles.add(path, other)
        for address, name in re.findall(r'import\("([^"]+)"\)\.then\(m=>m\.([$\w]+)\)', source):
            assert name in exported[posixpath.normpath(posixpath.join(posixpath.dirname(path), address))]
        assert len(re.findall(r'import\("', source)) == len(
            re.findall(r'import\("[^"]+"\)\.then\(m=>m', source)
        )
    circles.prepare()


def test_joined_modules_have_what_they_export(tmp_path):
    """Node loads what was joined, and gets what the modules themselves export."""
    modules = {
        "one.js": """/** One. */

import { half as part, Part } from "./parts/two.js";

export const TEXT = "an import { x } from \\"./x.js\\" in a text // no comment";
export async function later() { return (await import("./parts/three.js")).three(); }
export const one = () => part(2) + new Part().size;
""",
        "parts/two.js": """/** Two. */

import { three } from "./three.js";

export function half(size) { return size / 2; }
export class Part { size = three().length; }
""",
        "parts/three.js": """/** Three. */

const NAMES = ["a", "b", "c"];      // of its own
export const three = () => NAMES;
""",
    }
    files = Joined(modules, [["one.js"]], "parts").files()
    assert set(files) == {"one.js"}
    (tmp_path / "one.mjs").write_text(files["one.js"].replace("./one.js", "./one.mjs"))
    code = """import { $one } from "./one.mjs";
console.log(JSON.stringify([$one.TEXT, $one.one(), await $one.later(), Object.keys($one)]));"""
    (tmp_path / "said.mjs").write_text(code)
    said = subprocess.run(
        [tools.find("node"), tmp_path / "said.mjs"], capture_output=True, text=True, check=True
    )
    text = 'an import { x } from "./x.js" in a text // no comment'
    assert json.loads(said.stdout) == [text, 4, ["a", "b", "c"], ["TEXT", "later", "one"]]


def test_the_page_preloads_what_it_imports():
    html = (WEB / "index.html").read_text("utf-8")
    preloaded = set(re.findall(r'<link rel="modulepreload" href="([^"]+)">', html))
    assert preloaded == {"page/page-main.js", "messages/en/page.js"}
    first = Joined(MODULES, PAGE, "page").files()["page/page-main.js"]
    assert not re.search(r"^import\b", first, re.MULTILINE)


def test_files_are_short_enough_to_read():
    long = {
        path: text.count("\n")
        for path, text in MODULES.items()
        if text.count("\n") > MOST_LINES and not Path(path).match("messages/*")
    }
    assert long == {}

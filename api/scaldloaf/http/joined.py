"""Joins the modules of ``web/`` into the few files that a browser loads.

The page has about a hundred modules, and a phone waits for each that it asks for. So what a page needs at one
time comes as one file. In it a module is a function that is called once and returns what the module exports,
behind those that it needs itself. No module is in two files of a page, or it would be there twice, with its
state. Comments and indents are left out.

The modules keep to a few forms (tests/web/test_structure.py): each begins with a comment, imports names from
a relative address, and exports a function, a class or a const where it is declared; they make no circle.
"""

import posixpath
import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence, Set

from rjsmin import jsmin  # type: ignore[import-untyped]

# Each begins with the start of its line, in the pattern too: that makes finding it fast.
IMPORT = re.compile(r'\nimport \{([^}]*)\} from "(\.[^"]+)";')
EXPORT = re.compile(r"\nexport (?=(?:async )?(?:function|class|const) (\w+))")
# What a module loads when it needs it: import("./x.js"), or import(`./${language}.js`).
LOAD = re.compile(r'\bimport\("(\.[^"]+)"\)')
LOAD_SOME = re.compile(r"\bimport\(`(\.[^`$]*)")


def _at(module: str, address: str) -> str:
    """The path of what a module names by a relative address."""
    return posixpath.normpath(posixpath.join(posixpath.dirname(module), address))


def _seen_from(file: str, path: str) -> str:
    """The relative address of a path, as a file names it."""
    found = posixpath.relpath(path, posixpath.dirname(file) or ".")
    return found if found.startswith(".") else f"./{found}"


def _name(module: str) -> str:
    """The name by which other modules have what a module exports."""
    return "$" + re.sub(r"\W", "_", module.removesuffix(".js"))


class Joined:
    """The files of one page.

    ``modules``: path -> source, of all pages. ``starts``: the modules that are loaded at one time, in the
    order of these times. Each start is a file with all that it imports, as far as that is in no file before
    it. Whatever a module loads later is a file too, and so is what several of those import. ``folder``: where
    the files are. Only a start that no module loads keeps its address, because a page names it. No other file
    has the address of a module: a page that was opened before the modules were joined still finds those.
    """

    def __init__(self, modules: Mapping[str, str], starts: Sequence[Sequence[str]], folder: str):
        self._modules = modules
        self._imports = {
            path: [_at(path, address) for _, address in IMPORT.findall(source)]
            for path, source in modules.items()
        }
        self._folder = folder
        self._file_of: dict[str, str] = {}
        firsts = [start[0] for start in starts]
        loaded = self._loaded_after(firsts)
        self._named_by_pages = {*firsts} - loaded.keys()
        for start in starts:
            self._take(start)
        later = [each for each in loaded if each not in self._file_of]
        for each in [*self._imported_by_several(later), *later]:
            self._take([each])

    def _loaded_after(self, starts: Iterable[str]) -> dict[str, None]:
        """What modules load some time after these."""
        loaded: dict[str, None] = {}
        found, waiting = set(), list(starts)
        while waiting:
            module = waiting.pop(0)
            if module in found:
                continue
            found.add(module)
            # Comments name modules in the same way, for the types in them.
            loads = [_at(module, address) for address in LOAD.findall(jsmin(self._modules[module]))]
            loaded.update(dict.fromkeys(loads))
            waiting += [*self._imports[module], *loads]
        return loaded

    def _with_imports(self, module: str) -> list[str]:
        """A module behind all that it imports, as far as that is in no file yet."""
        found: dict[str, None] = {}

        def add(each: str) -> None:
            if each not in found and each not in self._file_of:
                for imported in self._imports[each]:
                    add(imported)
                found[each] = None

        add(module)
        return list(found)

    def _imported_by_several(self, later: Sequence[str]) -> list[str]:
        """What is in no file yet and belongs to more than one, behind what it imports itself."""
        counted = Counter(each for module in later for each in self._with_imports(module))
        return [each for each, count in counted.items() if count > 1]

    def _take(self, start: Sequence[str]) -> None:
        """Makes a file of these modules and what they import, as far as that is in no file yet."""
        first = start[0]
        is_named = first in self._named_by_pages
        file = first if is_named else f"{self._folder}/{first.replace('/', '-')}"
        for module in start:
            for each in self._with_imports(module):
                self._file_of[each] = file

    @property
    def modules(self) -> Set[str]:
        """The modules that are in a file."""
        return self._file_of.keys()

    def files(self) -> dict[str, str]:
        """Path -> source, of each file."""
        inside: dict[str, list[str]] = {}
        for module, file in self._file_of.items():
            inside.setdefault(file, []).append(module)
        return {file: self._file(file, modules) for file, modules in inside.items()}

    def _file(self, file: str, modules: Sequence[str]) -> str:
        imported: dict[str, dict[str, None]] = {}
        for module in modules:
            for each in self._imports[module]:
                if (other := self._file_of[each]) != file:
                    imported.setdefault(other, {})[_name(each)] = None
        imports = [
            f'import{{{",".join(names)}}}from"{_seen_from(file, other)}";'
            for other, names in imported.items()
        ]
        exports = f"export{{{','.join(map(_name, modules))}}};"
        return "\n".join([*imports, *(self._as_constant(module, file) for module in modules), exports])

    def _as_constant(self, module: str, file: str) -> str:
        """A module as a constant, which has what the module exports, by name."""

        def take(found: re.Match[str]) -> str:
            names = found[1].replace(" as ", ":")
            return f"\nconst{{{names}}}={_name(_at(module, found[2]))};"

        def load(found: re.Match[str]) -> str:
            path = _at(module, found[1])
            return f'import("{_seen_from(file, self._file_of[path])}").then(m=>m.{_name(path)})'

        def load_some(found: re.Match[str]) -> str:
            return f"import(`{_seen_from(file, _at(module, found[1]))}/"

        source = self._modules[module]
        exported = ",".join(EXPORT.findall(source))
        body = jsmin(EXPORT.sub("\n", IMPORT.sub(take, source)))
        body = LOAD_SOME.sub(load_some, LOAD.sub(load, body))
        return f"const {_name(module)}=(()=>{{{body}\nreturn{{{exported}}}}})();"

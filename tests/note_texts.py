"""The tables of the texts of notes, by the module that has them."""

from importlib import import_module
from pkgutil import iter_modules

from scaldloaf import operations
from scaldloaf.operations import working

MODULES = [
    import_module(f"{package.__name__}.{module.name}")
    for package in (operations, working)
    for module in iter_modules(package.__path__)
]
TABLES = {module.__name__: module.TEXTS for module in MODULES if hasattr(module, "TEXTS")}

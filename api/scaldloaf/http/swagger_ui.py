"""The renderer of /docs: files from the package flask-swagger-ui, and the notices that belong to them.

The package's own page starts the renderer with an inline script, which the content policy forbids, so
``web/docs.html`` and ``web/docs.js`` start it instead. The package also leaves out the licence file of its
bundle, so ``/docs/notices.txt`` is written from ``bundled.toml`` and licence texts that are installed here.
"""

from importlib.metadata import distribution
from importlib.resources import files
from typing import Any

import tomli

from scaldloaf.http import pages

RENDERER = ("swagger-ui-bundle.js", "swagger-ui.css")
# Installed packages that bring the plain text of a licence: the file, and how that text begins in it.
TEXTS = {
    "Apache-2.0": ("packaging", "LICENSE.APACHE", ""),
    "BSD-2-Clause": ("packaging", "LICENSE.BSD", "Redistribution and use"),
    "BSD-3-Clause": ("flask", "LICENSE.txt", "Redistribution and use"),
    "MIT": ("orjson", "LICENSE-MIT", "Permission is hereby granted"),
}


def renderer() -> dict[str, pages.Body]:
    """Path below / -> file. They are large, so they are read when they are first asked for."""
    folder = files("flask_swagger_ui") / "dist"
    return {
        **{
            f"docs/{name}": pages.Body((folder / name).read_bytes, pages.TYPES[name[name.rindex(".") :]])
            for name in RENDERER
        },
        "docs/notices.txt": pages.Body(lambda: notices().encode(), pages.TYPES[".txt"]),
    }


def bundled() -> dict[str, Any]:
    """What is inside the renderer."""
    return tomli.loads(files("scaldloaf.http").joinpath("bundled.toml").read_text("utf-8"))


def licence_text(licence: str) -> str:
    """The text of a licence, without a copyright line."""
    package, name, beginning = TEXTS[licence]
    for file in distribution(package).files or ():
        if file.name == name:
            text = file.read_text("utf-8")
            return text[text.index(beginning) :].strip("\n")
    raise LookupError(f"{package} brings no {name}")


def notices() -> str:
    """The notices of the renderer, as plain text."""
    bundle = bundled()
    rows = [bundle, *bundle["parts"]]
    told = [
        "The page /docs uses the following software, unchanged. It comes in swagger-ui-bundle.js and "
        "swagger-ui.css."
    ]
    for row in rows:
        version = f" {row['version']}" if "version" in row else ""
        told.append(
            f"{row['name']}{version} ({row['licence']})\n"
            + "\n".join(f"  Copyright (c) {holder}" for holder in row["copyright"])
        )
    told.append("The bundle was made of these packages: " + ", ".join(bundle["inside"]["packages"]) + ".")
    for licence in sorted({row["licence"] for row in rows}):
        told.append(f"{'=' * 80}\n{licence}\n{'=' * 80}\n\n{licence_text(licence)}")
    return "\n\n".join(told) + "\n"

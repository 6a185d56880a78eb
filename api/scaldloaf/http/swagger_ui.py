"""The renderer of /docs: files from the package flask-swagger-ui.

The package's own page starts the renderer with an inline script, which the content policy forbids, so
``web/docs.html`` and ``web/docs.js`` start it instead.
"""

from importlib.resources import files

from scaldloaf.http import pages

RENDERER = ("swagger-ui-bundle.js", "swagger-ui.css")


def renderer() -> dict[str, pages.Body]:
    """Path below / -> file. They are large, so they are read when they are first asked for."""
    folder = files("flask_swagger_ui") / "dist"
    return {
        f"docs/{name}": pages.Body((folder / name).read_bytes, pages.TYPES[name[name.rindex(".") :]])
        for name in RENDERER
    }

"""The page's own files: a template, a style, scripts, and the viewer from its Python package."""

from functools import lru_cache
from importlib.resources import files

from geomgen.documents.pressure_legend import pressure_legend
from geomgen.pages.gate_sheet import CAUTIONS
from geomgen.pages.templates import rendered

# The only files that are ever handed out, and what they are.
FILES = {
    "live.css": "text/css",
    "lines.css": "text/css",
    "live.js": "text/javascript",
    "bar.js": "text/javascript",
    "rows.js": "text/javascript",
    "ledger.js": "text/javascript",
    "panes.js": "text/javascript",
    "model.js": "text/javascript",
    "pointing.js": "text/javascript",
    "sending.js": "text/javascript",
    "field.js": "text/javascript",
    "fields.js": "text/javascript",
    "history.js": "text/javascript",
    "drawings.js": "text/javascript",
    "course.js": "text/javascript",
    "lines.js": "text/javascript",
    "handles.js": "text/javascript",
    "plotly.js": "text/javascript",
}


@lru_cache
def file_body(name: str) -> bytes:
    """Return one of the files in FILES; KeyError for any other name."""
    if name not in FILES:
        raise KeyError(name)
    if name == "plotly.js":
        from plotly.offline import get_plotlyjs

        return str(get_plotlyjs()).encode("utf-8")
    folder = "pages/page" if name == "bar.js" else "watching/live_page/page"
    return (files("geomgen") / folder / name).read_bytes()


def page_html(title: str, token: str) -> str:
    """Return the page; it fills itself from the stream."""
    name = "watching/live_page/page/live.html.j2"
    return rendered(name, title=title, token=token, cautions=CAUTIONS, legend=pressure_legend())

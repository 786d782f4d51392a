"""Templates of pages, filled; they and what they take in lie beside the files that fill them.

Written out by Jinja (BSD licence), looked for only when a page is made.
"""

import json
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from geomgen.verdicts.wording import raised

if TYPE_CHECKING:
    from markupsafe import Markup


def rendered(name: str, **values: Any) -> str:
    """Return a page; `name` is its template's path in the program. All values are only text.

    A template takes in another file with `file`, the viewer with `viewer`.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("geomgen", ""),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {"breakable": breakable, "raised": raised, "script_data": script_data}
    environment.globals |= {"file": _file, "viewer": _viewer}
    return environment.get_template(name).render(values)


def _file(name: str) -> "Markup":
    from markupsafe import Markup

    return Markup((files("geomgen") / name).read_text("utf-8"))


def _viewer() -> "Markup":
    from markupsafe import Markup
    from plotly.offline import get_plotlyjs

    return Markup(get_plotlyjs())


def script_data(values: Any) -> "Markup":
    r"""Return values as JSON for a script block: no `<` in it, so that nothing can end the block.

    >>> str(script_data(["</script>", 1]))
    '["\\u003c/script>",1]'
    """
    from markupsafe import Markup

    text = json.dumps(values, allow_nan=False, separators=(",", ":"))
    return Markup(text.replace("<", "\\u003c"))


def breakable(text: str) -> "Markup":
    """Return a dotted name that a narrow column may break, never within a word.

    >>> str(breakable("pod.wall_<b>"))
    'pod.<wbr>wall_<wbr>&lt;b&gt;'
    """
    from markupsafe import Markup, escape

    whole = str(escape(text))
    return Markup(whole.replace(".", ".<wbr>").replace("_", "_<wbr>"))

"""The sign of the projection method: the two views of a truncated cone, as ISO 5456-2 draws them.

The second view is the one from the cone's small end, from the left, so both its circles are seen.
In first angle projection it stands beyond the thing, to the right; in third angle, to the left.
"""

from geomgen.drafting.record import CENTRE, TEXT, Path, Point, circle, line

FIRST, THIRD = "first angle", "third angle"
METHODS = (FIRST, THIRD)
# Over the diameter of the small end: large end, length, from view to view, centre lines beyond.
LARGE, LONG, APART, BEYOND = 2.0, 2.0, 0.8, 0.3


def symbol(method: str, middle: Point, small: float) -> tuple[tuple[Path, ...], tuple[Path, ...]]:
    """Return outlines and centre lines [mm] of the sign; `small` is the small end's diameter.

    ValueError for a method that is none of METHODS.

    >>> outlines, centres = symbol("first angle", (0.0, 0.0), 4.0)
    >>> len(outlines), len(centres)
    (3, 3)
    """
    if method not in METHODS:
        raise ValueError(f"no projection {method!r}; there are {', '.join(METHODS)}")
    x, y = middle
    large, long, apart = LARGE * small, LONG * small, APART * small
    whole = long + apart + large
    left = x - whole / 2
    cone = left if method == FIRST else left + large + apart
    end = (left + long + apart if method == FIRST else left) + large / 2
    outline = (
        (cone, y - small / 2),
        (cone + long, y - large / 2),
        (cone + long, y + large / 2),
        (cone, y + small / 2),
    )
    out = BEYOND * small
    outlines = (
        Path(outline, (), True, TEXT, "cone from the side"),
        circle((end, y), small / 2, TEXT, "its small end"),
        circle((end, y), large / 2, TEXT, "its large end"),
    )
    centres = (
        line((cone - out, y), (cone + long + out, y), CENTRE),
        line((end - large / 2 - out, y), (end + large / 2 + out, y), CENTRE),
        line((end, y - large / 2 - out), (end, y + large / 2 + out), CENTRE),
    )
    return outlines, centres

"""A plate with a hole, a line and a trough, and what its pages say; for the tests of paper."""

import pdfplumber

from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import CAP, Drawing, Label, Path, circle, line, rectangle

TITLE = Title("Demo", "plate", "B", hand="left", fingerprint="abc123")
WRONG = Title("Demo", "plate", "B", reason="only a trial")


def plate(width, height):
    """Return a plate of a width and height [mm]."""
    return Drawing(
        "plate",
        (
            rectangle((-20, 5), (width - 20, height + 5)),
            circle((width / 3, height / 2), 6.0),
            line((0, 10), (40, 10)),
            Path(((0, 20), (40, 20), (40, 30), (0, 30)), layer=CAP),
        ),
        (Label((10, 12), "STA 1800"),),
    )


def words(path):
    """Return all that a PDF says."""
    with pdfplumber.open(path) as document:
        return " ".join(page.extract_text() for page in document.pages)

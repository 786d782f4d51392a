"""A border round a picture, so that no text at its edge is lost when it is fitted onto a page."""

from dataclasses import replace

from geomgen.drawings.record import REF, Drawing, rectangle
from geomgen.handoff.text_room import wide

START = {"start": 0.0, "middle": -0.5, "end": -1.0}


def bordered(drawing: Drawing, margin: float) -> Drawing:
    """Return the drawing in a rectangle that holds its lines and level text, `margin` [mm] off.

    >>> from geomgen.drawings.record import Label, line
    >>> plain = Drawing("", (line((0.0, 0.0), (5.0, 0.0)),), (Label((5.0, 0.0), "UP", 10.0),))
    >>> bordered(plain, 1.0).box()
    ((-1.0, -1.0), (25.0, 11.0))
    """
    (x0, y0), (x1, y1) = drawing.box()
    for label in drawing.labels:
        width = wide(label.text, label.height)
        left = label.at[0] + START[label.anchor] * width
        x0, x1 = min(x0, left), max(x1, left + width)
        y0, y1 = min(y0, label.at[1]), max(y1, label.at[1] + label.height)
    border = rectangle((x0 - margin, y0 - margin), (x1 + margin, y1 + margin), REF, "border")
    return replace(drawing, paths=(*drawing.paths, border))

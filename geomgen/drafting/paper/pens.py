"""With which line each layer is drawn on paper, the same in every file format.

Widths are those of ISO 128-2, in steps of the square root of two. The layers of the shops have
widths of their own, so that a printed page can be held to its drawing by them.
"""

from geomgen.drafting.record import (
    BEND,
    CAP,
    CENTRE,
    CUT,
    DIM,
    FORMER,
    HATCH,
    HIDDEN,
    NEW,
    OPEN,
    REF,
    SECTION,
    TEXT,
    VISIBLE,
)

Pen = tuple[float, tuple[float, ...]]
# Width [mm] and dashes [mm] of each layer of the shops.
SHOP_PENS: dict[str, Pen] = {
    CUT: (0.35, ()),
    CAP: (0.30, (4.0, 1.0, 0.5, 1.0)),
    BEND: (0.25, (6.0, 1.5)),
    REF: (0.18, (1.5, 1.0)),
    TEXT: (0.15, ()),
}
# Layers of views, in the order in which they are drawn: what matters most comes last, on top.
VIEW_PENS: dict[str, Pen] = {
    HATCH: (0.13, ()),
    HIDDEN: (0.18, (2.2, 0.8)),
    FORMER: (0.25, (3.0, 1.0)),
    CENTRE: (0.18, (4.3, 0.8, 0.4, 0.8)),
    OPEN: (0.70, ()),
    VISIBLE: (0.35, ()),
    NEW: (0.35, ()),
    SECTION: (0.50, ()),
    DIM: (0.18, ()),
}
PENS: dict[str, Pen] = SHOP_PENS | VIEW_PENS
ORDER = (*VIEW_PENS, *SHOP_PENS)


def filled(layer: str, closed: bool) -> bool:
    """Whether a path is filled: closed outlines of dimensions are, they are arrow heads.

    >>> filled(DIM, True), filled(CUT, True)
    (True, False)
    """
    return closed and layer == DIM

"""Lengths in what stands on paper: in mm, or where the builder counts in inches in these first.

Whoever writes a text tells lengths in mm with their unit, places as STA, BL or WL, columns of a
table with [mm] in their head. That it all is said in inches too is done here, once for every text.
"""

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar

from geomgen.length_words import METRE, ROUND, ROUND_IN_INCHES, in_both, inches_of, is_run

_INCHES: ContextVar[bool] = ContextVar("inches", default=False)


@contextmanager
def lengths_on_paper(inches: bool) -> Iterator[None]:
    """Have lengths of all papers that are made inside told in inches first, or in mm alone."""
    token = _INCHES.set(inches)
    try:
        yield
    finally:
        _INCHES.reset(token)


def in_inches() -> bool:
    """Return whether lengths are told in inches first where papers are made now."""
    return _INCHES.get()


def grid_step() -> float:
    """Return how far lines at round places stand apart [mm]: 100 mm, or 4 in as a builder counts.

    >>> with lengths_on_paper(True):
    ...     told(f"WL {7 * grid_step():g}")
    'WL 28 in / 711.2 mm'
    """
    return ROUND_IN_INCHES if in_inches() else ROUND


def told(text: str) -> str:
    """Return a text with its lengths [mm] as the builder counts; one that is so already stays.

    >>> with lengths_on_paper(True):
    ...     told("slab 3, 50 mm thick")
    'slab 3, 1.969 in / 50 mm thick'
    """
    return in_both(text) if in_inches() else text


def told_unit(unit: str) -> str:
    """Return a unit as a title block names it: that of lengths in both, where inches go first.

    >>> told_unit("mm")
    'mm'
    """
    return f"in / {unit}" if in_inches() and unit == "mm" else unit


UNITS = {"mm": 1.0, "m": METRE}
Rows = list[tuple[str, ...]]


def told_table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> tuple[tuple[str, ...], Rows]:
    """Return head and rows of a table as the builder counts: columns of [mm] or [m] in both.

    >>> with lengths_on_paper(True):
    ...     told_table(("no", "size [mm]"), [("1", "25.4 x 3"), ("2", "none")])
    (('no', 'size [in / mm]'), [('1', '1 x 0.118 / 25.4 x 3'), ('2', 'none')])
    """
    if not in_inches():
        return tuple(head), [tuple(row) for row in rows]
    names, factors = [], []
    for name in head:
        factor = next((factor for unit, factor in UNITS.items() if f"[{unit}]" in name), None)
        factors.append(factor)
        names.append(re.sub(r"\[(mm|m)\]", r"[in / \1]", name))
    return tuple(names), [
        tuple(_cell(cell, factor) for cell, factor in zip(row, factors, strict=True))
        for row in rows
    ]


def _cell(cell: str, factor: float | None) -> str:
    if factor is None or not is_run(cell):
        return told(cell)
    return f"{inches_of(cell, factor)} / {cell}"

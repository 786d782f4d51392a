"""The canopy's opening at full size, from the side and from above, with its sizes and lengths."""

from collections.abc import Sequence

import numpy as np

from geomgen.arrays import Floats
from geomgen.drafting.paper.full_size import full_size
from geomgen.drafting.record import REF, Dimension, Drawing, Label, Path
from geomgen.shops.product import ShopSheet
from geomgen.shops.skin_lines.curves import SkinLines
from geomgen.shops.skin_lines.planes import AFT_END, FORE_END, SILL

# Letters, and how far apart views and dimension lines stand [mm].
LETTERS, GAP, OFF = 5.0, 90.0, 30.0


def canopy_sheets(part: str, halves: Sequence[SkinLines]) -> list[ShopSheet]:
    """Return the sheet of the canopy's opening; none where a canopy has no edge on the skin."""
    runs = {name: _runs(halves, name) for name in (FORE_END, AFT_END, SILL)}
    if not all(runs.values()):
        return []
    drawing = _drawing(runs)
    note = "opening for the canopy in the skin: both views at full size"
    return [ShopSheet(f"canopy_opening_{part}", part, full_size(drawing), "", note)]


def _runs(halves: Sequence[SkinLines], name: str) -> list[Floats]:
    return [run for half in halves for line in half.lines if line.name == name for run in line.runs]


def _drawing(runs: dict[str, list[Floats]]) -> Drawing:
    every = np.concatenate([run for some in runs.values() for run in some])
    drop = every[:, 2].min() - GAP - every[:, 1].max()
    paths = [
        Path(_flat(run, axis, by), (), False, REF, name)
        for name, some in runs.items()
        for run in some
        for axis, by in ((2, 0.0), (1, drop))
    ]
    fore, aft, sill = (np.concatenate(runs[name]) for name in (FORE_END, AFT_END, SILL))
    left, right = float(every[:, 0].min()), float(every[:, 0].max())
    low, top = float(every[:, 2].min()), float(every[:, 2].max())
    first, last = sill[sill[:, 0].argmin()], sill[sill[:, 0].argmax()]
    sides = ((fore, left - OFF), (aft, right + OFF))
    dimensions = [
        Dimension(_at(first, 2, 0.0), _at(last, 2, 0.0), (left, low - OFF), 0.0, LETTERS),
        *(_span(line, 2, 0.0, x) for line, x in sides),
        *(_span(line, 1, drop, x) for line, x in sides),
    ]
    labels = [
        Label((left, top + 3 * LETTERS), "seen from the left, the nose to the left", LETTERS),
        Label(
            (left, drop + float(every[:, 1].max()) + 3 * LETTERS),
            "seen from above, the right-hand side up",
            LETTERS,
        ),
    ]
    lengths = ", ".join(
        f"{name.removeprefix('canopy, ')} {_length(runs[name], half):.1f} mm"
        for name, half in ((FORE_END, False), (AFT_END, False), (SILL, True))
    )
    notes = (
        f"measured along the skin: {lengths} a side",
        f"sill at WL {first[2]:.1f} at STA {first[0]:.1f}, WL {last[2]:.1f} at STA {last[0]:.1f}",
        "edge of the opening in the moulded surface; saw inside the line, file to it",
        "material: the moulded skin; datum: STA, BL, WL of the aircraft",
    )
    return Drawing("canopy opening", tuple(paths), tuple(labels), notes, tuple(dimensions))


def _flat(run: Floats, axis: int, by: float) -> tuple[tuple[float, float], ...]:
    return tuple(_at(point, axis, by) for point in run)


def _at(point: Floats, axis: int, by: float) -> tuple[float, float]:
    return (float(point[0]), float(point[axis]) + by)


def _span(line: Floats, axis: int, by: float, x: float) -> Dimension:
    """Return how far a line reaches along an axis, drawn upright beside it at `x` [mm]."""
    a, b = line[line[:, axis].argmin()], line[line[:, axis].argmax()]
    return Dimension(_at(a, axis, by), _at(b, axis, by), (x, float(a[axis]) + by), 90.0, LETTERS)


def _length(runs: Sequence[Floats], half: bool) -> float:
    whole = sum(float(np.linalg.norm(np.diff(run, axis=0), axis=1).sum()) for run in runs)
    return whole / 2 if half else whole

"""Sections of a part where it changed most, former and new over each other, at a scale that shows.

The section plane is the one across that axis along which the change reaches least, so that the
change lies in the plane.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats
from geomgen.comparison.shape_changes import PartChange
from geomgen.drafting.lettering import wrapped
from geomgen.drafting.paper.sheet import LETTERS
from geomgen.drafting.record import FORMER, NEW, TEXT, Drawing, Label, Path, rectangle
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.visibility.silhouette import DrawnBody, View, flat

# A section stands in a square; captions stand under it [mm of paper].
SQUARE, GAP, LINES = 42.0, 6.0, 3
# How long the largest distance is drawn at most [mm of paper].
DRAWN = 10.0
# Enlargements and reductions of ISO 5455: paper over real.
SHOWN = ((20, 1), (10, 1), (5, 1), (2, 1), (1, 1), (1, 2), (1, 5), (1, 10), (1, 20), (1, 50))
# Least distance that a section is worth being drawn for [mm].
WORTH = 0.02
ACROSS: tuple[View, ...] = ("front", "side", "plan")
ACROSS_AXIS: dict[View, int] = {"front": 0, "side": 1, "plan": 2}
# A plane in an end face cuts nothing: it is put this far inside [mm].
INSIDE = 0.02
PLANES = {"front": "STA", "side": "BL", "plan": "WL"}
LETTERED = "ABCDEFGHJKLMNPQRSTUVWXYZ"


@dataclass(frozen=True)
class Settings:
    """The sheet's scale 1:`over` and the zone for sections, `low` to `high` [mm]."""

    over: int
    low: tuple[float, float]
    high: tuple[float, float]


@dataclass(frozen=True)
class Detail:
    """A section: its letter, its part, the place (3,) [mm] of the largest distance, its drawing."""

    letter: str
    part: str
    place: Floats
    drawing: Drawing


def details(
    former: Mapping[str, Mesh],
    new: Mapping[str, Mesh],
    changes: Sequence[PartChange],
    settings: Settings,
) -> tuple[Detail, ...]:
    """Return sections of the parts that changed most, as many as the zone has room for.

    Where left and right show the same, only one of them is drawn.
    """
    wanted = sorted(
        (c for c in changes if c.at is not None and (c.distance or 0.0) > WORTH),
        key=lambda c: -(c.distance or 0.0),
    )
    wide, tall = ((settings.high[i] - settings.low[i]) / settings.over for i in (0, 1))
    columns = int((wide + GAP) // (SQUARE + GAP))
    caption = LINES * 1.6 * LETTERS
    rows = int((tall + GAP) // (SQUARE + caption + GAP))
    found: list[Detail] = []
    for change in _one_hand(wanted)[: max(columns, 0) * max(rows, 0)]:
        i = len(found)
        x = settings.low[0] + (i % columns) * (SQUARE + GAP) * settings.over
        y = settings.high[1] - ((i // columns) * (SQUARE + caption + GAP) + SQUARE) * settings.over
        lines = [former[change.part], new[change.part]]
        found.append(_detail(LETTERED[i], change, lines, (x, y), settings.over))
    return tuple(found)


def _one_hand(changes: Sequence[PartChange]) -> list[PartChange]:
    """Drop the left one of two hands that changed by the same."""
    rights = {c.part.removesuffix("_right"): c for c in changes if c.part.endswith("_right")}

    def doubled(change: PartChange) -> bool:
        other = rights.get(change.part.removesuffix("_left"))
        if not change.part.endswith("_left") or other is None:
            return False
        return abs((other.distance or 0.0) - (change.distance or 0.0)) <= (change.error or 0.0)

    return [c for c in changes if not doubled(c)]


def _detail(
    letter: str,
    change: PartChange,
    meshes: Sequence[Mesh],
    corner: tuple[float, float],
    over: int,
) -> Detail:
    assert change.at is not None
    assert change.foot is not None
    place, foot = np.array(change.at), np.array(change.foot)
    view = ACROSS[int(np.argmin(np.abs(foot - place)))]
    many, one = _scale(change.distance or 0.0)
    grown = over * many / one
    middle = (flat(place[None], view)[0] + flat(foot[None], view)[0]) / 2
    reach = SQUARE * over / 2
    depth = _depth(view, place, meshes)
    paths = [rectangle(corner, (corner[0] + 2 * reach, corner[1] + 2 * reach), TEXT, "window")]
    for mesh, layer in zip(meshes, (FORMER, NEW), strict=True):
        cut = DrawnBody(mesh, change.part).section(view, depth)
        for outline in cut.outlines:
            near = (outline - middle) * grown
            paths += _inside(near, reach, corner, layer, change.part)
    words = _caption(letter, change, view, depth, (many, one))
    labels = [
        Label((corner[0], corner[1] - (i + 1) * 1.6 * LETTERS * over), text, LETTERS * over)
        for i, text in enumerate(words)
    ]
    name = f"section {letter}"
    return Detail(letter, change.part, place, Drawing(name, tuple(paths), tuple(labels)))


def _depth(view: View, place: Floats, meshes: Sequence[Mesh]) -> float:
    """Return the plane's place along its axis [mm], inside both bodies where an end face lies."""
    axis = ACROSS_AXIS[view]
    low = max(float(mesh.vertices[:, axis].min()) for mesh in meshes) + INSIDE
    high = min(float(mesh.vertices[:, axis].max()) for mesh in meshes) - INSIDE
    return min(max(float(place[axis]), low), high)


def _scale(distance: float) -> tuple[int, int]:
    return next(((m, n) for m, n in SHOWN if distance * m / n <= DRAWN), SHOWN[-1])


def _inside(
    outline: Floats, reach: float, corner: tuple[float, float], layer: str, name: str
) -> list[Path]:
    """Return the stretches of a closed outline within a square of half side `reach`."""
    from shapely import LineString, box, line_merge

    whole = LineString(np.concatenate([outline, outline[:1]]))
    kept = whole.intersection(box(-reach, -reach, reach, reach))
    merged = line_merge(kept) if kept.geom_type == "MultiLineString" else kept
    found = []
    for piece in getattr(merged, "geoms", [merged]):
        if piece.geom_type != "LineString" or len(piece.coords) < 2:
            continue
        points = tuple((x + reach + corner[0], y + reach + corner[1]) for x, y in piece.coords)
        found.append(Path(points, (), False, layer, name))
    return found


def _caption(
    letter: str, change: PartChange, view: View, depth: float, scale: tuple[int, int]
) -> list[str]:
    """Return at most three lines that fit under the square."""
    first = wrapped(f"{letter} {change.part}", SQUARE, LETTERS)[:1]
    error = "" if change.error is None else f" +/- {change.error:.2f}"
    return [
        *first,
        f"{change.distance:.2f}{error} mm",
        f"{PLANES[view]} {depth:.1f}, {scale[0]}:{scale[1]}",
    ]

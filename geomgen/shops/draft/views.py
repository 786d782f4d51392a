"""Half of a mould from one side: its outline, lines of equal draft, hatching of what is at fault.

Lines of equal draft stand for a scale of colours: shops print in black.
"""

from dataclasses import dataclass

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.drafting.record import HATCH, SECTION, VISIBLE, Path, Point
from geomgen.kernel.visibility.shadow import frame_of
from geomgen.shops.draft.cells import Cells, DraftBody
from geomgen.shops.draft.hatching import crossings, edge, hatched, merged
from geomgen.shops.draft.undercut import Draft
from geomgen.shops.page_view import PageView

# Draft [deg] that lines are drawn for, beside the wanted one.
LEVELS = (1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 45.0, 60.0)
# A level this near to the wanted one [deg] is left out.
NEAR = 0.9
# A surface that looks less than this to the viewer [1] is not seen.
SEEN = 1e-3
# Hatch lines are so far apart [mm of paper]; lines are snapped to this [mm of paper].
PITCH, SNAP = 1.8, 0.05
# A side is shown where it shows this share of what the best shows, and so much [mm2] of it.
SHOWN, LEAST = 0.25, 10.0


def sides_of(found: Draft) -> list[PageView]:
    """Return the view along the pull and up to two across it that show most of what is at fault.

    They stand as in third-angle projection, each beside the side that it shows.
    """
    right, up, d = frame_of(found.pull)
    every = [
        PageView(right, -d, up, "above"),
        PageView(right, d, -up, "below"),
        PageView(-d, up, right, "right"),
        PageView(d, up, -right, "left"),
    ]
    fault = found.cells.areas * np.maximum(found.share_below, found.share_undercut) * found.share
    normals = found.cells.normals.mean(axis=1)
    sizes = [float((fault * np.maximum(normals @ one.toward, 0)).sum()) for one in every]
    order = np.argsort(sizes)[::-1][:2]
    most = sizes[int(order[0])]
    chosen = [every[i] for i in sorted(order) if sizes[i] > max(LEAST, SHOWN * most)]
    return [PageView(right, up, d, "middle"), *chosen]


@dataclass(frozen=True)
class DraftView:
    """A view: lines that no text may touch, fine ones that it may, the longest of each level."""

    firm: list[Path]
    fine: list[Path]
    levels: dict[float, list[Point]]
    shift: Point = (0.0, 0.0)


def drawn(
    body: DraftBody,
    found: Draft,
    side: PageView,
    over: float,
    extra: list[tuple[str, Cells, Floats]],
) -> DraftView:
    """Return the lines of a view, for paper at 1:`over` [1].

    `extra` are undercuts that other parts bring, each with the share of its cells.
    """
    snap, pitch = SNAP * over, PITCH * over
    cells = found.cells
    facing = cells.normals.mean(axis=1) @ side.toward
    # Along the pull walls are seen from their edge, and shown all the same.
    seen = (found.share > 0.5) & ((facing > SEEN) | (side.place == "middle"))
    firm = _outline(body, cells.parent[seen], side, snap)
    below = seen & (found.share_below * found.share > 0.5)
    firm += hatched(side.flat(cells.corners[below]), pitch, (1,), "below", 0.8 * pitch)
    undercuts = [("undercut", cells, found.share_undercut * found.share * seen), *extra]
    for name, some, share in undercuts:
        held = (share > 0.5) & (some.normals.mean(axis=1) @ side.toward > -1.0)
        flat = side.flat(some.corners[held])
        firm += hatched(flat, pitch, (1, -1), name) + edge(flat, snap, name)
    fine: list[Path] = []
    levels: dict[float, list[Point]] = {}
    d = np.array(found.pull) / np.linalg.norm(found.pull)
    lean = cells.normals @ d
    for level in (found.wanted_deg, *(v for v in LEVELS if abs(v - found.wanted_deg) > NEAR)):
        value = lean - np.sin(np.radians(level))
        crossed = (value.min(axis=1) < 0) & (value.max(axis=1) >= 0) & seen
        layer = SECTION if level == found.wanted_deg else HATCH
        cut = crossings(side.flat(cells.corners[crossed]), value[crossed])
        lines = merged(cut, snap, f"draft {level:g} deg", layer)
        fine += lines
        if lines:
            levels[level] = list(max(lines, key=lambda line: line.length()).points)
    return DraftView(firm, fine, levels)


def _outline(body: DraftBody, triangles: Floats, side: PageView, snap: float) -> list[Path]:
    """Return the border of what is seen of a half's triangles."""
    flat = side.flat(body.mesh.corners[np.unique(triangles)])
    shapes = shapely.polygons(flat)
    # Not on a grid, which takes five times as long: what is near is joined by the next step.
    whole = shapely.union_all(shapes[shapely.area(shapes) > 0])
    closed = shapely.simplify(shapely.buffer(shapely.buffer(whole, snap), -snap), snap / 4)
    return [
        Path(tuple((float(x), float(y)) for x, y in ring.coords[:-1]), (), True, VISIBLE, "outline")
        for part in shapely.get_parts(closed)
        if part.geom_type == "Polygon"
        for ring in (part.exterior, *part.interiors)
        if shapely.Polygon(ring).area > (20 * snap) ** 2
    ]

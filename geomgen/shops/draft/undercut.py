"""Draft and undercut of a body along a straight pull, measured on its true surface.

A place releases when its outward normal leans to the pull by the draft or more, and nothing stands
in its way along the pull. Areas are summed over small triangles that carry the solid's own normals;
what stands in the way is found with rays on the proven mesh.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import radians, sin

import numpy as np
from OCP.TopoDS import TopoDS_Shape
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from geomgen.arrays import Floats, Ints
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.visibility.shadow import overhead
from geomgen.shops.draft.cells import (
    Cells,
    DraftBody,
    body_of,
    decided,
    halved,
    share_below,
    stacked,
)

# A normal that leans away from the pull by less than this [1] stands at a right angle to it.
LEAN = 1e-4
# A face is the split's own when its normal is the pull's opposite within this [1], and it lies
# within this share of the body's height of the lowest point.
OPPOSITE, LOWEST = 1e-6, 1e-4
# Edges of a shadow are followed down to this share of the longest cell, in so many turns.
SHADOW_EDGE, SHADOW_TURNS = 1 / 10, 12
# Further than any body is long [mm].
BEYOND = 1e6
# What lies on one side of a split by less than this [mm or 1] does not belong to it; cells that
# the split passes are split roughly, for there the share is exact.
TOUCHING, ROUGHLY = 1e-6, 20.0
# Samples of a cell: near its corners, and its middle.
SAMPLES = np.array([[0.8, 0.1, 0.1], [0.1, 0.8, 0.1], [0.1, 0.1, 0.8], [1 / 3, 1 / 3, 1 / 3]])

Side = Callable[[Cells], Floats]


@dataclass(frozen=True)
class Region:
    """A connected piece of surface: area [mm2], centroid [mm], box [mm]."""

    area: float
    centroid: Vec3
    box: Box


@dataclass(frozen=True)
class Draft:
    """What a pull finds: areas [mm2] in all, below the wanted draft, and undercut (not below too).

    `below_at` and `undercut_at` are the largest connected pieces, None where there is nothing.
    `cells` with the shares (m,) that are below and undercut are kept for drawing.
    """

    pull: Vec3
    wanted_deg: float
    total: float
    below: float
    undercut: float
    below_at: Region | None
    undercut_at: Region | None
    cells: Cells
    share: Floats
    share_below: Floats
    share_undercut: Floats


def draft_of(
    solid: TopoDS_Shape | DraftBody,
    pull: Vec3,
    wanted_deg: float,
    side: Side | None = None,
    part: str = "body",
) -> Draft:
    """Measure the draft [deg] of a solid that a mould leaves along `pull` [1].

    `side` (values at the corners of cells, (m, 3)) limits it to the surface where it is positive. A
    flat face at the lower end that faces against the pull is the split's own and does not count.
    GeometryError when the solid can't be meshed.

    >>> from geomgen.kernel.brep.primitives import box
    >>> found = draft_of(box((0.0, 0.0, 0.0), (3.0, 2.0, 1.0)), (0.0, 0.0, 1.0), 3.0)
    >>> round(found.total, 6), round(found.below, 6), found.undercut  # top 6, walls 10
    (16.0, 10.0, 0.0)
    """
    body = solid if isinstance(solid, DraftBody) else body_of(solid, part)
    d = np.array(pull) / np.linalg.norm(pull)
    wanted = sin(radians(wanted_deg))
    asked: list[Side] = [lambda c: c.normals @ d - wanted, lambda c: c.normals @ d + LEAN]
    cells = body.cells.picked(np.nonzero(~_of_the_split(body, d))[0])
    if side is not None:
        cells = beyond(cells, side)
        asked.append(lambda c: side(c) / (ROUGHLY * body.longest))
    cells = decided(body, cells, asked)
    cells, dark = shadowed(body, cells, body.mesh.corners, pull)
    share = np.ones(len(dark)) if side is None else 1 - share_below(side(cells))
    lean = cells.normals @ d
    against = share_below(lean + LEAN)
    undercut = np.maximum(against, dark)
    below = np.clip(share_below(lean - wanted) - undercut, 0.0, 1.0)
    return _summed(body, cells, (pull, wanted_deg), share, below, undercut)


def beyond(cells: Cells, side: Side) -> Cells:
    """Return the cells of which some surface lies on the positive side."""
    return cells.picked(np.nonzero(side(cells).max(axis=1) > TOUCHING)[0])


def _of_the_split(body: DraftBody, d: Floats) -> Ints:
    """Return which cells (m,) lie in the split's own flat face."""
    height = body.cells.corners @ d
    lowest, extent = height.min(), np.ptp(height)
    plane = np.array([surface.kind == "plane" for surface in body.surfaces])
    flat = (body.cells.normals @ d < -1 + OPPOSITE).all(axis=1) & plane[body.cells.face]
    return np.asarray(flat & (height.max(axis=1) < lowest + LOWEST * extent))


def shadowed(
    body: DraftBody, cells: Cells, corners: Floats, pull: Vec3, seat: float = -np.inf
) -> tuple[Cells, Floats]:
    """Return cells, finer at the edges of shadows, and the share (m,) of each that lies in one.

    What lies within `seat` [mm] over the surface, along its normal, throws no shadow.
    """
    done: list[Cells] = []
    shares: list[Floats] = []
    d = np.array(pull) / np.linalg.norm(pull)
    for turn in range(SHADOW_TURNS + 1):
        points = np.einsum("kc,mcd->mkd", SAMPLES, cells.corners)
        normals = np.einsum("kc,mcd->mkd", SAMPLES, cells.normals)
        normals /= np.maximum(np.linalg.norm(normals, axis=2, keepdims=True), 1e-300)
        lifted = (points + body.clear * normals).reshape(-1, 3)
        gap = overhead(lifted, corners, pull).distance.reshape(-1, len(SAMPLES))
        far = np.minimum(gap, BEYOND) * (normals @ d) + body.clear > seat
        dark = (np.isfinite(gap) & far).mean(axis=1)
        sides = np.linalg.norm(cells.corners - np.roll(cells.corners, -1, axis=1), axis=2)
        split = (dark > 0) & (dark < 1) & (sides.max(axis=1) > SHADOW_EDGE * body.longest)
        split &= turn < SHADOW_TURNS
        done.append(cells.picked(np.nonzero(~split)[0]))
        shares.append(dark[~split])
        if not split.any():
            break
        cells = halved(body, cells.picked(np.nonzero(split)[0]))
    return stacked(done), np.concatenate(shares)


def _summed(
    body: DraftBody,
    cells: Cells,
    pulled: tuple[Vec3, float],
    share: Floats,
    below: Floats,
    undercut: Floats,
) -> Draft:
    areas = cells.areas * share
    return Draft(
        *pulled,
        float(areas.sum()),
        float((areas * below).sum()),
        float((areas * undercut).sum()),
        largest_region(body.beside, cells, areas * below),
        largest_region(body.beside, cells, areas * undercut),
        cells,
        share,
        below,
        undercut,
    )


def largest_region(beside: Ints, cells: Cells, areas: Floats) -> Region | None:
    """Return the largest connected piece of the cells with an area (m,) [mm2]; None without any.

    `beside` (k, 3) are the neighbours of the mesh's triangles, through which cells connect.
    """
    has = np.nonzero(areas > 0)[0]
    if not len(has):
        return None
    parents = np.zeros(len(beside), dtype=bool)
    parents[cells.parent[has]] = True
    a = np.repeat(np.arange(len(beside)), 3)
    b = beside.reshape(-1)
    joined = (b >= 0) & parents[a] & parents[b]
    links = coo_matrix(
        (np.ones(joined.sum()), (a[joined], b[joined])), shape=(len(beside), len(beside))
    )
    _, label = connected_components(links, directed=False)
    of_cell = label[cells.parent[has]]
    size = np.bincount(of_cell, weights=areas[has])
    mine = has[of_cell == int(size.argmax())]
    centre = (cells.middles[mine] * areas[mine, None]).sum(axis=0) / areas[mine].sum()
    low = cells.corners[mine].min(axis=(0, 1))
    high = cells.corners[mine].max(axis=(0, 1))
    return Region(float(areas[mine].sum()), vec(centre), Box(vec(low), vec(high)))

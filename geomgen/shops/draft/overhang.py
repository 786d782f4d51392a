"""How wide an undercut is as the pull sees it: so far the mould would have to give."""

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.kernel.visibility.shadow import frame_of
from geomgen.shops.draft.undercut import LEAN, Draft, Side

# Corners of the undercut are set on a grid [mm] before they are joined.
GRID = 1e-5


def overhangs(found: Draft, width: float, side: Side | None = None) -> bool:
    """Say whether an undercut is anywhere wider across the pull than `width` [mm].

    `side` is the one that the draft was measured with. A surface that leans back is hidden behind
    its rim by its width across the pull. What lies in another part's shadow counts with whole
    cells, so that it is rather told than not.
    """
    right, up, d = frame_of(found.pull)
    held = np.nonzero(found.share_undercut * found.share > 0)[0]
    if not len(held):
        return False
    cells = found.cells.picked(held)
    lean = cells.normals @ d + LEAN
    beyond = np.ones_like(lean) if side is None else side(cells)
    rows = np.stack([cells.corners @ right, cells.corners @ up, lean, beyond], axis=-1)
    kept = [_clipped(_clipped(row, 3, 1.0), 2, -1.0) if row[:, 2].min() < 0 else
            _clipped(row, 3, 1.0) for row in rows]  # fmt: skip
    whole = [shapely.Polygon(part[:, :2]) for part in kept if len(part) > 2]
    area = shapely.union_all(shapely.make_valid(whole), grid_size=GRID)
    return not bool(shapely.buffer(area, -width / 2).is_empty)


def _clipped(corners: Floats, column: int, way: float) -> Floats:
    """Return the part of a convex polygon (k, n) where a column, linear over it, has a sign."""
    kept: list[Floats] = []
    for p, q in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        a, b = way * p[column], way * q[column]
        if a > 0:
            kept.append(p)
        if (a > 0) != (b > 0):
            kept.append(p + a / (a - b) * (q - p))
    return np.array(kept).reshape(-1, corners.shape[1])

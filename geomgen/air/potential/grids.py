"""Panels from grids of points on surfaces.

A grid's lines may close, run together in a pole, end on the plane of symmetry, or end in a trailing
edge; what they do is told from the points.
"""

import numpy as np

from geomgen.air.potential.panels import NOBODY, Panels, TrailingEdges
from geomgen.arrays import Bools, Floats, Ints
from geomgen.errors import GeometryError

# Points nearer than this share of a grid's extent are one: own choice.
SAME = 1e-7
# A trailing edge may be blunt by this share of the chord, and is closed in its middle: own choice.
BLUNT = 0.02
# A panel smaller than this share of its longest side squared is none, only a line: own choice.
SLIVER = 1e-9


def grid(name: str, points: Floats, *, mirrored: bool = True, trailing: bool = False) -> Panels:
    """Return the panels of a grid of points (nu + 1, nv + 1, 3) [mm] on a body's surface.

    The cross product of the steps in the first and the second direction points outward. With
    `trailing` the first direction runs round a wing's section, from the trailing edge to the
    trailing edge, and the second along the span.

    Raises GeometryError where points are missing or beyond the plane of symmetry, and where the
    trailing edge is open. `closed` tells grids that are inside out.

    >>> import numpy as np
    >>> turn, round_ = np.linspace(0, np.pi, 9)[:, None], np.linspace(0, np.pi, 7)
    >>> x, y, z = -np.cos(turn), np.sin(turn) * np.sin(round_), np.sin(turn) * np.cos(round_)
    >>> ball = grid("ball", np.stack([x + 0 * y, y, z], axis=-1))
    >>> len(ball), bool((ball.normals * ball.centres > -1e-9).all())
    (48, True)
    """
    points = np.array(points, dtype=float)
    _refuse_odd(name, points, mirrored)
    if trailing:
        points = _closed_behind(name, points)
    size = float(np.ptp(points, axis=(0, 1)).max())
    if mirrored:
        points[np.abs(points[..., 1]) < SAME * size, 1] = 0.0
    nu, nv = points.shape[0] - 1, points.shape[1] - 1
    corners = np.stack([points[:-1, :-1], points[1:, :-1], points[1:, 1:], points[:-1, 1:]], axis=2)
    number = np.arange(nu * nv).reshape(nu, nv)
    along = _ends(points, number, SAME * size, mirrored, trailing)
    across = _ends(points.swapaxes(0, 1), number.T, SAME * size, mirrored, False, trailing)
    neighbours, beyond, turned = (
        np.stack([a, b.swapaxes(0, 1)], axis=2).reshape(-1, 2, 2)
        for a, b in zip(along, across, strict=True)
    )
    edges = _edges(points, number) if trailing else _edges(points[:, :1], number[:, :0])
    made = Panels(
        corners.reshape(-1, 4, 3),
        np.zeros(nu * nv, dtype=np.int64),
        (name,),
        neighbours,
        beyond,
        turned,
        edges,
        mirrored,
        np.zeros((0, 4, 3)),
        np.zeros(0, dtype=np.int64),
    )
    return _without_lines(made)


def closed(panels: Panels) -> Panels:
    """Return panels whose bodies have their normals outward; others are refused by name.

    Told from each body's volume, about its middle; what a hole or two lack does not matter.
    """
    for index, name in enumerate(panels.names):
        of = panels.body == index
        if of.any() and _volume(panels, of) <= 0:
            raise GeometryError("the grid is inside out: its normals point inward", part=name)
    return panels


def _volume(panels: Panels, of: Bools) -> float:
    off = panels.centres[of] - panels.centres[of].mean(axis=0)
    if panels.mirrored:
        off[:, 1] = panels.centres[of, 1] - panels.corners[of, :, 1].min()
    return float(panels.areas[of] @ np.einsum("nd,nd->n", off, panels.normals[of])) / 3.0


def _refuse_odd(name: str, points: Floats, mirrored: bool) -> None:
    if points.ndim != 3 or points.shape[2] != 3 or min(points.shape[:2]) < 2:
        raise GeometryError("a grid needs two points or more each way", part=name, step="panels")
    if not np.isfinite(points).all():
        raise GeometryError("points of the grid are no numbers", part=name, step="panels")
    size = float(np.ptp(points, axis=(0, 1)).max())
    if mirrored and points[..., 1].min() < -SAME * size:
        raise GeometryError(
            f"a half must lie at positive y; the grid reaches {points[..., 1].min():.1f} mm",
            part=name,
            step="panels",
        )


def _closed_behind(name: str, points: Floats) -> Floats:
    gap = np.linalg.norm(points[0] - points[-1], axis=1)
    chord = np.linalg.norm(points - points[0], axis=2).max(axis=0)
    if (gap > BLUNT * chord + SAME).any():
        share = float((gap / np.maximum(chord, 1e-30)).max())
        raise GeometryError(
            f"the trailing edge is open by {share:.1%} of the chord, at most {BLUNT:.0%}",
            part=name,
            step="panels",
        )
    points[0] = points[-1] = 0.5 * (points[0] + points[-1])
    return points


Ends = tuple[Ints, Bools, Bools]


def _ends(
    points: Floats, number: Ints, same: float, mirrored: bool, edged: bool, tipped: bool = False
) -> Ends:
    """Return neighbours along the first direction: (nu, nv, 2), behind and ahead.

    `edged` lines end in a trailing edge; those along a wing's span run together at its tip, which
    is no pole.
    """
    shape = (*number.shape, 2)
    near = np.full(shape, NOBODY)
    beyond, turned = np.zeros(shape, dtype=bool), np.zeros(shape, dtype=bool)
    near[1:, :, 0], near[:-1, :, 1] = number[:-1], number[1:]
    if not edged and np.abs(points[0] - points[-1]).max() < same:
        near[0, :, 0], near[-1, :, 1] = number[-1], number[0]
        return near, beyond, turned
    for row, side in ((0, 0), (-1, 1)):
        line = points[row]
        if np.abs(line - line[0]).max() < same:
            if tipped:
                continue
            near[row, :, side], beyond[row, :, side] = _over_a_pole(points, number[row], same)
            turned[row, :, side] = near[row, :, side] != NOBODY
        elif mirrored and np.abs(line[:, 1]).max() < same:
            near[row, :, side], beyond[row, :, side] = number[row], True
            turned[row, :, side] = True
    return near, beyond, turned


def _over_a_pole(points: Floats, row: Ints, same: float) -> tuple[Ints, Bools]:
    """Return the panels that lie across a pole, and whether they are mirror images."""
    ring = points[:, [0, -1]]
    if np.abs(ring[:, 0] - ring[:, 1]).max() < same and len(row) % 2 == 0:
        return np.roll(row, len(row) // 2), np.zeros(len(row), dtype=bool)
    if np.abs(ring[..., 1]).max() < same:  # half a body, from one side of the plane to the other
        return row[::-1], np.ones(len(row), dtype=bool)
    return np.full(len(row), NOBODY), np.zeros(len(row), dtype=bool)


def _edges(points: Floats, number: Ints) -> TrailingEdges:
    ends = np.stack([points[0, :-1], points[0, 1:]], axis=1)
    return TrailingEdges(number[0].copy(), number[-1].copy(), ends, np.zeros_like(number[0]))


def _without_lines(panels: Panels) -> Panels:
    keep = panels.areas > SLIVER * panels.whole.diameters**2
    return panels if keep.all() else panels.kept(keep)


def lid(name: str, points: Floats, *, mirrored: bool = True) -> Panels:
    """Return a lid's panels on a wing's end, from its section (2 m + 1, 3) [mm] at the end.

    The section runs from the trailing edge to the trailing edge, as the grid's last line along the
    span does; its points face each other in pairs.
    """
    points = np.asarray(points, dtype=float)
    if len(points) % 2 == 0:
        raise GeometryError("a lid needs an odd number of points", part=name, step="panels")
    half = len(points) // 2 + 1
    return grid(name, np.stack([points[:half], points[::-1][:half]], axis=1), mirrored=mirrored)

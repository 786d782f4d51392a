"""The skin over a canopy's opening as a thin body, for whoever looks at a pod's whole outside."""

import numpy as np
from OCP.TopoDS import TopoDS_Compound

from geomgen.arrays import Floats
from geomgen.kernel.interference.meeting import Body, body_of
from geomgen.kernel.mesh import assembled
from geomgen.kernel.plain import GlazedSkin

# A strip's rows are at least so far apart, and its two layers [mm]: the sides of the mesh.
TOLERANCE = 0.1


def skin_body(skin: GlazedSkin) -> Body:
    """Return the body [mm] between outside and inside of the skin that a pod has lost.

    It has no solid; its deviation is how far its sides bow off the skin, told from the bends
    between its points. GeometryError where its mesh is refused.

    >>> layers = [
    ...     tuple(((x, 0.0, r), (x, 0.6 * r, 0.8 * r), (x, 0.8 * r, 0.6 * r)) for x in (0.0, 50.0))
    ...     for r in (100.0, 98.0)
    ... ]
    >>> round(skin_body(GlazedSkin(*layers)).hull.volume())  # 2 (0.30 + 0.14) (100^2 - 98^2) 50
    17424
    """
    outer, inner = (_both_sides(np.array(layer)) for layer in (skin.outer, skin.inner))
    k, m = outer.shape[:2]
    number = np.arange(k * m).reshape(k, m)
    outside = _sides(number)
    inside = _sides(number + k * m)[:, ::-1]
    border = np.r_[number[0], number[1:, -1], number[-1, -2::-1], number[-2:0:-1, 0]]
    following = np.roll(border, -1)
    rims = [
        np.stack(corners, axis=-1)
        for corners in (
            (border, following, border + k * m),
            (following, following + k * m, border + k * m),
        )
    ]
    triangles = np.concatenate([outside, inside, *rims])
    points = np.concatenate([outer.reshape(-1, 3), inner.reshape(-1, 3)])
    count = len(triangles)
    mesh = assembled(
        points,
        triangles,
        np.zeros(count, dtype=np.int64),
        np.zeros((count, 3, 2)),
        [],
        TOLERANCE,
        "grid",
    )
    return body_of(TopoDS_Compound(), mesh, _bow(outer))


def _both_sides(rows: Floats) -> Floats:
    """Return rows (n, m, 3) from the crown down the right as rows from left to right."""
    left = rows[:, :0:-1] * np.array([1.0, -1.0, 1.0])
    middle = rows[:, :1].copy()
    middle[..., 1] = 0.0
    return np.asarray(np.concatenate([left, middle, rows[:, 1:]], axis=1))


def _sides(number: np.ndarray) -> np.ndarray:
    """Return triangles that look outward of rows from left to right over the crown, fore to aft."""
    a, b = number[:-1, :-1], number[1:, :-1]
    c, d = number[1:, 1:], number[:-1, 1:]
    halves = ((a, b, c), (a, c, d))
    return np.concatenate([np.stack(half, axis=-1).reshape(-1, 3) for half in halves])


def _bow(net: Floats) -> float:
    """Return how far a net's sides bow off the skin between its points [mm], both ways added."""
    second = [np.diff(net, n=2, axis=axis) for axis in (0, 1)]
    return float(sum(np.linalg.norm(d, axis=-1).max(initial=0.0) / 8 for d in second))

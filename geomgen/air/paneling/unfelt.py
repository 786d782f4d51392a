"""How much at most a body that has no panels moves the air somewhere: by sources on its skin.

A body's skin must let no air through: to the first step each piece of it is a source that undoes
what the stream alone would send through. That is the whole answer for a slender body along the
stream (slender-body theory); a sphere does 3/2 of it, a long round body across the stream 2 times.
Behind a blunt body the air may not close: then the sources ahead are left alone, as of a body that
goes on behind as wide.
"""

import numpy as np
from scipy.spatial import cKDTree

from geomgen.arrays import Floats

# What a body does to the air over what the sources say: a round body across the stream, the most
# of all round ones (closed form).
BLUNT = 2.0
# On a skin that turns the air aside it counts as much again: that of a flat wall (closed form).
WALL = 2.0
# No further than this share of the distance to it a piece of skin may reach: own choice.
SMALL, ROUNDS = 0.5, 6


def disturbance(corners: Floats, points: Floats, stream: Floats) -> Floats:
    """Return how much at most (p,) [1] a body changes a stream (3,) [1] at points (p, 3) [mm].

    `corners` (m, 3, 3) [mm] are its skin's triangles, anticlockwise seen from outside. Never more
    than 1: none brings the air to more than rest, or twice its speed. Twice that at a wall.

    >>> far = np.array([[0.0, 1000.0, 0.0]])
    >>> plate = np.array([[[0.0, 0, 0], [0, 0, 20], [0, 20, 0]]])
    >>> bool(0 < disturbance(plate, far, np.array([1.0, 0, 0]))[0] < 1e-3)
    True
    """
    if not len(corners) or not len(points):
        return np.zeros(len(points))
    corners = fine_near(corners, points)
    crossed = 0.5 * np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    flux, middles = -crossed @ np.asarray(stream, dtype=float), corners.mean(axis=1)
    ahead = flux > 0
    found = np.zeros(len(points))
    for place, point in enumerate(points):
        off = point - middles
        far2 = np.maximum(np.einsum("md,md->m", off, off), 1e-12)
        pull = flux / (4.0 * np.pi * far2 * np.sqrt(far2))
        closed, open_ = pull @ off, pull[ahead] @ off[ahead]
        found[place] = max(float(np.linalg.norm(closed)), float(np.linalg.norm(open_)))
    return np.minimum(BLUNT * found, 1.0)


def coefficient(speed: Floats, disturbed: Floats) -> Floats:
    """Return by how much at most a pressure coefficient (p,) [1] is off on a skin.

    `speed` (p,) and `disturbed` (p,) [1] are those over the stream's.

    >>> coefficient(np.array([1.0]), np.array([0.01])).round(6).tolist()
    [0.0404]
    """
    more = WALL * np.asarray(disturbed)
    return np.asarray(2.0 * np.asarray(speed) * more + more**2)


def fine_near(corners: Floats, points: Floats) -> Floats:
    """Return triangles (m, 3, 3) [mm] cut in four until none is large for how near a point is."""
    tree = cKDTree(points)
    for _ in range(ROUNDS):
        far = tree.query(corners.mean(axis=1))[0]
        size = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(axis=1)
        large = size > SMALL * far
        if not large.any():
            break
        corners = np.concatenate([corners[~large], _in_four(corners[large])])
    return corners


def _in_four(corners: Floats) -> Floats:
    a, b, c = (corners[:, k] for k in range(3))
    ab, bc, ca = 0.5 * (a + b), 0.5 * (b + c), 0.5 * (c + a)
    return np.concatenate(
        [np.stack(t, axis=1) for t in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))]
    )

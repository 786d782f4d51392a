"""What lies inside bodies, where no air is: panels are cut where they enter another body.

A body holds a place where its panels are seen over more than half of all directions; it may have
holes. Sheets inside a body must go, those of wakes too: sources are such that nothing flows inside.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from geomgen.air.potential.influence import THREADS, potentials
from geomgen.air.potential.panels import Panels
from geomgen.air.potential.quads import Quads
from geomgen.arrays import Bools, Floats, Ints

# What is left of a panel must be this share of it, or it goes as a whole: own choice.
LEFT = 0.03
# Each way into so many pieces a panel is split before it is cut: own choice.
FINE = 5
HALVINGS = 16

# Says which points (p, 3) [mm] lie inside others than whoever (p,) they belong to.
Asked = Callable[[Floats, Ints], Bools]


def inside(panels: Panels, points: Floats, threads: int = THREADS) -> Bools:
    """Say which points (p, 3) [mm] lie inside bodies, all taken together: (p,)."""
    points = np.array(points, dtype=float)
    if panels.mirrored:
        points[:, 1] = np.abs(points[:, 1])
    found = np.zeros(len(points), dtype=bool)
    boxed = np.zeros(len(points), dtype=bool)
    for index in np.unique(panels.body):
        corners = panels.corners[panels.body == index]
        low, high = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
        boxed |= ((points >= low) & (points <= high)).all(axis=1)
    near = np.flatnonzero(boxed)
    if len(near):
        nothing = np.zeros((len(panels), 1))
        seen = potentials(panels, points[near], nothing, threads=threads)[0]
        found[near] = seen.sum(axis=1) < -0.5
    return found


def without_hidden(panels: Panels, threads: int = THREADS) -> Panels:
    """Return the panels that air flows about; those that enter another body are cut there.

    >>> from geomgen.air.potential.grids import grid
    >>> turn, round_ = np.linspace(0, np.pi, 9)[:, None], np.linspace(0, np.pi, 7)
    >>> ball = np.stack([-np.cos(turn) + 0 * round_, np.sin(turn) * np.sin(round_),
    ...                  np.sin(turn) * np.cos(round_)], axis=-1)
    >>> from geomgen.air.potential.panels import together
    >>> both = together([grid("small", 0.5 * ball), grid("large", ball)])
    >>> len(both), len(without_hidden(both))
    (96, 48)
    """
    bodies = {i: panels.kept(panels.body == i) for i in np.unique(panels.body).tolist()}

    def in_others(points: Floats, own: Ints) -> Bools:
        found = np.zeros(len(points), dtype=bool)
        for index, body in bodies.items():
            of = np.flatnonzero((own != index) & ~found)
            found[of] = inside(body, points[of], threads)
        return found

    # Corners, middles of sides and the middle of each panel, in three rows of three.
    asked = spread_over(panels.corners, 2).reshape(-1, 3)
    within = in_others(asked, np.repeat(panels.body, 9)).reshape(-1, 9)
    mixed = np.flatnonzero(within.any(axis=1) & ~within.all(axis=1))
    pieces = _split(panels.corners[mixed])
    of = np.repeat(mixed, FINE * FINE)
    pieces, keep = cut(pieces, panels.body[of], in_others)
    pieces, of = pieces[keep], of[keep]
    left = np.bincount(of, Quads(pieces).areas, len(panels))
    gone = within.sum(axis=1) == 9
    gone[mixed] = left[mixed] < LEFT * panels.areas[mixed]
    return replace(panels, left=pieces, left_of=of).kept(~gone)


def spread_over(corners: Floats, steps: int) -> Floats:
    """Return points (m, steps + 1, steps + 1, 3) [mm] all over quadrilaterals."""
    s = np.linspace(0.0, 1.0, steps + 1)
    u, v = s[:, None, None], s[None, :, None]
    a, b, c, d = (corners[:, k, None, None, :] for k in range(4))
    return np.asarray((1 - u) * (1 - v) * a + u * (1 - v) * b + u * v * c + (1 - u) * v * d)


def _split(corners: Floats) -> Floats:
    """Return quadrilaterals in FINE times FINE pieces each (m, 4, 3) [mm]."""
    at = spread_over(corners, FINE)
    rows = [at[:, :-1, :-1], at[:, 1:, :-1], at[:, 1:, 1:], at[:, :-1, 1:]]
    return np.stack(rows, axis=3).reshape(-1, 4, 3)


def cut(corners: Floats, own: Ints, asked: Asked) -> tuple[Floats, Bools]:
    """Return quadrilaterals (m, 4, 3) [mm] cut where they enter bodies, and which are left.

    Two corners inside move along their sides to the surface. One inside moves so far that the area
    is right; of three the middle one moves between the places where sides pass through.
    """
    m = len(corners)
    within = asked(corners.reshape(-1, 3), np.repeat(own, 4)).reshape(m, 4)
    keep = ~asked(corners.mean(axis=1), own) | ~within.all(axis=1)
    many = within.sum(axis=1)
    keep &= ~((many == 0) & asked(corners.mean(axis=1), own))
    across = (many == 2) & (within[:, 0] == within[:, 2])
    mixed = np.flatnonzero((many > 0) & (many < 4) & ~across)
    keep[many == 4] = False
    keep[across] &= ~asked(corners[across].mean(axis=1), own[across])
    made = corners.copy()
    if len(mixed):
        made[mixed] = _cut(corners[mixed], within[mixed], own[mixed], asked)
        left, whole = Quads(made[mixed]).areas, Quads(corners[mixed]).areas
        keep[mixed] &= left > 1e-3 * whole
    return made, keep


def _cut(corners: Floats, within: Bools, own: Ints, asked: Asked) -> Floats:
    """Return cut quadrilaterals: places where sides pass through, found by halving.

    A single corner inside moves along the diagonal, so that as much is lost as lies inside.
    """
    after = np.roll(corners, -1, axis=1)
    passes = within != np.roll(within, -1, axis=1)
    who, side = np.nonzero(passes)
    starts_in = within[who, side]
    out = np.where(starts_in[:, None], after[who, side], corners[who, side])
    in_ = np.where(starts_in[:, None], corners[who, side], after[who, side])
    for _ in range(HALVINGS):
        middle = 0.5 * (out + in_)
        deep = asked(middle, own[who])
        in_ = np.where(deep[:, None], middle, in_)
        out = np.where(deep[:, None], out, middle)
    at = np.full(corners.shape, np.nan)
    at[who, side] = out
    before = np.roll(at, 1, axis=1)  # where the side that ends in a corner passes through
    middle = np.repeat(np.nanmean(at, axis=1, keepdims=True), 4, axis=1)
    both = ~np.isnan(at) & ~np.isnan(before)
    neither = np.isnan(at) & np.isnan(before)
    shares = [
        np.linalg.norm(place - corners, axis=2)
        / np.maximum(np.linalg.norm(end - corners, axis=2), 1e-30)
        for place, end in ((at, after), (before, np.roll(corners, 1, axis=1)))
    ]
    lost = 0.5 * (shares[0] * shares[1])[:, :, None]
    on_diagonal = corners + lost * (np.roll(corners, 2, axis=1) - corners)
    moved = np.where(np.isnan(at), before, at)
    moved = np.where(both, on_diagonal, np.where(neither, middle, moved))
    return np.asarray(np.where(within[:, :, None], moved, corners))

"""Wakes: strips of doublets from trailing edges, straight, and what they part on other bodies.

A strip's doublet is the difference of those at its trailing edge (Morino and Kuo 1974). Where the
edge is hidden inside another body its strip has the strength of the nearest one that is not. No
strip goes through a body, inside of which nothing may flow: it is cut out there, and goes on
behind. So a wing's wake ends on the pod's side and closes behind the pod.

A body that a wake's sheet cuts, or passes nearer than panels are long, can be `washed`: it takes
others' wakes as part of what flows onto it, a speed with a core as wide as its own panels, which
its sources answer to. Each body's inside is a region of its own, so what is taken as onset there
may differ from body to body.
"""

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from geomgen.air.potential.hidden import cut, inside
from geomgen.air.potential.influence import THREADS, in_threads
from geomgen.air.potential.panels import NOBODY, Panels
from geomgen.arrays import Bools, Floats, Ints
from geomgen.errors import GeometryError

# So many times the panels' extent a wake reaches; pieces of a strip that meets a body, along and
# across: own choices.
LENGTH = 50.0
PIECES, ACROSS = 48, 8
# A vortex has a core of this share of the washed panel that feels it: own choice.
CORE = 0.6
RIM = 1e-6
# A wake may run into such a share of another body's trailing edge: own choice.
AT_MOST = 0.3


@dataclass(frozen=True)
class Wake:
    """Strips (t) of doublets, `last` minus `first`, and the pieces of them outside bodies.

    `ends` (t, 2, 3) [mm] are the edges; `carried` (t,) are hidden ones. `corners` (s, 4, 3) [mm]
    are pieces, each of strip `strip` (s,); `along` (3,) [1] is where to.
    """

    ends: Floats
    first: Ints
    last: Ints
    carried: Bools
    corners: Floats
    strip: Ints
    along: Floats

    def __len__(self) -> int:
        return len(self.ends)


def wake(
    panels: Panels, along: Floats, threads: int = THREADS, washed: Collection[str] = ()
) -> Wake:
    """Return the wake of all trailing edges, straight along a direction (3,) [1].

    It is cut where it enters a body, but for those that are `washed`: they take it as a speed.
    """
    edges = panels.edges
    along = np.asarray(along, dtype=float) / np.linalg.norm(along)
    extent = float(np.linalg.norm(np.ptp(panels.corners.reshape(-1, 3), axis=0)))
    of = np.linalg.norm(edges.ends[:, 1] - edges.ends[:, 0], axis=1) > 1e-9 * extent
    open_ = (edges.first != NOBODY) & (edges.last != NOBODY)
    source = _nearest_open(panels, open_ & of)
    ends = edges.ends[of]
    solid = ~np.isin(panels.body, [k for k, n in enumerate(panels.names) if n in washed])
    cutting = panels.kept(solid) if solid.any() else panels
    corners, strip = _pieces(cutting, ends, along, LENGTH * extent, threads)
    return Wake(
        *(ends, edges.first[source][of], edges.last[source][of], ~open_[of]),
        *(corners, strip, along),
    )


def _nearest_open(panels: Panels, open_: Bools) -> Ints:
    """Return for each trailing edge itself, or the nearest open one of its body."""
    edges = panels.edges
    source = np.arange(len(open_))
    middles = edges.ends.mean(axis=1)
    for index in np.flatnonzero(~open_):
        same = np.flatnonzero(open_ & (edges.body == edges.body[index]))
        if len(same) == 0:
            raise GeometryError(
                "the whole trailing edge is hidden inside other bodies",
                part=panels.names[edges.body[index]],
                step="wake",
            )
        apart = np.linalg.norm(middles[same] - middles[index], axis=1)
        source[index] = same[int(np.argmin(apart))]
    return source


def _pieces(
    panels: Panels, ends: Floats, along: Floats, far: float, threads: int
) -> tuple[Floats, Ints]:
    """Return the pieces of strips: one where it meets no body, else many, cut at the bodies."""
    if len(ends) == 0:
        return np.zeros((0, 4, 3)), np.zeros(0, dtype=np.int64)
    reach = float((panels.corners @ along).max())
    steps = np.linspace(0.0, 1.0, PIECES + 1)
    shares = np.linspace(0.0, 1.0, ACROSS + 1)
    at = ends[:, :1] + shares[None, :, None] * (ends[:, 1:] - ends[:, :1])  # (t, a, 3)
    length = 1.02 * np.maximum(reach - at @ along, 0.0) + 1e-3 * far / LENGTH
    met = _met(panels, _path(at, length, steps, along), threads)
    meets = met.any(axis=1)
    # The pieces end a step behind the last body that the strip meets.
    end = np.where(meets, PIECES - np.argmax(met[:, ::-1], axis=1) + 1, PIECES) / PIECES
    path = _path(at, length * end[:, None], steps, along)
    free, bound = np.flatnonzero(~meets), np.flatnonzero(meets)
    behind = far * along
    a, b = ends[free, 0], ends[free, 1]
    whole = np.stack([a, a + behind, b + behind, b], axis=1)
    path = path[bound]
    near = np.stack(
        [path[:, :-1, :-1], path[:, 1:, :-1], path[:, 1:, 1:], path[:, :-1, 1:]], axis=3
    )
    near = near.reshape(-1, 4, 3)
    a, b = path[:, -1, 0], path[:, -1, -1]
    last = np.stack([a, a + behind, b + behind, b], axis=1)
    nobody = np.full(len(near), NOBODY)
    near, keep = cut(near, nobody, lambda points, _: inside(panels, points, threads))
    who = np.repeat(bound, PIECES * ACROSS)
    return (
        np.concatenate([whole, near[keep], last]),
        np.concatenate([free, who[keep], bound]),
    )


def _met(panels: Panels, path: Floats, threads: int) -> Bools:
    """Say at which steps (t, pieces) strips meet a body."""
    middles = 0.25 * (path[:, :-1, :-1] + path[:, 1:, :-1] + path[:, 1:, 1:] + path[:, :-1, 1:])
    found = inside(panels, middles.reshape(-1, 3), threads)
    return np.asarray(found.reshape(len(path), PIECES, ACROSS).sum(axis=2) > 0)


def _path(at: Floats, length: Floats, steps: Floats, along: Floats) -> Floats:
    return np.asarray(at[:, None] + steps[None, :, None, None] * length[:, None, :, None] * along)


def felt(trail: Wake, points: Floats, mirrored: bool, threads: int = THREADS) -> Floats:
    """Return the potentials (p, t) [1] of unit strips at points (p, 3) [mm]."""
    from geomgen.air.potential import kernels

    found = np.empty((len(points), len(trail)))
    points = np.ascontiguousarray(points)
    corners, starts = _by_strip(trail)
    images = 2 if mirrored else 1

    def rows(part: slice) -> None:
        angles = np.empty((len(points[part]), len(corners)))
        kernels.fill_exactly(points[part], corners, images, angles)
        found[part] = np.add.reduceat(angles, starts, axis=1)

    in_threads(rows, len(points), threads)
    return np.asarray(found / (4 * np.pi))


def _by_strip(trail: Wake) -> tuple[Floats, Ints]:
    """Return pieces (s, 4, 3) [mm] in the order of their strips, and where each strip's begin."""
    order = np.argsort(trail.strip, kind="stable")
    starts = np.searchsorted(trail.strip[order], np.arange(len(trail)))
    return np.ascontiguousarray(trail.corners[order]), starts


def parted(panels: Panels, trail: Wake) -> Bools:
    """Say which neighbours (n, 2, 2) a wake lies between: the potential jumps there."""
    between = np.zeros((len(panels), 2, 2), dtype=bool)
    if len(trail) == 0:
        return between
    # The whole strips, also inside bodies: lines between panels run inside, too.
    far = (trail.corners @ trail.along).max() * trail.along
    near = panels.neighbours
    asked = (near != NOBODY) & (panels.spots @ trail.along > (trail.ends @ trail.along).min())[
        :, None, None
    ]
    who, line, side = np.nonzero(asked)
    there = near[who, line, side]
    start, end = panels.spots[who], panels.spots[there].copy()
    end[panels.beyond[who, line, side], 1] *= -1.0
    hit = np.zeros(len(who), dtype=bool)
    for a, d in trail.ends:
        b, c = a + far, d + far
        hit |= _through(start, end, a, b, c) | _through(start, end, a, c, d)
    own = (panels.neighbours[who, line, side] == who) & panels.beyond[who, line, side]
    between[who, line, side] = hit & ~own
    return between


def unmixed(panels: Panels, trail: Wake, apart: Bools | None = None) -> Floats:
    """Return how strips' jumps follow (t, t) [1] from the differences at their trailing edges.

    Where the wake of another body runs between both panels of an edge, as a wing's across a V tail,
    their difference holds that wake's jump too; it goes on behind by itself. A wake that runs into
    more than a part of a trailing edge is refused: pieces of it are too coarse for that. Panels
    that feel a strip `apart` (n, t), as a speed, have none of its jump.
    """
    t = len(trail)
    mixed = np.zeros((t, t))
    if t == 0:
        return mixed
    far = (trail.corners @ trail.along).max() * trail.along
    start, end = panels.spots[trail.first], panels.spots[trail.last]
    body = panels.body[trail.last]
    known = np.zeros((t, len(panels.names)), dtype=bool)
    for k, (a, d) in enumerate(trail.ends):
        b, c = a + far, d + far
        hit = _through(start, end, a, b, c) | _through(start, end, a, c, d)
        # Beside a strip's border two of a body's strips may be met: one counts.
        hit &= (body != body[k]) & ~known[:, body[k]]
        if apart is not None:
            hit &= ~apart[trail.last, k]
        known[hit, body[k]] = True
        mixed[hit, k] = np.sign((end - start)[hit] @ np.cross(trail.along, d - a))
    for index in np.unique(body):
        for other in np.unique(body):
            share = known[body == index, other].mean()
            if share > AT_MOST:
                raise GeometryError(
                    f"the wake of {panels.names[other]} runs into it along {share:.0%} of its "
                    "trailing edge; lay the wakes along the mean attack, so that they pass by",
                    part=panels.names[index],
                    step="wake",
                )
    return np.asarray(np.linalg.inv(np.eye(t) + mixed))


def _through(start: Floats, end: Floats, a: Floats, b: Floats, c: Floats) -> Bools:
    """Say which segments (m, 3) pass through a triangle, nearly so on its rim."""
    step, one, two = end - start, b - a, c - a
    over = np.cross(step, two)
    det = over @ one
    off = start - a
    around = np.cross(off, one)
    with np.errstate(divide="ignore", invalid="ignore"):
        u = np.einsum("md,md->m", off, over) / det
        v = np.einsum("md,md->m", step, around) / det
        t = around @ two / det
        within = (u >= -RIM) & (v >= -RIM) & (u + v <= 1 + RIM)
        return np.asarray(within & (t >= -RIM) & (t <= 1 + RIM))


def washed_by(panels: Panels, trail: Wake, bodies: Collection[str]) -> Bools:
    """Say which panels (n) take which strips (t) as speeds: named bodies, others' wakes."""
    of = panels.body[trail.first]
    named = np.isin(panels.body, [panels.names.index(b) for b in bodies if b in panels.names])
    return np.asarray(named[:, None] & (panels.body[:, None] != of[None]))


def wash(panels: Panels, trail: Wake, who: Bools, threads: int = THREADS) -> Floats:
    """Return the speeds (n, 3, t) [1/mm] of unit strips at the panels' spots, 0 where not `who`."""
    from geomgen.air.potential import kernels

    speeds = np.zeros((len(panels), 3, len(trail)))
    rows = np.flatnonzero(who.any(axis=1))
    if not len(rows):
        return speeds
    points = np.ascontiguousarray(panels.spots[rows])
    cores = np.ascontiguousarray(CORE * panels.whole.diameters[rows])
    found = np.empty((len(rows), 3, len(trail)))
    corners, starts = _by_strip(trail)
    images = 2 if panels.mirrored else 1

    def some(part: slice) -> None:
        each = np.zeros((len(points[part]), 3, len(corners)))
        kernels.fill_rings(points[part], corners, cores[part], images, each)
        found[part] = np.add.reduceat(each, starts, axis=2)

    in_threads(some, len(rows), threads)
    speeds[rows] = found / (4 * np.pi)
    return np.asarray(speeds * who[:, None, :])

"""How far two states of a surface lie apart: the largest distance, both ways, and where.

Every triangle has an upper bound of its distance from the other mesh; what may still hold the
largest distance is halved until nothing can beat the distance found (branch and bound, common
practice). The distance from a convex thing is convex, so that from one triangle is largest in a
corner; where both sheets run smoothly beside each other the gap between the corners is that in the
corners but for both mesh tolerances; anywhere else it grows no faster than the way to a corner.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from scipy.spatial import cKDTree

from geomgen.arrays import Bools, Floats, Ints
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.meshes.sharp_edges import Features, features
from geomgen.kernel.meshing.deviation import to_triangles
from geomgen.kernel.plain import Vec3, vec

# Points along sharp edges stand so close [mm]: what happens between them counts as close to one.
SPACING = 5.0
# Sheets whose normals differ by more than 45 deg do not run beside each other.
BESIDE = float(np.cos(np.radians(45.0)))
# A foot whose point stands off its normal by more than 25 deg is one on a rim.
SQUARE = float(np.cos(np.radians(25.0)))
# Feet that spread more than this times the corners they belong to are on different sheets.
SPREAD = 1.5
FIRST = 400
AT_ONCE = 2048
# Distances asked for before the search is given up and what it could not exclude is said.
MOST = 120_000


@dataclass(frozen=True)
class Apart:
    """The largest distance [mm] between two surfaces, at `at`; `foot` is nearest on the other.

    `from_former` says that `at` lies on the former surface. No point of either mesh is further
    from the other than `at_most` [mm]. `samples` points were asked for.
    """

    distance: float
    at_most: float
    at: Vec3
    foot: Vec3
    from_former: bool
    samples: int


def largest_distance(former: Mesh, new: Mesh, within: float | None = None) -> Apart:
    """Return how far two closed meshes lie apart, to within `within` [mm] where that can be had.

    Without `within` it is a quarter of both mesh tolerances, or 1 % of the distance if more.

    >>> from geomgen.kernel.meshing.proven import mesh
    >>> from geomgen.kernel.brep.primitives import box
    >>> cube = mesh(box((0.0, 0.0, 0.0), (10.0, 10.0, 10.0)), 0.1)
    >>> longer = mesh(box((0.0, 0.0, 0.0), (13.0, 10.0, 10.0)), 0.1)
    >>> largest_distance(cube, longer).distance
    3.0
    """
    # Searched in one order whichever is the former, so that the answer does not hang on it.
    turned = _rank(new) < _rank(former)
    first, second = (new, former) if turned else (former, new)
    slack = former.mesh_tolerance + new.mesh_tolerance
    a, b = _Sheet(first), _Sheet(second)
    there, back = _Search(a, b, slack, within), _Search(b, a, slack, within)
    there.run(0.0)
    # What the way back can't exceed it need not refine.
    back.run(there.lower)
    best = back if back.lower > there.lower else there
    return Apart(
        best.lower,
        max(there.upper, back.upper),
        vec(best.at),
        vec(best.foot),
        (best is there) != turned,
        there.samples + back.samples,
    )


def _rank(mesh: Mesh) -> tuple[int, bytes, bytes]:
    return len(mesh.triangles), mesh.vertices.tobytes(), mesh.triangles.tobytes()


class _Sheet:
    """A mesh with what a search needs of it, made when it is asked for."""

    def __init__(self, mesh: Mesh) -> None:
        self.mesh = mesh
        self.corners = mesh.corners
        self.search = MeshSearch(self.corners)
        self.features: Features = features(mesh, SPACING)


class _Search:
    """The largest distance of the triangles of one sheet from the other."""

    def __init__(self, mine: _Sheet, other: _Sheet, slack: float, within: float | None) -> None:
        self.mine, self.other = mine, other
        self.slack, self.within = slack, within
        self.lower, self.upper, self.samples = 0.0, 0.0, 0
        self.at = self.foot = mine.corners[0, 0]

    def run(self, known: float) -> None:
        """Search for what exceeds `known` [mm], the distance found the other way round."""
        self.known = known
        rows = self._not_common()
        if not len(rows):
            return
        used, place = np.unique(self.mine.mesh.triangles[rows], return_inverse=True)
        place = place.reshape(-1, 3)
        points = self.mine.mesh.vertices[used]
        away, owner, foot = self._first(points)
        todo = _Todo(
            self.mine.corners[rows], away[place], owner[place], foot[place],
            self.mine.features.normals[rows],
        )  # fmt: skip
        todo.bound, todo.settled = self.bounds(
            todo.corners, todo.away, todo.owner, todo.foot, todo.normal
        )
        self._refine(todo)

    @property
    def _enough(self) -> float:
        top = max(self.lower, self.known)
        if self.within is not None:
            return top + self.within
        return top + max(0.25 * self.slack, 0.01 * top)

    def _not_common(self) -> Ints:
        """Return the triangles that the other mesh does not have just so."""
        mine, other = (_keys(sheet.corners) for sheet in (self.mine, self.other))
        return np.nonzero(~np.isin(mine, other))[0]

    @cached_property
    def _rims(self) -> Any:
        """Return a tree of places on this sheet where the other has rims, or turns away from it.

        There a gap may be wider amid a triangle than in its corners. None: no such place.
        """
        edges = self.other.features.points
        places = [self.mine.search.nearest(edges).foot] if len(edges) else []
        vertices = self.other.mesh.vertices
        near = self.mine.search.near(vertices)
        turned = np.ones(len(vertices), dtype=bool)
        theirs, mine = self.other.features.normals, self.mine.features.normals
        for corner in self.other.mesh.triangles.T:
            agree = np.einsum("ij,ij->i", theirs, mine[near.triangle[corner]])
            turned[corner] &= agree < BESIDE
        places.append(near.foot[turned])
        rims = np.concatenate(places)
        return cKDTree(rims) if len(rims) else None

    def _first(self, points: Floats) -> tuple[Floats, Ints, Floats]:
        """Return upper bounds for all points, exact where they may be the largest."""
        near = self.other.search.near(points)
        away, owner, foot = near.distance.copy(), near.triangle.copy(), near.foot.copy()
        left = np.argsort(-away, kind="stable")
        while len(left):
            batch, left = left[:FIRST], left[FIRST:]
            found = self.other.search.nearest(points[batch])
            away[batch], owner[batch], foot[batch] = found.distance, found.triangle, found.foot
            self._take(points[batch], found.distance, found.foot)
            left = left[away[left] > self.lower]
        return away, owner, foot

    def _take(self, points: Floats, away: Floats, foot: Floats) -> None:
        self.samples += len(points)
        top = int(np.argmax(away))
        if away[top] > self.lower:
            self.lower, self.at, self.foot = float(away[top]), points[top], foot[top]

    def _refine(self, todo: "_Todo") -> None:
        while True:
            # Below what is settled already there is nothing to gain.
            least = max(self._enough, float(todo.bound[todo.settled].max(initial=0.0)))
            open_ = np.nonzero((todo.bound > least) & ~todo.settled)[0]
            if not len(open_) or self.samples > MOST:
                break
            top = open_[np.argsort(-todo.bound[open_], kind="stable")[:AT_ONCE]]
            todo.split(top, self)
        self.upper = max(float(todo.bound.max()), self.lower)

    def ask(self, points: Floats) -> tuple[Floats, Ints, Floats]:
        """Return distance, triangle and foot of points, exact; they count as samples."""
        found = self.other.search.nearest(points)
        self._take(points, found.distance, found.foot)
        return found.distance, found.triangle, found.foot

    def bounds(
        self, corners: Floats, away: Floats, owner: Ints, foot: Floats, normal: Floats
    ) -> tuple[Floats, Bools]:
        """Return the least of three bounds: way to a corner, one triangle, smooth sheets.

        Settled is what the last one bounds: to halve it would gain nothing.
        """
        settled = np.zeros(len(corners), dtype=bool)
        sides = np.linalg.norm(corners - np.roll(corners, -1, axis=1), axis=2)
        # No place is further from its nearest corner than the half of the longest side over cos 30.
        bound = away.max(axis=1) + sides.max(axis=1) / np.sqrt(3.0)
        open_ = np.nonzero(bound > self._enough)[0]
        if len(open_):
            bound[open_] = np.minimum(bound[open_], self._one(corners[open_], owner[open_]))
        open_ = np.nonzero(bound > self._enough)[0]
        if len(open_):
            smooth = self._smooth(
                corners[open_], sides[open_], owner[open_], foot[open_], normal[open_]
            )
            gap = away[open_].max(axis=1) + self.slack
            smooth &= gap < bound[open_]
            bound[open_[smooth]], settled[open_[smooth]] = gap[smooth], True
        return bound, settled

    def _one(self, corners: Floats, owner: Ints) -> Floats:
        """Return the distance from that triangle of the other mesh which bounds it best."""
        best = np.full(len(corners), np.inf)
        for j in range(3):
            target = self.other.corners[owner[:, j]]
            away = [to_triangles(corners[:, i], target) for i in range(3)]
            best = np.minimum(best, np.maximum.reduce(away))
        return best

    def _smooth(
        self, corners: Floats, sides: Floats, owner: Ints, foot: Floats, normal: Floats
    ) -> Bools:
        theirs = self.other.features
        agree = np.einsum("ki,kji->kj", normal, theirs.normals[owner])
        good = agree.min(axis=1) >= BESIDE
        # A foot on a rim does not lie square under its point: there the sheet has ended.
        off = corners - foot
        far = np.linalg.norm(off, axis=2)
        square = np.abs(np.einsum("kji,kji->kj", off, theirs.normals[owner]))
        good &= ((square >= SQUARE * far) | (far <= self.slack)).all(axis=1)
        spread = np.linalg.norm(foot - np.roll(foot, -1, axis=1), axis=2)
        good &= (spread <= SPREAD * sides + self.slack).all(axis=1)
        if self._rims is not None:
            middle = corners.mean(axis=1)
            radius = np.linalg.norm(corners - middle[:, None], axis=2).max(axis=1)
            rim, _ = self._rims.query(middle)
            good &= rim > radius + SPACING / 2
        return np.asarray(good)


class _Todo:
    """Triangles that are looked at, with what is known at their corners and their bounds."""

    def __init__(
        self, corners: Floats, away: Floats, owner: Ints, foot: Floats, normal: Floats
    ) -> None:
        self.corners, self.away, self.owner, self.foot = corners, away, owner, foot
        self.normal = normal
        self.bound = np.full(len(corners), np.inf)
        self.settled = np.zeros(len(corners), dtype=bool)

    def split(self, rows: Ints, search: _Search) -> None:
        """Put two halves in the place of each triangle, cut across its longest side."""
        corners = self.corners[rows]
        sides = np.linalg.norm(corners - np.roll(corners, -1, axis=1), axis=2)
        first = np.argmax(sides, axis=1)
        turn = (first[:, None] + np.arange(3)) % 3
        k = np.arange(len(rows))[:, None]
        corners, away = corners[k, turn], self.away[rows][k, turn]
        owner, foot = self.owner[rows][k, turn], self.foot[rows][k, turn]
        middle = (corners[:, 0] + corners[:, 1]) / 2
        d, t, f = search.ask(middle)
        halves = []
        for keep in (0, 1):
            # The half keeps the corner `keep` and the one across; the other gives way.
            gone = 1 - keep
            c, w, o, g = corners.copy(), away.copy(), owner.copy(), foot.copy()
            c[:, gone], w[:, gone], o[:, gone], g[:, gone] = middle, d, t, f
            normal, was = self.normal[rows], self.bound[rows]
            bound, settled = search.bounds(c, w, o, g, normal)
            halves.append((c, w, o, g, normal, np.minimum(was, bound), settled))
        one, two = halves
        (self.corners[rows], self.away[rows], self.owner[rows]) = one[:3]
        self.foot[rows], self.bound[rows], self.settled[rows] = one[3], one[5], one[6]
        self.corners = np.concatenate([self.corners, two[0]])
        self.away = np.concatenate([self.away, two[1]])
        self.owner = np.concatenate([self.owner, two[2]])
        self.foot = np.concatenate([self.foot, two[3]])
        self.normal = np.concatenate([self.normal, two[4]])
        self.bound = np.concatenate([self.bound, two[5]])
        self.settled = np.concatenate([self.settled, two[6]])


def _keys(corners: Floats) -> Floats:
    """Return one value for each triangle, the same for the same corners from the same side."""
    a, b, c = corners.transpose(1, 0, 2)
    whole = np.concatenate([np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)
                            , a + b + c], axis=1)  # fmt: skip
    return np.ascontiguousarray(whole).view([("", whole.dtype)] * whole.shape[1]).reshape(-1)

"""Rings of a mesh's cut moved onto the exact surfaces, and what they enclose.

A ring of the proven mesh tells which faces the plane passes, in what order; its nodes are moved
onto the surfaces, its corners onto the solid's edges, and between two nodes the area beside the
chord is integrated with points of the surface. No boolean, no approximated curve. What moves
farther than the mesh may be off is refused, and the caller asks the kernel.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopoDS import TopoDS

from geomgen.arrays import Bools, Floats, Ints
from geomgen.kernel.brep.curve_points import edge_curve
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.surface_points import SurfacePoints, surface_points
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.mesh import cross
from geomgen.kernel.meshing.edges import mapped
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.sections.exact_outline import COUNT, MIDDLE, PLACES, WEIGHTS, ExactOutline
from geomgen.kernel.sections.mesh_rings import MeshRing
from geomgen.kernel.sections.passes import nil_between

# Weights of the rule through three of the places and both ends, where nothing stands off the
# chord: the gap between the two rules is more than the error.
_FEW = np.array([0, MIDDLE, COUNT - 1])
_POWERS = np.vander(np.r_[0.0, PLACES[_FEW], 1.0], increasing=True)
ROUGH = np.zeros(COUNT)
ROUGH[_FEW] = np.linalg.solve(_POWERS.T, 1.0 / np.arange(1.0, 6.0))[1:-1]
# A piece whose two rules differ by more [mm2] is halved, so often at most.
ROUGHNESS, HALVINGS = 1e-6, 6
# A place has settled when it is nearer to the plane than this [mm]; found in so many steps or not
# at all.
SETTLED, STEPS = 1e-10, 12
# Where a skin leans less out of the plane than this the cut is not well defined (sine).
LEAST_LEAN = 0.1
# Beside its deviation a mesh is off by the rounding of its vertices [mm].
ROUNDED = 1e-3


@dataclass(frozen=True)
class ExactRing(ExactOutline):
    """A closed ring of exact nodes, the material on its left as seen by the plane's viewer.

    `area` [mm2] is negative round a hole and off by no more than `error`; `moments` (2,) are area
    times centroid [mm3]. `lean` is the least sine between skin and plane.
    """

    area: float
    error: float
    moments: Floats
    lean: float


class ExactCut:
    """The faces and edges of a body as they are asked for by a plane that cuts it."""

    def __init__(self, body: Body, frame: Frame) -> None:
        self.body, self.frame = body, frame
        self._faces = faces_of(body.solid)
        self._edges = mapped(body.solid, TopAbs_EDGE)
        self.surface = lru_cache(maxsize=None)(self._surface)
        self._passing = self._passing_edges()

    def ring(self, ring: MeshRing) -> ExactRing | None:
        """Return a ring moved onto the surfaces; None when that can't be proved."""
        corners = self._corners(ring)
        nodes = None if corners is None else self._nodes(ring, corners)
        return None if nodes is None or corners is None else self._integrated(*nodes, corners)

    def _surface(self, face: int) -> SurfacePoints:
        return surface_points(self._faces[face])

    def _passing_edges(self) -> dict[tuple[int, int], tuple[int, float, float]]:
        """Return the pieces of the solid's edges that pass the plane, by their two vertices."""
        height = self.frame.height(self.body.mesh.vertices)
        above, found = height >= 0.0, {}
        for line in self.body.mesh.edges:
            side = above[line.vertices]
            for i in np.nonzero(side[1:] != side[:-1])[0].tolist():
                a, b = int(line.vertices[i]), int(line.vertices[i + 1])
                s, t = float(line.parameters[i]), float(line.parameters[i + 1])
                found[(a, b) if a < b else (b, a)] = (line.edge, s, t)
        return found

    def _corners(self, ring: MeshRing) -> "dict[int, _Corner] | None":
        found = {}
        for i, (a, b) in enumerate(ring.sides.tolist()):
            passing = self._passing.get((a, b))
            if passing is None:
                continue
            corner = self._corner(*passing)
            if corner is None:
                return None
            found[i] = corner
        return found

    def _corner(self, number: int, low: float, high: float) -> "_Corner | None":
        """Return where an edge passes the plane near a piece of its parameters."""
        edge = TopoDS.Edge(self._edges.FindKey(number + 1))
        curve = edge_curve(edge)
        room = 0.2 * (high - low)
        first, last = np.array([low - room]), np.array([high + room])
        ends = [self.frame.height(curve.at(at)) for at in (first, last)]
        if ends[0] * ends[1] > 0.0:
            return None
        t = nil_between(lambda at: self.frame.height(curve.at(at)), first, last, *ends)
        place = curve.at(t)
        if float(np.abs(self.frame.height(place)).max()) > SETTLED:
            return None
        flat = self.frame.flat(place)[0]
        return _Corner(flat, float(BRep_Tool.Tolerance_s(edge)))

    def _nodes(
        self, ring: MeshRing, corners: "dict[int, _Corner]"
    ) -> "tuple[Floats, Ints, Floats] | None":
        """Return nodes (n, 2), faces (n,) of the pieces and their parameters (n, 2, 2)."""
        face = self.body.mesh.face[ring.triangles]
        points, ends = ring.points.copy(), ring.ends.copy()
        # Across the ring, so that a node moves square to it.
        way = np.roll(ring.points, -1, axis=0) - np.roll(ring.points, 1, axis=0)
        inner = np.array([i not in corners for i in range(len(points))])
        inner &= np.linalg.norm(way, axis=1) > 0.0
        found = self._placed(face[inner], ends[inner, 0], points[inner], way[inner])
        if found is None:
            return None
        uv, moved, lean = found
        allowed = (1.5 * self.body.deviation + ROUNDED) / lean
        if np.any(np.linalg.norm(moved - points[inner], axis=1) > allowed):
            return None
        points[inner], ends[inner, 0] = moved, uv
        before = np.nonzero(inner)[0] - 1
        ends[before, 1] = uv
        for i, corner in corners.items():
            points[i] = corner.flat
        return points, face, ends

    def _placed(
        self, face: Ints, uv: Floats, target: Floats, way: Floats
    ) -> tuple[Floats, Floats, Floats] | None:
        """Move places on faces into the plane, to where they lie at `target` along `way`.

        Returns parameters (n, 2), places in the plane (n, 2), the sine between skin and plane.
        """
        uv, at, lean = uv.copy(), np.zeros((len(uv), 2)), np.ones(len(uv))
        length = np.linalg.norm(way, axis=1, keepdims=True)
        way = way / np.where(length > 0.0, length, 1.0)
        for number in np.unique(face).tolist():
            mine = face == number
            found = self._on_face(self.surface(number), uv[mine], target[mine], way[mine])
            if found is None:
                return None
            uv[mine], at[mine], lean[mine] = found
        return uv, at, lean

    def _on_face(
        self, surface: SurfacePoints, uv: Floats, target: Floats, way: Floats
    ) -> tuple[Floats, Floats, Floats] | None:
        axes = np.array([self.frame.across, self.frame.up])
        normal, origin = np.array(self.frame.normal), np.array(self.frame.origin)
        along = way @ axes
        for _ in range(STEPS):
            points, su, sv = surface.at(uv, 1)
            off = points - origin
            height, ahead = off @ normal, np.einsum("ij,ij->i", off @ axes.T - target, way)
            a, b = su @ normal, sv @ normal
            c, d = np.einsum("ij,ij->i", su, along), np.einsum("ij,ij->i", sv, along)
            det = a * d - b * c
            square = cross(su, sv)
            size = np.linalg.norm(square, axis=1)
            if np.any(size <= 0.0) or np.any(np.abs(det) < 1e-3 * LEAST_LEAN * size):
                return None
            uv = (
                uv
                - np.stack([d * height - b * ahead, a * ahead - c * height], axis=1) / det[:, None]
            )
            if float(np.max(np.hypot(height, ahead), initial=0.0)) < SETTLED:
                lean = np.sqrt(np.maximum(0.0, 1.0 - (square @ normal / size) ** 2))
                flat = off @ axes.T
                return (uv, flat, lean) if np.all(lean >= LEAST_LEAN) else None
        return None

    def _integrated(
        self, points: Floats, face: Ints, ends: Floats, corners: "dict[int, _Corner]"
    ) -> ExactRing | None:
        """Integrate beside the chords, halving what is not yet smooth enough."""
        order = np.arange(len(face), dtype=np.float64)
        waiting = _Pieces(points, np.roll(points, -1, axis=0), face, ends, order)
        done = []
        for depth in range(HALVINGS + 1):
            found = self._beside(waiting)
            if found is None:
                return None
            beside, uv = found
            smooth = beside.gap <= ROUGHNESS
            done.append(beside.some(smooth))
            if smooth.all():
                return _ring(_joined(done), corners)
            waiting = waiting.halved(
                ~smooth, beside.flat[:, MIDDLE], uv[:, MIDDLE], 0.5 ** (depth + 1)
            )
        return None

    def _beside(self, pieces: "_Pieces") -> "tuple[_Beside, Floats] | None":
        """Return the places beside the chords of pieces, and their parameters (n, 5, 2)."""
        chord = pieces.last - pieces.first
        target = pieces.first[:, None] + PLACES[:, None] * chord[:, None]
        ends = pieces.ends
        guess = ends[:, :1] + PLACES[:, None] * (ends[:, 1:] - ends[:, :1])
        found = self._placed(
            np.repeat(pieces.face, COUNT),
            guess.reshape(-1, 2),
            target.reshape(-1, 2),
            np.repeat(chord, COUNT, axis=0),
        )
        if found is None:
            return None
        uv, flat, lean = (values.reshape(len(chord), COUNT, -1) for values in found)
        length = np.linalg.norm(chord, axis=1)
        bulge = np.einsum("nij,nj->ni", flat - target, _right(chord, length))
        gap = np.abs(bulge @ (WEIGHTS - ROUGH)) * length
        least = lean.reshape(len(chord), COUNT).min(axis=1)
        return _Beside(pieces.first, pieces.last, pieces.order, flat, bulge, gap, least), uv


@dataclass(frozen=True)
class _Pieces:
    """Pieces of a ring from node `first` to `last` (n, 2), on faces, between parameters."""

    first: Floats
    last: Floats
    face: Ints
    ends: Floats
    order: Floats

    def halved(self, rough: Bools, flat: Floats, uv: Floats, step: float) -> "_Pieces":
        """Return both halves of rough pieces; `flat`, `uv` (n, 2) are the middles of all."""
        first, last, ends, order = (
            values[rough] for values in (self.first, self.last, self.ends, self.order)
        )
        middle, at = flat[rough], uv[rough]
        fore, aft = np.stack([ends[:, 0], at], axis=1), np.stack([at, ends[:, 1]], axis=1)
        return _Pieces(
            np.concatenate([first, middle]),
            np.concatenate([middle, last]),
            np.concatenate([self.face[rough]] * 2),
            np.concatenate([fore, aft]),
            np.concatenate([order, order + step]),
        )


@dataclass(frozen=True)
class _Beside:
    """What lies beside the chords of pieces: five places each (n, 5, 2), bulges (n, 5) [mm]."""

    first: Floats
    last: Floats
    order: Floats
    flat: Floats
    bulge: Floats
    gap: Floats
    lean: Floats

    def some(self, which: Bools | Ints) -> "_Beside":
        """Return some of the pieces."""
        return _Beside(*(values[which] for values in _columns(self)))


def _columns(beside: _Beside) -> tuple[Floats, ...]:
    b = beside
    return b.first, b.last, b.order, b.flat, b.bulge, b.gap, b.lean


def _joined(done: Sequence[_Beside]) -> _Beside:
    """Return all pieces in the order of the ring."""
    every = _Beside(*(np.concatenate(rows) for rows in zip(*map(_columns, done), strict=True)))
    return every.some(np.argsort(every.order, kind="stable"))


@dataclass(frozen=True)
class _Corner:
    """Where an edge of the solid passes the plane, and the edge's own tolerance [mm]."""

    flat: Floats
    tolerance: float


def _right(chord: Floats, length: Floats) -> Floats:
    turned = np.stack([chord[:, 1], -chord[:, 0]], axis=1)
    return np.asarray(turned / np.where(length > 0.0, length, 1.0)[:, None])


def _ring(pieces: _Beside, corners: dict[int, _Corner]) -> ExactRing:
    """Add up what the chords enclose and what lies between them and the outline."""
    middle = pieces.first.mean(axis=0)
    a, b = pieces.first - middle, pieces.last - middle
    length = np.linalg.norm(b - a, axis=1)
    wedge = 0.5 * (a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])
    area = float(wedge.sum() + ((pieces.bulge @ WEIGHTS) * length).sum())
    foot = a[:, None] + PLACES[:, None] * (b - a)[:, None]
    centre = foot + 0.5 * pieces.bulge[..., None] * _right(b - a, length)[:, None]
    weight = pieces.bulge * WEIGHTS * length[:, None]
    moments = (wedge[:, None] * (a + b) / 3.0).sum(axis=0) + np.einsum("ni,nij->j", weight, centre)
    # An edge may stand off its faces by its tolerance: that far its corner may be off.
    beside = length + np.roll(length, 1)
    at = np.searchsorted(pieces.order, np.array(list(corners), dtype=float))
    corner = float(np.sum(beside[at] * np.array([c.tolerance for c in corners.values()])))
    error = float(pieces.gap.sum()) + corner + 1e-10 * abs(area)
    lean = float(pieces.lean.min())
    return ExactRing(pieces.first, pieces.flat, area, error, moments + area * middle, lean)


def summed(rings: Sequence[ExactRing]) -> tuple[float, float, Floats]:
    """Return area [mm2], its bound, and centroid (2,) [mm] of what rings enclose together."""
    area = sum(ring.area for ring in rings)
    moments = np.sum([ring.moments for ring in rings], axis=0)
    return area, sum(ring.error for ring in rings), moments / area

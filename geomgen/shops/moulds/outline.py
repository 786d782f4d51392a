"""The outline of a split in its own plane: the exact wire, and points on it."""

from dataclasses import dataclass

import numpy as np
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Wire

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.edge_curve import EdgeCurve
from geomgen.kernel.brep.faces import bounds_of, faces_of
from geomgen.kernel.brep.surface_points import surface_points
from geomgen.kernel.brep.wires import edges_along, outer_wire
from geomgen.kernel.lofting.lean_edge import edge_of, lean
from geomgen.kernel.lofting.quadrants import HALVES, SideLine, side_lines
from geomgen.kernel.lofting.sewing import wire_of
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import Mould
from geomgen.shapes.aerofoil import HALF
from geomgen.shops.moulds.bodies import ON_LINES, pull_directions, skin_grown, tip_rows
from geomgen.shops.moulds.split import MouldHalf, Split

# Points on each edge of an outline.
ON_EDGE = 160
# Points that a lean line is laid through.
FINE = 400
# A face this near to the plane of the split [mm] is the split's own.
IN_PLANE = 1e-4
NO_LENGTH = 1e-6


@dataclass(frozen=True)
class SplitPlane:
    """The plane of a split: its origin [mm], unit vectors `along` (aft), `aside` and its normal."""

    origin: Floats
    along: Floats
    aside: Floats
    normal: Floats

    def flat(self, points: Floats) -> Floats:
        """Return points (n, 3) [mm] as (n, 2) along and aside."""
        off = points - self.origin
        return np.stack([off @ self.along, off @ self.aside], axis=-1)

    def space(self, flat: Floats) -> Floats:
        """Return points (n, 2) of the plane in space (n, 3) [mm]."""
        flat = np.atleast_2d(flat)
        return np.asarray(self.origin + flat[:, :1] * self.along + flat[:, 1:] * self.aside)

    def dropped(self, points: Floats) -> Floats:
        """Return points (n, 3) [mm] dropped square onto the plane."""
        return np.asarray(points - ((points - self.origin) @ self.normal)[:, None] * self.normal)


def sheet_of(split: Split) -> SplitPlane:
    """Return the plane of a split, or the plane through its origin square to its pull.

    >>> sheet_of(Split((0.0, 0.0, 0.0), (0.0, 1.0, 0.0))).aside.tolist()
    [0.0, 0.0, 1.0]
    """
    normal = np.array(split.normal)
    along = np.array([1.0, 0.0, 0.0]) - normal[0] * normal
    along /= np.linalg.norm(along)
    aside = np.cross(along, normal)
    aside = aside * np.sign(aside[np.argmax(np.abs(aside))]) + 0.0
    return SplitPlane(np.array(split.origin), along, aside, normal)


def outline(
    p: Parameters, mould: Mould, gap: float, half: MouldHalf, sheet: SplitPlane
) -> TopoDS_Wire:
    """Return the outline of the split of a body grown by `gap` [mm], dropped onto its plane.

    `half` is the body's half on the side of the plane's normal.
    """
    if mould.part in ON_LINES:
        return _dropped(_on_lines(p, mould, gap), sheet)
    if mould.part == "wing_tip":
        return _dropped(_tip_chords(tip_rows(p, mould, gap)), sheet)
    return outer_wire(split_face(half, sheet))


def _on_lines(p: Parameters, mould: Mould, gap: float) -> list[SideLine]:
    names = [name for name, _ in pull_directions(p, mould)]
    (first, second), u = HALVES[names[0]]
    skin = skin_grown(p, mould, gap)
    a, b = (side_lines(skin.faces[q], u) for q in (first, second))
    return [a, b, *(_straight(a.poles[end], b.poles[end]) for end in (0, -1))]


def _straight(a: Floats, b: Floats) -> SideLine:
    return SideLine(np.stack([a, b]), np.array([0.0, 0.0, 1.0, 1.0]), 1)


def _tip_chords(rows: list[Floats]) -> list[SideLine]:
    noses = [row[HALF] for row in rows]
    edges = [(row[0] + row[-1]) / 2 for row in rows]
    ring = [*noses, *reversed(edges)]
    return [_straight(a, b) for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)]


def _dropped(lines: list[SideLine], sheet: SplitPlane) -> TopoDS_Wire:
    edges: list[TopoDS_Edge] = []
    for line in lines:
        poles = sheet.dropped(line.poles)
        if np.ptp(poles, axis=0).max() < NO_LENGTH:
            continue
        dropped = SideLine(poles, line.knots, line.degree)
        if line.degree > 3:
            # The product of two splines has many spans; a board is cut to less than its nearness.
            dropped = lean(dropped.at(np.linspace(line.knots[0], line.knots[-1], FINE)))
        edges.append(edge_of(dropped))
    return wire_of(edges)


def split_face(half: MouldHalf, sheet: SplitPlane) -> TopoDS_Face:
    """Return the one face of a half that lies in the plane of the split."""
    found = [face for face in faces_of(half.solid) if _lies_in(face, sheet)]
    if len(found) != 1:
        raise GeometryError(
            f"{len(found)} faces of the {half.name} half lie in the split",
            step="outline of the split",
            look_at=["handoff.moulds"],
        )
    return found[0]


def _lies_in(face: TopoDS_Face, sheet: SplitPlane) -> bool:
    u0, u1, v0, v1 = bounds_of(face)
    share = np.array([0.1, 0.5, 0.9])
    uv = np.stack(np.meshgrid(u0 + share * (u1 - u0), v0 + share * (v1 - v0)), -1).reshape(-1, 2)
    off = (surface_points(face).at(uv)[0] - sheet.origin) @ sheet.normal
    return bool(np.max(np.abs(off)) < IN_PLANE)


def points_along(wire: TopoDS_Wire) -> Floats:
    """Return points (n, 3) [mm] along a closed wire, in its order, the first not repeated."""
    found = []
    for curve in map(EdgeCurve, edges_along(wire)):
        share = np.linspace(0.0, 1.0, ON_EDGE, endpoint=False)
        if curve.backward:
            share = 1.0 - share
        found.append(curve.points(curve.first + share * (curve.last - curve.first)))
    return np.concatenate(found)

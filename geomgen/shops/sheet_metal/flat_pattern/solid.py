"""The firewall's solid measured for the sheet shop: outline, holes, thickness, flange all round."""

from dataclasses import dataclass

import numpy as np
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Wire

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.edge_curve import EdgeCurve
from geomgen.kernel.brep.planes import frame_round
from geomgen.kernel.brep.wires import edges_along, inner_wires, outer_wire
from geomgen.kernel.plain import Plane, Vec3
from geomgen.kernel.plane_frame import signed_area
from geomgen.kernel.sections.section import regions
from geomgen.kernel.solids.probing import edges_in
from geomgen.kernel.solids.properties import face_area

# Points on an edge of a section: their distance [mm], and at least so many.
STEP, FEWEST = 1.5, 60
# Levels of edges closer than this [mm] are one plane.
LEVEL = 1e-3
# Heights of the flange, as shares of it, where its outside is measured.
HEIGHTS = (0.04, 0.5, 0.98)
KEYS = ["firewall.flange", "joints"]


@dataclass(frozen=True)
class SheetAxes:
    """The sheet's own axes: u to the right, v up in the sheet, h off its mid plane to the flange.

    u is the buttock line; v is the waterline where the sheet stands upright, otherwise it runs
    along the sheet from the waterline of the thrust line. `toward` is -1 for a flange forward.
    """

    origin: Vec3
    normal: Vec3
    toward: float = 1.0

    def axes(self) -> Floats:
        """Return right, up and the way of the flange as rows (3, 3) [1]."""
        aft = np.array(self.normal)
        right = np.array([0.0, 1.0, 0.0]) - aft[1] * aft
        right /= np.linalg.norm(right)
        return np.stack([right, np.cross(aft, right), self.toward * aft])

    def local(self, points: Floats) -> Floats:
        """Return u, v, h (n, 3) [mm] of points in space (n, 3) [mm]."""
        shift = np.array([self.origin[1], self.origin[2], 0.0])
        return np.asarray((points - np.array(self.origin)) @ self.axes().T + shift)

    def space(self, points: Floats) -> Floats:
        """Return the points in space (n, 3) [mm] of u, v, h (n, 3) [mm].

        >>> frame = SheetAxes((1800.0, 0.0, 795.0), (1.0, 0.0, 0.0))
        >>> frame.space(np.array([[100.0, 900.0, 2.0]])).tolist()
        [[1802.0, 100.0, 900.0]]
        """
        shift = np.array([self.origin[1], self.origin[2], 0.0])
        return np.asarray(np.array(self.origin) + (points - shift) @ self.axes())


@dataclass(frozen=True)
class Hole:
    """A hole through the sheet as measured: centre u, v, diameter and how far off round [mm]."""

    centre: tuple[float, float]
    diameter: float
    off_round: float


@dataclass(frozen=True)
class MeasuredSheet:
    """What the solid says [mm]: levels h of both faces and rim, outlines u, v, counter-clockwise.

    `mould` is the level of the face away from the flange, `inside` the other face's, `rim` that of
    the flange's edge (None: no flange). `outline` (n, 2) is the section in the mid plane from the
    top on; `rings` holds the flange's outside as height h and section (m, 2).
    """

    frame: SheetAxes
    mould: float
    inside: float
    rim: float | None
    outline: Floats
    area: float
    holes: tuple[Hole, ...]
    rings: tuple[tuple[float, Floats], ...]

    @property
    def thickness(self) -> float:
        """Return the thickness of the sheet [mm]."""
        return self.inside - self.mould

    def on_front(self, place: tuple[float, float]) -> tuple[float, float]:
        """Return buttock line and waterline [mm] on the front face of a place u, v."""
        front = self.mould if self.frame.toward > 0 else self.inside
        at = self.frame.space(np.array([[*place, front]]))[0]
        return float(at[1]), float(at[2])


def measure_sheet(solid: TopoDS_Shape, plane: Plane, seed: Vec3) -> MeasuredSheet:
    """Measure the firewall's solid from a plane within its sheet and a point of it [mm].

    Raises GeometryError when the plane meets no sheet, or the flange is not on one side of it.
    """
    aft = 1.0 if plane.normal[0] >= 0 else -1.0
    normal = (aft * plane.normal[0], aft * plane.normal[1], aft * plane.normal[2])
    levels = _levels(solid, SheetAxes(plane.origin, normal))
    ahead, behind = levels[levels < 0], levels[levels > 0]
    if not len(ahead) or not len(behind):
        raise GeometryError(
            "the plane of the firewall passes through no sheet",
            part="firewall",
            step="sheet",
            look_at=KEYS,
        )
    if len(ahead) > 1 and len(behind) > 1:
        raise GeometryError(
            "it has a flange on both sides of the sheet, which is not bent from one blank",
            part="firewall",
            step="sheet",
            look_at=KEYS,
        )
    forward = len(ahead) > 1
    frame = SheetAxes(plane.origin, normal, -1.0 if forward else 1.0)
    h = np.sort(frame.toward * levels)
    mould, inside = float(h[h < 0][-1]), float(h[h > 0][0])
    rim = float(h[-1]) if h[-1] > inside + LEVEL else None
    face = _section(solid, frame, seed, 0.0)
    rings = () if rim is None else _rings(solid, frame, seed, (inside, rim))
    return MeasuredSheet(
        frame,
        mould,
        inside,
        rim,
        _from_top(_loop(outer_wire(face), frame)),
        face_area(face).value,
        _holes(face, frame),
        rings,
    )


def _levels(solid: TopoDS_Shape, frame: SheetAxes) -> Floats:
    """Return the distances off the plane [mm] of all edges that lie parallel to it, sorted."""
    found = []
    for edge in edges_in(solid):
        h = frame.local(_points(edge, 5))[:, 2]
        if np.ptp(h) < LEVEL:
            found.append(float(h.mean()))
    levels = np.sort(np.array(found))
    return levels[np.diff(levels, prepend=-np.inf) > LEVEL]


def _section(solid: TopoDS_Shape, frame: SheetAxes, seed: Vec3, h: float) -> TopoDS_Face:
    """Return the largest face in which the plane at `h` [mm] cuts the solid."""
    shift = h * frame.axes()[2]
    x, y, z = (float(c) for c in np.array(seed) + shift)
    found = regions(frame_round(Plane((x, y, z), frame.normal), (x, y, z)), solid, "firewall")
    if not found:
        raise GeometryError(
            f"no section of the sheet {h:.3f} mm off its middle",
            part="firewall",
            step="section",
            look_at=KEYS,
        )
    return max(found, key=lambda region: region.area).face


def _rings(
    solid: TopoDS_Shape, frame: SheetAxes, seed: Vec3, between: tuple[float, float]
) -> tuple[tuple[float, Floats], ...]:
    low, high = between
    heights = [low + share * (high - low) for share in HEIGHTS]
    return tuple(
        (h, _from_top(_loop(outer_wire(_section(solid, frame, seed, h)), frame))) for h in heights
    )


def _points(edge: TopoDS_Edge, count: int) -> Floats:
    """Return points (count, 3) spread evenly over the parameters of an edge, along its sense."""
    curve = EdgeCurve(edge)
    found = curve.points(curve.even(count))
    return found[::-1] if curve.backward else found


def _loop(wire: TopoDS_Wire, frame: SheetAxes) -> Floats:
    """Return u, v (n, 2) along a closed wire, counter-clockwise, the first point not repeated."""
    parts = []
    for edge in edges_along(wire):
        rough = np.linalg.norm(np.diff(_points(edge, 33), axis=0), axis=1).sum()
        parts.append(frame.local(_points(edge, max(FEWEST, int(rough / STEP))))[:-1, :2])
    loop = np.concatenate(parts)
    return loop if signed_area(loop) > 0 else loop[::-1]


def _from_top(loop: Floats) -> Floats:
    """Return a loop that begins where it crosses the middle at its top, a point added there."""
    middle = (loop[:, 0].min() + loop[:, 0].max()) / 2
    after = np.roll(loop, -1, axis=0)
    crossing = (loop[:, 0] - middle >= 0) & (after[:, 0] - middle < 0)
    places = np.nonzero(crossing)[0]
    i = int(places[np.argmax(loop[places, 1])])
    a, b = loop[i], after[i]
    share = (a[0] - middle) / (a[0] - b[0])
    rest = np.roll(loop, -(i + 1), axis=0)
    if share < 1e-9:
        rest = rest[:-1]
    return np.concatenate([(a + share * (b - a))[None], rest])


def _holes(face: TopoDS_Face, frame: SheetAxes) -> tuple[Hole, ...]:
    found = [fitted_hole(_loop(wire, frame)) for wire in inner_wires(face)]
    return tuple(sorted(found, key=lambda hole: (-hole.centre[1], hole.centre[0])))


def fitted_hole(points: Floats) -> Hole:
    """Return the circle through points (n, 2) [mm] by least squares of the equation of the circle.

    >>> t = np.linspace(0.0, 6.0, 50)
    >>> hole = fitted_hole(np.stack([3 + 2 * np.cos(t), 4 + 2 * np.sin(t)], axis=-1))
    >>> round(hole.centre[0], 9), round(hole.diameter, 9)
    (3.0, 4.0)
    """
    middle = points.mean(axis=0)
    x, y = (points - middle).T
    left = np.stack([2 * x, 2 * y, np.ones_like(x)], axis=-1)
    (a, b, c), *_ = np.linalg.lstsq(left, x**2 + y**2, rcond=None)
    radius = float(np.sqrt(c + a * a + b * b))
    off = float(np.max(np.abs(np.hypot(x - a, y - b) - radius)))
    return Hole((float(middle[0] + a), float(middle[1] + b)), 2 * radius, off)

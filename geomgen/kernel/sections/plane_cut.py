"""Where a plane cuts solids: closed outlines in the plane, sampled from the exact edges of the cut.

The kernel now and then misses a crossing or hands the whole window back, so a cut is proved: loops
close, their area is that of the cut face, and every edge of the solid that passes the plane ends on
an outline.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.BRepTools import BRepTools
from OCP.gp import gp_Ax3, gp_Dir, gp_Pln, gp_Pnt
from OCP.TopAbs import TopAbs_VERTEX
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape
from OCP.TopTools import TopTools_ListOfShape

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, loose_box
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.wire_points import MEET, STEP, sampled
from geomgen.kernel.brep.wires import wires_of
from geomgen.kernel.plain import Vec3
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.solids.probing import Classifier, edges_in, points_on
from geomgen.kernel.solids.properties import face_area

CHORD = 0.02
# Fuzzy values tried in turn [mm]; each answer is proved.
FUZZY = (0.0, 1e-5, 1e-4)
# A face nearer to the plane than this, all of it, lies in it [mm].
IN_PLANE = 1e-5
# Places along an edge where its side of the plane is asked.
PLACES = 33
MARGIN = 10.0
# A plane with a face in it is moved aside so far [mm], so often at most.
ASIDE, TRIES = 0.1, 10


@dataclass(frozen=True)
class Loop:
    """A closed outline: points (n, 2) [mm], the first not repeated, and where edges meet."""

    points: Floats
    corners: tuple[int, ...]

    @property
    def area(self) -> float:
        """Return the area inside the points [mm2], counter-clockwise positive."""
        x, y = (self.points - self.points[0]).T
        return float(0.5 * np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))

    def turned(self) -> "Loop":
        """Return the loop run the other way."""
        last = len(self.points) - 1
        return Loop(self.points[::-1], tuple(sorted(last - c for c in self.corners)))


@dataclass(frozen=True)
class Region:
    """One piece of a cut: outline counter-clockwise, holes clockwise, area of the face [mm2]."""

    outer: Loop
    holes: tuple[Loop, ...]
    area: float

    def polygon(self) -> shapely.Polygon:
        """Return it as a polygon [mm], within the chords of its outlines."""
        return shapely.Polygon(self.outer.points, [hole.points for hole in self.holes])


@dataclass(frozen=True)
class PlaneCut:
    """Where a plane cuts named solids; parts that it misses are not there."""

    frame: Frame
    parts: dict[str, tuple[Region, ...]]

    def shape(self, name: str) -> shapely.MultiPolygon:
        """Return all pieces of a part, empty when the plane misses it."""
        return shapely.MultiPolygon([r.polygon() for r in self.parts.get(name, ())])


def plane_cut(frame: Frame, solids: Mapping[str, TopoDS_Shape], chord: float = CHORD) -> PlaneCut:
    """Return the outlines in which a plane cuts solids, within `chord` [mm] of the exact edges.

    GeometryError when the cut can't be proved, or when a face of a solid lies in the plane: then
    there is no telling on which side of it the solid is.

    >>> from geomgen.kernel.plane_frame import at_station
    >>> from geomgen.kernel.brep.primitives import box
    >>> found = plane_cut(at_station(5.0), {"block": box((0, 0, 0), (10, 20, 30))})
    >>> round(found.parts["block"][0].area, 9), found.shape("block").bounds
    (600.0, (0.0, 0.0, 20.0, 30.0))
    """
    parts = {}
    for name, solid in solids.items():
        if not _straddles(frame, loose_box(solid)):
            continue
        if lies_in(frame, solid):
            raise GeometryError("one of its faces lies in the plane", part=name, step=STEP)
        regions = _regions(frame, name, solid, chord)
        if regions:
            parts[name] = regions
    return PlaneCut(frame, parts)


def clear_of_faces(
    frame: Frame, solids: Mapping[str, TopoDS_Shape], way: int = 1
) -> tuple[Frame, float]:
    """Return a plane moved until no face lies in it, and how far towards its viewer [mm].

    `way` is 1 to move it towards its viewer, -1 away from him: the distance is negative then.

    >>> from geomgen.kernel.plane_frame import at_station
    >>> from geomgen.kernel.brep.primitives import box
    >>> clear_of_faces(at_station(10.0), {"block": box((0, 0, 0), (10, 20, 30))})[1]
    0.1
    """
    for tries in range(TRIES):
        by = way * tries * ASIDE
        moved = frame.moved(by)
        near = (s for s in solids.values() if _straddles(moved, loose_box(s)))
        if not any(lies_in(moved, solid) for solid in near):
            return moved, by
    raise GeometryError("faces of the parts lie in the plane and in those beside it", step=STEP)


def lies_in(frame: Frame, solid: TopoDS_Shape) -> bool:
    """Tell whether a plane face of a solid lies in the plane."""
    for face in faces_of(solid):
        if not _straddles(frame, loose_box(face)):
            continue
        # A disc may have its only corner in a plane that it stands square to: look inside too.
        points = [*_inner(face), *((p.X(), p.Y(), p.Z()) for p in _vertices(face))]
        if float(np.max(np.abs(frame.height(points)))) < IN_PLANE:
            return True
    return False


def _corners(box: Box) -> Floats:
    low, high = box.low, box.high
    return np.array([[x, y, z] for x in (low[0], high[0]) for y in (low[1], high[1])
                     for z in (low[2], high[2])])  # fmt: skip


def _straddles(frame: Frame, box: Box) -> bool:
    heights = frame.height(_corners(box))
    return bool(heights.min() <= 0 <= heights.max())


def _vertices(face: TopoDS_Face) -> list[gp_Pnt]:
    found, walk = [], TopExp_Explorer(face, TopAbs_VERTEX)
    while walk.More():
        found.append(BRep_Tool.Pnt_s(TopoDS.Vertex_s(walk.Current())))
        walk.Next()
    return found


def _inner(face: TopoDS_Face) -> list[Vec3]:
    surface = BRepAdaptor_Surface(face)
    u0, u1, v0, v1 = BRepTools.UVBounds_s(face)
    places = [(u0 + s * (u1 - u0), v0 + t * (v1 - v0)) for s in (0.3, 0.7) for t in (0.2, 0.6)]
    return [(p.X(), p.Y(), p.Z()) for p in (surface.Value(u, v) for u, v in places)]


def _regions(frame: Frame, name: str, solid: TopoDS_Shape, chord: float) -> tuple[Region, ...]:
    """Return the proven pieces of one part's cut."""
    window = _window(frame, loose_box(solid))
    wrong = ""
    for fuzzy in FUZZY:
        faces = _common(window, solid, fuzzy)
        if faces is None:
            wrong = "the kernel can't cut it with the plane"
            continue
        try:
            regions = tuple(_region(frame, face, chord) for face in faces)
        except GeometryError as error:
            wrong = error.problem
            continue
        wrong = _strange(frame, solid, faces, regions, window, chord)
        if not wrong:
            return regions
    raise GeometryError(wrong, part=name, step=STEP)


def _window(frame: Frame, box: Box) -> TopoDS_Face:
    flat = frame.flat(_corners(box))
    (x0, y0), (x1, y1) = flat.min(axis=0) - MARGIN, flat.max(axis=0) + MARGIN
    axes = gp_Ax3(gp_Pnt(*frame.origin), gp_Dir(*frame.normal), gp_Dir(*frame.across))
    return BRepBuilderAPI_MakeFace(gp_Pln(axes), x0, x1, y0, y1).Face()


def _common(window: TopoDS_Face, solid: TopoDS_Shape, fuzzy: float) -> list[TopoDS_Face] | None:
    own, knives = TopTools_ListOfShape(), TopTools_ListOfShape()
    own.Append(window)
    knives.Append(solid)
    both = BRepAlgoAPI_Common()
    both.SetArguments(own)
    both.SetTools(knives)
    both.SetNonDestructive(True)
    both.SetFuzzyValue(fuzzy)
    both.Build()
    return faces_of(both.Shape()) if both.IsDone() else None


def _region(frame: Frame, face: TopoDS_Face, chord: float) -> Region:
    """Return one face of a cut as outlines; GeometryError when area or ends don't fit."""
    outer, holes, allowed = None, [], 0.0
    border = BRepTools.OuterWire_s(face)
    for wire in wires_of(face):
        points, corners, skin = sampled(wire, face, chord)
        loop = Loop(frame.flat(points), corners)
        allowed += skin
        if wire.IsSame(border):
            outer = loop if loop.area > 0 else loop.turned()
        else:
            holes.append(loop if loop.area < 0 else loop.turned())
    if outer is None:
        raise GeometryError("the cut has no outline", step=STEP)
    size = face_area(face)
    drawn = outer.area + sum(hole.area for hole in holes)
    if abs(drawn - size.value) > allowed + size.error:
        raise GeometryError(
            f"its outlines hold {drawn:.2f} mm^2, the cut face {size.value:.2f} mm^2", step=STEP
        )
    return Region(outer, tuple(holes), size.value)


def _strange(
    frame: Frame,
    solid: TopoDS_Shape,
    faces: list[TopoDS_Face],
    regions: tuple[Region, ...],
    window: TopoDS_Face,
    chord: float,
) -> str:
    """Return what is wrong with a cut; empty when it is proved."""
    passing = _passing(frame, solid)
    if not faces:
        return "the kernel finds no cut where the plane passes it" if passing.any_side else ""
    whole = face_area(window).value
    if any(region.outer.area > 0.999 * whole for region in regions):
        return "the kernel hands the uncut plane back"
    seen = Classifier(solid)
    if any(seen.is_outside(frame.lifted(_middle(region))) for region in regions):
        return "a piece of the cut lies outside of it"
    lines = shapely.MultiLineString(
        [
            np.vstack([loop.points, loop.points[:1]])
            for region in regions
            for loop in (region.outer, *region.holes)
        ]
    )
    off = shapely.distance(shapely.points(passing.points), lines)
    if len(off) and float(off.max()) > chord + MEET:
        return "an edge passes the plane where the cut has no outline"
    return ""


def _middle(region: Region) -> tuple[float, float]:
    spot = shapely.point_on_surface(region.polygon())
    return float(spot.x), float(spot.y)


@dataclass(frozen=True)
class _Passing:
    points: Floats
    any_side: bool


def _passing(frame: Frame, solid: TopoDS_Shape) -> _Passing:
    """Return where the edges of a solid pass the plane, and whether it stands on both sides."""
    found, low, high = [], 0.0, 0.0
    for edge in set(edges_in(solid)):
        curve = BRepAdaptor_Curve(edge)
        at = np.linspace(curve.FirstParameter(), curve.LastParameter(), PLACES)
        heights = _heights(frame, curve, at)
        low, high = min(low, float(heights.min())), max(high, float(heights.max()))
        clear = np.abs(heights) > IN_PLANE
        at, heights = at[clear], heights[clear]
        for i in np.nonzero(heights[:-1] * heights[1:] < 0)[0]:
            found.append(_root(frame, curve, float(at[i]), float(at[i + 1])))
    both = low < -IN_PLANE and high > IN_PLANE
    if not both and not found:
        heights = frame.height(points_on(solid))
        both = bool(heights.min() < -MEET and heights.max() > MEET)
    points = frame.flat(found) if found else np.zeros((0, 2))
    return _Passing(points, both)


def _heights(frame: Frame, curve: BRepAdaptor_Curve, at: Floats) -> Floats:
    return frame.height([(p.X(), p.Y(), p.Z()) for p in map(curve.Value, at.tolist())])


def _root(frame: Frame, curve: BRepAdaptor_Curve, a: float, b: float) -> Vec3:
    from scipy.optimize import brentq

    def height(t: float) -> float:
        return float(_heights(frame, curve, np.array([t]))[0])

    p = curve.Value(float(brentq(height, a, b, xtol=1e-10)))
    return (p.X(), p.Y(), p.Z())

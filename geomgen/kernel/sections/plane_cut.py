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
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepTools import BRepTools
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_VERTEX
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape
from OCP.TopTools import TopTools_ListOfShape

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, loose_box
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.planes import window
from geomgen.kernel.brep.wire_points import MEET, STEP, sampled
from geomgen.kernel.brep.wires import wires_of
from geomgen.kernel.plain import Vec3
from geomgen.kernel.plane_frame import Frame, signed_area
from geomgen.kernel.sections.passes import edge_passes
from geomgen.kernel.solids.probing import Classifier, edges_in, points_on
from geomgen.kernel.solids.properties import face_area

CHORD = 0.02
# Fuzzy values tried in turn [mm]; each answer is proved.
FUZZY = (0.0, 1e-5, 1e-4)
# A face nearer to the plane than this, all of it, lies in it [mm].
IN_PLANE = 1e-5
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
        return signed_area(self.points)

    def turned(self) -> "Loop":
        """Return the loop run the other way."""
        last = len(self.points) - 1
        return Loop(self.points[::-1], tuple(sorted(last - c for c in self.corners)))


@dataclass(frozen=True)
class CutRegion:
    """One piece of a cut: outline counter-clockwise, holes clockwise, area [mm2], exact face."""

    outer: Loop
    holes: tuple[Loop, ...]
    area: float
    face: TopoDS_Face

    def polygon(self) -> shapely.Polygon:
        """Return it as a polygon [mm], within the chords of its outlines."""
        return shapely.Polygon(self.outer.points, [hole.points for hole in self.holes])


@dataclass(frozen=True)
class PlaneCut:
    """Where a plane cuts named solids; parts that it misses are not there."""

    frame: Frame
    parts: dict[str, tuple[CutRegion, ...]]

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
    found = {name: regions(frame, solid, name, chord) for name, solid in solids.items()}
    return PlaneCut(frame, {name: pieces for name, pieces in found.items() if pieces})


def regions(
    frame: Frame, solid: TopoDS_Shape, part: str = "", chord: float = CHORD
) -> tuple[CutRegion, ...]:
    """Return the pieces in which a plane cuts one solid, as `plane_cut` does; () where it misses.

    Outlines keep within `chord` [mm] of the exact edges.

    >>> from geomgen.kernel.plane_frame import at_station
    >>> from geomgen.kernel.brep.primitives import box
    >>> [round(piece.area, 9) for piece in regions(at_station(5.0), box((0, 0, 0), (10, 20, 30)))]
    [600.0]
    """
    if not _straddles(frame, loose_box(solid)):
        return ()
    if lies_in(frame, solid):
        raise GeometryError("one of its faces lies in the plane", part=part, step=STEP)
    return _regions(frame, part, solid, chord)


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
    return any(face_lies_in(frame, face) for face in faces_of(solid))


def face_lies_in(frame: Frame, face: TopoDS_Face) -> bool:
    """Tell whether a plane face lies in the plane."""
    if not _straddles(frame, loose_box(face)):
        return False
    # A disc may have its only corner in a plane that it stands square to: look inside too.
    points = [*_inner(face), *((p.X(), p.Y(), p.Z()) for p in _vertices(face))]
    return float(np.max(np.abs(frame.height(points)))) < IN_PLANE


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
        found.append(BRep_Tool.Pnt_s(TopoDS.Vertex(walk.Current())))
        walk.Next()
    return found


def _inner(face: TopoDS_Face) -> list[Vec3]:
    surface = BRepAdaptor_Surface(face)
    u0, u1, v0, v1 = BRepTools.UVBounds_s(face)
    places = [(u0 + s * (u1 - u0), v0 + t * (v1 - v0)) for s in (0.3, 0.7) for t in (0.2, 0.6)]
    return [(p.X(), p.Y(), p.Z()) for p in (surface.Value(u, v) for u, v in places)]


def _regions(frame: Frame, name: str, solid: TopoDS_Shape, chord: float) -> tuple[CutRegion, ...]:
    """Return the proven pieces of one part's cut."""
    around = _window(frame, loose_box(solid))
    wrong = ""
    for fuzzy in FUZZY:
        faces = shared(around, solid, fuzzy)
        if faces is None:
            wrong = "the kernel can't cut it with the plane"
            continue
        try:
            found = tuple(region_of(frame, face, chord) for face in faces)
        except GeometryError as error:
            wrong = error.problem
            continue
        wrong = _strange(frame, solid, faces, found, around, chord)
        if not wrong:
            return found
    raise GeometryError(wrong, part=name, step=STEP)


def _window(frame: Frame, box: Box) -> TopoDS_Face:
    flat = frame.flat(_corners(box))
    low, high = (flat.min(axis=0) - MARGIN).tolist(), (flat.max(axis=0) + MARGIN).tolist()
    return window(frame, low, high)


def shared(face: TopoDS_Face, solid: TopoDS_Shape, fuzzy: float = 0.0) -> list[TopoDS_Face] | None:
    """Return what of a face lies in a solid, neither changed; None when the kernel can't tell.

    The kernel's word alone: the caller proves it. What is nearer than `fuzzy` [mm] is one.
    """
    both = BRepAlgoAPI_Common()
    for shape, give in ((face, both.SetArguments), (solid, both.SetTools)):
        listed = TopTools_ListOfShape()
        listed.Append(shape)
        give(listed)
    both.SetNonDestructive(True)
    both.SetFuzzyValue(fuzzy)
    both.Build()
    return faces_of(both.Shape()) if both.IsDone() else None


def region_of(frame: Frame, face: TopoDS_Face, chord: float) -> CutRegion:
    """Return one face in a plane as outlines that keep within `chord` [mm] of its edges.

    GeometryError when area or ends don't fit.
    """
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
    return CutRegion(outer, tuple(holes), size.value, face)


def _strange(
    frame: Frame,
    solid: TopoDS_Shape,
    faces: list[TopoDS_Face],
    regions: tuple[CutRegion, ...],
    around: TopoDS_Face,
    chord: float,
) -> str:
    """Return what is wrong with a cut; empty when it is proved."""
    passing, on_both_sides = _passing(frame, solid)
    if not faces:
        return "the kernel finds no cut where the plane passes it" if on_both_sides else ""
    whole = face_area(around).value
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
    off = shapely.distance(shapely.points(passing), lines)
    if len(off) and float(off.max()) > chord + MEET:
        return "an edge passes the plane where the cut has no outline"
    return ""


def _middle(region: CutRegion) -> tuple[float, float]:
    spot = shapely.point_on_surface(region.polygon())
    return float(spot.x), float(spot.y)


def _passing(frame: Frame, solid: TopoDS_Shape) -> tuple[Floats, bool]:
    """Return where the edges of a solid pass the plane (n, 2), and if it stands on both sides."""
    found = [edge_passes(edge, frame, IN_PLANE) for edge in set(edges_in(solid))]
    points = np.concatenate([np.zeros((0, 3)), *(edge.points for edge in found)])
    heights = np.concatenate([np.zeros(1), *(edge.heights for edge in found)])
    both = bool(heights.min() < -IN_PLANE and heights.max() > IN_PLANE)
    if not both and not len(points):
        heights = frame.height(points_on(solid))
        both = bool(heights.min() < -MEET and heights.max() > MEET)
    return frame.flat(points), both

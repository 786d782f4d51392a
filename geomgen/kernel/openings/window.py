"""What is left of a plane window when all solids that stand there are cut out of it.

The piece that holds a seed point is the opening. If it reaches the border of the window, the
opening is not closed there: it leaks, and no area is given. Joints that count as sealed are the
exception (`sealing`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepAlgoAPI import BRepAlgoAPI_Splitter
from OCP.BRepClass import BRepClass_FaceExplorer, BRepClass_FClassifier
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepGProp import BRepGProp
from OCP.BRepTools import BRepTools
from OCP.gp import gp_Pnt2d
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_IN
from OCP.TopoDS import TopoDS_Compound, TopoDS_Face, TopoDS_Shape
from OCP.TopTools import TopTools_ListOfShape

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import boxes_meet, holds, loose_box
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.planes import frame_of, frame_round
from geomgen.kernel.brep.planes import window as rectangle
from geomgen.kernel.openings.sealing import Seal, sealed
from geomgen.kernel.plain import Plane, Vec3
from geomgen.kernel.sections.section import edge_passes
from geomgen.kernel.solids.distance import vertex
from geomgen.kernel.solids.probing import Classifier, edges_in
from geomgen.kernel.solids.properties import face_area

State = Literal["open", "shut", "leaks"]
FUZZY = (0.0, 1e-5, 1e-4)
# Places inside a face, as shares of its extent, where its emptiness is probed.
PROBES = ((0.5, 0.5), (0.23, 0.31), (0.77, 0.36), (0.31, 0.74), (0.69, 0.71))
ROWS = (9, 33, 129)
# This near to an outline [mm] an edge that passes is part of it.
ON_OUTLINE = 1e-2
# An edge that keeps within this of the plane runs in it [mm].
IN_PLANE = 1e-6


@dataclass(frozen=True)
class OpenArea:
    """An opening as found: area [mm2] and bound, centroid [mm], the face; or why there is none.

    `standing` are the solids at the seed of one that is shut, or those beside the joints that
    count as sealed; `slit` is the width of the widest of these joints [mm].
    """

    state: State
    area: float | None = None
    error: float | None = None
    centroid: Vec3 | None = None
    face: TopoDS_Face | None = None
    standing: tuple[int, ...] = ()
    slit: float = 0.0


def window(plane: Plane, seed: Vec3, reach: float) -> TopoDS_Face:
    """Return the square face of half size `reach` [mm] round a seed in a plane."""
    return rectangle(frame_round(plane, seed), (-reach, -reach), (reach, reach))


def opening(
    plane: Plane, seed: Vec3, reach: float, solids: Sequence[TopoDS_Shape], seal: float = 0.0
) -> OpenArea:
    """Return the opening round `seed` that the solids leave in a plane.

    Slits between two solids no wider than `seal` [mm] count as closed.

    >>> from geomgen.kernel.brep.primitives import cylinder
    >>> from geomgen.kernel.solids.booleans import cut
    >>> rod, hole = (cylinder((0, 0, 0), (1, 0, 0), r, 100.0) for r in (20.0, 10.0))
    >>> pipe = cut(rod, [hole], "pipe", "bore")
    >>> found = opening(Plane((50, 0, 0), (1, 0, 0)), (50.0, 0.0, 0.0), 30.0, [pipe])
    >>> found.state, round(found.area, 6)
    ('open', 314.159265)
    """
    face = window(plane, seed, reach)
    box = loose_box(face)
    near = [(i, s) for i, s in enumerate(solids) if boxes_meet(box, loose_box(s))]
    standing = tuple(i for i, s in near if not Classifier(s).is_outside(seed))
    if standing:
        return OpenArea("shut", standing=standing)
    if not near:
        return OpenArea("leaks")
    left = _outside_all(face, [body for _, body in near])
    if left is None:
        raise GeometryError("the kernel can't cut the plane of an opening", step="opening")
    joints = Seal((), 0.0, (), 0.0)
    if _reaches(left, reach):
        found = sealed(left, reach, [body for _, body in near], seal) if seal > 0.0 else None
        closed = None if found is None else _outside_all(left, found.plugs)
        if found is None or closed is None or _reaches(closed, reach):
            return OpenArea("leaks")
        left, joints = closed, found
    size = face_area(left, 1e-8)
    return OpenArea(
        "open",
        size.value,
        size.error + _blur(left) + joints.area,
        _centroid(left),
        left,
        tuple(near[i][0] for i in joints.between),
        joints.width,
    )


def _outside_all(face: TopoDS_Face, bodies: Sequence[TopoDS_Shape]) -> TopoDS_Face | None:
    """Return the piece of a face round its origin outside of bodies; None if unproven."""
    left: TopoDS_Face | None = face
    for body in bodies:
        left = None if left is None else _outside(left, body)
    return left


def _outside(face: TopoDS_Face, body: TopoDS_Shape) -> TopoDS_Face | None:
    """Return the piece of a face round its origin that lies outside a body; None if unproven.

    Only the body's faces near by are crossed with it; the origin is known to lie outside.
    """
    box = loose_box(face)
    skin = [near for near in faces_of(body) if boxes_meet(loose_box(near), box)]
    if not skin:
        return face
    for fuzzy in FUZZY:
        found = _round_seed(face, skin, fuzzy)
        if found is not None and _is_empty(found, body, skin):
            return found
    return None


def _round_seed(face: TopoDS_Face, skin: Sequence[TopoDS_Face], fuzzy: float) -> TopoDS_Face | None:
    together, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(together)
    for near in skin:
        builder.Add(together, near)
    own, knives = TopTools_ListOfShape(), TopTools_ListOfShape()
    own.Append(face)
    knives.Append(together)
    split = BRepAlgoAPI_Splitter()
    split.SetArguments(own)
    split.SetTools(knives)
    split.SetNonDestructive(True)
    split.SetFuzzyValue(fuzzy)
    split.Build()
    if not split.IsDone():
        return None
    for piece in faces_of(split.Shape()):
        if _holds(piece, 0.0, 0.0):
            return piece
    return None


def _holds(face: TopoDS_Face, u: float, v: float) -> bool:
    """Say whether a place of a face lies inside its outline."""
    seen = BRepClass_FClassifier(BRepClass_FaceExplorer(face), gp_Pnt2d(u, v), 1e-9)
    return bool(seen.State() == TopAbs_IN)


def points_in(face: TopoDS_Face) -> list[Vec3]:
    """Return points inside a plane face [mm], at least one.

    Where none of the usual places lies inside (a thin ring), ever closer rows of places are tried.
    """
    surface, explorer = BRepAdaptor_Surface(face), BRepClass_FaceExplorer(face)
    u0, u1, v0, v1 = BRepTools.UVBounds_s(face)
    rows = [[(i + 0.5) / n for i in range(n)] for n in ROWS]
    for places in (PROBES, *([(s, t) for s in row for t in row] for row in rows)):
        found = []
        for s, t in places:
            u, v = u0 + s * (u1 - u0), v0 + t * (v1 - v0)
            if BRepClass_FClassifier(explorer, gp_Pnt2d(u, v), 1e-9).State() == TopAbs_IN:
                p = surface.Value(u, v)
                found.append((p.X(), p.Y(), p.Z()))
        if found:
            return found
    raise GeometryError("a section is too thin to find a point inside", step="section")


def _is_empty(face: TopoDS_Face, body: TopoDS_Shape, skin: Sequence[TopoDS_Face]) -> bool:
    """Prove that a body does not stand in a face: at points of it, and by the body's edges.

    The kernel now and then misses a crossing; an edge that passes through the face tells.
    """
    box = loose_box(body)
    points = [point for point in points_in(face) if holds(box, point)]
    classes = Classifier(body)
    if any(classes.is_inside(point) for point in points):
        return False
    frame, outline = frame_of(face), edges_in(face)
    for edge in {edge for near in skin for edge in edges_in(near)}:
        seen = edge_passes(edge, frame)
        in_plane = float(np.abs(seen.heights).max()) < IN_PLANE
        for place in seen.looked[1:-1] if in_plane else seen.points:
            u, v = frame.flat(place)[0].tolist()
            point = vertex(frame.lifted((u, v)))
            if _holds(face, u, v) and all(
                BRepExtrema_DistShapeShape(point, edge).Value() > ON_OUTLINE for edge in outline
            ):
                return False
    return True


def _blur(face: TopoDS_Face) -> float:
    """Return how much of the area [mm2] hangs on the tolerances of the outline's edges."""
    total = 0.0
    for edge in edges_in(face):
        props = GProp_GProps()
        BRepGProp.LinearProperties_s(edge, props)
        total += float(props.Mass()) * float(BRep_Tool.Tolerance_s(edge))
    return total


def _reaches(face: TopoDS_Face, reach: float) -> bool:
    return any(abs(b) > reach * (1 - 1e-9) for b in BRepTools.UVBounds_s(face))


def _centroid(face: TopoDS_Face) -> Vec3:
    props = GProp_GProps()
    BRepGProp.SurfaceProperties_s(face, props, 1e-6)
    p = props.CentreOfMass()
    return (p.X(), p.Y(), p.Z())


def angle_between(a: Vec3, b: Vec3) -> float:
    """Return the angle between two directions [deg].

    >>> angle_between((1.0, 0.0, 0.0), (0.0, 2.0, 0.0))
    90.0
    """
    u, v = np.array(a) / np.linalg.norm(a), np.array(b) / np.linalg.norm(b)
    return float(np.degrees(np.arctan2(np.linalg.norm(np.cross(u, v)), float(u @ v))))

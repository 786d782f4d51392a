"""Which bodies of a union do not touch the others, how far off they are, and what would do."""

from collections.abc import Sequence

from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Shape
from OCP.TopTools import TopTools_IndexedDataMapOfShapeListOfShape

from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.distance import closest
from geomgen.kernel.solids.probing import Classifier, points_on
from geomgen.kernel.solids.properties import volume

# Bodies nearer than this meet, if only at a point or along a line [mm].
MEET = 1e-4


def apart(
    bodies: Sequence[TopoDS_Shape], names: Sequence[str], pieces: Sequence[TopoDS_Shape]
) -> str:
    """Say of each body outside the largest piece of a union where it stands to the nearest other.

    >>> from geomgen.kernel.brep.primitives import box
    >>> gear, silencer = box((0, 0, 0), (9, 9, 9)), box((11, 0, 0), (13, 9, 9))
    >>> print(apart([gear, silencer], ["gear", "silencer"], [gear, silencer]))
    silencer stands 2 mm clear of gear: move it more than 2 mm, or make it larger
    """
    own = [_piece_of(body, pieces) for body in bodies]
    sizes = [volume(piece, 1e-6).value for piece in pieces]
    main = sizes.index(max(sizes))
    return "; ".join(_told(i, bodies, names, own) for i in range(len(bodies)) if own[i] != main)


def _piece_of(body: TopoDS_Shape, pieces: Sequence[TopoDS_Shape]) -> int:
    """Return the number of the piece that holds a body: none of its points lies outside it."""
    points = points_on(body)
    return min(range(len(pieces)), key=lambda i: _outside(points, pieces[i]))


def _outside(points: Sequence[Vec3], piece: TopoDS_Shape) -> int:
    seen = Classifier(piece)
    return sum(seen.is_outside(point) for point in points)


def _told(
    number: int, bodies: Sequence[TopoDS_Shape], names: Sequence[str], own: Sequence[int]
) -> str:
    others = [j for j in range(len(bodies)) if own[j] != own[number]]
    near = {j: closest(bodies[number], bodies[j]) for j in others}
    nearest = min(others, key=lambda j: near[j].distance)
    found = near[nearest]
    if found.distance > MEET:
        far = f"{found.distance:.3g} mm"
        return (
            f"{names[number]} stands {far} clear of {names[nearest]}: move it more than {far}, "
            "or make it larger"
        )
    return (
        f"{names[number]} meets {names[nearest]} at a point or along a line only, at "
        f"{_place(found.first)}: let them overlap"
    )


def pinched(whole: TopoDS_Shape, bodies: Sequence[TopoDS_Shape], names: Sequence[str]) -> str:
    """Say which bodies of a union that is one solid meet along a line only; nothing if none do.

    Along such a line four faces meet, and no mesh of the solid is closed there.
    """
    faces = TopTools_IndexedDataMapOfShapeListOfShape()
    TopExp.MapShapesAndAncestors_s(whole, TopAbs_EDGE, TopAbs_FACE, faces)
    for i in range(1, faces.Extent() + 1):
        edge = TopoDS.Edge(faces.FindKey(i))
        if faces.FindFromIndex(i).Extent() > 2 and not BRep_Tool.Degenerated_s(edge):
            return _told_at(_middle(edge), bodies, names)
    return ""


def _middle(edge: TopoDS_Edge) -> Vec3:
    curve = BRepAdaptor_Curve(edge)
    point = curve.Value(0.5 * (curve.FirstParameter() + curve.LastParameter()))
    return (point.X(), point.Y(), point.Z())


def _told_at(at: Vec3, bodies: Sequence[TopoDS_Shape], names: Sequence[str]) -> str:
    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*at)).Vertex()
    near = [
        n for n, body in zip(names, bodies, strict=True) if closest(vertex, body).distance < MEET
    ]
    return f"{' and '.join(near)} meet along a line only, at {_place(at)}: let them overlap"


def _place(at: Vec3) -> str:
    x, y, z = (f"{value:z.1f}" for value in at)
    return f"STA {x}, BL {y}, WL {z} mm"

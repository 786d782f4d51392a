"""Where a body or its skin has its centre, and how it spreads about it."""

from dataclasses import dataclass

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeSolid
from OCP.BRepGProp import BRepGProp
from OCP.gp import gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_SHELL
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.mesh import cross, sizes
from geomgen.kernel.mesh_part import MeshPart
from geomgen.kernel.meshing.walk import partners
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.solids.properties import along_rulings, volume

# Relative error asked of each face; areas are integrated a hundred times coarser, too, and the gap
# between both is the bound.
EPS, COARSER = 1e-8, 100.0
# The kernel's Gauss rule says nothing of how far it is off: what it gives for the volume has to
# agree with the Kronrod rule's within this share, as the moments come from the same points. Where
# it does not (thin bodies between splines), the Kronrod rule gives the moments, too, to this share:
# slower by far on large bodies.
AGREE, ADAPTIVE = 1e-4, 1e-5


@dataclass(frozen=True)
class Moments:
    """What is known of a body [mm3, mm4, mm5] or its skin [mm2, mm3, mm4].

    `size` is the volume or area, `error` the bound on it, `centre` the centroid [mm], `spread` the
    integrals of x x, y y, z z, x y, y z, z x from the centroid.
    """

    size: float
    error: float
    centre: Vec3
    spread: tuple[float, float, float, float, float, float]


def body_moments(solid: TopoDS_Shape) -> Moments:
    """Return volume [mm3], centroid [mm] and spread [mm5] of a solid.

    GeometryError where the kernel's two rules do not agree.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> found = body_moments(BRepPrimAPI_MakeBox(2.0, 4.0, 6.0).Shape())
    >>> [round(c, 9) for c in found.centre], [round(s, 6) for s in found.spread[:3]]  # V a^2 / 12
    ([1.0, 2.0, 3.0], [16.0, 64.0, 144.0])
    """
    if isinstance(solid, MeshPart):
        return _inside_mesh(solid)
    exact, at = volume(solid), gp_Pnt(*loose_box(solid).centre)
    solid, props = along_rulings(solid), GProp_GProps(at)
    BRepGProp.VolumeProperties_s(solid, props, EPS)
    if not _agree(props, exact.value):
        props = GProp_GProps(at)
        BRepGProp.VolumePropertiesGK_s(solid, props, ADAPTIVE, False, True, True, True, False)
    return _moments(props, exact.value, exact.error)


def _agree(props: GProp_GProps, size: float) -> bool:
    return abs(float(props.Mass()) - size) <= AGREE * size


def void_moments(solid: TopoDS_Shape) -> Moments:
    """Return volume [mm3], centroid [mm] and spread [mm5] of the closed room inside a solid.

    GeometryError where it has none, or several.

    >>> from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> from OCP.gp import gp_Pnt
    >>> room = BRepPrimAPI_MakeBox(gp_Pnt(1.0, 1.0, 1.0), gp_Pnt(3.0, 4.0, 5.0)).Shape()
    >>> hollow = BRepAlgoAPI_Cut(BRepPrimAPI_MakeBox(4.0, 5.0, 6.0).Shape(), room).Shape()
    >>> found = void_moments(hollow)
    >>> round(found.size, 9), [round(c, 9) for c in found.centre]
    (24.0, [2.0, 2.5, 3.0])
    """
    shells, walk = [], TopExp_Explorer(solid, TopAbs_SHELL)
    while walk.More():
        body = BRepBuilderAPI_MakeSolid(TopoDS.Shell(walk.Current())).Solid()
        # An inner shell looks inward: it is turned round, to be a body of its own.
        if volume(body).value < 0.0:
            body = TopoDS.Solid(body.Reversed())
            shells.append(body_moments(body))
        walk.Next()
    if len(shells) != 1:
        raise GeometryError(f"it has {len(shells) or 'no'} closed rooms inside", step="room inside")
    return shells[0]


def skin_moments(shape: TopoDS_Shape) -> Moments:
    """Return area [mm2], centroid [mm] and spread [mm4] of all faces of a shape.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
    >>> found = skin_moments(BRepPrimAPI_MakeSphere(3.0).Shape())
    >>> [round(s / found.size, 6) for s in found.spread[:3]]  # r^2 / 3
    [3.0, 3.0, 3.0]
    """
    if isinstance(shape, MeshPart):
        return _on_mesh(shape)
    at, shape = gp_Pnt(*loose_box(shape).centre), along_rulings(shape)
    props, rough = GProp_GProps(at), GProp_GProps(at)
    BRepGProp.SurfaceProperties_s(shape, props, EPS)
    BRepGProp.SurfaceProperties_s(shape, rough, EPS * COARSER)
    size = float(props.Mass())
    return _moments(props, size, abs(size - float(rough.Mass())) + EPS * size)


def _moments(props: GProp_GProps, size: float, error: float) -> Moments:
    rough = float(props.Mass())
    if not _agree(props, size):
        raise GeometryError(
            f"two ways to integrate it differ: {rough:.6g} and {size:.6g}", step="mass properties"
        )
    at, matrix = props.CentreOfMass(), props.MatrixOfInertia()
    inertia = np.array([[matrix.Value(i, j) for j in (1, 2, 3)] for i in (1, 2, 3)]) * size / rough
    half = float(np.trace(inertia)) / 2
    x, y, z = (half - float(inertia[i, i]) for i in range(3))
    return Moments(
        size,
        error,
        (at.X(), at.Y(), at.Z()),
        (x, y, z, -float(inertia[0, 1]), -float(inertia[1, 2]), -float(inertia[2, 0])),
    )


PAIRS = ((0, 0), (1, 1), (2, 2), (0, 1), (1, 2), (2, 0))


def _inside_mesh(part: MeshPart) -> Moments:
    """Return the moments of what a mesh holds; off by no more than its skin sweeps."""
    centre = np.array(part.centre)
    a, b, c = (part.mesh.corners - centre).transpose(1, 0, 2)
    sixth = np.einsum("ij,ij->i", a, cross(b, c)) / 6.0
    squares = np.sum([_squares(sixth, each) for each in (a, b, c, a + b + c)], axis=0)
    return Moments(part.volume, part.volume_error, part.centre, _six(squares / 20.0))


def _on_mesh(part: MeshPart) -> Moments:
    """Return the moments of a mesh's skin."""
    a, b, c = part.mesh.corners.transpose(1, 0, 2)
    square = cross(b - a, c - a)
    areas = 0.5 * sizes(square)
    size = float(areas.sum())
    centre = areas @ (a + b + c) / 3.0 / size
    middles = [(p + q) / 2 - centre for p, q in ((a, b), (b, c), (c, a))]
    squares = np.sum([_squares(areas, each) for each in middles], axis=0)
    return Moments(size, _area_error(part, square), vec(centre), _six(squares / 3.0))


def _squares(weights: Floats, places: Floats) -> Floats:
    """Return the products of coordinates (3, 3) of places (n, 3) [mm], weighed (n,) and summed."""
    return np.asarray((weights[:, None] * places).T @ places)


def _area_error(part: MeshPart, square: Floats) -> float:
    """Return how far the area of a mesh may be from the skin's [mm2].

    A skin at a distance is larger by that, times the sum of all sides times the angles at which
    they bend (Steiner's formula for polyhedra); at rims by what these reach.
    `square` (m, 3) stand square on the triangles.
    """
    normal, other = unit_rows(square), partners(part.triangles)
    # Each side once, from that of its halves that comes first.
    first = np.nonzero(other > np.arange(len(other)))[0]
    own, beyond = first // 3, other[first] // 3
    bend = np.arccos(np.clip(np.einsum("ij,ij->i", normal[own], normal[beyond]), -1.0, 1.0))
    corners, start = part.mesh.corners, first % 3
    sides = corners[own, start - 2] - corners[own, start]
    lines = np.linalg.norm(part.rims[:, 1] - part.rims[:, 0], axis=1)
    return part.skin * float(sizes(sides) @ bend) + 2.0 * float(lines @ part.reaches)


def unit_rows(rows: Floats) -> Floats:
    """Return vectors (n, 3) [any unit] at length 1; those of none stay none."""
    size = sizes(rows)[:, None]
    return np.asarray(rows / np.where(size > 0.0, size, 1.0))


def _six(squares: Floats) -> tuple[float, float, float, float, float, float]:
    xx, yy, zz, xy, yz, zx = (float(squares[pair]) for pair in PAIRS)
    return (xx, yy, zz, xy, yz, zx)

"""Plain solids: boxes, cylinders, bodies of revolution."""

import math
from collections.abc import Sequence
from typing import cast

from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Transform,
)
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakeRevol
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax1, gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf, gp_Vec
from OCP.TopoDS import TopoDS, TopoDS_Shape, TopoDS_Solid

from geomgen.kernel.mesh_part import MeshPart
from geomgen.kernel.plain import Axis, Vec3


def box(low: Vec3, high: Vec3) -> TopoDS_Solid:
    """Return the box between two corners [mm]."""
    return BRepPrimAPI_MakeBox(gp_Pnt(*low), gp_Pnt(*high)).Solid()


def cube(corner: Vec3, up: Vec3, along: Vec3, size: float) -> TopoDS_Solid:
    """Return the cube from a corner [mm] that rises along `up`, one side of its floor `along`."""
    frame = gp_Ax2(gp_Pnt(*corner), gp_Dir(*up), gp_Dir(*along))
    return BRepPrimAPI_MakeBox(frame, size, size, size).Solid()


def cylinder(
    start: Vec3, direction: Vec3, radius: float, length: float, seam: float = 0.0
) -> TopoDS_Solid:
    """Return the cylinder from the centre of one end [mm] along `direction`.

    Its seam is turned about its axis by an angle [deg] from where the kernel puts it.
    """
    frame = gp_Ax2(gp_Pnt(*start), gp_Dir(*direction))
    frame.Rotate(frame.Axis(), math.radians(seam))
    return TopoDS.Solid(BRepPrimAPI_MakeCylinder(frame, radius, length).Shape())


def revolved(profile: Sequence[tuple[float, float]], axis: Axis) -> TopoDS_Solid:
    """Return the body swept by a closed profile of (along the axis, radius) corners [mm]."""
    ox, oy, oz = axis.origin
    dx, dy, dz = axis.direction
    up = across(axis.direction)
    corners = [
        gp_Pnt(ox + dx * s + up[0] * r, oy + dy * s + up[1] * r, oz + dz * s + up[2] * r)
        for s, r in profile
    ]
    maker = BRepBuilderAPI_MakeWire()
    for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
        maker.Add(BRepBuilderAPI_MakeEdge(a, b).Edge())
    return _turn(maker, axis)


def disc(axis: Axis, start: float, end: float, radius: float) -> TopoDS_Solid:
    """Return the full cylinder about an axis between two distances from its origin [mm]."""
    x, y, z = (o + start * d for o, d in zip(axis.origin, axis.direction, strict=True))
    return cylinder((x, y, z), axis.direction, radius, end - start)


def ring(axis: Axis, start: float, end: float, inner: float, outer: float) -> TopoDS_Solid:
    """Return the cylinder about an axis with a hole of radius `inner` [mm], or none if 0."""
    if inner <= 0.0:
        return disc(axis, start, end, outer)
    return revolved([(start, inner), (start, outer), (end, outer), (end, inner)], axis)


def slab(axis: Axis, start: float, end: float, half: float) -> TopoDS_Solid:
    """Return the square plate of half size `half` between two distances along an axis [mm].

    >>> from geomgen.kernel.brep.boxes import loose_box
    >>> loose = loose_box(slab(Axis((0.0, 0.0, 5.0), (1.0, 0.0, 0.0)), 1.0, 3.0, 10.0))
    >>> [round(v) for v in (*loose.low, *loose.high)]
    [1, -10, -5, 3, 10, 15]
    """
    x, y, z = (o + start * d for o, d in zip(axis.origin, axis.direction, strict=True))
    frame = gp_Ax2(gp_Pnt(x, y, z), gp_Dir(*axis.direction))
    frame.Translate(gp_Vec(frame.XDirection()).Multiplied(-half))
    frame.Translate(gp_Vec(frame.YDirection()).Multiplied(-half))
    return BRepPrimAPI_MakeBox(frame, 2 * half, 2 * half, end - start).Solid()


def wheel(centre: Vec3, diameter: float, width: float) -> TopoDS_Solid:
    """Return a tyre on an axle across the aircraft: a disc with a half-round tread [mm]."""
    x, y, z = centre
    radius, half = diameter / 2, width / 2
    crown = min(half, radius / 2)
    low, high = gp_Pnt(x, y - half, z + radius - crown), gp_Pnt(x, y + half, z + radius - crown)
    top = gp_Pnt(x, y, z + radius)
    maker = BRepBuilderAPI_MakeWire()
    maker.Add(BRepBuilderAPI_MakeEdge(gp_Pnt(x, y - half, z), low).Edge())
    maker.Add(BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(low, top, high).Value()).Edge())
    maker.Add(BRepBuilderAPI_MakeEdge(high, gp_Pnt(x, y + half, z)).Edge())
    maker.Add(BRepBuilderAPI_MakeEdge(gp_Pnt(x, y + half, z), gp_Pnt(x, y - half, z)).Edge())
    return _turn(maker, Axis(centre, (0.0, 1.0, 0.0)))


def _turn(maker: BRepBuilderAPI_MakeWire, axis: Axis) -> TopoDS_Solid:
    face = BRepBuilderAPI_MakeFace(maker.Wire(), True).Face()
    line = gp_Ax1(gp_Pnt(*axis.origin), gp_Dir(*axis.direction))
    return TopoDS.Solid(BRepPrimAPI_MakeRevol(face, line, True).Shape())


def across(direction: Vec3) -> Vec3:
    """Return a unit vector [1] across `direction`, upwards where it can be."""
    x, y, z = direction
    up = (0.0, 0.0, 1.0) if abs(z) < 0.9 else (1.0, 0.0, 0.0)
    dot = x * up[0] + y * up[1] + z * up[2]
    vector = (up[0] - dot * x, up[1] - dot * y, up[2] - dot * z)
    size = math.sqrt(sum(c * c for c in vector))
    return (vector[0] / size, vector[1] / size, vector[2] / size)


def mirrored(shape: TopoDS_Shape) -> TopoDS_Solid:
    """Return the shape mirrored at the centre plane, as a copy with its own surfaces."""
    if isinstance(shape, MeshPart):
        return cast(TopoDS_Solid, shape.mirrored())
    mirror = gp_Trsf()
    mirror.SetMirror(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0)))
    return TopoDS.Solid(BRepBuilderAPI_Transform(shape, mirror, True).Shape())


def moved(shape: TopoDS_Shape, by: Vec3) -> TopoDS_Solid:
    """Return the shape moved by a vector [mm], as a copy."""
    shift = gp_Trsf()
    shift.SetTranslation(gp_Vec(*by))
    return TopoDS.Solid(BRepBuilderAPI_Transform(shape, shift, True).Shape())


def tilted(shape: TopoDS_Shape, about: Vec3, degrees: float) -> TopoDS_Solid:
    """Return the shape turned about an axis across the aircraft, top aft for positive [deg]."""
    turn = gp_Trsf()
    turn.SetRotation(gp_Ax1(gp_Pnt(*about), gp_Dir(0, 1, 0)), math.radians(degrees))
    return TopoDS.Solid(BRepBuilderAPI_Transform(shape, turn, True).Shape())


def turned(shape: TopoDS_Shape, way: Vec3, degrees: float, to: Vec3) -> TopoDS_Solid:
    """Return the shape turned about a direction through the origin [deg], then moved [mm]."""
    turn, shift = gp_Trsf(), gp_Trsf()
    turn.SetRotation(gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(*way)), math.radians(degrees))
    shift.SetTranslation(gp_Vec(*to))
    return TopoDS.Solid(BRepBuilderAPI_Transform(shape, shift.Multiplied(turn), True).Shape())

"""Fuel tanks as solids: boxes and cylinders with a wall all round, the room inside left empty."""

from OCP.TopoDS import TopoDS_Solid

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.booleans import cut
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.masses import TankShape
from geomgen.shapes.piece import NamedSolid

AXES: dict[str, Vec3] = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}
COLOUR = (0.62, 0.56, 0.36)


def tanks(p: Parameters) -> list[NamedSolid]:
    """Return the tanks that have a shape; GeometryError when one can't be hollowed."""
    return [
        NamedSolid(f"tank_{tank.name}", "tank", _hollow(tank.shape, f"tank_{tank.name}"), COLOUR)
        for tank in p.tanks
        if tank.shape is not None
    ]


def _hollow(shape: TankShape, name: str) -> TopoDS_Solid:
    return cut(_body(shape, 0.0), [_body(shape, shape.wall)], name, "room inside")


def _body(shape: TankShape, inset: float) -> TopoDS_Solid:
    """Return the body of a shape, smaller all round by `inset` [mm]."""
    middle = (shape.station, shape.buttock_line, shape.waterline)
    if shape.kind == "cylinder":
        assert shape.diameter is not None
        way, length = AXES[shape.axis or "x"], shape.length - 2 * inset
        x, y, z = (m - length / 2 * w for m, w in zip(middle, way, strict=True))
        return cylinder((x, y, z), way, shape.diameter / 2 - inset, length)
    assert shape.width is not None
    assert shape.height is not None
    half = [side / 2 - inset for side in (shape.length, shape.width, shape.height)]
    (a, b, c), (x, y, z) = (
        tuple(m + sign * h for m, h in zip(middle, half, strict=True)) for sign in (-1.0, 1.0)
    )
    return box((a, b, c), (x, y, z))

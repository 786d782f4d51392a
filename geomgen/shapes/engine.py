"""The engine's envelope: boxes and cylinders joined to one body, and its fan face."""

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.plain import Plane, Vec3
from geomgen.kernel.solids.booleans import fuse
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.piece import NamedSolid

# The way the fan face looks; air enters against it.
FACING: dict[str, Vec3] = {
    "forward": (-1.0, 0.0, 0.0),
    "aft": (1.0, 0.0, 0.0),
    "left": (0.0, -1.0, 0.0),
    "right": (0.0, 1.0, 0.0),
    "up": (0.0, 0.0, 1.0),
    "down": (0.0, 0.0, -1.0),
}
AXES: dict[str, Vec3] = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}


def engine(p: Parameters) -> NamedSolid | None:
    """Return the engine as one body; GeometryError when its pieces do not touch."""
    if p.engine is None:
        return None
    bodies, names = [], []
    for i, b in enumerate(p.engine.boxes):
        y, z = b.width / 2, b.height / 2
        bodies.append(
            box(
                (b.station, b.buttock_line - y, b.waterline - z),
                (b.station + b.length, b.buttock_line + y, b.waterline + z),
            )
        )
        names.append(f"engine.boxes.{i} {b.name!r}")
    for i, c in enumerate(p.engine.cylinders):
        direction = AXES[c.axis]
        centre = (c.station, c.buttock_line, c.waterline)
        half = 0.0 if c.axis == "x" else c.length / 2
        x, y, z = (o - half * d for o, d in zip(centre, direction, strict=True))
        bodies.append(cylinder((x, y, z), direction, c.diameter / 2, c.length))
        names.append(f"engine.cylinders.{i} {c.name!r}")
    solid = fuse(bodies, "engine", "envelope", names)
    return NamedSolid("engine", "engine", solid, (0.35, 0.36, 0.38))


def fan_plane(p: Parameters) -> Plane | None:
    """Return the fan face, its normal the way the air goes in; None when the file has none."""
    if p.engine is None or p.engine.fan_face is None:
        return None
    f = p.engine.fan_face
    x, y, z = FACING[f.facing]
    return Plane((f.station, f.buttock_line, f.waterline), (-x, -y, -z))

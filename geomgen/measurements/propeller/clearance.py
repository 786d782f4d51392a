"""Clearances of the propeller's swept volume, split as the rules split them, and over the ground.

Radial: from the tips to whatever stands within the blades' axial range. Axial: along the shaft to
whatever stands within the tip radius. What lies inside the hole of the swept ring is hub.
"""

from collections.abc import Mapping, Sequence

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.kernel.brep.boxes import boxes_meet, loose_box
from geomgen.kernel.brep.primitives import across, ring, slab
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.mesh_part import ExactDueError
from geomgen.kernel.plain import Ground, Vec3, vec
from geomgen.kernel.sections.near_axis import Span, nearest_to_axis, rough_radius, told
from geomgen.kernel.solids.booleans import common
from geomgen.kernel.solids.distance import EXACT, along, closest, off_axis, on_axis, segment
from geomgen.measurements.place import place
from geomgen.measurements.propeller.along_shaft import Reach, least_of
from geomgen.measurements.propeller.swept import Swept
from geomgen.measurements.record import Measurement

# Structure farther off the axis than so many tip radii is not looked for.
RANGE = 4.0


def tip_radius(swept: Swept) -> Measurement:
    """Return the radius of the swept volume [mm]."""
    return Measurement(
        "prop.tip_radius",
        swept.name,
        "radius of the swept volume, shake included",
        swept.tip,
        "mm",
        "profile of the swept volume, cut by planes through the thrust line",
        EXACT,
        place(swept.axis.origin),
    )


def radial_of(swept: Swept, name: str, solid: TopoDS_Shape) -> Reach | None:
    """Return the radial clearance of one part [mm] and where; None where it is out of range."""
    span = (swept.axis, swept.front, swept.back)
    found = _nearest_the_axis(swept, name, solid, slab(*span, RANGE * swept.tip))
    if found is not None and found.gap + swept.tip <= swept.hole * (1 + 1e-9):
        # It reaches into the hole of the ring, where it is hub: only what is outside counts.
        hollow = ring(*span, swept.hole, RANGE * swept.tip)
        found = _nearest_the_axis(swept, name, solid, hollow)
    return found


def radial_of_body(swept: Swept, name: str, body: Body) -> Reach | None:
    """Return what `radial_of` does, sooner: only the faces that can be nearest are clipped."""
    span = Span(swept.axis, swept.front, swept.back, RANGE * swept.tip)
    seen = told(span, body)
    if seen.least > 2 * span.reach:
        return None
    if body.first:
        return _by_its_mesh(swept, span, body)
    if seen.least > swept.hole:
        near = nearest_to_axis(span, body, seen)
        if near is not None:
            return Reach(near.distance - swept.tip, near.second)
    return radial_of(swept, name, body.solid)


def _by_its_mesh(swept: Swept, span: Span, body: Body) -> Reach | None:
    """Return the radial clearance by a mesh alone, with its bound [mm]."""
    found = rough_radius(span, body)
    if found is None or found.radius - found.bound > span.reach:
        return None
    if found.radius - found.bound <= swept.hole:
        raise ExactDueError("it may reach into the hub's hole")
    return Reach(found.radius - swept.tip, found.at, found.bound)


def _nearest_the_axis(
    swept: Swept, name: str, solid: TopoDS_Shape, room: TopoDS_Shape
) -> Reach | None:
    line = segment(on_axis(swept.axis, swept.front), on_axis(swept.axis, swept.back))
    found: list[Reach] = []
    for piece in _clipped(solid, room, name):
        near = closest(line, piece)
        found.append(Reach(near.distance - swept.tip, near.second))
    return min(found, default=None)


def radial_record(swept: Swept, of_parts: Mapping[str, Reach | None]) -> Measurement:
    """Return the least of the parts' radial clearances as a record."""
    least = least_of(of_parts)
    what = "blade tips to structure, radially"
    method = "structure clipped to the blades' axial range, exact distance to the thrust line"
    if least is None:
        return _nothing("prop.radial_clearance", swept, what, method)
    name, (gap, point, bound) = least
    return Measurement(
        "prop.radial_clearance",
        name,
        what,
        gap,
        "mm",
        method,
        bound,
        f"{name} at {place(point)}",
        (_rim_point(swept, point), point),
        "" if gap >= 0 else f"{name} stands {-gap:.2f} mm inside the tips",
    )


def axial_record(swept: Swept, of_parts: Mapping[str, Reach | None]) -> Measurement:
    """Return the least of the parts' axial gaps as a record."""
    least = least_of(of_parts)
    what = "blades to fixed parts, along the shaft"
    method = (
        "from the swept volume's own face at each radius along the thrust line to what stands "
        "there, exact distance to its cone, checked by the meshes"
    )
    if least is None:
        return _nothing("prop.axial_clearance", swept, what, method)
    name, (gap, point, bound) = least
    mate = on_shaft(swept, point)
    return Measurement(
        "prop.axial_clearance",
        name,
        what,
        gap,
        "mm",
        method,
        bound,
        f"{name} at {place(point)}",
        (mate, point),
        "" if gap >= 0 else f"{name} shares {-gap:.2f} mm along the shaft with the swept volume",
    )


def on_shaft(swept: Swept, point: Vec3) -> Vec3:
    """Return the place [mm] on the swept volume's front or back along the shaft from a point [mm].

    Of a point that stands in it, on the nearer of the two.
    """
    at, radius = along(swept.axis, point), off_axis(swept.axis, point)
    here = [side for side in swept.sides() if side.inner - 1e-3 <= radius <= side.outer + 1e-3]
    faces = [side.station(radius) for side in here] or [swept.front, swept.back]
    face = min(faces, key=lambda station: abs(station - at))
    return vec(c + (face - at) * d for c, d in zip(point, swept.axis.direction, strict=True))


def ground(grounds: Sequence[Ground], swept: Swept) -> list[Measurement]:
    """Return the height of the swept volume over each ground plane [mm]; negative below it.

    Of attitudes that share a first name (`flat_tyre.main`, `flat_tyre.nose`) the least is given,
    and its note says which it is.
    """
    names = [g.name.split(".")[0] for g in grounds]
    by_name: dict[str, Measurement] = {}
    for g in grounds:
        name = g.name.split(".")[0]
        height, point = _over(swept, g)
        x, y, z = g.plane.normal
        foot = (point[0] - height * x, point[1] - height * y, point[2] - height * z)
        made = Measurement(
            f"prop.ground_clearance.{name}",
            swept.name,
            f"swept volume over the ground, {name.replace('_', ' ')}",
            height,
            "mm",
            f"lowest circle of the swept volume's profile over the ground: {g.note}",
            10 * EXACT,
            place(point),
            (point, foot),
            note=f"the least of {names.count(name)}: {g.note}" if names.count(name) > 1 else "",
        )
        if name not in by_name or height < (by_name[name].value or 0.0):
            by_name[name] = made
    return list(by_name.values())


def _over(swept: Swept, g: Ground) -> tuple[float, Vec3]:
    """Return the height of the lowest point over a ground [mm], and the point.

    A circle about the axis reaches down by its radius times the sine between axis and normal.
    """
    normal, way = np.array(g.plane.normal), np.array(swept.axis.direction)
    down = (normal @ way) * way - normal
    size = float(np.linalg.norm(down))
    down = down / size if size > 1e-12 else np.array(across(swept.axis.direction))
    circles = [np.array(on_axis(swept.axis, s)) + r * down for s, r in swept.profile]
    low = min(circles, key=lambda point: float(point @ normal))
    x, y, z = low.tolist()
    return float((low - np.array(g.plane.origin)) @ normal), (x, y, z)


def _clipped(solid: TopoDS_Shape, tool: TopoDS_Shape, name: str) -> list[TopoDS_Shape]:
    if not boxes_meet(loose_box(solid), loose_box(tool)):
        return []
    return list(common(solid, tool, name, "clip to the propeller"))


def _rim_point(swept: Swept, point: Vec3) -> Vec3:
    foot = on_axis(swept.axis, along(swept.axis, point))
    far = off_axis(swept.axis, point) or 1.0
    return vec(f + (c - f) * swept.tip / far for f, c in zip(foot, point, strict=True))


def _nothing(id_: str, swept: Swept, what: str, method: str) -> Measurement:
    return Measurement(
        id_, swept.name, what, None, "mm", method, note="no part stands in the blades' range"
    )

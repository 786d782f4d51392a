"""Clearances of the propeller's swept volume, split as the rules split them, and over the ground.

Radial: from the tips to whatever stands within the blades' axial range. Axial: along the shaft to
whatever stands within the tip radius. What lies inside the hole of the swept ring is hub.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf

from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.booleans import common
from geomgen.kernel.boxes import Box, boxes_meet, loose_box
from geomgen.kernel.distance import EXACT, along, closest, extreme, off_axis, on_axis, segment
from geomgen.kernel.meeting import Body
from geomgen.kernel.near_axis import Span, nearest_to_axis, told
from geomgen.kernel.plain import Axis, Model, Vec3
from geomgen.kernel.primitives import across, ring, slab
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

# Structure farther off the axis than so many tip radii is not looked for.
RANGE = 4.0


@dataclass(frozen=True)
class Swept:
    """The swept volume as measured: where it stands along the axis, tip and hole radius [mm]."""

    axis: Axis
    front: float
    back: float
    tip: float
    hole: float
    solid: TopoDS_Shape
    name: str


def swept_volume(model: Model) -> Swept:
    """Measure the swept volume itself; GeometryError when there is none."""
    axis = model.thrust_line
    solid = model.parts.get(model.swept)
    if axis is None or solid is None:
        raise GeometryError("there is no swept volume", part=model.swept)
    x, y, z = axis.direction
    base = along(axis, (0.0, 0.0, 0.0))
    back = extreme(solid, (x, y, z))[0] + base
    front = -extreme(solid, (-x, -y, -z))[0] + base
    _, top = extreme(solid, across(axis.direction))
    line = segment(on_axis(axis, front - 1.0), on_axis(axis, back + 1.0))
    hole = closest(line, solid).distance
    return Swept(axis, front, back, off_axis(axis, top), hole, solid, model.swept)


def structure(model: Model) -> dict[str, TopoDS_Shape]:
    """Return what the blades must keep clear of: every part that does not turn with them."""
    return {name: s for name, s in model.parts.items() if name not in model.rotating}


def tip_radius(swept: Swept) -> Measurement:
    """Return the radius of the swept volume [mm]."""
    return Measurement(
        "prop.tip_radius",
        swept.name,
        "radius of the swept volume, shake included",
        swept.tip,
        "mm",
        "farthest reach across the thrust line",
        EXACT,
        place(swept.axis.origin),
    )


Reach = tuple[float, Vec3]


def radial(model: Model, swept: Swept) -> Measurement:
    """Return the least radial clearance [mm]; negative by the depth where parts stand inside."""
    parts = structure(model)
    return radial_record(swept, {name: radial_of(swept, name, s) for name, s in parts.items()})


def radial_of(swept: Swept, name: str, solid: TopoDS_Shape) -> Reach | None:
    """Return the radial clearance of one part [mm] and where; None where it is out of range."""
    span = (swept.axis, swept.front, swept.back)
    found = _nearest_the_axis(swept, name, solid, slab(*span, RANGE * swept.tip))
    if found is not None and found[0] + swept.tip <= swept.hole * (1 + 1e-9):
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
    if seen.least > swept.hole:
        near = nearest_to_axis(span, body, seen)
        if near is not None:
            return near.distance - swept.tip, near.second
    return radial_of(swept, name, body.solid)


def _nearest_the_axis(
    swept: Swept, name: str, solid: TopoDS_Shape, room: TopoDS_Shape
) -> Reach | None:
    line = segment(on_axis(swept.axis, swept.front), on_axis(swept.axis, swept.back))
    found: list[Reach] = []
    for piece in _clipped(solid, room, name):
        near = closest(line, piece)
        found.append((near.distance - swept.tip, near.second))
    return min(found, default=None)


def radial_record(swept: Swept, of_parts: Mapping[str, Reach | None]) -> Measurement:
    """Return the least of the parts' radial clearances as a record."""
    found = [(reach[0], name, reach[1]) for name, reach in of_parts.items() if reach is not None]
    what = "blade tips to structure, radially"
    method = "structure clipped to the blades' axial range, exact distance to the thrust line"
    if not found:
        return _nothing("prop.radial_clearance", swept, what, method)
    gap, name, point = min(found)
    return Measurement(
        "prop.radial_clearance",
        name,
        what,
        gap,
        "mm",
        method,
        10 * EXACT,
        f"{name} at {place(point)}",
        (_rim_point(swept, point), point),
        "" if gap >= 0 else f"{name} stands {-gap:.2f} mm inside the tips",
    )


def axial(model: Model, swept: Swept) -> Measurement:
    """Return the least axial gap [mm], ahead or behind; negative where a part stands in between.

    Parts are tried from the nearest on, until no other can come nearer.
    """
    parts = structure(model)
    bounds = sorted((least_gap(swept, loose_box(solid)), name) for name, solid in parts.items())
    found: dict[str, Reach | None] = {}
    for bound, name in bounds:
        if bound < best_of(found):
            found[name] = axial_of(swept, name, parts[name])
    return axial_record(swept, found)


def best_of(found: Mapping[str, Reach | None]) -> float:
    """Return the least gap so far [mm]."""
    return min((reach[0] for reach in found.values() if reach is not None), default=inf)


def axial_of(swept: Swept, name: str, solid: TopoDS_Shape) -> Reach | None:
    """Return the axial gap of one part [mm] and where; None where it is out of the ring."""
    tube = ring(swept.axis, swept.front - 2e4, swept.back + 2e4, swept.hole, swept.tip)
    return min((_gap(swept, piece) for piece in _clipped(solid, tube, name)), default=None)


def axial_record(swept: Swept, of_parts: Mapping[str, Reach | None]) -> Measurement:
    """Return the least of the parts' axial gaps as a record."""
    found = [(reach[0], name, reach[1]) for name, reach in of_parts.items() if reach is not None]
    what = "blades to fixed parts, along the shaft"
    method = "structure clipped to the ring of the blades, exact reach along the thrust line"
    if not found:
        return _nothing("prop.axial_clearance", swept, what, method)
    gap, name, point = min(found)
    at = along(swept.axis, point)
    face = swept.front if at < 0.5 * (swept.front + swept.back) else swept.back
    mate = tuple(c + (face - at) * d for c, d in zip(point, swept.axis.direction, strict=True))
    return Measurement(
        "prop.axial_clearance",
        name,
        what,
        gap,
        "mm",
        method,
        10 * EXACT,
        f"{name} at {place(point)}",
        ((mate[0], mate[1], mate[2]), point),
        "" if gap >= 0 else f"{name} stands {-gap:.2f} mm into the swept volume",
    )


def ground(model: Model, swept: Swept) -> list[Measurement]:
    """Return the height of the swept volume over each ground plane [mm]; negative below it.

    Of attitudes that share a first name (`flat_tyre.main`, `flat_tyre.nose`) the least is given.
    """
    by_name: dict[str, Measurement] = {}
    for g in model.grounds:
        name = g.name.split(".")[0]
        x, y, z = g.plane.normal
        reach, point = extreme(swept.solid, (-x, -y, -z))
        height = -reach - sum(o * n for o, n in zip(g.plane.origin, (x, y, z), strict=True))
        foot = (point[0] - height * x, point[1] - height * y, point[2] - height * z)
        made = Measurement(
            f"prop.ground_clearance.{name}",
            swept.name,
            f"swept volume over the ground, {name.replace('_', ' ')}",
            height,
            "mm",
            f"lowest point of the swept volume over the plane of the wheels' feet: {g.note}",
            10 * EXACT,
            place(point),
            (point, foot),
        )
        if name not in by_name or height < (by_name[name].value or 0.0):
            by_name[name] = made
    return list(by_name.values())


def _clipped(solid: TopoDS_Shape, tool: TopoDS_Shape, name: str) -> list[TopoDS_Shape]:
    if not boxes_meet(loose_box(solid), loose_box(tool)):
        return []
    return list(common(solid, tool, name, "clip to the propeller"))


def least_gap(swept: Swept, box: Box) -> float:
    """Return a gap that a box surely is not nearer than."""
    corners = [
        along(swept.axis, (x, y, z))
        for x in (box.low[0], box.high[0])
        for y in (box.low[1], box.high[1])
        for z in (box.low[2], box.high[2])
    ]
    return max(swept.front - max(corners), min(corners) - swept.back)


def _gap(swept: Swept, piece: TopoDS_Shape) -> tuple[float, Vec3]:
    """Return the gap along the axis; where it stands in the swept range, minus how much of it."""
    x, y, z = swept.axis.direction
    _, aft = extreme(piece, (x, y, z))
    _, fore = extreme(piece, (-x, -y, -z))
    last, first = along(swept.axis, aft), along(swept.axis, fore)
    if last < swept.front:
        return swept.front - last, aft
    if first > swept.back:
        return first - swept.back, fore
    depth = min(last, swept.back) - max(first, swept.front)
    return -depth, aft if last <= swept.back else fore


def _rim_point(swept: Swept, point: Vec3) -> Vec3:
    foot = on_axis(swept.axis, along(swept.axis, point))
    far = off_axis(swept.axis, point) or 1.0
    x, y, z = (f + (c - f) * swept.tip / far for f, c in zip(foot, point, strict=True))
    return (x, y, z)


def _nothing(id_: str, swept: Swept, what: str, method: str) -> Measurement:
    return Measurement(
        id_, swept.name, what, None, "mm", method, note="no part stands in the blades' range"
    )

"""How far behind the wing's trailing edge the blades turn, in fractions of the local chord."""

import numpy as np

from geomgen.kernel.distance import along, off_axis
from geomgen.kernel.meeting import Body
from geomgen.kernel.plain import Model, Vec3
from geomgen.kernel.slices import Floats, Slices, ends
from geomgen.measurements.clearance import Swept
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

CUTS = 201
Gap = tuple[float, Vec3, float]


def trailing_edge_gap(model: Model, bodies: dict[str, Body], swept: Swept) -> list[Measurement]:
    """Return the least gap from trailing edge to blades in local chords.

    The trailing edge is straight between sections, so the many cuts meet it exactly; the chord is
    as near as the mesh's deviation.
    """
    wings = [name for name, family in model.families.items() if family == "wing"]
    if not wings:
        return []
    wing = bodies[wings[0]]
    middle, slices = swept.axis.origin[1], Slices(wing.mesh)
    found = []
    for y in np.linspace(middle - 0.9999 * swept.tip, middle + 0.9999 * swept.tip, CUTS):
        gap = _gap(slices.at(float(y)), swept)
        if gap is not None:
            found.append(gap)
    before = [gap for gap in found if off_axis(swept.axis, gap[1]) <= swept.tip]
    if not found:
        return [_record(wings[0], None, 0.0, "no part of the wing stands ahead of the disc")]
    note = "" if before else "no part of the trailing edge stands before the disc; nearest given"
    least = min(before or found)
    return [_record(wings[0], least, 2 * wing.deviation / least[2] * (1 + abs(least[0])), note)]


def _gap(points: Floats, swept: Swept) -> Gap | None:
    if len(points) < 2:
        return None
    fore, aft = ends(points, swept.axis.direction)
    chord = float(np.linalg.norm(aft - fore))
    edge = (float(aft[0]), float(aft[1]), float(aft[2]))
    return (swept.front - along(swept.axis, edge)) / chord, edge, chord


def _record(wing: str, least: Gap | None, bound: float, note: str) -> Measurement:
    return Measurement(
        "prop.trailing_edge_gap",
        wing,
        "trailing edge to blades over the local chord, at every part inside the disc",
        None if least is None else least[0],
        "chord",
        f"proven mesh of the wing cut at {CUTS} buttock lines inside the disc",
        None if least is None else bound,
        "" if least is None else place(least[1]),
        () if least is None else (least[1],),
        note,
    )

"""How far behind the wing's trailing edge the blades turn, in fractions of the local chord."""

from collections.abc import Mapping

import numpy as np

from geomgen.kernel.distance import along, off_axis
from geomgen.kernel.meeting import Body
from geomgen.kernel.plain import Model, Vec3
from geomgen.kernel.slices import Floats, Slices, ends
from geomgen.measurements.clearance import Swept
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

CUTS = 201
# Gap in chords, place of the trailing edge, chord there, the wing's part.
Gap = tuple[float, Vec3, float, str]


def trailing_edge_gap(model: Model, bodies: dict[str, Body], swept: Swept) -> list[Measurement]:
    """Return the least gap from trailing edge to blades in local chords.

    The trailing edge is straight between sections, so the many cuts meet it exactly; the chord is
    as near as the mesh's deviation. A wing in several parts is measured as one.
    """
    wings = [name for name, family in model.families.items() if family == "wing"]
    if not wings:
        return []
    middle, slices = swept.axis.origin[1], {name: Slices(bodies[name].mesh) for name in wings}
    found = []
    for y in np.linspace(middle - 0.9999 * swept.tip, middle + 0.9999 * swept.tip, CUTS):
        gap = _gap({name: cuts.at(float(y)) for name, cuts in slices.items()}, swept)
        if gap is not None:
            found.append(gap)
    before = [gap for gap in found if off_axis(swept.axis, gap[1]) <= swept.tip]
    if not found:
        return [_record(wings[0], None, 0.0, "no part of the wing stands ahead of the disc")]
    note = "" if before else "no part of the trailing edge stands before the disc; nearest given"
    least = min(before or found)
    off = max(bodies[name].deviation for name in wings)
    return [_record(least[3], least, 2 * off / least[2] * (1 + abs(least[0])), note)]


def _gap(cuts: Mapping[str, Floats], swept: Swept) -> Gap | None:
    """Return the gap at a buttock line from what it cuts of each part of the wing."""
    points = np.concatenate(list(cuts.values()))
    if len(points) < 2:
        return None
    fore, aft = ends(points, swept.axis.direction)
    chord = float(np.linalg.norm(aft - fore))
    edge = (float(aft[0]), float(aft[1]), float(aft[2]))
    part = next(name for name, each in cuts.items() if (each == aft).all(axis=1).any())
    return (swept.front - along(swept.axis, edge)) / chord, edge, chord, part


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

"""Passages: the least area along each, whether it reaches the bay, how far the air turns."""

import numpy as np

from geomgen.kernel.meeting import Body
from geomgen.kernel.openings import angle_between
from geomgen.kernel.plain import Model, Passage, Vec3
from geomgen.kernel.probing import Classifier
from geomgen.measurements.opening import METHOD, look, solids
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

# Walls that part the bay from the cabin and the open air.
WALLS = ("pod", "firewall", "exit")


def ducts(model: Model, bodies: dict[str, Body]) -> list[Measurement]:
    """Return throat area [mm2] and turn [deg] of every passage."""
    return [m for passage in model.passages for m in duct(model, bodies, passage)]


def duct(model: Model, bodies: dict[str, Body], passage: Passage) -> list[Measurement]:
    """Return throat area [mm2] and turn [deg] of one passage."""
    least: tuple[float, float, Vec3] | None = None
    centres: list[Vec3] = []
    notes: list[str] = []
    for where in (passage.mouth, *passage.throats):
        found, note = look(model, where)
        if found is None or found.area is None or found.centroid is None:
            notes.append(f"{where.name}, {place(where.seed)}: {note}")
            continue
        centres.append(found.centroid)
        if least is None or found.area < least[0]:
            least = (found.area, found.error or 0.0, found.centroid)
    notes += _way_into_the_bay(model, bodies, passage)
    open_all_along = not notes
    throat = Measurement(
        f"duct.throat_area.{passage.name}",
        passage.name,
        "least area along the passage",
        least[0] if least is not None and open_all_along else None,
        "mm2",
        f"least of {1 + len(passage.throats)} planes across the stream: {METHOD}",
        least[1] if least is not None else None,
        place(least[2] if least is not None else passage.mouth.seed),
        note="; ".join(notes),
        broken=not open_all_along,
    )
    return [throat, *_turn(passage, centres, notes)]


def _way_into_the_bay(model: Model, bodies: dict[str, Body], passage: Passage) -> list[str]:
    """Return what stands between the passage's last throat and the fan; empty when nothing."""
    notes = []
    for name, solid in solids(model).items():
        if not Classifier(solid).is_outside(passage.into_bay):
            notes.append(f"does not reach the bay: {name} stands at {place(passage.into_bay)}")
    legs = [(passage.throats[-1].seed if passage.throats else passage.mouth.seed, passage.into_bay)]
    if passage.fan is not None:
        legs.append((passage.into_bay, passage.fan.origin))
    for name, family in model.families.items():
        if family not in WALLS or notes:
            continue
        for a, b in legs:
            hits = bodies[name].hull.ray_cast(a, b)
            if hits:
                x, y, z = (float(c) for c in hits[0].position)
                notes.append(f"does not reach the bay: {name} stands across at {place((x, y, z))}")
                break
    return notes


def _inflow(passage: Passage, first: Vec3) -> Vec3:
    """Return the way the air comes in: square to the mouth's plane, with the stream."""
    x, y, z = passage.mouth.plane.normal
    return (x, y, z) if float(np.dot(first, (x, y, z))) >= 0 else (-x, -y, -z)


def _turn(passage: Passage, centres: list[Vec3], notes: list[str]) -> list[Measurement]:
    """Return the sum of the turns [deg] along the centres of the measured openings to the fan."""
    if passage.fan is None:
        return []
    value = None
    if not notes:
        line = [*centres, passage.into_bay, passage.fan.origin]
        ways = [tuple(np.subtract(b, a)) for a, b in zip(line[:-1], line[1:], strict=True)]
        ways = [_inflow(passage, ways[0]), *ways, passage.fan.normal]
        value = sum(angle_between(a, b) for a, b in zip(ways[:-1], ways[1:], strict=True))
    return [
        Measurement(
            f"duct.turn_angle.{passage.name}",
            passage.name,
            "total turn of the air from mouth to fan face",
            value,
            "deg",
            "turns summed along the centroids of the measured openings, the bay and the fan",
            None if value is None else 0.1,
            place(passage.mouth.seed),
            note="; ".join(notes),
            broken=bool(notes),
        )
    ]

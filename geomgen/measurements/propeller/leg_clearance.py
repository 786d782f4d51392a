"""How near legs and wheels come to the swept volume while the axles are drawn up: the record."""

from collections.abc import Sequence

from geomgen.kernel.plain import Strut
from geomgen.measurements.least_gap import bound_of_least
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement
from geomgen.measurements.way_up import METHOD, DrawnUpGap, states

ID = "prop.leg_clearance"
WHAT = "swept volume to legs and wheels, axles drawn up"


def leg_record(struts: Sequence[Strut], found: Sequence[DrawnUpGap]) -> Measurement:
    """Return the least gap of all legs and wheels as a record."""
    least = min(found, key=lambda each: each.gap)
    at = f" at {place(least.points[1])}" if least.points else ""
    note = f"axle {least.rise:.1f} mm higher than without load"
    return Measurement(
        ID,
        least.part,
        WHAT,
        least.gap,
        "mm",
        f"{METHOD}: {states(struts)}; all that gives way counts as the strut's",
        bound_of_least([(each.gap, each.bound) for each in found]),
        f"{least.part}{at}",
        least.points,
        f"{least.part} is struck, {note}" if least.gap <= 0.0 else note,
    )

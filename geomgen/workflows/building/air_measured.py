"""The air of what was measured, with the mass sheet's neutral point beside the air's own."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from geomgen.parameters import Parameters

if TYPE_CHECKING:
    from geomgen.air.record import MachineAir
    from geomgen.measurements.record import Measurement


def measured_air(p: Parameters, measured: "Sequence[Measurement]") -> "MachineAir | None":
    """Return the air of what was measured; None where the air was not worked out."""
    from geomgen.air.gathering import machine_air
    from geomgen.air.record import NeutralBeside
    from geomgen.balance.stability.neutral_point import neutral_point
    from geomgen.balance.state import is_described

    by_air = next((m for m in measured if m.id == "wing.neutral_point"), None)
    if by_air is None or by_air.value is None:
        return machine_air(p, measured)
    station, off = by_air.value, by_air.error_bound or 0.0
    if not is_described(p):
        beside = NeutralBeside(station, off, why="the file describes no masses")
        return machine_air(p, measured, beside)
    point, why = neutral_point(measured)
    if point is None:
        return machine_air(p, measured, NeutralBeside(station, off, why=why))
    low, high = point.band
    return machine_air(p, measured, NeutralBeside(station, off, point.station, (low, high)))

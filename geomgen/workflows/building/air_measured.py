"""The air of what was measured, with the mass sheet's neutral point beside the air's own."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from geomgen.parameters import Parameters

if TYPE_CHECKING:
    from geomgen.air.record import MachineAir, NeutralBeside, WantedMouth
    from geomgen.measurements.record import Measurement


def measured_air(
    p: Parameters, measured: "Sequence[Measurement]", wanted: "WantedMouth | None" = None
) -> "MachineAir | None":
    """Return the air of what was measured; None where the air was not worked out.

    Places are looked for a `wanted` mouth, without one for the file's largest.
    """
    from geomgen.air.gathering import machine_air

    return machine_air(p, measured, _neutral(p, measured), wanted)


def _neutral(p: Parameters, measured: "Sequence[Measurement]") -> "NeutralBeside | None":
    """Return the neutral point by the air, the mass sheet's beside it; None without it."""
    from geomgen.air.record import NeutralBeside
    from geomgen.balance.stability.neutral_point import neutral_point
    from geomgen.balance.state import is_described

    by_air = next((m for m in measured if m.id == "wing.neutral_point"), None)
    if by_air is None or by_air.value is None:
        return None
    station, off = by_air.value, by_air.error_bound or 0.0
    if not is_described(p):
        return NeutralBeside(station, off, why="the file describes no masses")
    point, why = neutral_point(measured)
    if point is None:
        return NeutralBeside(station, off, why=why)
    low, high = point.band
    return NeutralBeside(station, off, point.station, (low, high))

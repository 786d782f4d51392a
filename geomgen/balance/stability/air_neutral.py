"""The neutral point by the computed air, as one that static margins may count from."""

from collections.abc import Iterable, Iterator
from math import hypot

from geomgen.balance.stability.neutral_point import LEFT_OUT, SPREADS, NeutralPoint
from geomgen.measurements.record import Measurement

BY_AIR, AIR = "wing.neutral_point", "air"
# What panels see no more than the estimate does: its spreads count beside the panels'. Own choice.
UNSEEN = ("wing", "tail", "pressure", "pod")
AIR_LEFT_OUT = (
    *LEFT_OUT[:2],
    "fins, booms, wheels, legs and spinner left out, and swirl, yaw and air that has left the skin",
)


def neutral_point_by_air(
    measurements: Iterable[Measurement],
    chord: tuple[float, float] | None,
    estimate: NeutralPoint | None,
    no_estimate: str = "",
) -> tuple[NeutralPoint | None, str]:
    """Return the neutral point by the air with its band [mm]; None with the reason in words.

    `chord` is the mean aerodynamic chord and the station of its leading edge [mm]; `no_estimate`
    says why there is none. The band is that of the panels and, by the squares, the estimate's own
    for what neither sees: real sections, gaps, slowed air at the tail, booms. Without an estimate
    beside it, or outside of that one's band, it is doubted.
    """
    told = {m.id: m for m in measurements}
    found = told.get(BY_AIR)
    if found is None or found.value is None:
        lost = told.get("exit.pressure")
        why = (found.note if found else "") or (lost.note if lost and lost.value is None else "")
        return None, f"by the air: {why or 'the air about the machine was not worked out'}"
    if chord is None:
        return None, "by the air: the wing's mean chord could not be measured"
    station, off = found.value, found.error_bound or 0.0
    spreads = (("how fine the panels are", -off, off), *_unseen(estimate))
    low, high = (hypot(*(pick(0.0, *moved) for _, *moved in spreads)) for pick in (min, max))
    return NeutralPoint(
        station,
        (station - low, station + high),
        *chord,
        (),
        None,
        None if estimate is None else estimate.tail_volume,
        spreads,
        (*([found.note] if found.note else []), *_doubts(station, estimate, no_estimate)),
        AIR_LEFT_OUT,
        found.method,
        AIR,
    ), ""


def _unseen(estimate: NeutralPoint | None) -> tuple[tuple[str, float, float], ...]:
    if estimate is None:
        return ()
    rows = dict(zip(SPREADS, estimate.spreads, strict=True))
    return tuple(rows[name] for name in UNSEEN)


def _doubts(station: float, estimate: NeutralPoint | None, no_estimate: str) -> Iterator[str]:
    if estimate is None:
        yield f"no estimate from the planforms stands beside it: {no_estimate}"
        return
    yield from estimate.doubts
    low, high = estimate.band
    if not low <= station <= high:
        yield (
            f"it lies outside of the estimate from the planforms, STA {low:.0f} to {high:.0f} mm: "
            "one of both is wrong"
        )

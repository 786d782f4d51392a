"""What a measurement answers with; free of the kernel so that verdicts can read it."""

from dataclasses import dataclass

Point = tuple[float, float, float]


@dataclass(frozen=True)
class Measurement:
    """One measured figure.

    `value` is None when it could not be measured; `note` then says why. `unit` is one of mm, mm2,
    mm3, kg, deg, chord, Mach, 1 (a plain ratio). `error_bound` is in the same unit. `points` are
    the two closest points [mm] of a distance, or the place that decided the value. `broken` marks
    an opening that is blocked or not closed all round: that is a failure, not a missing figure.
    `further` are figures by name that belong to this one and are not judged, such as the moments
    beside a volume, `rows` whole rows of such figures; `method` says their units.
    """

    id: str
    part: str
    what: str
    value: float | None
    unit: str
    method: str
    error_bound: float | None = None
    where: str = ""
    points: tuple[Point, ...] = ()
    note: str = ""
    broken: bool = False
    further: tuple[tuple[str, float], ...] = ()
    rows: tuple[tuple[str, tuple[float, ...]], ...] = ()

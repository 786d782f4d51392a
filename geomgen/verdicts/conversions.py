"""Measured figures turned into the ones that are judged, their error bounds carried along."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import isfinite

from geomgen.measurements.record import Measurement
from geomgen.sizing.target import Conversion


def converted(
    measurements: Iterable[Measurement], conversions: Sequence[Conversion]
) -> list[Measurement]:
    """Return the measurements with what follows from them behind each.

    A conversion to the same id takes the place of what it was made from.

    >>> radius = Measurement("prop.tip_radius", "prop_disc", "tip radius", 700.0, "mm", "exact")
    >>> mach = Conversion("prop.tip_radius", "mm", "prop.tip_mach", "tips", "1",
    ...     lambda r: r / 1400, "radius / 1400")
    >>> [(m.id, m.value) for m in converted([radius], [mach])]
    [('prop.tip_radius', 700.0), ('prop.tip_mach', 0.5)]
    """
    found: list[Measurement] = []
    for measured in measurements:
        own = [c for c in conversions if c.of == measured.id and c.of_unit == measured.unit]
        if not any(c.id == measured.id for c in own):
            found.append(measured)
        found += [convert(measured, conversion) for conversion in own]
    return found


def convert(measured: Measurement, conversion: Conversion) -> Measurement:
    """Return one measurement turned into another figure; a missing value stays missing."""
    value, bound = measured.value, measured.error_bound
    result = None if value is None or not isfinite(value) else conversion.apply(value)
    spread = None
    if result is not None and value is not None and bound is not None:
        spread = max(abs(conversion.apply(value + s * bound) - result) for s in (-1.0, 1.0))
    method = "; ".join(text for text in (conversion.method, measured.method) if text)
    return replace(
        measured,
        id=conversion.id,
        what=conversion.what,
        unit=conversion.unit,
        value=result,
        error_bound=spread,
        method=method,
    )

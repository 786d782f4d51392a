"""What is weighed or carried by itself stands on the machine, or near it."""

from collections.abc import Iterator
from math import radians, tan

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.rules.clash import FieldClash, mm

# What stands further off the machine than this [mm] is a slip of the pen: own choice, for a probe
# on a boom of its own or a trim weight on a stick is less.
OFF = 1000.0
AXES = ("station", "waterline")
Range = tuple[float, float]


def machine_ranges(p: Parameters) -> tuple[Range, Range]:
    """Return the stations and waterlines [mm] that pod, booms, wing, tail and gear reach.

    From the records alone. Buttock lines need no rule: their field allows no more than a half span.
    """
    wheels = p.gear.wheels if p.gear else ()
    half = p.wing.sections[-1].buttock_line
    rise = half * tan(radians(max(abs(s.dihedral) for s in p.wing.sections)))
    ends = [s.station for s in p.pod.stations] + [s.station for s in p.booms.stations]
    ends += [p.wing.leading_edge, *(wheel.station for wheel in wheels)]
    fins = [p.fins.waterline + s.height for s in p.fins.sections] if p.fins else []
    low = [s.keel for s in p.pod.stations] + [w.waterline - w.diameter / 2 for w in wheels]
    high = [s.crown for s in p.pod.stations] + ([p.pylon.waterline_high] if p.pylon else [])
    levels = [*low, *high, *fins, p.wing.waterline - rise, p.wing.waterline + rise]
    levels += [p.tailplane.waterline] if p.tailplane else []
    return (min(ends), max(ends)), (min(levels), max(levels))


def weights_stand_on_the_machine(p: Parameters) -> Iterator[FieldClash]:
    """Require that what is weighed or carried by itself is not far off all that is drawn."""
    reach = dict(zip(AXES, machine_ranges(p), strict=True))
    for table, row, before in _placed(p):
        for axis, (first, last) in reach.items():
            value = getattr(row, before + axis)
            low, high = first - OFF, last + OFF
            if value is not None and not low <= value <= high:
                yield FieldClash(
                    (*table, before + axis),
                    f"more than {mm(OFF)} off the machine",
                    mm(value),
                    f"from {mm(round(low, 3))} to {mm(round(high, 3))}",
                )


def _placed(p: Parameters) -> Iterator[tuple[Path, object, str]]:
    """Yield the tables with a place, their records, and what their keys begin with."""
    for i, item in enumerate(p.items):
        yield ("items", i), item, ""
    for i, tank in enumerate(p.tanks):
        path: Path = ("tanks", i)
        yield (path, tank, "") if tank.shape is None else ((*path, "shape"), tank.shape, "")
    if p.loads is not None:
        yield ("loads",), p.loads, ""
        yield ("loads",), p.loads, "ballast_"
        for i, place in enumerate(p.loads.baggage):
            yield ("loads", "baggage", i), place, ""

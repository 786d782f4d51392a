"""Tanks with a solid: where the fuel is when they are full, and how much they hold."""

from collections.abc import Iterator, Mapping, Sequence

from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.masses import Tank

# As the measurements name the room inside a tank's solid.
ROOM = "tank.room."
METHOD = (
    "room inside the solid, less the share that stays empty for the fuel to expand "
    "(tanks.expansion)"
)
NOT_MEASURED = "the room inside it could not be measured"


def rooms(measurements: Sequence[Measurement]) -> dict[str, Measurement]:
    """Return what was measured of the room inside each tank [mm3], by the name of its part."""
    return {m.part: m for m in measurements if m.id.startswith(ROOM)}


def part_of(tank: Tank) -> str:
    """Return the name of a tank's part.

    >>> part_of(Tank.model_validate({"name": "main", "usable": "18 l"}))
    'tank_main'
    """
    return f"tank_{tank.name}"


def tanks_placed(p: Parameters, measurements: Sequence[Measurement]) -> Parameters:
    """Return records whose tanks all have a place: of those with a solid the centre of their room.

    A tank whose room could not be measured is left out; `tanks_lost` says so.
    """
    known = rooms(measurements)
    placed = tuple(tank for tank in (_placed(tank, known) for tank in p.tanks) if tank is not None)
    return p.model_copy(update={"tanks": placed})


def _placed(tank: Tank, known: Mapping[str, Measurement]) -> Tank | None:
    if tank.shape is None:
        return tank
    room = known.get(part_of(tank))
    if room is None or room.value is None or not room.points:
        return None
    x, y, z = room.points[0]
    return tank.model_copy(update={"station": x, "buttock_line": y, "waterline": z})


def tanks_lost(p: Parameters, measurements: Sequence[Measurement]) -> Iterator[tuple[str, str]]:
    """Yield the tanks whose fuel has no place, with why."""
    known = rooms(measurements)
    for tank in p.tanks:
        if _placed(tank, known) is None:
            yield f"fuel, {tank.name}", NOT_MEASURED


def tank_volumes(p: Parameters, measurements: Sequence[Measurement]) -> Iterator[Measurement]:
    """Yield how much fuel each tank with a solid holds [mm3]."""
    known = rooms(measurements)
    for tank in p.tanks:
        room = known.get(part_of(tank)) if tank.shape else None
        if room is None:
            continue
        share = 1.0 - tank.expansion
        value = None if room.value is None else share * room.value
        note = room.note if room.value is None else f"room inside {room.value / 1e6:.2f} l"
        yield Measurement(
            f"tank.volume.{tank.name}", room.part, "fuel that the tank holds", value, "mm3", METHOD,
            None if room.error_bound is None else share * room.error_bound,
            points=room.points, note=note,
        )  # fmt: skip

"""The map of pressures on a machine's panels as plain records, from what was measured of them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from geomgen.measurements.record import Measurement

ID = "air.panels"
FLOWN = ("climb", "level", "glide")
# What a piece of a panel is, as measured.
SKIN, UNSURE, MOUTH = 0, 1, 2


@dataclass(frozen=True)
class MappedBody:
    """A body's panels on the right-hand half: points [mm] and, four of them each, the pieces.

    `kinds` say what each piece is (`SKIN`, `UNSURE` or `MOUTH`), `pressures` by state its pressure
    coefficient [1] as it was solved. `sides` say whether it stands on the right and on the left.
    """

    name: str
    points: tuple[tuple[float, float, float], ...]
    pieces: tuple[tuple[int, int, int, int], ...]
    kinds: tuple[int, ...]
    pressures: dict[str, tuple[float, ...]]
    sides: tuple[bool, bool] = (True, True)


@dataclass(frozen=True)
class PressureMap:
    """All panels with their pressures: states with their speed [m/s], bodies of one half."""

    speeds: dict[str, float]
    bodies: tuple[MappedBody, ...]


def pressure_map(measurements: Sequence[Measurement]) -> PressureMap | None:
    """Return the map of what was measured; None where no panels were."""
    told = {m.id: m for m in measurements}
    if ID not in told:
        return None
    rows = dict(told[ID].rows)
    start = "points "
    names = [name.removeprefix(start) for name in rows if name.startswith(start)]
    rams = {s: dict(told[f"air.{s}"].further)["ram"] for s in FLOWN if f"air.{s}" in told}
    speeds = {s: (2.0 * ram) ** 0.5 for s, ram in rams.items() if f"{s} {names[0]}" in rows}
    return PressureMap(speeds, tuple(_body(name, rows, tuple(speeds)) for name in names))


def _body(name: str, rows: Mapping[str, tuple[float, ...]], states: tuple[str, ...]) -> MappedBody:
    points, pieces = rows[f"points {name}"], [int(at) for at in rows[f"pieces {name}"]]
    right, left = rows[f"sides {name}"]
    return MappedBody(
        name,
        tuple(zip(points[::3], points[1::3], points[2::3], strict=True)),
        tuple(zip(pieces[::4], pieces[1::4], pieces[2::4], pieces[3::4], strict=True)),
        tuple(int(kind) for kind in rows[f"kinds {name}"]),
        {state: rows[f"{state} {name}"] for state in states},
        (bool(right), bool(left)),
    )


def plain_map(found: PressureMap) -> dict[str, Any]:
    """Return the map as plain values for JSON, in the units of the records."""
    from pydantic import TypeAdapter

    values: dict[str, Any] = TypeAdapter(PressureMap).dump_python(found, mode="json")
    return values


def map_from_plain(values: Any) -> PressureMap:
    """Return the map that plain values stand for; ValueError where they are none."""
    from pydantic import TypeAdapter

    return TypeAdapter(PressureMap).validate_python(values)

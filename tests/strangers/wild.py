"""Single values of a file thrown anywhere into the range that the schema allows."""

from copy import deepcopy
from typing import Any

from strangers.dice import Dice

from geomgen import units
from geomgen.parameters.reading.written_key import Slot, slot_of
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.values.quantities import (
    Count,
    Fullness,
    OneOf,
    SourcedLimit,
    Within,
    YesNo,
)

# So many values of a file are thrown, in so many files of ten.
THROWN, WEIGHTS = (0, 1, 2, 4, 10), (4, 2, 2, 1, 1)


def strewn(d: Dice, tables: dict[str, Any]) -> dict[str, Any]:
    """Return the tables with some values thrown anywhere that their own range allows."""
    found = deepcopy(tables)
    places = _places(found, Slot(Parameters, None, False))
    for _ in range(d.pick(THROWN, WEIGHTS)):
        table, key, reader = places[d.whole(0, len(places) - 1)]
        table[key] = thrown(d, reader, table[key])
    return found


def thrown(d: Dice, reader: Any, former: Any) -> Any:
    """Return a value of the whole range of a key; the former one where it has no range."""
    if isinstance(reader, Within | SourcedLimit):
        low, high = (units.parse(text, reader.dimension) for text in (reader.low, reader.high))
        # As often small as large where a range spans several powers of ten.
        even = low <= 0 or d.chance(0.5)
        value = d.exactly(low, high) if even else low * (high / low) ** d.exactly(0, 1)
        value = d.pick([value, low, high], [8, 1, 1])
        text = f"{value:.6g} {units.DIMENSIONS[reader.dimension].inside}".strip()
        return float(text) if reader.dimension == "fraction" else text
    if isinstance(reader, Fullness):
        return round(d.exactly(reader.low, reader.high), 3)
    if isinstance(reader, Count):
        return d.whole(reader.low, reader.high)
    if isinstance(reader, OneOf):
        return d.pick(reader.words)
    if isinstance(reader, YesNo):
        return d.chance(0.5)
    return former


def _places(table: dict[str, Any], slot: Slot) -> list[tuple[dict[str, Any], str, Any]]:
    assert slot.record is not None
    found: list[tuple[dict[str, Any], str, Any]] = []
    for key, value in table.items():
        inner = slot_of(slot.record.model_fields[key])
        if inner.record is not None:
            for row in value if isinstance(value, list) else [value]:
                found += _places(row, inner)
        elif not isinstance(value, list) and inner.reader is not None:
            found.append((table, key, inner.reader))
    return found

"""Every value of a parameter file as a field that can be shown and changed."""

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any, Literal

from geomgen import units
from geomgen.errors import ParameterError
from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.reading.overrides import value_of
from geomgen.parameters.reading.refusal import Origin, Origins, dotted, origin_of
from geomgen.parameters.reading.written_key import Slot, at, slot_of
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.values.place_values import Mouth, hangs
from geomgen.parameters.values.quantities import (
    Count,
    Fullness,
    OneOf,
    Reader,
    SourcedLimit,
    Within,
    YesNo,
    clipped,
)

Kind = Literal["number", "whole", "choice", "yes or no", "text", "number or word"]
DEFAULT = "default"
WHOLE = "whole machine"
# What tells the items of a list apart, the best first.
TELLING = ("name", "part", "use", "station", "buttock_line", "height", "cloth", "trim")


@dataclass(frozen=True)
class Field:
    """One value: where it is, what was written, what is allowed.

    `table` is the dotted path of its table and `title` how that table is called. `written` is the
    text of the value; `number`, `low` and `high` [unit] are in the one that it was written in
    (None where there is no such number). `file` and `line` say where it stands: a file's name, the
    command line (`--set`), or "default". `source` is that of a threshold. `mm` is what a
    length comes to [mm], also one that hangs on another place; None for all else.
    """

    key: str
    table: str
    title: str
    name: str
    kind: Kind
    written: str
    number: float | None
    unit: str
    low: float | None
    high: float | None
    words: tuple[str, ...]
    description: str
    file: str
    line: int | None
    source: str = ""
    mm: float | None = None

    def as_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        return asdict(self)


def fields_of(
    parameters: Parameters, tables: Mapping[str, Any], origins: Origins
) -> tuple[Field, ...]:
    """Return a field for each value of a parameter file, defaults too, in the schema's order.

    `tables` and `origins` are those that the parameters were read from (`read_with_bases`). A key
    that was left out and has no default value has no field.
    """
    found = _of_record(Slot(Parameters, None, False), parameters.plain(), (), WHOLE, tables)
    return tuple(_placed(field, path, tables, origins) for field, path in found)


def _of_record(
    slot: Slot, plain: Any, path: Path, title: str, tables: Mapping[str, Any]
) -> Iterator[tuple[Field, Path]]:
    assert slot.record is not None
    here = [(n, slot_of(i), i) for n, i in slot.record.model_fields.items() if n in plain]
    for name, inner, info in here:
        if inner.reader is not None and not inner.many:
            yield _field(inner.reader, (*path, name), title, plain[name], info.description or "")
    for name, inner, info in here:
        if inner.reader is not None and not inner.many:
            continue
        above = f"{title}, " if path else ""
        called = f"{above}{name.replace('_', ' ')}"
        if not inner.many:
            yield from _of_record(inner, plain[name], (*path, name), called, tables)
            continue
        for number, row in enumerate(plain[name]):
            item = (*path, name, number)
            if inner.record is not None:
                told = f"{called} {number + 1}{_telling(at(tables, item) or row)}"
                yield from _of_record(replace(inner, many=False), row, item, told, tables)
            elif inner.reader is not None:
                yield _field(inner.reader, item, called, row, info.description or "")


def _telling(row: Mapping[str, Any]) -> str:
    key = next((key for key in TELLING if key in row), None)
    return f" ({key.replace('_', ' ')} {row[key]})" if key else ""


def _field(reader: Reader, path: Path, title: str, value: Any, words: str) -> tuple[Field, Path]:
    name = dotted(path[-2:]) if isinstance(path[-1], int) else str(path[-1])
    made = Field(
        dotted(path), dotted(path[:-1]), title, name, *_reading(reader, value), words, DEFAULT, None
    )
    source = value.get("source") if isinstance(value, dict) else None
    length = made.number if made.unit == units.DIMENSIONS["length"].inside else None
    return replace(made, source=source or "", mm=length), path


def _placed(made: Field, path: Path, tables: Mapping[str, Any], origins: Origins) -> Field:
    value = at(tables, path)
    if value is None:
        return made
    origin: Origin = origin_of(path, origins)
    reader = reader_at(path)
    if reader.along is not None and hangs(value):
        # It is changed as text: a number there would cut it off from what it hangs on.
        became = f"{made.description}; here {made.written}"
        return replace(
            made,
            kind="text",
            written=clipped(value, 300),
            number=None,
            unit="",
            low=None,
            high=None,
            words=(),
            description=became,
            file=origin.file,
            line=origin.line,
        )
    _, written, number, unit, low, high, _ = _reading(reader, value)
    return replace(
        made,
        written=written,
        number=number,
        unit=unit,
        low=low,
        high=high,
        file=origin.file,
        line=origin.line,
    )


def reader_at(path: Path) -> Reader:
    """Return what reads the value at a path."""
    slot = Slot(Parameters, None, False)
    for part in path:
        if isinstance(part, str) and slot.record is not None:
            slot = slot_of(slot.record.model_fields[part])
    assert slot.reader is not None
    return slot.reader


Reading = tuple[Kind, str, float | None, str, float | None, float | None, tuple[str, ...]]


def _reading(reader: Reader, value: Any) -> Reading:
    """Return kind, text, number, unit, limits and words of a value as it is written."""
    if isinstance(value, dict):
        value = value.get("value")
    if isinstance(reader, Within | SourcedLimit):
        return _quantity(reader, value)
    text = clipped(value, 300)
    if isinstance(reader, Count):
        return "whole", text, float(value), "", float(reader.low), float(reader.high), ()
    if isinstance(reader, OneOf):
        return "choice", text, None, "", None, None, reader.words
    if isinstance(reader, YesNo):
        return "yes or no", text, None, "", None, None, ("true", "false")
    if isinstance(reader, Fullness | Mouth):
        word = "ellipse" if isinstance(reader, Fullness) else "at firewall"
        return "number or word", text, None, "", None, None, (word,)
    return "text", text, None, "", None, None, ()


def _quantity(reader: Within | SourcedLimit, value: Any) -> Reading:
    kind = units.DIMENSIONS[reader.dimension]
    apart = units.taken_apart(value, reader.dimension) if isinstance(value, str) else None
    unit = apart[1] if apart and apart[1] in kind.factors else kind.inside
    factor = kind.factors[unit]
    inside = units.parse(value, reader.dimension)
    low, high = (units.parse(text, reader.dimension) for text in (reader.low, reader.high))
    number, low, high = (tidy(v / factor) for v in (inside, low, high))
    return "number", clipped(value, 300), number, unit, low, high, ()


def tidy(value: float) -> float:
    """Return a number [any unit] without the last digits that a change of unit leaves.

    >>> tidy(0.1 + 0.2)
    0.3
    """
    return float(f"{value:.12g}")


def value_for(field: Field, given: object) -> object:
    """Return what to write into the file for what was given in a field; ParameterError if nothing.

    A number gets the field's unit.

    >>> wall = Field("pod.wall", "pod", "pod", "wall", "number", "4 mm", 4.0, "mm", 0.3, 60.0,
    ...     (), "skin", "a.toml", 1)
    >>> value_for(wall, 5)
    '5 mm'
    """
    if field.kind in ("number", "whole"):
        if isinstance(given, bool) or not isinstance(given, int | float):
            raise _not_for(field, given, "a number")
        if field.kind == "whole":
            whole = int(given) if abs(given) < 1e15 else 0
            if whole != given:
                raise _not_for(field, given, "a whole number")
            return whole
        if field.unit:
            return f"{_short(given)} {field.unit}"
        return int(given) if isinstance(given, int) else given
    if field.kind == "yes or no":
        if given not in ("true", "false", True, False):
            raise _not_for(field, given, "true, false")
        return given in ("true", True)
    if not isinstance(given, str) or len(given) > 300:
        raise _not_for(field, given, "text of up to 300 characters")
    return value_of(given.strip()) if field.kind == "number or word" else given


def _short(number: float) -> str:
    text = repr(number)
    return text.removesuffix(".0")


def _not_for(field: Field, given: object, allowed: str) -> ParameterError:
    return ParameterError(
        "not a value for this field", key=field.key, written=clipped(given), allowed=allowed
    )

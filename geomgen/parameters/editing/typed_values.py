"""What a builder types into a field, read as a parameter file reads it."""

import copy
import re
from collections.abc import Mapping
from typing import Any

from geomgen import units
from geomgen.errors import ParameterError
from geomgen.parameters.editing.field_list import Field, reader_at, value_for
from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.reading.overrides import value_of
from geomgen.parameters.reading.refusal import Origins, dotted
from geomgen.parameters.reading.relative_places import LENGTH, worked_out_places
from geomgen.parameters.reading.written_key import put
from geomgen.parameters.values.place_values import hangs
from geomgen.parameters.values.quantities import SourcedLimit, Threshold, Within, clipped

ESCAPE = "write a value; Escape brings the file's own back"
_BARE = re.compile(r"[+-]?[\d.,][\d.,/\s-]*(?:[eE][+-]?\d+)?")
_COMMA = re.compile(r"([+-]?\d+),(\d+)")


def typed(field: Field, given: object) -> object:
    """Return what to write into the file for what was typed in a field.

    A text stays as it was typed, its unit with it; a number without one gets the field's.
    ParameterError for what is no value of the field's kind, its limits aside (`reading_of`).

    >>> wall = Field("pod.wall", "pod", "pod", "wall", "number", "4 mm", 4.0, "mm", 0.3, 60.0,
    ...     (), "skin", "a.toml", 1)
    >>> typed(wall, "5"), typed(wall, "3/16 in")
    ('5 mm', '3/16 in')
    """
    if not isinstance(given, str) or field.kind in ("choice", "yes or no"):
        return value_for(field, given)
    text = " ".join(given.split())
    if not text:
        raise ParameterError("nothing was written", key=field.key, advice=ESCAPE)
    if field.kind == "number":
        return _quantity(field, text)
    if field.kind == "whole":
        return _whole(field, text)
    if field.kind == "number or word":
        _refuse_comma(field, text)
        return value_for(field, text)
    return value_for(field, given if reader_at(path_of(field)).along is None else text)


def reading_of(field: Field, value: object, tables: Mapping[str, Any], origins: Origins) -> str:
    """Return what a value comes to, in the two units that builders read; empty where it has none.

    `tables` and `origins` are the file's: a place is worked out in them. ParameterError for a value
    that this key may not have; what only the whole file can tell is not looked at.
    """
    path = path_of(field)
    reader = reader_at(path)
    try:
        if reader.along is not None and hangs(value):
            length = _place(path, value, tables, origins)
            reader.read(units.written(length, LENGTH))
            return _both(length, LENGTH)
        read = reader.read(value)
    except ParameterError as error:
        raise _at_key(error, field.key) from error
    number = read.value if isinstance(read, Threshold) else read
    if isinstance(reader, Within | SourcedLimit) and reader.dimension != "fraction":
        return _both(number, reader.dimension)
    return _both(number, LENGTH) if reader.along and not isinstance(number, str) else ""


def _both(value: float, dimension: str) -> str:
    """Render a value in the two units that builders read, to six digits: nothing typed is rounded.

    >>> _both(6.35, "length")
    '6.35 mm / 0.25 in'
    """
    factors = units.DIMENSIONS[dimension].factors
    names = [part.split(" ", 1)[1] for part in units.both(value, dimension).split(" / ")]
    return " / ".join(f"{value / factors[name]:.6g} {name}" for name in names)


def path_of(field: Field) -> Path:
    """Return the path of a field's key, items of lists by their numbers."""
    return tuple(int(part) if part.isdigit() else part for part in field.key.split("."))


def _quantity(field: Field, text: str) -> object:
    if not _BARE.fullmatch(text):
        return text
    if field.unit:
        return f"{text} {field.unit}"
    read = value_of(text)
    return read if isinstance(read, int | float) else text


def _whole(field: Field, text: str) -> int:
    _refuse_comma(field, text)
    if not re.fullmatch(r"[+-]?\d{1,15}", text, re.ASCII):
        allowed = f"a whole number from {field.low:.0f} to {field.high:.0f}"
        raise ParameterError(
            "not a whole number", key=field.key, written=clipped(text), allowed=allowed
        )
    return int(text)


def _refuse_comma(field: Field, text: str) -> None:
    match = _COMMA.fullmatch(text)
    if match is None:
        return
    point = (
        match[1] if field.kind == "whole" and not match[2].strip("0") else ".".join(match.groups())
    )
    raise ParameterError(
        "a number with a decimal comma",
        key=field.key,
        written=clipped(text),
        advice=f'write "{point}", with a decimal point' if "." in point else f'write "{point}"',
    )


def _place(path: Path, value: object, tables: Mapping[str, Any], origins: Origins) -> float:
    """Return where a place stands [mm] in the file as it would be with it."""
    trial = copy.deepcopy(dict(tables))
    put(trial, path, value)
    hung = worked_out_places(trial, origins)
    if path in hung.became:
        return hung.became[path]
    own = [error for error in hung.refused if error.key == dotted(path)]
    raise (own or list(hung.refused))[0]


def _at_key(error: ParameterError, key: str) -> ParameterError:
    """Return a refusal of what was typed: it stands at no line of the file yet."""
    return ParameterError(
        error.problem,
        key=key,
        written=error.written,
        allowed=error.allowed,
        advice=error.advice,
    )

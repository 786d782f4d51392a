"""Dotted keys of values: what a key may hold, and where it stands in the tables of a file."""

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from geomgen.errors import ParameterError
from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.file_text.renamed_keys import new_name
from geomgen.parameters.reading.refusal import dotted, items_in_words
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.values.quantities import Reader, SourcedLimit


@dataclass(frozen=True)
class Slot:
    """What a key may hold: a record's keys, or what a reader reads; one of it or a list."""

    record: type[BaseModel] | None
    reader: Reader | None
    many: bool


def slot_of(field: FieldInfo) -> Slot:
    """Return what a field of a record may hold.

    >>> slot_of(Parameters.model_fields["scoops"]).many
    True
    >>> slot_of(Parameters.model_fields["spinner"]).record.__name__
    'Spinner'
    """
    pieces = [*_pieces(field.annotation), *field.metadata]
    records = (p for p in pieces if isinstance(p, type) and issubclass(p, BaseModel))
    readers = (p for p in pieces if isinstance(p, Reader))
    many = any(get_origin(piece) is tuple for piece in pieces)
    return Slot(next(records, None), next(readers, None), many)


def _pieces(annotation: Any) -> Iterator[Any]:
    if get_origin(annotation) is None and isinstance(annotation, type):
        yield annotation
        return
    yield annotation
    for inner in get_args(annotation):
        yield from _pieces(inner)


def path_of(
    key: str, tables: dict[str, Any], known: dict[str, Any] | None = None
) -> tuple[Path, bool]:
    """Return the path of a dotted key, and whether the lists on its way are all in `tables`.

    A list that `tables` do not have is looked up in `known`. An item of a list is named by its
    number or by its name. ParameterError for a key that no parameter file may have, and for an
    item that is not there.

    >>> path_of("scoops.cheek.height", {"scoops": [{"name": "cheek"}]})
    (('scoops', 0, 'height'), True)
    >>> path_of("rules.tip_mach.value", {})
    (('rules', 'tip_mach'), True)
    """
    parts = [part.strip() for part in key.split(".")]
    path: Path = ()
    slot = Slot(Parameters, None, False)
    here: Any = tables
    below: Any = known or {}
    present = True
    for number, part in enumerate(parts):
        step: str | int
        if slot.many:
            present = present and isinstance(here, list)
            step = _item(here if isinstance(here, list) else below, part, path)
            slot = Slot(slot.record, slot.reader, False)
        elif slot.record is not None and part in slot.record.model_fields:
            step = part
            slot = slot_of(slot.record.model_fields[part])
        elif isinstance(slot.reader, SourcedLimit) and parts[number:] == ["value"]:
            break
        else:
            raise _unknown(path, part, slot)
        path = (*path, step)
        here, below = inner(here, step), inner(below, step)
    if slot.record is not None:
        raise ParameterError("not a value but a table or list of them", key=dotted(path))
    return path, present


def inner(tables: Any, step: str | int) -> Any:
    """Return what stands one step deeper, None when there is nothing."""
    try:
        return tables[step]
    except (KeyError, IndexError, TypeError):
        return None


def at(tables: Any, path: Path) -> Any:
    """Return what stands at a path, None when there is nothing.

    >>> at({"pod": {"stations": [{"keel": "1 m"}]}}, ("pod", "stations", 0, "keel"))
    '1 m'
    """
    for step in path:
        tables = inner(tables, step)
    return tables


def put(tables: dict[str, Any], path: Path, value: Any) -> None:
    """Set what stands at a path; tables on the way are made."""
    where: Any = tables
    for step in path[:-1]:
        where = where.setdefault(step, {}) if isinstance(where, dict) else where[step]
    where[path[-1]] = value


def _item(rows: Any, part: str, path: Path) -> int:
    rows = rows if isinstance(rows, list) else []
    names = [row.get("name") if isinstance(row, dict) else None for row in rows]
    if part in names:
        return names.index(part)
    if part.isascii() and part.isdigit() and len(part) < 5 and int(part) < len(rows):
        return int(part)
    listed = [str(name) for name in names if name is not None]
    raise ParameterError(
        "no such item",
        key=dotted((*path, part)),
        written=part,
        allowed=items_in_words(len(rows), listed),
    )


def _unknown(path: Path, part: str, slot: Slot) -> ParameterError:
    now = new_name((*path, part))
    if now:
        return ParameterError(
            "this key has another name now", key=dotted((*path, part)), advice=f"write {now}"
        )
    known = list(slot.record.model_fields) if slot.record else []
    near = get_close_matches(part.lower().replace("-", "_"), known, 1, 0.6)
    advice = f"perhaps {dotted((*path, near[0]))}?" if near else None
    return ParameterError(
        "unknown key",
        key=dotted((*path, part)),
        allowed=", ".join(known) or "no keys inside",
        advice=advice,
    )

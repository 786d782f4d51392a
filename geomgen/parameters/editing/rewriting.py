"""A parameter file's text with values replaced or left out; comments, order and spacing stay."""

import copy
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.items import InlineTable

from geomgen.errors import ParameterError
from geomgen.parameters.editing.added_lines import (
    item_of,
    put_aside,
    with_key,
    with_list,
    with_row,
    without_key,
)
from geomgen.parameters.file_text.positions import Path as KeyPath
from geomgen.parameters.file_text.source_text import tables_of
from geomgen.parameters.reading.inheritance import BLADE_PLANE
from geomgen.parameters.reading.refusal import dotted
from geomgen.parameters.reading.written_key import at, path_of, put
from geomgen.parameters.values.quantities import clipped

BY_HAND = "write it into the file by hand"


def rewritten(
    text: str,
    changes: Mapping[str, object],
    *,
    inherited: Mapping[str, Any] | None = None,
    file: str = "",
) -> str:
    r"""Return the text of a parameter file with values replaced by dotted key, in the order given.

    A value is what stands in a file (text with its unit, number, true or false, a list, a table of
    value and source). Comments, order and spacing stay. A key that is not there is added in its
    table. A threshold with a source keeps it. `propeller.station` takes the place of
    `propeller.behind_trailing_edge` and the other way round; the old line stays as a comment.
    `inherited` are the tables of the file laid over those that it extends (`read_with_bases`): a
    list that only a base file has is then copied whole, since lists are never joined.
    ParameterError for text that is not TOML, a key that no parameter file may have, an item that
    is not there.

    >>> rewritten('[pod]\nwall = "4 mm"  # skin\n', {"pod.wall": "5 mm"})
    '[pod]\nwall = "5 mm"  # skin\n'
    >>> rewritten('[pod]\nwall = "4 mm"\n\n[wing]\n', {"pod.nose": "flat"})
    '[pod]\nwall = "4 mm"\nnose = "flat"\n\n[wing]\n'
    """
    name = Path(file)
    tables = tables_of(text, name)
    for key, value in changes.items():
        known = copy.deepcopy(dict(inherited)) if inherited is not None else {}
        text, tables = _changed(text, tables, known, key, value, name)
    return text


def _changed(
    text: str, tables: dict[str, Any], known: dict[str, Any], key: str, value: Any, file: Path
) -> tuple[str, dict[str, Any]]:
    """Return text and tables with one value replaced; what was made is read and compared."""
    path, present = path_of(key, tables, known)
    wanted = copy.deepcopy(tables)
    made = _without_other_way(text, wanted, path)
    if not present:
        made = _with_copied_list(made, wanted, known, path)
    full = _with_source(wanted, known, path, value)
    made = made if _same(at(wanted, path), full) else _replaced(made, path, full)
    put(wanted, path, full)
    made = _ends_like(made, text)
    if not _reads_as(made, wanted):
        raise ParameterError(
            "can't be put into this file without disturbing it",
            file=file.name or None,
            key=dotted(path),
            written=clipped(value),
            advice=BY_HAND,
        )
    return made, wanted


def without(
    text: str, key: str, *, inherited: Mapping[str, Any] | None = None, file: str = ""
) -> str:
    r"""Return the text with a dotted key left out; the same text where it is not in it.

    `inherited` is as for `rewritten`. ParameterError for text that is not TOML, and for a key
    whose lines hold more than itself.

    >>> without('[pod]\nwall = "4 mm"\nnose = "flat"\n', "pod.nose")
    '[pod]\nwall = "4 mm"\n'
    """
    wanted = tables_of(text, Path(file))
    path, _ = path_of(key, wanted, dict(inherited or {}))
    if at(wanted, path) is None:
        return text
    made = _ends_like(without_key(text, path), text)
    del at(wanted, path[:-1])[path[-1]]
    if not _reads_as(made, wanted):
        raise ParameterError(
            "can't be taken out of this file without disturbing it",
            file=file or None,
            key=key,
            advice="take it out of the file by hand",
        )
    return made


def with_rows(
    text: str,
    key: str,
    rows: Sequence[dict[str, Any]],
    *,
    inherited: Mapping[str, Any] | None = None,
    file: str = "",
) -> str:
    r"""Return the text with tables more at the end of a list, such as `mass`.

    `inherited` is as for `rewritten`: a list that only a base file has is copied whole before.
    ParameterError for text that is not TOML, and where they can't be added without disturbing it.

    >>> with_rows('name = "a"\n\n[[mass]]\npart = "pod"\n', "mass", [{"part": "fin"}])
    'name = "a"\n\n[[mass]]\npart = "pod"\n\n[[mass]]\npart = "fin"\n'
    """
    made, wanted = text, tables_of(text, Path(file))
    for row in rows:
        there = wanted.get(key)
        if there:
            made = with_row(made, (key,), row)
            wanted[key] = [*there, row]
        else:
            below = [] if there == [] else (inherited or {}).get(key) or []
            wanted[key] = [*copy.deepcopy(below), row]
            made = without_key(made, (key,)) if there == [] else made
            made = with_list(made, (key,), wanted[key])
        made = _ends_like(made, text)
        if not _reads_as(made, wanted):
            raise ParameterError(
                "can't be added to this file without disturbing it",
                file=file or None,
                key=key,
                written=clipped(row),
                advice=BY_HAND,
            )
    return made


def _reads_as(text: str, wanted: dict[str, Any]) -> bool:
    try:
        return _same(tomllib.loads(text), wanted)
    except ValueError:
        return False


def _replaced(text: str, path: KeyPath, value: Any) -> str:
    """Return the text with the value at a path replaced, or added in its table."""
    item = item_of(path, value)
    document = tomlkit.parse(text)
    table = at(document, path[:-1])
    former = at(table, path[-1:])
    if isinstance(value, dict) and isinstance(former, InlineTable):
        # Key by key, so that order, spacing and a comment behind it stay.
        for key in [key for key in former if key not in value]:
            del former[key]
        for key, inside in value.items():
            former[key] = inside
    elif former is None and not isinstance(table, InlineTable):
        return with_key(text, path, item)
    else:
        table[path[-1]] = item
    return tomlkit.dumps(document)


def _without_other_way(text: str, wanted: dict[str, Any], path: KeyPath) -> str:
    """Take out the other way to place the blades: a file may hold only one of the two."""
    for new, old in (BLADE_PLANE, BLADE_PLANE[::-1]):
        if path == ("propeller", new) and old in wanted.get("propeller", {}):
            del wanted["propeller"][old]
            return put_aside(text, ("propeller", old))
    return text


def _with_copied_list(
    text: str, wanted: dict[str, Any], known: dict[str, Any], path: KeyPath
) -> str:
    """Copy the list that holds a path from the base file: it replaces the base's, so all of it."""
    for i, part in enumerate(path):
        if isinstance(part, int):
            head = path[:i]
            rows = copy.deepcopy(at(known, head))
            put(wanted, head, rows)
            return with_list(text, head, rows)
    return text


def _with_source(wanted: dict[str, Any], known: dict[str, Any], path: KeyPath, value: Any) -> Any:
    """Return the value to write: of a threshold that has a source, a table that keeps it."""
    former = at(wanted, path)
    if former is None:
        former = at(known, path)
    if isinstance(former, dict) and "source" in former and not isinstance(value, dict):
        return {**former, "value": value}
    return value


def _same(one: Any, other: Any) -> bool:
    """Compare with types: 1, 1.0 and true are three values."""
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(_same(one[k], other[k]) for k in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(map(_same, one, other))
    return bool(one == other)


def _ends_like(made: str, text: str) -> str:
    """Give new lines the line ends of the file."""
    if "\r\n" not in text or "\n" in text.replace("\r\n", ""):
        return made
    return made.replace("\r\n", "\n").replace("\n", "\r\n")

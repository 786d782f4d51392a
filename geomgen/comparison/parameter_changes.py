"""Which parameters differ between two files, in the builder's own words and units."""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from difflib import SequenceMatcher
from typing import Any, Literal

Kind = Literal["changed", "added", "removed"]
Written = Mapping[str, str]
Key = tuple[str | int, ...]
# Values of one unit that differ by less than this share are a rounding of the same.
ROUNDING = 1e-12
NUMBER = re.compile(r"^\s*([-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?)\s*(.*?)\s*$")
DEFAULT = " (default)"


@dataclass(frozen=True)
class ParameterChange:
    """One key and its values as written; None where the file does not have the key."""

    key: str
    former: str | None
    new: str | None

    @property
    def kind(self) -> Kind:
        """Say whether the key was changed, added or removed."""
        return "added" if self.former is None else "removed" if self.new is None else "changed"

    @property
    def table(self) -> str:
        """Return the table that the key stands in, without numbers: `pod.stations`."""
        return re.sub(r"\[[^\]]*\]", "", self.key).rpartition(".")[0]

    def as_dict(self) -> dict[str, object]:
        """Return plain values for JSON."""
        return {**asdict(self), "kind": self.kind}


def parameter_changes(
    former: Mapping[str, Any],
    new: Mapping[str, Any],
    former_written: Written | None = None,
    new_written: Written | None = None,
) -> tuple[ParameterChange, ...]:
    """Return what differs between the tables of two parameter files.

    The tables hold all values with their units, defaults filled, so that a value in another unit
    or a default written out is no change. `*_written` are the values as the builder wrote them, by
    dotted key with numbers from 0 (`scoops.0.width`); a value that is not among them is a default.
    Rows of a list go by their names, else by number from 1; where rows came or went, equal rows are
    paired first.

    >>> old = {"pod": {"wall": "4 mm"}, "scoops": [{"name": "cheek", "width": "100 mm"}]}
    >>> new = {"pod": {"wall": "3 mm"}, "scoops": [{"name": "cheek", "width": "110 mm"}]}
    >>> for change in parameter_changes(old, new):
    ...     print(change.key, change.former, change.new)
    pod.wall 4 mm 3 mm
    scoops[cheek].width 100 mm 110 mm
    """
    pairs = _tables("", (), (), former, new)
    return tuple(
        ParameterChange(
            name,
            None if old is None else _shown(old, old_key, former_written),
            None if now is None else _shown(now, new_key, new_written),
        )
        for name, old_key, new_key, old, now in pairs
    )


Pair = tuple[str, Key, Key, Any, Any]


def _any(name: str, old_key: Key, new_key: Key, old: Any, now: Any) -> Iterator[Pair]:
    if _threshold(old) or _threshold(now):
        old, now = _as_threshold(old), _as_threshold(now)
    if isinstance(old, Mapping) and isinstance(now, Mapping):
        yield from _tables(name, old_key, new_key, old, now)
    elif _rows(old) and _rows(now):
        yield from _lists(name, old_key, new_key, old, now)
    elif old is None or now is None:
        yield from _leaves(name, old_key, new_key, old, now)
    elif not _equal(old, now):
        yield name, old_key, new_key, old, now


def _tables(
    name: str, old_key: Key, new_key: Key, old: Mapping[str, Any], now: Mapping[str, Any]
) -> Iterator[Pair]:
    for key in [*now, *(key for key in old if key not in now)]:
        inner = f"{name}.{key}" if name else key
        if key == "value" and (_threshold(old) or _threshold(now)):
            inner = name
        yield from _any(inner, (*old_key, key), (*new_key, key), old.get(key), now.get(key))


def _lists(
    name: str, old_key: Key, new_key: Key, old: Sequence[Any], now: Sequence[Any]
) -> Iterator[Pair]:
    for i, j in _paired(old, now):
        row = now[j] if j is not None else old[i or 0]
        number = 1 + (j if j is not None else i if i is not None else 0)
        label = row["name"] if _named(old) and _named(now) else number
        yield from _any(
            f"{name}[{label}]",
            (*old_key, i if i is not None else -1),
            (*new_key, j if j is not None else -1),
            None if i is None else old[i],
            None if j is None else now[j],
        )


def _paired(old: Sequence[Any], now: Sequence[Any]) -> Iterator[tuple[int | None, int | None]]:
    """Return which rows belong together: by name, by number, or equal rows first."""
    if _named(old) and _named(now):
        places = {row["name"]: i for i, row in enumerate(old)}
        yield from ((places.get(row["name"]), j) for j, row in enumerate(now))
        names = {row["name"] for row in now}
        yield from ((i, None) for name, i in places.items() if name not in names)
    elif len(old) == len(now):
        yield from ((i, i) for i in range(len(now)))
    else:
        one, two = ([json.dumps(row, sort_keys=True) for row in rows] for rows in (old, now))
        for _, i0, i1, j0, j1 in SequenceMatcher(None, one, two, False).get_opcodes():
            both = min(i1 - i0, j1 - j0)
            yield from ((i0 + k, j0 + k) for k in range(both))
            yield from ((i, None) for i in range(i0 + both, i1))
            yield from ((None, j) for j in range(j0 + both, j1))


def _leaves(name: str, old_key: Key, new_key: Key, old: Any, now: Any) -> Iterator[Pair]:
    """Return every value of a table that only one of the two has."""
    there = now if old is None else old
    if isinstance(there, Mapping):
        for key, value in there.items():
            pair = (None, value) if old is None else (value, None)
            yield from _leaves(f"{name}.{key}", (*old_key, key), (*new_key, key), *pair)
    elif _rows(there):
        for i, value in enumerate(there):
            pair = (None, value) if old is None else (value, None)
            yield from _leaves(f"{name}[{i + 1}]", (*old_key, i), (*new_key, i), *pair)
    elif there is not None:
        yield name, old_key, new_key, old, now


def _threshold(value: Any) -> bool:
    """Say whether a value is a threshold with its source: one value to the builder."""
    return isinstance(value, Mapping) and "value" in value and set(value) <= {"value", "source"}


def _as_threshold(value: Any) -> Any:
    return value if value is None or isinstance(value, Mapping) else {"value": value}


def _rows(value: Any) -> bool:
    return isinstance(value, Sequence) and not isinstance(value, str)


def _named(rows: Sequence[Any]) -> bool:
    names = [row.get("name") if isinstance(row, Mapping) else None for row in rows]
    return None not in names and len(set(names)) == len(names)


def _equal(old: Any, now: Any) -> bool:
    """Say whether two values are one, but for the rounding of a change of unit.

    >>> _equal("23.15 m/s", "23.150000000000002 m/s"), _equal("4 mm", "4 in"), _equal(True, 1)
    (True, False, False)
    """
    if old == now and isinstance(old, bool) == isinstance(now, bool):
        return True
    one, two = NUMBER.match(str(old)), NUMBER.match(str(now))
    if one is None or two is None or one[2] != two[2] or isinstance(old, bool):
        return False
    try:
        a, b = float(one[1]), float(two[1])
    except ValueError:
        return False
    return abs(a - b) <= ROUNDING * max(abs(a), abs(b))


def _shown(value: Any, key: Key, written: Written | None) -> str:
    """Return a value as it was written, or as it stands with a word that it is a default."""
    if written is None:
        return _text(value)
    dotted = ".".join(str(part) for part in key)
    for place in (dotted, dotted.removesuffix(".value")):
        if place in written:
            return written[place]
    return _text(value) + ("" if dotted.endswith(".source") else DEFAULT)


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return str(value) if isinstance(value, str | int | float) else json.dumps(value)

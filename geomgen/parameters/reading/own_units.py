"""The units that a file is written in, for the lengths of a refusal: as written, and in mm."""

import re
from collections import Counter
from collections.abc import Iterator
from typing import Any

from geomgen import units
from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.reading.written_key import at
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import IN_BOTH

LENGTH = "length"
MILLIMETRES = "mm"
IMPERIAL = ("in", "inch", "ft", "thou")
# Of what is written from another part, the length behind the last sign counts.
_LAST = re.compile(r"\s[+-]\s*(?=[\d.])")
_IN_MM = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?(?:e[+-]?\d+)?) mm\b(?!\^)")
# What says of the lengths behind it that they are limits; of "between" the first alone is lower.
_LOWER, _UPPER = ("more than", "at least", "behind", "between"), ("less than", "at most", "within")
_LIMIT = re.compile(rf"\b(?:{'|'.join((*_LOWER, *_UPPER))})\b|{_IN_MM.pattern}")


def length_unit(tables: Any, path: Path = ()) -> str:
    """Return the unit that lengths are written in most often at a path, or else round it.

    >>> tables = {"pod": {"wall": "1/8 in", "tail": "open"}, "wing": {"chord": "1.2 m"}}
    >>> length_unit(tables, ("pod", "tail")), length_unit(tables, ("wing", "chord"))
    ('in', 'm')
    """
    for depth in range(len(path), -1, -1):
        found = Counter(_length_units(at(tables, path[:depth]) if depth else tables))
        if found:
            return found.most_common(1)[0][0]
    return MILLIMETRES


def _length_units(value: Any) -> Iterator[str]:
    if isinstance(value, dict | list):
        for inner in value.values() if isinstance(value, dict) else value:
            yield from _length_units(inner)
    elif isinstance(value, str):
        apart = units.taken_apart(_LAST.split(value)[-1], LENGTH)
        if apart is not None and apart[1] in units.DIMENSIONS[LENGTH].factors:
            yield apart[1]


def counts_in_inches(p: Parameters) -> bool:
    """Tell whether most lengths of a file are written in inches or feet."""
    found = Counter(_length_units(list(p.written.values())))
    in_inches = sum(count for unit, count in found.items() if unit in IMPERIAL)
    return 2 * in_inches > found.total()


def with_own_lengths(p: Parameters) -> Parameters:
    """Return the records with how papers tell lengths, where the file leaves that to its units.

    A set's own parameters, which are in mm, say so ever after.
    """
    d, h = p.drawings, p.handoff
    if not counts_in_inches(p):
        return p
    own: dict[str, Any] = {}
    if d.lengths is None:
        own["drawings"] = d.model_copy(update={"lengths": IN_BOTH})
    if h is not None and h.paper.lengths is None:
        paper = h.paper.model_copy(update={"lengths": IN_BOTH})
        own["handoff"] = h.model_copy(update={"paper": paper})
    return p.model_copy(update=own) if own else p


def in_own_unit(text: str, unit: str) -> str:
    """Return a text with its lengths [mm] in a unit too; as it is where that is a metric one.

    Limits are rounded to the side that is allowed.

    >>> in_own_unit("between 12.7 mm and 1 mm", "in"), in_own_unit("at most 1.5 mm", "in")
    ('between 0.5 in / 12.7 mm and 0.03937 in / 1 mm', 'at most 0.05905 in / 1.5 mm')
    """
    word = ""

    def turned(found: re.Match[str]) -> str:
        nonlocal word
        if found[1] is None:
            word = found[0]
            return word
        lower = word in _LOWER if word else None
        word = "at most" if word == "between" else word
        return units.length_in(float(found[1]), unit, lower)

    return _LIMIT.sub(turned, text)


def as_written(text: str, value: Any, unit: str) -> str:
    """Return what a rule says was written [mm], with the key's own value as it stands in the file.

    >>> as_written("12.7 mm", "1/2 in", "in"), as_written("1800 mm", "1.8 m", "m")
    ('1/2 in (12.7 mm)', '1.8 m (1800 mm)')
    >>> as_written("4 mm", "4 mm", "mm"), as_written("25.4 mm apart", None, "in")
    ('4 mm', '1 in / 25.4 mm apart')
    """
    raw = value.get("value") if isinstance(value, dict) else value
    first = _IN_MM.match(text)
    if not isinstance(raw, str) or first is None or not _same(raw, first[0]):
        return in_own_unit(text, unit)
    shown = " ".join(raw.split())
    own = shown if "".join(shown.split()) == "".join(first[0].split()) else f"{shown} ({first[0]})"
    return own + in_own_unit(text[first.end() :], unit)


def _same(raw: str, mm: str) -> bool:
    apart = units.taken_apart(raw, LENGTH)
    if apart is None or apart[1] not in units.DIMENSIONS[LENGTH].factors:
        return False
    return abs(units.parse(raw, LENGTH) - units.parse(mm, LENGTH)) < 1e-3

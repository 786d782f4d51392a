"""Places that hang on other parts: worked out on the tables, before the records are made.

`station = "firewall + 380 mm"` becomes a length. What hangs on what is followed to its end, so that
one number moves all that hangs on it.
"""

import copy
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import lru_cache
from typing import Any

from pydantic import BaseModel

from geomgen import units
from geomgen.errors import ParameterError
from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.reading.anchors import Anchor, anchors_of, flat
from geomgen.parameters.reading.refusal import Origins, dotted, located, origin_of
from geomgen.parameters.reading.written_key import Slot, at, put, slot_of
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.values.place_values import (
    AT_FIREWALL,
    EXAMPLES,
    PLACES,
    PlaceValue,
    Station,
    hangs,
)
from geomgen.parameters.values.quantities import Reader, clipped

LENGTH = "length"
LONGEST = 200


@dataclass(frozen=True)
class ResolvedPlaces:
    """Tables in which every place is a length, and what was written where one hung on a part.

    `texts` and `became` [mm] are by path. `refused` says what is wrong, `silent` are the paths
    whose place could not be told: what the record check finds there says nothing new.
    """

    tables: dict[str, Any]
    texts: dict[Path, str] = field(default_factory=dict)
    became: dict[Path, float] = field(default_factory=dict)
    refused: tuple[ParameterError, ...] = ()
    silent: frozenset[Path] = frozenset()

    def told(self, path: Path) -> str:
        """Return what was written and what it became: `firewall + 380 mm (2180 mm)`."""
        return f"{self.texts[path]} ({units.length_in(self.became[path], 'mm')})"


def worked_out_places(tables: dict[str, Any], origins: Origins) -> ResolvedPlaces:
    """Return the tables with every place as a length; the given ones stay as they are.

    >>> tables = {"firewall": {"station": "1.8 m"}, "propeller": {"station": "firewall + 2 in"}}
    >>> worked_out_places(tables, {}).tables["propeller"]
    {'station': '1850.8 mm'}
    """
    found = dict(_hanging(Slot(Parameters, None, False), tables, ()))
    if not found:
        return ResolvedPlaces(tables)
    work = _Resolver(tables, origins, found)
    for path in found:
        work.length(path)
    made = copy.deepcopy(tables)
    for path, value in work.became.items():
        put(made, path, units.written(value, LENGTH))
    silent = frozenset(path for path in found if path not in work.became)
    texts = {path: " ".join(str(at(tables, path)).split()) for path in work.became}
    return ResolvedPlaces(made, texts, work.became, tuple(work.refused), silent)


def split_place(text: str, tables: dict[str, Any], along: str) -> tuple[str, str]:
    """Return the name that a place hangs on, and the length from it, as written with its sign.

    ParameterError for a name that the file does not have.

    >>> split_place("Firewall - 3/8 in", {"firewall": {}}, "station")
    ('firewall', '-3/8 in')
    """
    anchor, offset = _split(text, anchors_of(tables, along), along)
    return anchor.name, offset


def _split(text: str, known: dict[str, list[Anchor]], along: str) -> tuple[Anchor, str]:
    """Take the longest known name that a sign, or nothing, follows: names may hold signs."""
    if len(text) > LONGEST:
        raise _unknown(text[:LONGEST], known, along)
    signs = [match.start() for match in re.finditer("[+-]", text)]
    for end in (len(text), *reversed(signs)):
        name, offset = flat(text[:end]), text[end : end + 1] + text[end + 1 :].strip()
        if name not in known:
            continue
        if len(known[name]) > 1:
            raise ParameterError(
                f'more than one part is called "{known[name][0].name}"',
                written=clipped(text),
                allowed="a name that one part has",
                advice="give each of them a name of its own",
            )
        _check_offset(offset, text)
        return known[name][0], offset
    raise _unknown(text, known, along)


def _check_offset(offset: str, text: str) -> None:
    try:
        offset_of(offset)
    except ParameterError as error:
        raise ParameterError(
            f"after the {offset[0]}: {error.problem}",
            written=clipped(text),
            allowed=error.allowed,
            advice=error.advice,
        ) from error


def _unknown(text: str, known: dict[str, list[Anchor]], along: str) -> ParameterError:
    name = flat(re.split(r"[+-]\s*[\d.]", text, maxsplit=1)[0])
    there = ", ".join(row[0].name for row in known.values())
    if name in PLACES[along]:
        problem = f"this file has no {name}"
    else:
        problem = f'neither a length nor a place that this file has: "{clipped(name, 40)}"'
    near = get_close_matches(name, list(known), 1, 0.6)
    advice = f'perhaps "{known[near[0]][0].name}"?' if near else None
    return ParameterError(
        problem,
        written=clipped(text),
        allowed=f"a length with its unit; or one of: {there}; alone, or with + or - and a length",
        advice=advice or f'write it like "{EXAMPLES[along]}"',
    )


def offset_of(text: str) -> float:
    """Return a length with its sign, as `split_place` gives it [mm]; 0 for none.

    >>> offset_of("- 1 in"), offset_of("")
    (-25.4, 0.0)
    """
    if not text:
        return 0.0
    value = units.parse(text[1:], LENGTH)
    return -value if text[0] == "-" else value


@lru_cache(maxsize=64)
def _slots(record: type[BaseModel]) -> dict[str, Slot]:
    return {name: slot_of(info) for name, info in record.model_fields.items()}


def _hanging(slot: Slot, value: Any, path: Path) -> Iterator[tuple[Path, Reader]]:
    """Yield every path whose key takes places and whose value hangs on a part."""
    if slot.many:
        for i, row in enumerate(value if isinstance(value, list) else []):
            yield from _hanging(Slot(slot.record, slot.reader, False), row, (*path, i))
    elif slot.record is not None and isinstance(value, dict):
        slots = _slots(slot.record)
        for key, inner in value.items():
            if key in slots:
                yield from _hanging(slots[key], inner, (*path, key))
    elif slot.reader is not None and slot.reader.along is not None and hangs(value):
        yield path, slot.reader


class _Resolver:
    """Works places out one by one, each with all that it hangs on; notes what goes wrong."""

    def __init__(self, tables: dict[str, Any], origins: Origins, found: dict[Path, Reader]) -> None:
        self.tables, self.origins, self.found = tables, origins, found
        self.became: dict[Path, float] = {}
        self.refused: list[ParameterError] = []
        self._failed: set[Path] = set()
        self._way: list[Path] = []
        self._anchors: dict[str, dict[str, list[Anchor]]] = {}

    def length(self, path: Path) -> float | None:
        """Return a length or place [mm]; None where it is not good, which is said elsewhere."""
        value = at(self.tables, path)
        if path in self.found:
            return self._place(path)
        if isinstance(value, str) and " ".join(value.lower().split()) == AT_FIREWALL:
            return self._at_firewall(path)
        return _parsed(value, LENGTH)

    def angle(self, path: Path) -> float | None:
        """Return an angle [deg], 0 where it is left out."""
        value = at(self.tables, path)
        return 0.0 if value is None else _parsed(value, "angle")

    def share(self, path: Path) -> float | None:
        """Return a plain number that takes part in a place: a link of the way there."""
        with self._on_the_way(path) as free:
            return _parsed(at(self.tables, path), "fraction") if free else None

    def whole(self, path: Path) -> Any:
        """Return a copy of a table with all places in it worked out; None when one is not good."""
        with self._on_the_way(("propeller", "behind_trailing_edge")) as free:
            if not free:
                return None
            made = copy.deepcopy(self.tables)
            for key in (key for key in self.found if key[: len(path)] == path):
                # How high the surface stands has no say in where it stands.
                value = 0.0 if key[-1] == "waterline" else self.length(key)
                if value is None:
                    return None
                put(made, key, units.written(value, LENGTH))
            return at(made, path)

    def _at_firewall(self, path: Path) -> float | None:
        with self._on_the_way(path) as free:
            if not free:
                return None
            ahead = at(self.tables, (*path[:-1], "mouth_ahead"))
            back = 0.0 if ahead is None else _parsed(ahead, LENGTH)
            station = self.length(("firewall", "station"))
            if self.angle(("firewall", "tilt")):
                raise ParameterError(
                    "stands where the leaning firewall meets the skin, which "
                    "is known only once the pod is built",
                    written=AT_FIREWALL,
                    allowed="the mouth of that scoop as a station",
                    advice=f"write {dotted(path)} as a station, or count this from the firewall",
                )
            return None if station is None or back is None else station - back

    def _place(self, path: Path) -> float | None:
        if path in self.became or path in self._failed:
            return self.became.get(path)
        with self._on_the_way(path) as free:
            if not free:
                return None
            try:
                value = self._worked_out(path)
            except ParameterError as error:
                self.refused.append(
                    located(
                        path,
                        self.origins,
                        error.problem,
                        error.written,
                        error.allowed,
                        error.advice,
                    )
                )
                value = None
        if value is None:
            self._failed.add(path)
        else:
            self.became[path] = value
        return value

    def _worked_out(self, path: Path) -> float | None:
        reader, text = self.found[path], str(at(self.tables, path))
        assert reader.along is not None
        if reader.along not in self._anchors:
            self._anchors[reader.along] = anchors_of(self.tables, reader.along)
        anchor, offset = _split(text, self._anchors[reader.along], reader.along)
        more = offset_of(offset)
        stands = anchor.value(self)
        if stands is None:
            return None
        value = stands + more
        limits = reader if isinstance(reader, PlaceValue) else Station
        low, high = limits.limits
        if not low <= value <= high:
            apart = units.taken_apart(offset[1:], LENGTH)
            became = units.length_in(value, "mm")
            raise limits.refusal(value, f"{clipped(text)} ({became})", apart and apart[1])
        return value

    @contextmanager
    def _on_the_way(self, path: Path) -> Iterator[bool]:
        """Note that a key is being worked out; give False where that closes a circle."""
        if path in self._way:
            self._refuse_circle(self._way[self._way.index(path) :])
            yield False
            return
        self._way.append(path)
        try:
            yield True
        finally:
            self._way.pop()

    def _refuse_circle(self, circle: list[Path]) -> None:
        keys = [path for path in circle if path in self.found]
        if any(path in self._failed for path in keys):
            return
        self._failed.update(keys)
        written = ", then ".join(self._step(path) for path in circle)
        alone = len(circle) == 1
        self.refused.append(
            located(
                keys[0],
                self.origins,
                "it counts from itself"
                if alone
                else "these places count from each other in a circle",
                written,
                "places of which one at least is a length",
                "write one of them as a length, such as 1.8 m",
            )
        )

    def _step(self, path: Path) -> str:
        """Return a key with what is written there, and where."""
        origin = origin_of(path, self.origins)
        where = f"{origin.file}, line {origin.line}" if origin.line else origin.file
        return f"{dotted(path)} = {_quoted(at(self.tables, path))} ({where})"


def _quoted(value: object) -> str:
    return f'"{clipped(value)}"' if isinstance(value, str) else clipped(value)


def _parsed(value: object, dimension: str) -> float | None:
    try:
        return units.parse(value, dimension)
    except ParameterError:
        return None

"""Which key is varied, and what may be written for it."""

import copy
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from types import UnionType
from typing import Any, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from geomgen import units
from geomgen.errors import ParameterError
from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.reading.overrides import apply, value_of
from geomgen.parameters.reading.refusal import Origins, dotted, field_words, record_in
from geomgen.parameters.reading.relative_places import offset_of, split_place
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.values.place_values import Mouth, hangs
from geomgen.parameters.values.quantities import (
    Count,
    Fullness,
    Reader,
    SourcedLimit,
    Within,
    clipped,
)

VARY = "--vary"


@dataclass(frozen=True)
class Key:
    """A key of the file: its path, the reader of its values, and their dimension if numbers.

    `dimension` is one of `units.DIMENSIONS`, `fraction` for whole numbers too; None for words.
    With an `anchor` its numbers count from there: they are written as places that hang on it.
    """

    path: Path
    reader: Reader
    dimension: str | None
    anchor: str = ""
    _tables: Mapping[str, Any] = field(default_factory=dict, repr=False, compare=False)

    @property
    def name(self) -> str:
        """The dotted key; items of a list by their number."""
        return dotted(self.path)

    @property
    def as_set(self) -> str:
        """Its name beside figures: what is set, while a figure of the same name is measured."""
        return f"set {self.name}"

    @property
    def slot(self) -> Path:
        """Its path, the same however it is written: a threshold may also be named by its value."""
        inside = isinstance(self.reader, SourcedLimit) and self.path[-1] == "value"
        return self.path[:-1] if inside else self.path

    @property
    def unit(self) -> str:
        """The unit of its numbers inside (mm, deg, ...); empty for ratios and words."""
        return units.DIMENSIONS[self.dimension].inside if self.dimension else ""

    @property
    def whole(self) -> bool:
        """Whether it takes whole numbers only."""
        return isinstance(self.reader, Count)

    @property
    def words(self) -> str:
        """Its description, in the trade's words."""
        return field_words(self.path) or ""

    @property
    def part(self) -> str:
        """What it belongs to, in words; an item of a list by its name, where it has one."""
        steps: list[str] = []
        inside: Any = self._tables
        for step in self.path[:-1]:
            if isinstance(step, int):
                inside = inside[step] if isinstance(inside, list) and step < len(inside) else {}
                name = inside.get("name") if isinstance(inside, Mapping) else None
                if name:
                    steps[-1] = _one_of(steps[-1])
                steps.append(str(name or step))
            else:
                inside = inside.get(step, {}) if isinstance(inside, Mapping) else {}
                steps.append(step)
        return " ".join(steps).replace("_", " ")

    def number(self, text: str) -> float | None:
        """Return a value as a number [unit inside], None for a word that the key knows.

        A place that hangs on another part is a word, too, but from the key's own anchor a length.
        ParameterError for a unit of another kind, no unit, and words that it does not know.
        Whether a number is in range is for the parameters to say.

        >>> key_of("firewall.station", {"firewall": {}}).number("1.85 m")
        1850.0
        """
        value = value_of(text)
        try:
            if self.dimension is None:
                self.reader.read(value)
                return None
            place = self.place(text)
            if self.anchor:
                if place is None or place[0] != self.anchor:
                    raise ParameterError("not from the same place", allowed=self.hung("380 mm"))
                return offset_of(place[1])
            if place is not None or self._word(value):
                return None
            number = units.parse(value, self.dimension)
            if self.whole and (isinstance(value, str) or number != int(number)):
                raise ParameterError("not a whole number", written=text, allowed="a whole number")
            return number
        except ParameterError as error:
            raise refused(
                self.name, error.problem, error.written or text, error.allowed, error.advice
            ) from error

    def place(self, text: str) -> tuple[str, str] | None:
        """Return on what a place hangs, and the length from there; None for what hangs on nothing.

        >>> key = key_of("engine.fan_face.station", {"firewall": {}, "engine": {"fan_face": {}}})
        >>> key.place("firewall - 2 in"), key.place("2 m")
        (('firewall', '-2 in'), None)
        """
        value = value_of(text)
        if self.reader.along is None or not hangs(value):
            return None
        try:
            return split_place(str(value), dict(self._tables), self.reader.along)
        except ParameterError as error:
            raise refused(
                self.name, error.problem, error.written or text, error.allowed, error.advice
            ) from error

    def hung(self, length: str) -> str:
        """Return a length as it is written for the key: from its anchor, where it has one.

        >>> from dataclasses import replace
        >>> replace(key_of("firewall.station", {"firewall": {}}), anchor="pod end").hung("-2 in")
        'pod end - 2 in'
        """
        if not self.anchor:
            return length
        bare = length.removeprefix("-")
        return f"{self.anchor} {'-' if bare != length else '+'} {bare}"

    def from_anchor(self, texts: Sequence[str]) -> "Key":
        """Return the key with the anchor of the first text; itself when that hangs on nothing."""
        place = self.place(texts[0])
        return self if place is None else replace(self, anchor=place[0])

    def _word(self, value: object) -> bool:
        if not isinstance(self.reader, Fullness | Mouth) or not isinstance(value, str):
            return False
        try:
            read = self.reader.read(value)
            return isinstance(self.reader, Fullness) or isinstance(read, str)
        except ParameterError:
            return False


def _one_of(many: str) -> str:
    """Return what one of a list is called."""
    if many.endswith("ss"):
        return many
    return many.removesuffix("es") if many.endswith("xes") else many.removesuffix("s")


def refused(
    key: str, problem: str, written: str = "", allowed: str | None = "", advice: str | None = ""
) -> ParameterError:
    """Return a refusal of something on the command line."""
    shown = clipped(written) if written else None
    return ParameterError(
        problem, file=VARY, key=key, written=shown, allowed=allowed or None, advice=advice or None
    )


def key_of(written: str, tables: Mapping[str, Any]) -> Key:
    """Return the key of a dotted name; ParameterError when the file can't have such a key.

    `tables` are those of the file: items of a list may be named by their `name`.

    >>> key_of("scoops.cheek.width", {"scoops": [{"name": "cheek"}]}).name
    'scoops.0.width'
    """
    bare = _bare_threshold(written, tables)
    if bare is not None:
        return bare
    origins: Origins = {}
    trial: dict[str, Any] = copy.deepcopy(dict(tables))
    try:
        apply(trial, origins, [f"{written}=0"])
    except ParameterError as error:
        raise refused(
            error.key or written, error.problem, written, error.allowed, error.advice
        ) from error
    path = next(iter(origins))
    reader = _reader(path)
    return Key(path, reader, _dimension(reader), _tables=tables)


def _bare_threshold(written: str, tables: Mapping[str, Any]) -> Key | None:
    """Return the key of a threshold named by its value, where the file has it as a bare value."""
    above, _, last = written.rpartition(".")
    table, _, name = above.rpartition(".")
    at = tables.get(table)
    if last != "value" or not isinstance(at, Mapping) or isinstance(at.get(name, {}), Mapping):
        return None
    key = key_of(above, tables)
    return key if isinstance(key.reader, SourcedLimit) else None


def _dimension(reader: Reader) -> str | None:
    if isinstance(reader, Within | SourcedLimit):
        return reader.dimension
    if isinstance(reader, Mouth):
        return "length"
    return "fraction" if isinstance(reader, Fullness | Count) else None


def _reader(path: Path) -> Reader:
    model: Any = Parameters
    found: Reader | None = None
    for i, part in enumerate(path):
        if isinstance(part, int):
            continue
        if model is None:
            if isinstance(found, SourcedLimit) and part == "value" and i == len(path) - 1:
                return found
            raise refused(dotted(path), "there are no keys inside", dotted(path[:i]))
        info = model.model_fields.get(part)
        if info is None:
            raise _unknown(path, part, list(model.model_fields))
        found, model = _annotated(info), record_in(info.annotation)
    if model is not None or found is None or isinstance(path[-1], int):
        kind = "a table" if model is not None else "a list"
        advice = f"vary a key inside it: {', '.join(model.model_fields)}" if model else None
        raise refused(dotted(path), f"{kind}, not one value", "", "", advice)
    return found


def _annotated(info: FieldInfo) -> Reader | None:
    """Return the reader of a field, also of one that may be left out."""
    several = get_origin(info.annotation) in (Union, UnionType)
    either = get_args(info.annotation) if several else ()
    inside = [item for part in either for item in _metadata(part)]
    return next((item for item in (*info.metadata, *inside) if isinstance(item, Reader)), None)


def _metadata(annotation: object) -> tuple[object, ...]:
    return tuple(getattr(annotation, "__metadata__", ()))


def _unknown(path: Path, part: str, known: list[str]) -> ParameterError:
    near = get_close_matches(part.lower().replace("-", "_"), known, 1, 0.6)
    advice = f"perhaps {near[0]}?" if near else None
    return refused(dotted(path), "unknown key", part, ", ".join(known), advice)

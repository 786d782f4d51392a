"""The types of the values in a parameter file: each reads what was written, and writes it back."""

import math
import re
from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from geomgen import units
from geomgen.errors import ParameterError

ELLIPSE = math.sqrt(2.0) - 1.0


class Record(BaseModel):
    """Base of all records: frozen, and a key that is not known is refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_default=True)


def stated(default: Any, words: str) -> Any:
    """Return a field with a default, written as in a file, and its description."""
    return Field(default, description=words)


def worked_out(factory: Callable[..., Any], words: str) -> Any:
    """Return a field whose default is made when the record is, and its description."""
    return Field(default_factory=factory, description=words)


@dataclass(frozen=True)
class Threshold:
    """The limit of a check, in the unit used inside, and where the builder took it from."""

    value: float
    source: str | None = None


class Reader(ABC):
    """Base of the annotations below: a way to read a value, to write it, and its schema.

    `along` says along what a value may hang on another part (`place_values`); None: it may not.
    """

    along: str | None = None

    @abstractmethod
    def read(self, value: object) -> Any:
        """Return the value as kept in the record; raise ParameterError when it is refused."""

    def write(self, value: Any) -> Any:
        """Return the value as it would stand in a file."""
        return value

    @abstractmethod
    def describe(self) -> JsonSchemaValue:
        """Return the JSON Schema of what may be written."""

    def __get_pydantic_core_schema__(
        self, source: object, handler: Callable[[Any], CoreSchema]
    ) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self.read,
            serialization=core_schema.plain_serializer_function_ser_schema(self.write),
        )

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return self.describe()


@dataclass(frozen=True)
class Within(Reader):
    """A quantity of a dimension between two limits, both allowed, written with their units.

    >>> Within("length", "0.3 mm", "60 mm").read("0.2 in")
    5.08
    >>> Within("length", "0.3 mm", "60 mm").read("1 m")
    Traceback (most recent call last):
    ...
    geomgen.errors.ParameterError: out of range
      written: 1 m (1000 mm)
      allowed: from 0.3 mm to 60 mm
      do: write 60 mm or less; is the unit right? the same number in mm, cm, in would do
    """

    dimension: str
    low: str
    high: str

    @property
    def limits(self) -> tuple[float, float]:
        """Return the limits [unit used inside]."""
        return units.parse(self.low, self.dimension), units.parse(self.high, self.dimension)

    def read(self, value: object) -> float:
        """Return the number [unit used inside]; ParameterError when it is not within."""
        number = units.parse(value, self.dimension)
        low, high = self.limits
        if low <= number <= high:
            return number
        inside = units.DIMENSIONS[self.dimension].inside
        shown = str(value).strip()
        apart = units.taken_apart(shown, self.dimension)
        if inside and not shown.endswith(f" {inside}"):
            shown += f" ({number:.6g} {inside})"
        unit = apart and apart[1]
        doubt = units.unit_doubted(number, self.dimension, unit, self.limits)
        raise self.refusal(number, shown, unit, doubt)

    def refusal(
        self, number: float, shown: str, unit: str | None, doubt: str = ""
    ) -> ParameterError:
        """Return the refusal of a number [unit used inside], the limits in the unit written too."""
        plain = f"from {self.low} to {self.high}"
        low = units.limit_in(self.low, self.dimension, unit, lower=True)
        high = units.limit_in(self.high, self.dimension, unit, lower=False)
        allowed = plain if (low, high) == (self.low, self.high) else f"from {low} to {high}"
        return ParameterError(
            "out of range",
            written=shown,
            allowed=allowed if allowed == plain else f"{allowed} ({plain})",
            advice=nearest(low, high, number < self.limits[0]) + (doubt and f"; {doubt}"),
        )

    def write(self, value: float) -> str | float:
        """Return the number [unit used inside] as text with its unit, bare where none is due."""
        return units.written(value, self.dimension) if self.dimension != "fraction" else value

    def describe(self) -> JsonSchemaValue:
        """Return the schema: text of a pattern, or a number between limits."""
        limits = {"x-lowest": self.low, "x-highest": self.high}
        text = {"type": "string", "pattern": units.pattern(self.dimension), **limits}
        if self.dimension != "fraction":
            return {**text, "examples": [self.low, self.high]}
        low, high = self.limits
        return {"anyOf": [{"type": "number", "minimum": low, "maximum": high}, text]}


def nearest(low: object, high: object, below: bool) -> str:
    """Say what would do instead of a value below or above its limits."""
    return f"write {low} or more" if below else f"write {high} or less"


@dataclass(frozen=True)
class SourcedLimit(Reader):
    """A threshold: a value by itself, or a table of the value and its source.

    >>> SourcedLimit("length", "0 mm", "1 m").read({"value": "1 in", "source": "14 CFR 23.925(d)"})
    Threshold(value=25.4, source='14 CFR 23.925(d)')
    """

    dimension: str
    low: str
    high: str

    def read(self, value: object) -> Threshold:
        """Return the threshold; ParameterError carries the key inside the table."""
        if isinstance(value, Threshold):
            return value
        if not isinstance(value, dict):
            return Threshold(Within(self.dimension, self.low, self.high).read(value))
        read = Within(self.dimension, self.low, self.high).read
        return Threshold(*sourced_table(value, read, self._allowed()))

    def _allowed(self) -> str:
        return f"from {self.low} to {self.high}"

    def write(self, value: Threshold) -> Any:
        """Return the value, or the table when it has a source."""
        plain = Within(self.dimension, self.low, self.high).write(value.value)
        return plain if value.source is None else {"value": plain, "source": value.source}

    def describe(self) -> JsonSchemaValue:
        """Return the schema of the two forms."""
        plain = Within(self.dimension, self.low, self.high).describe()
        table = {
            "type": "object",
            "properties": {
                "value": plain,
                "source": {"type": "string", "description": "where the limit comes from"},
            },
            "required": ["value"],
            "additionalProperties": False,
        }
        return {"anyOf": [plain, table]}


def sourced_table(
    table: dict[Any, Any], read: Callable[[object], Any], allowed: str
) -> tuple[Any, str | None]:
    """Return value and source of a table of both; ParameterError carries the key inside it.

    `read` reads the value, `allowed` says what it may be.
    """
    for key in table:
        if key not in ("value", "source"):
            raise ParameterError("unknown key", key=str(key), allowed="value, source")
    if "value" not in table:
        raise ParameterError("missing", key="value", allowed=allowed)
    try:
        found = read(table["value"])
    except ParameterError as error:
        raise under("value", error) from error
    try:
        source = Text(300).read(table["source"]) if "source" in table else None
    except ParameterError as error:
        raise under("source", error) from error
    return found, source


def under(key: str, error: ParameterError) -> ParameterError:
    """Return the same refusal, one key deeper."""
    return ParameterError(
        error.problem, key=key, written=error.written, allowed=error.allowed, advice=error.advice
    )


@dataclass(frozen=True)
class Fullness(Reader):
    """The shape factor rho of a conic quadrant, a number or "ellipse" (sqrt 2 - 1).

    >>> Fullness().read(0.5), round(Fullness().read("ellipse"), 6)
    (0.5, 0.414214)
    """

    low: float = 0.30
    high: float = 0.85

    def read(self, value: object) -> float:
        """Return rho [1]."""
        if value == "ellipse":
            return ELLIPSE
        allowed = f'"ellipse", or a number from {self.low} to {self.high}'
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ParameterError("not a fullness", written=clipped(value), allowed=allowed)
        if not self.low <= value <= self.high:
            raise ParameterError(
                "out of range",
                written=clipped(value),
                allowed=allowed,
                advice=nearest(self.low, self.high, value < self.low),
            )
        return float(value)

    def write(self, value: float) -> Any:
        """Return the number [1], or the word for an ellipse."""
        return "ellipse" if value == ELLIPSE else value

    def describe(self) -> JsonSchemaValue:
        """Return the schema of the two forms."""
        number = {"type": "number", "minimum": self.low, "maximum": self.high}
        return {"anyOf": [{"const": "ellipse"}, number]}


@dataclass(frozen=True)
class Text(Reader):
    """A line of text for people: titles, sources, names of uses."""

    longest: int

    def read(self, value: object) -> str:
        """Return the text without blanks at its ends."""
        allowed = f"one line of 1 to {self.longest} characters"
        if not isinstance(value, str):
            raise ParameterError("not text", written=clipped(value), allowed=allowed)
        text = value.strip()
        if not 1 <= len(text) <= self.longest or not text.isprintable():
            raise ParameterError("not one line of text", written=clipped(value), allowed=allowed)
        return text

    def describe(self) -> JsonSchemaValue:
        """Return the schema."""
        return {"type": "string", "minLength": 1, "maxLength": self.longest}


@dataclass(frozen=True)
class Matching(Reader):
    """A short name of a fixed form: it becomes part of file names, so no path can hide in it.

    >>> Matching("[a-z0-9_-]{1,40}", "1 to 40 lower-case letters, digits, - and _").read("../x")
    Traceback (most recent call last):
    ...
    geomgen.errors.ParameterError: not a name that can be used
      written: ../x
      allowed: 1 to 40 lower-case letters, digits, - and _
    """

    form: str
    words: str
    problem: str = "not a name that can be used"

    def read(self, value: object) -> str:
        """Return the name."""
        if isinstance(value, str) and re.fullmatch(self.form, value):
            return value
        raise ParameterError(self.problem, written=clipped(value), allowed=self.words)

    def describe(self) -> JsonSchemaValue:
        """Return the schema."""
        return {"type": "string", "pattern": f"^{self.form}$"}


@dataclass(frozen=True)
class OneOf(Reader):
    """One of a few words."""

    words: tuple[str, ...]

    def read(self, value: object) -> str:
        """Return the word."""
        if isinstance(value, str) and value in self.words:
            return value
        listed = ", ".join(f'"{word}"' for word in self.words)
        lowered = value.strip().lower() if isinstance(value, str) else ""
        near = [word for word in self.words if word.lower() == lowered]
        advice = f'perhaps "{near[0]}"?' if near else None
        raise ParameterError(
            "not one of the choices", written=clipped(value), allowed=listed, advice=advice
        )

    def describe(self) -> JsonSchemaValue:
        """Return the schema."""
        return {"enum": list(self.words)}


@dataclass(frozen=True)
class Count(Reader):
    """A whole number between two limits, both allowed.

    >>> Count(1, 60).read(3)
    3
    """

    low: int
    high: int

    def read(self, value: object) -> int:
        """Return the number."""
        allowed = f"a whole number from {self.low} to {self.high}"
        if isinstance(value, bool) or not isinstance(value, int):
            raise ParameterError("not a whole number", written=clipped(value), allowed=allowed)
        if not self.low <= value <= self.high:
            raise ParameterError(
                "out of range",
                written=clipped(value),
                allowed=allowed,
                advice=nearest(self.low, self.high, value < self.low),
            )
        return value

    def describe(self) -> JsonSchemaValue:
        """Return the schema."""
        return {"type": "integer", "minimum": self.low, "maximum": self.high}


@dataclass(frozen=True)
class YesNo(Reader):
    """true or false, nothing that merely looks like it."""

    def read(self, value: object) -> bool:
        """Return the truth value."""
        if isinstance(value, bool):
            return value
        raise ParameterError("not true or false", written=clipped(value), allowed="true, false")

    def describe(self) -> JsonSchemaValue:
        """Return the schema."""
        return {"type": "boolean"}


def clipped(value: object, longest: int = 60) -> str:
    """Return a value as text for a message, never longer than a line."""
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) > 10**30:
        return "a number of more than 30 digits"
    text = str(value) if value != "" else '""'
    text = "".join(c if c.isprintable() else "?" for c in text)
    return text if len(text) <= longest else text[: longest - 3] + "..."

"""The types of places: a station, waterline or buttock line, by itself or from another part."""

import re
from dataclasses import dataclass

from pydantic.json_schema import JsonSchemaValue

from geomgen.errors import ParameterError
from geomgen.parameters.values.quantities import Reader, Within

AT_FIREWALL = "at firewall"
STATION, WATERLINE, BUTTOCK_LINE = "station", "waterline", "buttock line"
# What a value may hang on, in the trade's words; parts with a name of their own come to these.
PLACES: dict[str, tuple[str, ...]] = {
    STATION: (
        *("pod start", "pod end", "firewall", "exit rim", "tail fairing start"),
        *("tail fairing end", "boom start", "boom end", "wing leading edge"),
        *("wing trailing edge", "tailplane leading edge", "tailplane trailing edge"),
        *("fin leading edge", "fin trailing edge", "pylon leading edge", "pylon trailing edge"),
        *("blades", "fan face"),
    ),
    WATERLINE: ("thrust line", "wing leading edge", "boom start", "boom end", "fan face"),
    BUTTOCK_LINE: ("boom", "wing tip"),
}
NAMED: dict[str, str] = {
    STATION: "the name of an engine box or cylinder (its front; NAME end for its aft end) or of a "
    "scoop (its mouth)",
    WATERLINE: "the name of an engine box or cylinder (its centre)",
    BUTTOCK_LINE: "",
}
EXAMPLES = {
    STATION: "firewall + 380 mm",
    WATERLINE: "thrust line + 20 mm",
    BUTTOCK_LINE: "boom + 150 mm",
}
_NOT_FINITE = re.compile(r"[+-]?(nan|inf|infinity)\b", re.IGNORECASE)
# A number begins with a digit, a sign or a point: what does not may be a place.
_PATTERN = r"^\s*[^\s\d+.\-][^\r\n]*$"


def hangs(value: object) -> bool:
    """Tell whether a value is written as a place of another part, not as a length.

    >>> hangs("firewall + 380 mm"), hangs("1.8 m"), hangs("nan mm"), hangs("at firewall")
    (True, False, False, False)
    """
    if not isinstance(value, str) or re.match(_PATTERN.removesuffix("$"), value) is None:
        return False
    return not _NOT_FINITE.match(value.strip()) and not _at_firewall(value)


def allowed_places(along: str) -> str:
    """Return in words what a place along an axis may be written as."""
    named = f", or {NAMED[along]}" if NAMED[along] else ""
    return f"{', '.join(PLACES[along])}{named}; alone, or with + or - and a length"


def _at_firewall(value: object) -> bool:
    return isinstance(value, str) and " ".join(value.lower().split()) == AT_FIREWALL


def _hanging(along: str) -> JsonSchemaValue:
    return {
        "type": "string",
        "pattern": _PATTERN,
        "description": f"from another part: {allowed_places(along)}",
        "examples": [EXAMPLES[along]],
    }


@dataclass(frozen=True)
class PlaceValue(Within):
    """A station, waterline or buttock line: a length, or hung on another part.

    What hangs on another part is worked out before the records are made (`relative_places`).

    >>> Station.read("1.8 m"), Station.along
    (1800.0, 'station')
    """

    along: str = STATION

    def read(self, value: object) -> float:
        """Return the length [mm]; ParameterError when it is not within."""
        try:
            return super().read(value)
        except ParameterError as error:
            if error.problem == "out of range":
                raise
            raise ParameterError(
                error.problem,
                written=error.written,
                allowed=f'{error.allowed}; or a place such as "{EXAMPLES[self.along]}"',
                advice=error.advice,
            ) from error

    def describe(self) -> JsonSchemaValue:
        """Return the schema of the two forms."""
        return {"anyOf": [super().describe(), _hanging(self.along)]}


Station = PlaceValue("length", "-5 m", "15 m", STATION)
Waterline = PlaceValue("length", "-3 m", "6 m", WATERLINE)
ButtockLine = PlaceValue("length", "0 mm", "10 m", BUTTOCK_LINE)


@dataclass(frozen=True)
class Mouth(Reader):
    """Where a scoop's mouth stands: a station, or "at firewall".

    >>> Mouth().read("at firewall"), Mouth().read("1.9 m")
    ('at firewall', 1900.0)
    """

    along = STATION

    def read(self, value: object) -> float | str:
        """Return the station [mm] or the words."""
        if _at_firewall(value):
            return AT_FIREWALL
        try:
            return Station.read(value)
        except ParameterError as error:
            raise ParameterError(
                error.problem,
                written=error.written,
                allowed=f'"{AT_FIREWALL}", or {error.allowed}',
                advice=error.advice,
            ) from error

    def write(self, value: float | str) -> str | float:
        """Return the words, or the station [mm] with its unit."""
        return value if isinstance(value, str) else Station.write(value)

    def describe(self) -> JsonSchemaValue:
        """Return the schema of all forms."""
        return {"anyOf": [{"const": AT_FIREWALL}, *Station.describe()["anyOf"]]}

"""The type of a limit of the centre of gravity: a station, a share of chord, a static margin."""

import re
from dataclasses import dataclass
from typing import Any

from pydantic.json_schema import JsonSchemaValue

from geomgen.errors import ParameterError
from geomgen.parameters.values.quantities import Reader, Within, clipped, sourced_table

STATION, CHORD, MARGIN = "station", "chord", "static margin"
_CHORD = re.compile(r"^\s*([+-]?\d+(?:\.\d+)?)\s*%\s*(?:mean )?chord\s*$")
_MARGIN = re.compile(r"^\s*static margin\s+([+-]?\d*\.?\d+)\s*$")
LENGTH = Within("length", "-5 m", "15 m")
ALLOWED = '"1540 mm" (a station), "30 % chord" (of the mean chord), "static margin 0.10"'


@dataclass(frozen=True)
class CentreLimit:
    """A limit: kind, value (station [mm], share of the mean chord [1], margin [1]), source."""

    kind: str
    value: float
    source: str | None = None


@dataclass(frozen=True)
class CentreLimitReader(Reader):
    """A limit of the centre by itself, or a table of the value and its source.

    >>> CentreLimitReader().read("30 % chord")
    CentreLimit(kind='chord', value=0.3, source=None)
    >>> CentreLimitReader().read("static margin 0.10").value, CentreLimitReader().read("1.5 m").kind
    (0.1, 'station')
    """

    def read(self, value: object) -> CentreLimit:
        """Return the limit; ParameterError carries the key inside the table."""
        if isinstance(value, CentreLimit):
            return value
        if not isinstance(value, dict):
            return self._plain(value)
        found, source = sourced_table(value, self._plain, ALLOWED)
        return CentreLimit(found.kind, found.value, source)

    def _plain(self, value: object) -> CentreLimit:
        text = value if isinstance(value, str) else ""
        for kind, form, factor, low, high in (
            (CHORD, _CHORD, 0.01, -1.0, 2.0),
            (MARGIN, _MARGIN, 1.0, 0.0, 1.0),
        ):
            if match := form.match(text):
                number = round(float(match[1]) * factor, 12)
                if low <= number <= high:
                    return CentreLimit(kind, number)
                limits = "-100 to 200 % chord" if kind == CHORD else "static margin 0 to 1"
                raise ParameterError("out of range", written=clipped(value), allowed=limits)
        try:
            return CentreLimit(STATION, LENGTH.read(value))
        except ParameterError as error:
            allowed = f"{ALLOWED}; stations {error.allowed}"
            if error.problem != "out of range":
                allowed = ALLOWED
            raise ParameterError(
                error.problem, written=error.written, allowed=allowed, advice=error.advice
            ) from error

    def write(self, value: CentreLimit) -> Any:
        """Return the value as it would stand in a file, a table when it has a source."""
        plain: Any = LENGTH.write(value.value)
        if value.kind == CHORD:
            plain = f"{round(100 * value.value, 10):.12g} % chord"
        elif value.kind == MARGIN:
            plain = f"static margin {value.value:.12g}"
        return plain if value.source is None else {"value": plain, "source": value.source}

    def describe(self) -> JsonSchemaValue:
        """Return the schema of the forms."""
        plain = {
            "anyOf": [
                LENGTH.describe(),
                {"type": "string", "pattern": _CHORD.pattern, "examples": ["30 % chord"]},
                {"type": "string", "pattern": _MARGIN.pattern, "examples": ["static margin 0.10"]},
            ]
        }
        table = {
            "type": "object",
            "properties": {
                "value": plain,
                "source": {"type": "string", "description": "where the limit comes from"},
            },
            "required": ["value"],
            "additionalProperties": False,
        }
        return {"anyOf": [*plain["anyOf"], table]}

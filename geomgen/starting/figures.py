"""Numbers as people write them: in millimetres or inches, rounded as one would measure them."""

from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from geomgen import units
from geomgen.parameters.reading.written_key import Slot, slot_of
from geomgen.parameters.values.place_values import Mouth
from geomgen.parameters.values.quantities import Reader, SourcedLimit, Within

# Steps to which a length is rounded, each from a size on; both in the unit.
STEPS = {
    "mm": ((20.0, 1.0), (2.0, 0.5), (0.0, 0.1)),
    "in": ((3.0, 0.1), (0.3, 0.05), (0.05, 0.01), (0.0, 0.001)),
}
DIGITS = 3
UNITS = {
    "metric": {
        "length": "mm",
        "angle": "deg",
        "area": "cm^2",
        "speed": "kt",
        "power": "kW",
        "density": "kg/m^3",
        "mass": "kg",
        "volume": "l",
        "areal weight": "g/m^2",
        "rotation": "rpm",
        "temperature": "K",
        "pressure": "Pa",
    },
    "imperial": {
        "length": "in",
        "angle": "deg",
        "area": "in^2",
        "speed": "kt",
        "power": "hp",
        "density": "lb/ft^3",
        "mass": "lb",
        "volume": "US gal",
        "areal weight": "oz/yd^2",
        "rotation": "rpm",
        "temperature": "degF rise",
        "pressure": "lbf/ft^2",
    },
}
# Text with one of these units stays as it is, in any system.
EITHER = {"speed", "angle", "rotation"}


def figure(value: float, dimension: str, system: str) -> str:
    """Return a value [unit used inside] as text in the unit of a system of units.

    >>> figure(1350.2, "length", "metric"), figure(1350.2, "length", "imperial")
    ('1350 mm', '53.2 in')
    >>> figure(0.3, "length", "imperial"), figure(22000.0, "power", "imperial")
    ('0.012 in', '29.5 hp')
    """
    unit = UNITS[system][dimension]
    number = value / units.DIMENSIONS[dimension].factors[unit]
    if unit in STEPS:
        step = next(step for least, step in STEPS[unit] if abs(number) >= least)
        # From thousandths on no step leaves a tail of digits.
        number = round(round(number / step) * step, 3)
    else:
        number = float(f"{number:.{max(DIGITS, len(str(int(abs(number)))))}g}")
    return f"{number:.10g} {unit}"


def in_system(text: str, dimension: str, system: str) -> str:
    """Return a value as written in the unit of a system; in metric it stays as it is.

    >>> in_system("25 mm", "length", "imperial"), in_system("4 kt", "speed", "imperial")
    ('1 in', '4 kt')
    """
    if system == "metric" or dimension in EITHER:
        return text
    return figure(units.parse(text, dimension), dimension, system)


@dataclass(frozen=True)
class RelativePlace:
    """A place that counts from another part: its name, and how far off it is [mm]."""

    part: str
    off: float

    def text(self, system: str) -> str:
        """Return the place as a file holds it.

        >>> RelativePlace("firewall", 380.0).text("metric")
        'firewall + 380 mm'
        >>> RelativePlace("pod end", -25.4).text("imperial")
        'pod end - 1 in'
        """
        sign = "-" if self.off < 0 else "+"
        return f"{self.part} {sign} {figure(abs(self.off), 'length', system)}"


@dataclass(frozen=True)
class Writer:
    """Tables of plain numbers [mm, deg, kg, W, m/s] to those of a file in a system of units."""

    system: str

    def table(self, record: type[BaseModel], given: dict[str, Any]) -> dict[str, Any]:
        """Return the table of a record: what is given, and the record's defaults for the rest.

        A key whose default is nothing, or is worked out from other keys, is left out.
        """
        found: dict[str, Any] = {}
        for key, field in record.model_fields.items():
            value = self._field(field, given[key] if key in given else default_of(field))
            if value is not None and value != []:
                found[key] = value
        return found

    def _field(self, field: FieldInfo, value: Any) -> Any:
        if value is None:
            return None
        slot = slot_of(field)
        if slot.many:
            return [self._one(slot, row) for row in value]
        return self._one(slot, value)

    def _one(self, slot: Slot, value: Any) -> Any:
        if slot.record is not None:
            return self.table(slot.record, value)
        assert slot.reader is not None
        return self._value(slot.reader, value)

    def _value(self, reader: Reader, value: Any) -> Any:
        if isinstance(value, dict):
            return {**value, "value": self._value(reader, value["value"])}
        if isinstance(value, RelativePlace):
            return value.text(self.system)
        if isinstance(reader, Mouth) and isinstance(value, float):
            return figure(value, "length", self.system)
        if not isinstance(reader, Within | SourcedLimit) or reader.dimension == "fraction":
            return value
        write = in_system if isinstance(value, str) else figure
        return write(value, reader.dimension, self.system)


def default_of(field: FieldInfo) -> Any:
    """Return a field's default as a file holds it; None where there is none.

    A record that is made when it is left out begins as an empty table.
    """
    if field.default_factory is not None:
        return {} if slot_of(field).record is not None else None
    return None if field.is_required() else field.default

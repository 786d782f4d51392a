"""Numbers as a person writes them: rounded, in units of the country or of several."""

from fractions import Fraction
from functools import cache
from typing import Any

from pydantic import BaseModel
from strangers.dice import Dice

from geomgen import units
from geomgen.parameters.reading.written_key import Slot, slot_of
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.values.place_values import Mouth
from geomgen.parameters.values.quantities import Fullness, SourcedLimit, Within

# Units that a writer of each kind uses, by dimension; the decimals that they give.
METRIC: dict[str, dict[str, int]] = {
    "length": {"mm": 0, "cm": 1, "m": 3},
    "angle": {"deg": 1},
    "area": {"cm^2": 0, "mm^2": -2},
    "speed": {"km/h": 0, "m/s": 1, "kt": 0},
    "power": {"kW": 1, "PS": 0, "W": -2},
    "density": {"kg/m^3": 3, "g/cm^3": 6},
    "mass": {"kg": 2, "g": -1},
    "volume": {"l": 2, "cm^3": -1},
    "areal weight": {"g/m^2": 0, "kg/m^2": 3},
    "rotation": {"rpm": -1, "1/min": -1, "rev/s": 2},
    "temperature": {"K": 0, "degC rise": 0},
    "pressure": {"Pa": 0, "hPa": 2, "kPa": 3, "mbar": 2, "mmH2O": 1},
}
IMPERIAL: dict[str, dict[str, int]] = {
    "length": {"in": 2, "16": 0, "ft": 3, "inch": 2},
    "angle": {"deg": 1},
    "area": {"in^2": 1, "ft^2": 3},
    "speed": {"mph": 0, "kt": 0, "ft/s": 0, "knots": 0, "ft/min": -1},
    "power": {"hp": 0, "bhp": 1},
    "density": {"lb/ft^3": 4, "lb/in^3": 7, "slug/ft^3": 6},
    "mass": {"lb": 2, "oz": 1, "lbs": 2},
    "volume": {"US gal": 2, "in^3": 0},
    "areal weight": {"oz/yd^2": 1, "lb/ft^2": 4},
    "rotation": {"rpm": -1, "rev/min": -1},
    "temperature": {"degF rise": 0},
    "pressure": {"lbf/ft^2": 2, "inH2O": 2, "psi": 4},
}
MIXED = {name: METRIC[name] | IMPERIAL[name] for name in METRIC}
MIXED["angle"] = {"deg": 1, "degrees": 1, "°": 1, "rad": 3}
# Nobody writes a sheet's thickness in metres or feet [mm].
THIN = 30.0
SMALL = {"m": "mm", "cm": "mm", "ft": "in"}
SYSTEMS = {"metric": METRIC, "imperial": IMPERIAL, "mixed": MIXED}


class Pen:
    """Writes tables of plain numbers (mm, deg, W, ...) as text with units.

    A writer stays with one unit of length in a table; equal numbers of a row get equal text.
    """

    def __init__(self, dice: Dice) -> None:
        self.dice = dice
        self.system = dice.pick(["metric", "imperial", "mixed"], [5, 3, 2])
        self.units = SYSTEMS[self.system]

    def tables(self, plain: dict[str, Any]) -> dict[str, Any]:
        """Return the tables of a file with every value written."""
        return self._table(plain, Slot(Parameters, None, False))

    def _table(self, table: dict[str, Any], slot: Slot) -> dict[str, Any]:
        assert slot.record is not None
        length = self.dice.pick(list(self.units["length"]))
        written: dict[str, Any] = {}
        for key, value in table.items():
            inner = _slot(slot.record, key)
            if inner.record is None:
                several = isinstance(value, list)
                texts = [
                    self._value(v, inner.reader, length) for v in (value if several else [value])
                ]
                written[key] = texts if several else texts[0]
            elif isinstance(value, list):
                written[key] = [self._table(row, inner) for row in value]
            else:
                written[key] = self._table(value, inner)
        return written

    def _value(self, value: Any, reader: Any, length: str) -> Any:
        if isinstance(value, dict):
            return {**value, "value": self._value(value["value"], reader, length)}
        if isinstance(value, str | bool):
            return value
        if isinstance(reader, Fullness):
            return round(value, 2)
        if isinstance(reader, Mouth):
            return self.quantity(value, "length", length)
        if isinstance(reader, Within | SourcedLimit):
            return self._within(value, reader, length)
        return value

    def _within(self, value: float, reader: Within | SourcedLimit, length: str) -> Any:
        """Return a quantity as text, the nearest limit where a wide aircraft went past it."""
        low, high = (units.parse(text, reader.dimension) for text in (reader.low, reader.high))
        text = self.quantity(value, reader.dimension, length)
        number = units.parse(text, reader.dimension)
        if self.dice.wide and not low <= number <= high:
            return reader.low if number < low else reader.high
        return text

    def quantity(self, value: float, dimension: str, length: str = "mm") -> Any:
        """Return a number [unit used inside] as text with a unit, or bare where none is due."""
        if dimension == "fraction":
            return round(value, 3)
        choice = self.units[dimension]
        unit = length if dimension == "length" else self.dice.pick(list(choice))
        if unit == "16":
            return inches(value)
        if unit in SMALL and abs(value) < THIN:
            unit = SMALL[unit]
        number = value / units.DIMENSIONS[dimension].factors[unit]
        return f"{rounded(number, choice.get(unit, 0))} {unit}"


@cache
def _slot(record: type[BaseModel], key: str) -> Slot:
    return slot_of(record.model_fields[key])


def rounded(number: float, decimals: int) -> str:
    """Return a number to so many decimals, to three figures where it is small.

    >>> rounded(1234.56, 0), rounded(0.4321, 0), rounded(7.26, 0), rounded(0, 2)
    ('1235', '0.432', '7.3', '0')
    """
    if number != 0.0 and abs(number) < 10.0:
        decimals = max(decimals, 3 if abs(number) < 1.0 else 1)
    text = f"{round(number, decimals):.{max(decimals, 0)}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def inches(value: float) -> str:
    """Return millimetres in inches and sixteenths, thin things in thousandths.

    >>> inches(1235.075), inches(0.8), inches(-25.4)
    ('48 5/8 in', '0.031 in', '-1 in')
    """
    if 0.0 < abs(value) < 25.4:
        return f"{rounded(value / 25.4, 3)} in"
    sixteenths = Fraction(round(abs(value) / 25.4 * 16), 16)
    whole, part = divmod(sixteenths, 1)
    sign = "-" if value < 0 else ""
    return f"{sign}{whole}{f' {part}' if part else ''} in"

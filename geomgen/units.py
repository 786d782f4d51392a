"""Units of a parameter file: text with a unit to a number in the unit used inside, and back.

Inside: mm, deg, mm^2, W, m/s, kg/m^3, kg, rpm, K (a difference), Pa. The factors are the exact
legal ones (international yard and pound 1959, standard gravity 9.80665 m/s^2); the tests hold every
one of them against an independent unit library. That library is not loaded here: its import alone
takes longer than a refused file may.
"""

import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import lru_cache
from math import isfinite, pi

from geomgen.errors import ParameterError

FOOT = 304.8
INCH = 25.4
POUND = 0.45359237
GRAVITY = 9.80665
POUND_FORCE = POUND * GRAVITY


@dataclass(frozen=True)
class Dimension:
    """A kind of value: its name with article, the unit inside, and the factor of each unit."""

    name: str
    inside: str
    factors: dict[str, float]
    example: str


DIMENSIONS: dict[str, Dimension] = {
    "length": Dimension(
        "a length",
        "mm",
        {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": INCH, "inch": INCH, "ft": FOOT, "thou": 0.0254},
        "1.35 m",
    ),
    "angle": Dimension(
        "an angle",
        "deg",
        {"deg": 1.0, "degree": 1.0, "degrees": 1.0, "°": 1.0, "rad": 180.0 / pi},
        "3 deg",
    ),
    "area": Dimension(
        "an area",
        "mm^2",
        {"mm^2": 1.0, "cm^2": 100.0, "m^2": 1e6, "in^2": INCH**2, "ft^2": FOOT**2},
        "164 cm^2",
    ),
    "speed": Dimension(
        "a speed",
        "m/s",
        {
            "m/s": 1.0,
            "km/h": 1 / 3.6,
            "kt": 1852 / 3600,
            "knot": 1852 / 3600,
            "knots": 1852 / 3600,
            "mph": 0.44704,
            "ft/s": 0.3048,
            "ft/min": 0.3048 / 60,
        },
        "45 kt",
    ),
    "power": Dimension(
        "a power",
        "W",
        {
            "W": 1.0,
            "kW": 1000.0,
            "hp": 550 * 0.3048 * POUND_FORCE,
            "bhp": 550 * 0.3048 * POUND_FORCE,
            "PS": 75 * GRAVITY,
        },
        "22 kW",
    ),
    "density": Dimension(
        "a density",
        "kg/m^3",
        {
            "kg/m^3": 1.0,
            "g/cm^3": 1000.0,
            "lb/ft^3": POUND / 0.3048**3,
            "lb/in^3": POUND / 0.0254**3,
            "slug/ft^3": POUND_FORCE / 0.3048 / 0.3048**3,
        },
        "1.225 kg/m^3",
    ),
    "mass": Dimension(
        "a mass",
        "kg",
        {"kg": 1.0, "g": 0.001, "lb": POUND, "lbs": POUND, "oz": POUND / 16},
        "1.8 kg",
    ),
    "areal mass": Dimension(
        "a mass by area",
        "kg/m^2",
        {
            "kg/m^2": 1.0,
            "g/m^2": 0.001,
            "oz/yd^2": POUND / 16 / 0.9144**2,
            "lb/ft^2": POUND / 0.3048**2,
        },
        "200 g/m^2",
    ),
    "rotation": Dimension(
        "a rotation", "rpm", {"rpm": 1.0, "rev/min": 1.0, "1/min": 1.0, "rev/s": 60.0}, "2500 rpm"
    ),
    "temperature": Dimension(
        "a temperature difference",
        "K",
        {"K": 1.0, "delta_degC": 1.0, "delta_degF": 5 / 9},
        "60 K",
    ),
    "pressure": Dimension(
        "a pressure",
        "Pa",
        {
            "Pa": 1.0,
            "hPa": 100.0,
            "kPa": 1000.0,
            "mbar": 100.0,
            "psi": POUND_FORCE / 0.0254**2,
            "lbf/ft^2": POUND_FORCE / 0.3048**2,
            "inH2O": INCH * GRAVITY,
            "mmH2O": GRAVITY,
        },
        "200 Pa",
    ),
    "fraction": Dimension("a plain number", "", {"": 1.0, "%": 0.01}, "0.8"),
}

_DECIMAL = r"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_SHOP = r"(?:\d+[ ]+)?\d+/\d+"
NUMBER = rf"[+-]?(?:{_SHOP}|{_DECIMAL})"
_QUANTITY = re.compile(rf"\s*(?P<number>{NUMBER})\s*(?P<unit>\D.*?|)\s*", re.ASCII | re.DOTALL)
_PAIRS: dict[str, tuple[tuple[str, int], tuple[str, int]]] = {
    "length": (("mm", 1), ("in", 3)),
    "area": (("in^2", 2), ("cm^2", 1)),
    "speed": (("m/s", 2), ("ft/s", 2)),
    "power": (("kW", 2), ("hp", 2)),
    "density": (("kg/m^3", 3), ("lb/ft^3", 4)),
    "mass": (("kg", 3), ("lb", 3)),
    "temperature": (("K", 1), ("delta_degF", 1)),
    "pressure": (("Pa", 1), ("lbf/ft^2", 2)),
}


def parse(text: object, dimension: str) -> float:
    """Return a quantity as a number in the unit used inside for its dimension.

    Shop fractions are read too. A bare number, NaN, an infinity, an unknown unit and a unit of
    another kind raise ParameterError.

    >>> parse("1.35 m", "length"), parse("2 3/8 in", "length")
    (1350.0, 60.324999999999996)
    >>> parse("45", "speed")
    Traceback (most recent call last):
    ...
    geomgen.errors.ParameterError: no unit
      written: 45
      allowed: a speed with its unit: m/s, km/h, kt, knot, knots, mph, ft/s, ft/min
      do: write it like "45 kt"
    """
    return _parsed(text, dimension) if isinstance(text, str) else _bare(text, dimension)


# A study reads the same texts, and the limits of the same keys, thousands of times.
@lru_cache(maxsize=8192)
def _parsed(text: str, dimension: str) -> float:
    kind = DIMENSIONS[dimension]
    match = _QUANTITY.fullmatch(text)
    if match is None or re.search(r"\d,\d", text):
        raise _refusal("not a number with a unit", text, kind, _advice_for(text, kind))
    unit = _spelling(match["unit"])
    if unit not in kind.factors:
        raise _wrong_unit(unit, text, kind)
    value = _number(match["number"], text, kind) * kind.factors[unit]
    if not isfinite(value):
        raise _refusal("not a finite number", text, kind)
    return value


def _bare(value: object, dimension: str) -> float:
    kind = DIMENSIONS[dimension]
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _refusal(f"not {kind.name}", _shown(value), kind)
    try:
        number = float(value)
    except OverflowError as error:
        raise _refusal("not a finite number", _shown(value), kind) from error
    if not isfinite(number):
        raise _refusal("not a finite number", _shown(value), kind)
    if "" not in kind.factors:
        raise _refusal("no unit", _shown(value), kind)
    return number


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) > 10**30:
        return "a number of more than 30 digits"
    text = "a table" if isinstance(value, dict) else str(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _number(text: str, written: str, kind: Dimension) -> float:
    if "/" not in text:
        return float(text)
    sign = -1 if text.startswith("-") else 1
    parts = text.lstrip("+-").split()
    try:
        return sign * float(sum((Fraction(part) for part in parts), Fraction(0)))
    except (ZeroDivisionError, OverflowError) as error:
        raise _refusal("not a finite number", written, kind) from error


def _spelling(unit: str) -> str:
    flat = unit.replace("**", "^").replace("²", "^2").replace("³", "^3").replace("·", "*")
    flat = "".join(flat.split())
    return {'"': "in", "'": "ft", "″": "in", "′": "ft"}.get(flat, flat)


def _wrong_unit(unit: str, written: str, kind: Dimension) -> ParameterError:
    if not unit:
        return _refusal("no unit", written, kind, f'write it like "{kind.example}"')
    if unit.lower() in {"nan", "inf", "infinity"}:
        return _refusal("not a finite number", written, kind)
    for other in DIMENSIONS.values():
        if unit in other.factors:
            return _refusal(f"{unit!r} is a unit of {other.name}, not {kind.name}", written, kind)
    near = get_close_matches(unit, kind.factors, 1, 0.5)
    by_case = [known for known in kind.factors if known.lower() == unit.lower()]
    advice = f"perhaps {(by_case or near)[0]!r}?" if by_case or near else None
    return _refusal(f"unknown unit {_shown(unit)!r}", written, kind, advice)


def _advice_for(text: str, kind: Dimension) -> str:
    if re.search(r"\d,\d", text):
        return "write a decimal point, not a comma, and nothing between the thousands"
    return f'write it like "{kind.example}"'


def _refusal(
    problem: str, written: str, kind: Dimension, advice: str | None = None
) -> ParameterError:
    if advice is None and problem == "no unit":
        advice = f'write it like "{kind.example}"'
    if re.search(r"\b(nan|inf|infinity)\b", written, re.IGNORECASE):
        problem = "not a finite number"
    return ParameterError(problem, written=_shown(written), allowed=_allowed(kind), advice=advice)


def _allowed(kind: Dimension) -> str:
    if not kind.inside:
        return "a plain number, or one with %"
    return f"{kind.name} with its unit: {', '.join(kind.factors)}"


def both(value: float, dimension: str) -> str:
    """Render a value [unit used inside] in the two units that builders read.

    Angles, rotations and plain numbers have one.

    >>> both(20012.864, "area"), both(25.4, "length"), both(3.0, "angle")
    ('31.02 in^2 / 200.1 cm^2', '25.4 mm / 1.000 in', '3 deg')
    """
    kind = DIMENSIONS[dimension]
    if dimension not in _PAIRS:
        return f"{value:.6g} {kind.inside}".strip()
    return " / ".join(
        f"{value / kind.factors[unit]:.{places}f} {unit.removeprefix('delta_deg')}"
        for unit, places in _PAIRS[dimension]
    )


def written(value: float, dimension: str) -> str:
    """Render a value [unit used inside] so that `parse` gives back the very same number.

    >>> written(1350.0, "length"), written(0.1 + 0.2, "angle")
    ('1350 mm', '0.30000000000000004 deg')
    """
    return f"{repr(float(value)).removesuffix('.0')} {DIMENSIONS[dimension].inside}".strip()


def pattern(dimension: str) -> str:
    """Return a regular expression, in the common subset of languages, that a quantity matches.

    >>> bool(re.search(pattern("length"), "3/16 in")), bool(re.search(pattern("length"), "3"))
    (True, False)
    """
    powers = {"^2": r"(\^2|\*\*2|²)", "^3": r"(\^3|\*\*3|³)"}
    alternatives = []
    for unit in sorted(DIMENSIONS[dimension].factors, key=len, reverse=True):
        text = unit.replace("^2", "\x02").replace("^3", "\x03")
        text = re.escape(text).replace("/", r" */ *")
        for mark, power in (("\x02", "^2"), ("\x03", "^3")):
            text = text.replace(re.escape(mark), powers[power]).replace(mark, powers[power])
        alternatives.append(text)
    if dimension == "length":
        alternatives += ['"', "'", "″", "′"]
    number = NUMBER.replace(r"(?:", "(")
    return rf"^\s*{number}\s*({'|'.join(alternatives)})\s*$"

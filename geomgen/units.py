"""Units of a parameter file: text with a unit to a number in the unit used inside, and back.

Inside: mm, deg, mm^2, W, m/s, kg/m^3, kg, rpm, K (a difference), Pa. `unit_table` has the factors.
A unit library is not loaded here: its import alone takes longer than a refused file may.
"""

import re
from decimal import Decimal
from difflib import get_close_matches
from fractions import Fraction
from functools import cache, lru_cache
from math import ceil, floor, isfinite, log10

from geomgen.errors import ParameterError
from geomgen.unit_table import ALSO, DIMENSIONS, INCH, ValueKind

__all__ = [
    "DIMENSIONS", "INCH", "NUMBER", "both", "length_in", "limit_in", "parse", "pattern",
    "taken_apart", "unit_doubted", "written",
]  # fmt: skip

# A temperature by itself is no difference: 108 degF may be warm air, or how much it warms up.
_ABSOLUTE = {"degC", "degF", "°C", "°F", "C", "F", "celsius", "fahrenheit"}
LONGEST = 100
# So many times outside its limits a number may be of another unit.
_FAR = 2.0

_DECIMAL = r"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_SHOP = r"(?:\d+(?:[ ]+|-))?\d+/\d+"
NUMBER = rf"[+-]?(?:{_SHOP}|{_DECIMAL})"
_QUANTITY = re.compile(rf"\s*(?P<number>{NUMBER})\s*(?P<unit>\D.*?|)\s*", re.ASCII | re.DOTALL)
_FEET, _INCHES = r"\s*(?:'|′|’|ft|feet|foot)\s*", r"\s*(?:\"|″|”|''|in|inch|inches)"
_FEET_AND_INCHES = re.compile(
    rf"\s*(?P<sign>[+-]?)\s*(?P<feet>\d+){_FEET}-?\s*(?P<inches>{_SHOP}|{_DECIMAL}){_INCHES}\s*",
    re.ASCII,
)
_PAIRS: dict[str, tuple[tuple[str, int], tuple[str, int]]] = {
    "length": (("mm", 1), ("in", 3)),
    "area": (("in^2", 2), ("cm^2", 1)),
    "speed": (("m/s", 2), ("ft/s", 2)),
    "power": (("kW", 2), ("hp", 2)),
    "density": (("kg/m^3", 3), ("lb/ft^3", 4)),
    "mass": (("kg", 3), ("lb", 3)),
    "temperature": (("K", 1), ("degF rise", 1)),
    "pressure": (("Pa", 1), ("lbf/ft^2", 2)),
}


def parse(text: object, dimension: str) -> float:
    """Return a quantity as a number [unit used inside] for its dimension.

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
    apart = None if re.search(r"\d,\d", text) else taken_apart(text, dimension)
    if apart is None:
        raise _refusal("not a number with a unit", text, kind, _advice_for(text, kind))
    number, unit = apart
    if unit not in kind.factors:
        raise _wrong_unit(number, unit, text, kind)
    value = _number(number, text, kind) * kind.factors[unit]
    if not isfinite(value):
        raise _refusal("not a finite number", text, kind)
    return value


def taken_apart(text: str, dimension: str) -> tuple[str, str] | None:
    r"""Return the number and the unit of a quantity as text; None for what is none.

    The unit has the name of the table, where it is one of the dimension's, whatever way it was
    written; feet with inches come as inches.

    >>> taken_apart("1-1/2 sq. in", "area"), taken_apart("5' 3 1/2\"", "length")
    (('1 1/2', 'in^2'), ('63 1/2', 'in'))
    """
    if len(text) > LONGEST:
        return None
    both_units = _FEET_AND_INCHES.fullmatch(text) if dimension == "length" else None
    if both_units is not None:
        return _as_inches(both_units)
    match = _QUANTITY.fullmatch(text)
    if match is None:
        return None
    flat = _flat(match["unit"])
    number = re.sub(r"(?<=\d)-(?=\d+/)", " ", match["number"])
    return number, _spellings(dimension).get(flat, flat)


def _as_inches(match: re.Match[str]) -> tuple[str, str] | None:
    whole, _, part = match["inches"].replace("-", " ").rpartition(" ")
    plain = Decimal(whole or "0") if "/" in part else Decimal(match["inches"])
    if plain >= 12:
        return None
    inches = str(12 * int(match["feet"]) + plain)
    fraction = f" {part}" if "/" in part else ""
    return f"{match['sign']}{inches}{fraction}", "in"


@cache
def _spellings(dimension: str) -> dict[str, str]:
    """Return the unit of a dimension for each way to write it, without blanks."""
    found = {}
    for unit in DIMENSIONS[dimension].factors:
        for word in (unit, *_also(unit)):
            found[_flat(word)] = unit
    return found


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


def _number(text: str, written: str, kind: ValueKind) -> float:
    if "/" not in text:
        return float(text)
    sign = -1 if text.startswith("-") else 1
    parts = text.lstrip("+-").split()
    try:
        return sign * float(sum((Fraction(part) for part in parts), Fraction(0)))
    except (ZeroDivisionError, OverflowError) as error:
        raise _refusal("not a finite number", written, kind) from error


def _flat(unit: str) -> str:
    flat = unit.replace("**", "^").replace("²", "^2").replace("³", "^3").replace("·", "*")
    flat = "".join(flat.split())
    return re.sub(r"(?<=[A-Za-z])([23])(?=$|/)", r"^\1", flat)


def _wrong_unit(number: str, unit: str, written: str, kind: ValueKind) -> ParameterError:
    if not unit:
        return _refusal("no unit", written, kind, f'write it like "{kind.example}"')
    if unit.lower() in {"nan", "inf", "infinity"}:
        return _refusal("not a finite number", written, kind)
    if unit in _ABSOLUTE and "K" in kind.factors:
        name = f"deg{unit[-1]}" if len(unit) < 5 else unit
        as_rise = f'if it is a rise, write it so: "{number} {name} rise"'
        return _refusal("a temperature, not a difference of two", written, kind, as_rise)
    for name, other in DIMENSIONS.items():
        if unit in _spellings(name):
            return _refusal(f"{unit!r} is a unit of {other.name}, not {kind.name}", written, kind)
    near = get_close_matches(unit, kind.factors, 1, 0.5)
    by_case = [known for known in kind.factors if known.lower() == unit.lower()]
    advice = f"perhaps {(by_case or near)[0]!r}?" if by_case or near else None
    return _refusal(f"unknown unit {_shown(unit)!r}", written, kind, advice)


def _advice_for(text: str, kind: ValueKind) -> str:
    match = re.match(r"\s*([+-]?\d[\d.,]*)(.*)", text[:LONGEST], re.DOTALL | re.ASCII)
    if match is not None and re.search(r"\d,\d", match[1]):
        return _without_comma(match[1].rstrip(".,"), match[2].strip())
    if re.search(r"\d,\d", text):
        return "write a decimal point, not a comma, and nothing between the thousands"
    return f'write it like "{kind.example}"'


def _without_comma(number: str, unit: str) -> str:
    """Say how a number with a comma is written: the last mark of two kinds is the decimal one.

    >>> _without_comma("1,5", "mm"), _without_comma("1.350,5", "mm")
    ('write "1.5 mm", with a decimal point', 'write "1350.5 mm", with a decimal point')
    """
    plain = f"{number.replace(',', '')} {unit}".strip()
    if "." in number and number.rfind(".") < number.rfind(","):
        number = number.replace(".", "")
    elif number.count(",") > 1 or "." in number:
        return f'write "{plain}", with nothing between the thousands'
    decimal = f'"{number.replace(",", ".")} {unit}'.strip() + '"'
    if re.fullmatch(r"[+-]?[1-9]\d{0,2},\d{3}", number):
        return f'write "{plain}", or {decimal} if the comma stands for a decimal point'
    return f"write {decimal}, with a decimal point"


def _refusal(
    problem: str, written: str, kind: ValueKind, advice: str | None = None
) -> ParameterError:
    if advice is None and problem == "no unit":
        advice = f'write it like "{kind.example}"'
    if re.search(r"\b(nan|inf|infinity)\b", written, re.IGNORECASE):
        problem = "not a finite number"
    return ParameterError(problem, written=_shown(written), allowed=_allowed(kind), advice=advice)


def _allowed(kind: ValueKind) -> str:
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
        f"{value / kind.factors[unit]:.{places}f} {unit}" for unit, places in _PAIRS[dimension]
    )


def limit_in(text: str, dimension: str, unit: str | None, lower: bool) -> str:
    """Render a limit, given as text, in another unit, rounded to the side that is allowed.

    Units that are a power of ten apart read alike: the text stays.

    >>> [limit_in("60 mm", "length", unit, lower=False) for unit in ("in", "m")]
    ['2.362 in', '60 mm']
    """
    factors = DIMENSIONS[dimension].factors
    own = taken_apart(text, dimension)
    if unit not in factors or own is None or _alike(factors[own[1]], factors[unit]):
        return text
    return f"{_four_digits(parse(text, dimension) / factors[unit], lower)} {unit}"


def unit_doubted(
    value: float, dimension: str, unit: str | None, limits: tuple[float, float]
) -> str:
    """Ask whether the unit is right where a value [unit used inside] is far outside its limits.

    Named are units in which the same number would keep them; nothing where there is none.

    >>> unit_doubted(4000.0, "length", "m", (0.3, 60.0))
    'is the unit right? the same number in mm, cm would do'
    """
    factors = DIMENSIONS[dimension].factors
    near = limits[0] / _FAR <= value <= limits[1] * _FAR
    if near or value <= 0.0 or unit not in factors:
        return ""
    number = value / factors[unit]
    fits = {factor for factor in factors.values() if limits[0] <= number * factor <= limits[1]}
    names = [next(name for name in factors if factors[name] == factor) for factor in fits]
    told = ", ".join(sorted(names, key=list(factors).index)[:3])
    return f"is the unit right? the same number in {told} would do" if told else ""


def _four_digits(value: float, up: bool) -> str:
    scale = 10.0 ** (3 - floor(log10(abs(value)))) if value else 1.0
    # What is off by the rounding of a division alone is not rounded once more.
    whole = ceil(value * scale - 1e-8) if up else floor(value * scale + 1e-8)
    return f"{whole / scale:.10g}"


def length_in(value: float, unit: str, lower: bool | None = None) -> str:
    """Render a length [mm] in millimetres; where a file counts in inches or feet in these too.

    A limit, `lower` or upper, is rounded to the side that is allowed; a plain length, without,
    to the nearest.

    >>> length_in(12.7, "in"), length_in(12.7, "cm"), length_in(1.5, "in", lower=False)
    ('0.5 in / 12.7 mm', '12.7 mm', '0.05905 in / 1.5 mm')
    >>> length_in(1.190625, "mm"), length_in(1.190625, "mm", lower=False)
    ('1.191 mm', '1.19 mm')
    """
    factor, mm = DIMENSIONS["length"].factors[unit], f"{_thousandths(value, lower):.10g} mm"
    if _alike(1.0, factor):
        return mm
    own = f"{value / factor:.4g}" if lower is None else _four_digits(value / factor, lower)
    return f"{own} {unit} / {mm}"


def _thousandths(value: float, lower: bool | None) -> float:
    if lower is None:
        return round(value, 3)
    # What is off by the rounding of sums alone, a millionth of a millimetre, is not rounded again.
    return ceil(value * 1e3 - 1e-3) / 1e3 if lower else floor(value * 1e3 + 1e-3) / 1e3


def _alike(factor: float, other: float) -> bool:
    """Tell whether two units are the same but for a power of ten."""
    apart = log10(factor / other)
    return abs(apart - round(apart)) < 1e-9


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
    alternatives = []
    spelled = [word for unit in DIMENSIONS[dimension].factors for word in (unit, *_also(unit))]
    for word in sorted(spelled, key=len, reverse=True):
        text = re.sub(r"\^([23])", lambda power: "\x02" if power[1] == "2" else "\x03", word)
        text = re.escape(text).replace("/", " */ *").replace("\\ ", " *")
        text = text.replace("\x02", r"(\^2|\*\*2|²|2)").replace("\x03", r"(\^3|\*\*3|³|3)")
        alternatives.append(re.sub("deg(?=[CF])", "deg *", text))
    number = NUMBER.replace(r"(?:", "(")
    unit = rf"\s*({'|'.join(alternatives)})"
    if dimension == "length":
        both_units = rf"\d+{_FEET}-?\s*({_SHOP}|{_DECIMAL}){_INCHES}".replace(r"(?:", "(")
        return rf"^\s*({number}{unit}|[+-]?\s*{both_units})\s*$"
    return rf"^\s*{number}{unit}\s*$"


def _also(unit: str) -> list[str]:
    return ALSO[unit].split("|") if unit in ALSO else []

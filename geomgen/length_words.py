"""Lengths in words: those in mm that a text holds, said in inches too, or in inches alone.

A text tells lengths in mm or m with their unit, places as STA, BL or WL [mm].
"""

import re

from geomgen.units import INCH

METRE = 1000.0
# A round distance of lines [mm], for who counts in mm and in inches.
ROUND, ROUND_IN_INCHES = 100.0, 4.0 * INCH
# Stands for a blank at which no line is broken; no text has it.
HOLD = "\x00"
# Decimals of an inch at least, and beyond those of the same length in mm: a thousandth of an inch
# is a fortieth of a millimetre, so that the two never differ by more than they are rounded.
LEAST, BEYOND = 3, 2

_NUMBER = r"(?:\+-|[+-])?\d+(?:\.\d+)?(?:e[+-]?\d+)?"
_RUN = rf"(?>(?<![A-Za-z0-9_.]){_NUMBER}(?:(?: x | to | TO | and | or ){_NUMBER})*)"
_UNIT = r"(?P<unit> (?:mm|MM|m)\b)(?![\^²³/])"
_AXIS = r"\b(?:STA|BL|WL) "
_DONE = rf"(?:{_AXIS})?{_RUN} in / {_RUN} (?:mm|MM|m)\b"
_TOLD = re.compile(rf"(?P<done>{_DONE})|(?P<axis>{_AXIS})?(?P<run>{_RUN})(?:{_UNIT})?")
_FIGURE = re.compile(_NUMBER)
_SIZE = re.compile(rf"{_RUN} in\^[23] / {_RUN}|(?P<run>{_RUN}) (?P<unit>[cm]m)\^(?P<power>[23])\b")


def in_both(text: str) -> str:
    """Return a text with its lengths [mm] in inches first; what says so already stays.

    >>> in_both("slab 3, 6.35 x 50 mm, STA 254.0")
    'slab 3, 0.25 x 1.969 in / 6.35 x 50 mm, STA 10.000 in / 254.0 mm'
    >>> in_both(in_both("BL -1 WL 25.4, 3 mm^2"))
    'BL -0.039 in / -1 mm WL 1 in / 25.4 mm, 3 mm^2'
    """
    return _TOLD.sub(_both, text)


def in_inches_alone(text: str) -> str:
    """Return a text with its lengths [mm], areas and volumes in inches.

    Places without a unit have none there either; what is told in both stays.

    >>> in_inches_alone("pod at STA 254.0 BL -25.4 WL 2540, 3 mm thick")
    'pod at STA 10.000 BL -1 WL 100, 0.118 in thick'
    >>> in_inches_alone("BL 254.0 to 508.0 mm"), in_inches_alone("0.5 in / 12.7 mm")
    ('BL 10.000 to 20.000 in', '0.5 in / 12.7 mm')
    >>> in_inches_alone("narrower by less than 69.8 cm^2, which is 31.00 in^2 / 200.0 cm^2")
    'narrower by less than 10.82 in^2, which is 31.00 in^2 / 200.0 cm^2'
    """
    return _TOLD.sub(_alone, _SIZE.sub(_size_alone, text))


def in_mm_alone(text: str) -> str:
    """Return a text with lengths that are told in both units in mm.

    >>> in_mm_alone("birch plywood sheet, 0.125 in / 3.175 mm")
    'birch plywood sheet, 3.175 mm'
    """
    return re.sub(rf"{_RUN} in / (?={_RUN} (?:mm|MM|m)\b)", "", text)


def _both(found: re.Match[str]) -> str:
    axis, run, unit = found["axis"] or "", found["run"], found["unit"] or ""
    if found["done"] is not None or not (axis or unit):
        return found[0]
    return f"{axis}{inches_of(run, _factor(unit))} in / {run}{unit or ' mm'}"


def _alone(found: re.Match[str]) -> str:
    axis, run, unit = found["axis"] or "", found["run"], found["unit"] or ""
    if found["done"] is not None or not (axis or unit):
        return found[0]
    return f"{axis}{inches_of(run, _factor(unit))}{' in' if unit else ''}"


def _size_alone(found: re.Match[str]) -> str:
    if found["run"] is None:
        return found[0]
    power, each = int(found["power"]), 10.0 if found["unit"] == "cm" else 1.0

    def told(one: re.Match[str]) -> str:
        size = float(one[0]) * (each / INCH) ** power
        return f"{size:.2f}" if abs(size) >= 1.0 or not size else f"{size:.2g}"

    return f"{_FIGURE.sub(told, found['run'])} in^{power}"


def _factor(unit: str) -> float:
    return METRE if unit == " m" else 1.0


def inches_of(run: str, factor: float = 1.0) -> str:
    """Return figures [mm, or more by a factor] in inches, what stands between them as it is.

    >>> inches_of("25.4 x 3"), inches_of("-2.5e-04"), inches_of("9.88", METRE)
    ('1 x 0.118', '-9.8e-06', '389.0')
    """
    return _FIGURE.sub(lambda one: _inch(one[0], factor), run)


def is_run(text: str) -> bool:
    """Say whether a text is a figure, or are figures with words between that join them.

    >>> is_run("25.4 x 3"), is_run("none")
    (True, False)
    """
    return re.fullmatch(_RUN, text) is not None


def _inch(written: str, factor: float) -> str:
    sign, digits = re.fullmatch(r"([+-]*)(.*)", written).groups()  # type: ignore[union-attr]
    size = float(digits) * factor / INCH
    if "e" in digits:
        return f"{sign}{size:.1e}"
    decimals = len(digits.partition(".")[2])
    exact = f"{size:.6f}".rstrip("0").rstrip(".")
    # What was written to a round figure of inches reads as it was written.
    if abs(float(exact) - size) < 1e-9 and not (decimals and digits.endswith("0")):
        return sign + exact
    places = inch_decimals(decimals) if factor == 1.0 else max(1, decimals - 1)
    return f"{sign}{size:.{places}f}"


def figures(value: float, decimals: int, inches: bool) -> str:
    """Return a length [mm] as a figure without its unit, in inches first where asked.

    >>> figures(30.04, 1, False), figures(30.04, 1, True)
    ('30.0', '1.183 / 30.0')
    """
    mm = f"{value:.{decimals}f}"
    return f"{value / INCH:.{inch_decimals(decimals)}f} / {mm}" if inches else mm


def inch_decimals(decimals: int) -> int:
    """Return how many decimals a length in inches has, by those that it has in mm [1]."""
    return max(LEAST, decimals + BEYOND)


def words_of(text: str) -> list[str]:
    """Return the words of a text as lines may be broken between: a length in both units is one.

    >>> words_of("slab 0.25 in / 6.35 mm, one")
    ['slab', '0.25 in / 6.35 mm,', 'one']
    """
    held = re.sub(_DONE, lambda one: one[0].replace(" ", HOLD), text)
    return [word.replace(HOLD, " ") for word in held.split()]

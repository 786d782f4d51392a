"""What is varied: `key=a:b:n` for a range, `key=x,y,z` for a list; several give the grid."""

import itertools
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from geomgen import units
from geomgen.errors import ParameterError
from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.reading.overrides import value_of
from geomgen.studies.vary_key import Key, key_of, refused

MOST_STEPS, MOST_VARIANTS = 1000, 20_000
FORM = "key=a:b:n for n evenly spaced values, or key=x,y,z for a list"
_QUOTED = re.compile(r"""("(?:[^"\\]|\\.)*"|'[^']*'|[^,"']|["'])*?(?=,|$)""")


@dataclass(frozen=True)
class Value:
    """One value of a key: as written, and as a number [unit inside]; None for a word."""

    text: str
    number: float | None

    @property
    def shown(self) -> str:
        """The value for people, without the quotes of the command line."""
        return str(value_of(self.text)) if self.text[:1] in "\"'" else self.text


@dataclass(frozen=True)
class KeyRange:
    """A range: both ends, the unit that values between are written in, how many [or None]."""

    low: Value
    high: Value
    unit: str
    count: int | None


@dataclass(frozen=True)
class Vary:
    """One key with its values, in the order as asked; a range to be sampled has none yet."""

    key: Key
    asked: str
    values: tuple[Value, ...]
    span: KeyRange | None = None

    def at(self, share: float) -> Value:
        """Return the value at a share [1] of a range or a list.

        What lies between the ends is rounded to a ten-thousandth of the range or finer.

        >>> tables = {"firewall": {}}
        >>> vary_of("firewall.station=1.8m:2.0m", tables, sampled=True).at(0.25).text
        '1.85 m'
        """
        if self.span is None:
            return self.values[min(int(share * len(self.values)), len(self.values) - 1)]
        return between(self.key, self.span, share, fine=False)


@dataclass(frozen=True)
class Variant:
    """One combination: its number [1...] in the order as asked, its values in that of the keys."""

    number: int
    values: tuple[Value, ...]


def varies_of(
    texts: Sequence[str], tables: Mapping[str, Any], sampled: bool = False
) -> tuple[Vary, ...]:
    """Return what is varied; ParameterError for what is not of the form, and a key given twice."""
    if not texts:
        raise refused("", "nothing is varied", "", FORM)
    varies = tuple(vary_of(text, tables, sampled) for text in texts)
    seen: set[Path] = set()
    for vary in varies:
        if vary.key.slot in seen:
            raise refused(vary.key.name, "varied twice", vary.asked, "each key once")
        seen.add(vary.key.slot)
    return varies


def vary_of(text: str, tables: Mapping[str, Any], sampled: bool = False) -> Vary:
    """Return one key with its values.

    A range may leave out its number of values when it is `sampled`.

    >>> tables = {"firewall": {}, "rules": {}}
    >>> [v.text for v in vary_of("firewall.station=1.85m:2.05m:3", tables).values]
    ['1.85m', '1.95 m', '2.05m']
    >>> [v.number for v in vary_of("firewall.tilt=0 deg, 2 deg", tables).values]
    [0.0, 2.0]
    >>> vary_of("firewall.station=1.85:2.05:3", tables)
    Traceback (most recent call last):
    ...
    geomgen.errors.ParameterError: --vary: firewall.station: no unit
      written: 1.85
      allowed: a length with its unit: mm, cm, m, in, inch, ft, thou
      do: write it like "1.35 m"
    """
    name, equals, right = text.partition("=")
    name, right = name.strip(), right.strip()
    if not equals or not name or not right:
        raise refused(name, "not a key with its values", text, FORM)
    key = key_of(name, tables)
    if key.dimension is not None and ":" in right:
        return _range(key, right, sampled)
    values = tuple(Value(part, key.number(part)) for part in _parts(key, right))
    shown = [value.shown if value.number is None else value.number for value in values]
    if len(set(shown)) < len(shown):
        raise refused(key.name, "the same value twice", right, "each value once")
    return Vary(key, right, values)


def _parts(key: Key, right: str) -> list[str]:
    """Return the values of a list; a comma between quotes is part of a value."""
    found, at = [], 0
    while at <= len(right):
        match = _QUOTED.match(right, at)
        assert match is not None
        found.append(match[0].strip())
        at = match.end() + 1
    if not all(found):
        raise refused(key.name, "a value is missing", right, "values between commas")
    return found


def _range(key: Key, right: str, sampled: bool) -> Vary:
    parts = [part.strip() for part in right.split(":")]
    if len(parts) not in (2, 3) or not all(parts):
        raise refused(key.name, "not a range", right, "a:b:n, such as 1.8 m:2 m:5")
    key = key.from_anchor(parts)
    low, high = (Value(part, key.number(part)) for part in parts[:2])
    if low.number is None or high.number is None:
        raise refused(key.name, "a range has numbers at both ends", right)
    if low.number == high.number:
        raise refused(key.name, "both ends are the same", right, "two different ends")
    span = KeyRange(low, high, _unit(key, low.text), _count(key, right, parts[2:], sampled))
    if span.count is None:
        return Vary(key, right, (), span)
    values = [between(key, span, i / (span.count - 1)) for i in range(span.count)]
    if len({value.number for value in values}) < span.count:
        raise refused(
            key.name, "its values fall together", right, "values that differ in ten digits"
        )
    return Vary(key, right, tuple(values), span)


def _count(key: Key, right: str, rest: Sequence[str], sampled: bool) -> int | None:
    allowed = f"a whole number from 2 to {MOST_STEPS}"
    if not rest:
        if sampled:
            return None
        raise refused(
            key.name, "how many values?", right, allowed, f"write {right}:5, or --samples N"
        )
    if not rest[0].isascii() or not rest[0].isdigit() or not 2 <= int(rest[0]) <= MOST_STEPS:
        raise refused(key.name, "not a number of values", rest[0], allowed)
    return int(rest[0])


def length_in(key: Key, text: str) -> str:
    """Return the length that is written in a value: that from its anchor, where it hangs on one."""
    place = key.place(text)
    return text if place is None else place[1] or "0 mm"


def _unit(key: Key, text: str) -> str:
    """Return the unit that a number was written with, by the name that the table of units has.

    >>> key = key_of("firewall.station", {"firewall": {}})
    >>> _unit(key, "1.85m"), _unit(key, "5' 3 3/8 in")
    ('m', 'in')
    """
    apart = units.taken_apart(str(value_of(length_in(key, text))), key.dimension or "")
    return apart[1] if apart else ""


def between(key: Key, span: KeyRange, share: float, fine: bool = True) -> Value:
    """Return the value at a share [1] of a range, written in the unit of its lower end.

    `fine` keeps ten digits, otherwise it is rounded to a ten-thousandth of the range or finer.
    """
    low, high = span.low.number, span.high.number
    assert low is not None
    assert high is not None
    if share in (0.0, 1.0):
        return span.high if share else span.low
    number = low + share * (high - low)
    if key.whole:
        return _whole(key, span, number, fine)
    factor = units.parse(f"1 {span.unit}".strip(), key.dimension or "")
    written = number / factor
    places = 4 - math.floor(math.log10(abs(high - low) / factor))
    text = f"{written:.10g}" if fine else f"{written:.{max(places, 0)}f}"
    whole = Value(key.hung(_plain(text, span.unit)), None)
    again = key.number(whole.text)
    assert again is not None
    # Rounding must not carry a value past an end.
    if not min(low, high) <= again <= max(low, high):
        return span.low if share < 0.5 else span.high
    return Value(whole.text, again)


def _plain(number: str, unit: str) -> str:
    if "." in number and "e" not in number:
        number = number.rstrip("0").rstrip(".")
    return f"{number} {unit}".strip()


def _whole(key: Key, span: KeyRange, number: float, fine: bool) -> Value:
    if fine and abs(number - round(number)) > 1e-9:
        asked = f"{span.low.text}:{span.high.text}:{span.count}"
        raise refused(
            key.name, "the steps are not whole numbers", asked, "a number of values that divides"
        )
    return Value(str(round(number)), float(round(number)))


def grid(varies: Sequence[Vary]) -> tuple[Variant, ...]:
    """Return every combination; the last key runs fastest. ParameterError when they are too many.

    >>> tables = {"firewall": {}}
    >>> both = varies_of(["firewall.tilt=0 deg,2 deg", "firewall.gap=1 mm,2 mm"], tables)
    >>> [tuple(v.text for v in variant.values) for variant in grid(both)]
    [('0 deg', '1 mm'), ('0 deg', '2 mm'), ('2 deg', '1 mm'), ('2 deg', '2 mm')]
    """
    many = math.prod(len(vary.values) for vary in varies)
    if many > MOST_VARIANTS:
        raise too_many(many)
    rows = itertools.product(*(vary.values for vary in varies))
    return tuple(Variant(number, row) for number, row in enumerate(rows, 1))


def too_many(many: int) -> ParameterError:
    """Return the refusal of a study with too many variants."""
    return refused(
        "", "too many variants", str(many), f"up to {MOST_VARIANTS}", "fewer values, or --samples N"
    )


def overrides_of(varies: Sequence[Vary], variant: Variant) -> list[str]:
    """Return what is laid over the file for a variant, as `--set` takes it."""
    return [f"{v.key.name}={value.text}" for v, value in zip(varies, variant.values, strict=True)]

"""What is asked: `id=target`, `id=value`, `id>=value`, `id<=value`, or `all`."""

import itertools
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Literal

from geomgen import units
from geomgen.errors import ParameterError
from geomgen.parameters.values.quantities import clipped
from geomgen.solving.search.free import refused

UNTIL = "--until"
FORM = "id=target, id=value, id>=value, id<=value, or all"
ALL = "all"
Way = Literal["target", "=", ">=", "<=", "all"]
# Units of figures, and the dimension that an asked value of them is written in.
DIMENSION = {
    "mm": "length", "mm2": "area", "mm3": "volume", "deg": "angle", "kg": "mass", "m/s": "speed",
    "chord": "fraction", "Mach": "fraction", "1": "fraction", "K": "temperature",
    "kg/s": "mass flow",
}  # fmt: skip
_ASKED = re.compile(r"\s*([\w.*-]+?)\s*(>=|<=|=)\s*(.+?)\s*", re.ASCII)
_GIVE = re.compile(r"\s*(?:\+/-|\+-|±)\s*")


@dataclass(frozen=True)
class KnownFigure:
    """A figure that the file's checks have: its id (`.*` for a family), unit, kind of limit.

    `banded` says that its error bound is that of what the file says, the band of masses, or of how
    it is computed, the air's: the same at every state, so that a search can tell its value far
    more finely.
    """

    id: str
    unit: str
    comparison: str
    banded: bool = False

    @property
    def stem(self) -> str:
        """The id without the mark of a family."""
        return self.id.removesuffix(".*")


@dataclass(frozen=True)
class Until:
    """One thing asked: of which figures, which way, and the value [unit of the figure].

    `give` is the stated tolerance of a value, None where none is stated. `family` says that each
    figure whose id begins with `stem` is meant, `banded` what `KnownFigure` says of them.
    """

    text: str
    stem: str
    family: bool
    way: Way
    value: float | None = None
    give: float | None = None
    banded: bool = False

    def means(self, ids: Sequence[str]) -> tuple[str, ...]:
        """Return which of the ids are meant; a family's own sum only where it stands alone.

        >>> Until("inlet.area.*=target", "inlet.area", True, "target").means(
        ...     ["inlet.area", "inlet.area.left", "exit.area"])
        ('inlet.area.left',)
        """
        if self.way == "all":
            return tuple(ids)
        inner = tuple(i for i in ids if self.family and i.startswith(f"{self.stem}."))
        return inner or tuple(i for i in ids if i == self.stem)

    def shares(self, other: "Until") -> bool:
        """Say whether a figure is meant by both; `all` is about verdicts and shares none."""
        if "all" in (self.way, other.way):
            return False
        if self.stem == other.stem:
            return self.family == other.family
        wide, narrow = sorted((self, other), key=lambda until: len(until.stem))
        return wide.family and narrow.stem.startswith(f"{wide.stem}.")

    def ends(self) -> tuple[float, float]:
        """Return the least and the most that meets it [unit of the figure]."""
        if self.value is None:
            return -math.inf, math.inf
        give = self.give or 0.0
        low = -math.inf if self.way == "<=" else self.value - give
        return low, math.inf if self.way == ">=" else self.value + give


def untils_of(texts: Sequence[str], known: Sequence[KnownFigure]) -> tuple[Until, ...]:
    """Return what is asked; ParameterError for unknown ids, other units and other forms.

    >>> known = [KnownFigure("inlet.area", "mm2", "at least")]
    >>> until, = untils_of(["inlet.area=180 cm^2"], known)
    >>> until.way, until.value
    ('=', 18000.0)
    >>> untils_of(["inlet.are=target"], known)
    Traceback (most recent call last):
    ...
    geomgen.errors.ParameterError: --until: inlet.are: no such figure
      written: inlet.are=target
      do: perhaps inlet.area?
    """
    if not texts:
        raise refused("", "nothing is asked", "", FORM, file=UNTIL)
    made = tuple(_until(text, known) for text in texts)
    if len({until.text for until in made}) < len(made):
        raise refused("", "the same is asked twice", "", "each once", file=UNTIL)
    for one, other in itertools.combinations(made, 2):
        _go_together(one, other)
    return made


def _go_together(one: Until, other: Until) -> None:
    """Refuse what no figure can meet at once, and two values of one figure."""
    if not one.shares(other):
        return
    (low, high), (least, most) = one.ends(), other.ends()
    if low > most or least > high:
        problem = f"no figure meets both this and {other.text}"
        raise refused(one.stem, problem, one.text, "", "leave one of them out", file=UNTIL)
    if one.way == other.way != "target" and (one.way == "=" or one.stem == other.stem):
        problem = f"asked twice, also as {other.text}"
        raise refused(one.stem, problem, one.text, "each figure once", file=UNTIL)


def _until(text: str, known: Sequence[KnownFigure]) -> Until:
    if text.strip() == ALL:
        return Until(ALL, "", True, "all")
    match = _ASKED.fullmatch(text)
    if match is None:
        raise refused("", "not a figure with what it should be", text, FORM, file=UNTIL)
    name, sign, right = match.groups()
    means, family = _meant(name, text, known)
    banded = all(figure.banded for figure in means)
    if right == "target":
        if sign != "=":
            raise refused(name, "a target is met, not passed by", text, "id=target", file=UNTIL)
        _has_limits(name, text, means)
        return Until(_plain(text), name.removesuffix(".*"), family, "target", banded=banded)
    value, give = _value(name, right, sign, means)
    way: Way = ">=" if sign == ">=" else "<=" if sign == "<=" else "="
    return Until(_plain(text), name.removesuffix(".*"), family, way, value, give, banded)


def _plain(text: str) -> str:
    return " ".join(text.split())


def _meant(name: str, text: str, known: Sequence[KnownFigure]) -> tuple[list[KnownFigure], bool]:
    """Return the known figures that are meant, and whether it is a family."""
    stem = name.removesuffix(".*")
    exact = [k for k in known if k.id == stem]
    inner = [k for k in known if k.stem.startswith(f"{stem}.") or k.id == f"{stem}.*"]
    around = [k for k in known if k.id.endswith(".*") and stem.startswith(f"{k.stem}.")]
    if name != stem and (inner or exact):
        return inner or exact, True
    if exact or around:
        return exact or around[:1], False
    if any(k.stem == stem for k in inner):
        return [k for k in inner if k.stem == stem], True
    raise _unknown(name, text, known)


def _unknown(name: str, text: str, known: Sequence[KnownFigure]) -> ParameterError:
    ids = [k.stem for k in known]
    near = get_close_matches(name.removesuffix(".*"), ids, 3, 0.5)
    first = name.partition(".")[0]
    near = near or [i for i in ids if i.startswith(f"{first}.")][:6]
    advice = f"perhaps {' or '.join(near)}?" if near else f"one of: {', '.join(ids)}"
    return refused(name, "no such figure", text, "", advice, file=UNTIL)


def _has_limits(name: str, text: str, means: Sequence[KnownFigure]) -> None:
    if all(k.comparison == "none" for k in means):
        advice = f"write the value: {name}=..., {name}>=..., {name}<=..."
        raise refused(name, "it has no limits of its own", text, "a value", advice, file=UNTIL)


def _value(
    name: str, right: str, sign: str, means: Sequence[KnownFigure]
) -> tuple[float, float | None]:
    unit = means[0].unit
    if any(k.comparison == "one of" for k in means):
        raise refused(name, "it compares names, not figures", right, f"{name}=target", file=UNTIL)
    if any(k.unit != unit for k in means):
        raise refused(name, "these figures have several units", right, "target", file=UNTIL)
    parts = _GIVE.split(right)
    if len(parts) > 2 or (len(parts) == 2 and sign != "="):
        raise refused(name, "not a value", right, "id=value +/- tolerance", file=UNTIL)
    try:
        numbers = [quantity(part, unit) for part in parts]
    except ParameterError as error:
        raise refused(
            name, error.problem, error.written or right, error.allowed, error.advice, UNTIL
        ) from error
    if len(numbers) == 2 and numbers[1] <= 0:
        raise refused(name, "no tolerance", right, "more than nothing", file=UNTIL)
    return numbers[0], numbers[1] if len(numbers) == 2 else None


def quantity(text: str, unit: str) -> float:
    """Return a value of a figure [unit of the figure].

    >>> quantity("1.5 in", "mm"), quantity("0.65", "Mach"), quantity("150 cm^3", "mm3")
    (38.099999999999994, 0.65, 150000.0)
    """
    if unit not in DIMENSION:
        raise ParameterError("a figure without a unit can't be asked for", written=clipped(text))
    dimension = DIMENSION[unit]
    if dimension == "fraction" and not text.endswith("%"):
        text = text.removesuffix(unit).strip()
    return units.parse(text, dimension)

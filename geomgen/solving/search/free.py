"""What is freed: `key=low:high`, and the steps that a builder can build."""

import copy
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from geomgen import units
from geomgen.errors import ParameterError
from geomgen.parameters.reading.overrides import value_of
from geomgen.parameters.reading.refusal import Origin, raise_all
from geomgen.parameters.reading.relative_places import worked_out_places
from geomgen.parameters.reading.written_key import put
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.values.quantities import Threshold, clipped
from geomgen.studies.vary import length_in
from geomgen.studies.vary_key import Key, key_of

FREE, TO = "--free", "--to"
FORM = "key=low:high, such as scoops.cheek.height=30mm:90mm"
# What a shop can hold; a length in feet and inches is stepped in inches.
STEPS = {"length": "0.1 mm", "angle": "0.1 deg", "fraction": "0.001", "rotation": "1 rpm"}
INCHES, INCH_STEP = ("in", "inch", "ft", "thou"), "0.005 in"
MOST_FREE = 6
# More steps than this to a bound, and a number no longer tells one from the next.
MOST_STEPS = 1e8


@dataclass(frozen=True)
class RoundingStep:
    """The step of what can be built: so many of a unit, and what that is inside."""

    number: Fraction
    unit: str
    size: float

    @property
    def text(self) -> str:
        """The step as it is said.

        >>> step_of("1/16 in", "length").text
        '0.0625 in'
        """
        return f"{float(self.number):.10g} {self.unit}".strip()


@dataclass(frozen=True)
class Free:
    """A freed key: its bounds and its present value [unit inside], and the step of the answer.

    `start` is None where the file says a word or nothing. `asked` are the bounds and `called` is
    the key, both as they were written.
    """

    key: Key
    low: float
    high: float
    step: RoundingStep
    start: float | None = None
    asked: str = ""
    called: str = ""

    @property
    def name(self) -> str:
        """The dotted key; items of a list by their number."""
        return self.key.name

    @property
    def label(self) -> str:
        """The key as it was written, for people."""
        return self.called or self.name

    @property
    def span(self) -> float:
        """How far the bounds are apart [unit inside]."""
        return self.high - self.low

    def written(self, value: float) -> str:
        """Return a value [unit inside] as it stands in a file."""
        return self.key.hung(units.written(value, self.key.dimension or "fraction"))

    def shown(self, value: float) -> str:
        """Return a value [unit inside] for people, in the unit of the step."""
        one = units.parse(f"1 {self.step.unit}".strip(), self.key.dimension or "fraction")
        return self.key.hung(f"{float(f'{value / one:.6g}'):g} {self.step.unit}".strip())

    def counts(self) -> tuple[int, int]:
        """Return the first and the last multiple of the step within the bounds."""
        give = 1e-9 * max(1.0, abs(self.high) / self.step.size)
        low = math.ceil(self.low / self.step.size - give)
        return low, math.floor(self.high / self.step.size + give)

    def on_step(self, count: int) -> str:
        """Return a multiple of the step as it stands in a file.

        >>> from geomgen.studies.vary_key import key_of
        >>> key = key_of("pod.wall", {"pod": {}})
        >>> Free(key, 2.0, 6.0, step_of("0.1 mm", "length")).on_step(43)
        '4.3 mm'
        """
        length = f"{float(count * self.step.number):.12g} {self.step.unit}".strip()
        return self.key.hung(length)


def frees_of(
    texts: Sequence[str], p: Parameters, tables: Mapping[str, Any], steps: Sequence[str] = ()
) -> tuple[Free, ...]:
    """Return what is freed of a file; ParameterError for what can't be.

    `tables` are those that the parameters were read from; `steps` are those of `--to`.
    """
    if not texts:
        raise refused("", "nothing is freed", "", FORM)
    if len(texts) > MOST_FREE:
        raise refused("", f"{len(texts)} are freed at once", "", f"up to {MOST_FREE}")
    made = [_free(text, p, tables, steps) for text in texts]
    names = [free.name for free in made]
    for name in names:
        if names.count(name) > 1:
            raise refused(name, "freed twice", "", "each key once")
    _all_used(steps, made)
    return tuple(made)


def _free(text: str, p: Parameters, tables: Mapping[str, Any], steps: Sequence[str]) -> Free:
    name, equals, right = (part.strip() for part in text.partition("="))
    ends = [part.strip() for part in right.split(":")]
    if not equals or not name or len(ends) != 2 or not all(ends):
        raise refused(name, "not a key with its bounds", text, FORM)
    key = _from_anchor(_key(name, tables), p, ends)
    low, high = (_bound(key, end) for end in ends)
    if low >= high:
        raise refused(key.name, "the lower bound is not below the upper one", right)
    step = _step_for(key, steps, length_in(key, ends[0]))
    least = max(abs(low), abs(high)) / MOST_STEPS
    if step.size < least:
        allowed = f"{units.written(least, key.dimension or '')} or more for {right}"
        raise refused(key.name, "too small a step", step.text, allowed, file=TO)
    free = Free(key, low, high, step, _present(p, key, tables), right, name)
    first, last = free.counts()
    if last < first:
        advice = "wider bounds, or a finer step with --to"
        raise refused(
            key.name, f"no multiple of {step.text} lies within the bounds", right, None, advice
        )
    return free


def _key(name: str, tables: Mapping[str, Any]) -> Key:
    try:
        key = key_of(name, tables)
    except ParameterError as error:
        advice = (error.advice or "").replace("vary a key", "free a key", 1)
        raise refused(
            error.key or name, error.problem, error.written or "", error.allowed, advice
        ) from error
    if key.dimension is None:
        raise refused(key.name, "not a dimension but a word", "", "a key that holds a number")
    if key.whole:
        advice = "try each of them: geomgen sweep"
        raise refused(
            key.name, "it counts whole numbers, which can't be solved for", "", "", advice
        )
    return key


def _from_anchor(key: Key, p: Parameters, ends: Sequence[str]) -> Key:
    """Return the key with the anchor of its bounds; a place that hangs on a part keeps hanging."""
    made, hung = key.from_anchor(ends), p.hung.get(key.path)
    if hung and not made.anchor:
        raise refused(
            key.name,
            f'it counts from another part, as "{hung}"',
            ":".join(ends),
            "bounds from a place, such as firewall + 300 mm:firewall + 400 mm",
            "or write it into the file as a length first",
        )
    return made


def _bound(key: Key, text: str) -> float:
    try:
        number = key.number(text)
        if not key.anchor:
            key.reader.read(value_of(text))
    except ParameterError as error:
        raise refused(
            key.name, error.problem, error.written or text, error.allowed, error.advice
        ) from error
    if number is None:
        raise refused(key.name, "a bound is a number", text)
    return number


def _present(p: Parameters, key: Key, tables: Mapping[str, Any]) -> float | None:
    """Return the value that the file gives a key [unit inside], None for a word or nothing.

    From an anchor it is how far the key stands from there now.
    """
    found: Any = p
    for part in key.path:
        if isinstance(found, Threshold):
            break
        found = found[part] if isinstance(part, int) else getattr(found, part, None)
    if isinstance(found, Threshold):
        found = found.value
    if not isinstance(found, int | float):
        return None
    return float(found) - (_stands(key, tables) if key.anchor else 0.0)


def _stands(key: Key, tables: Mapping[str, Any]) -> float:
    """Return where the key's anchor stands [mm]; ParameterError when it hangs on the key."""
    trial = copy.deepcopy(dict(tables))
    put(trial, key.path, key.anchor)
    hung = worked_out_places(trial, {(): Origin(FREE, None)})
    raise_all(hung.refused)
    return hung.became[key.path]


def step_of(text: str, dimension: str) -> RoundingStep:
    """Return a step of a dimension; ParameterError when it is none.

    >>> step_of("0.5mm", "length").size
    0.5
    """
    size = units.parse(value_of(text), dimension)
    apart = units.taken_apart(str(value_of(text)), dimension)
    if apart is None or size <= 0:
        raise ParameterError("not a step", written=clipped(text), allowed="more than nothing")
    parts = apart[0].lstrip("+").split()
    return RoundingStep(sum((Fraction(part) for part in parts), Fraction(0)), apart[1], size)


def _step_for(key: Key, steps: Sequence[str], low: str) -> RoundingStep:
    assert key.dimension is not None
    for text in steps:
        if _fits(text, key.dimension):
            return step_of(text, key.dimension)
    apart = units.taken_apart(str(value_of(low)), key.dimension)
    unit = apart[1] if apart else ""
    if key.dimension == "length" and unit in INCHES:
        return step_of(INCH_STEP, "length")
    if key.dimension in STEPS:
        return step_of(STEPS[key.dimension], key.dimension)
    return step_of(f"0.01 {unit}".strip(), key.dimension)


def _fits(text: str, dimension: str) -> bool:
    try:
        step_of(text, dimension)
    except ParameterError:
        return False
    return True


def _all_used(steps: Sequence[str], frees: Sequence[Free]) -> None:
    for text in steps:
        if not any(_fits(text, free.key.dimension or "") for free in frees):
            kinds = " or ".join(
                dict.fromkeys(units.DIMENSIONS[f.key.dimension or ""].name for f in frees)
            )
            raise ParameterError(
                "not a step of anything that is freed",
                file=TO,
                written=clipped(text),
                allowed=f"{kinds} with its unit, more than nothing",
            )


def refused(
    key: str,
    problem: str,
    written: str = "",
    allowed: str | None = "",
    advice: str | None = "",
    file: str = FREE,
) -> ParameterError:
    """Return a refusal of something on the command line."""
    return ParameterError(
        problem,
        file=file,
        key=key,
        written=clipped(written) if written else None,
        allowed=allowed or None,
        advice=advice or None,
    )

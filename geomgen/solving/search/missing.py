"""How far the figures of one measured state are from what is asked."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Literal

from geomgen.solving.search.until import Until
from geomgen.verdicts.check import Check

Sense = Literal["equal", "at least", "at most", "verdict"]
# A difference is told against the asked value, but never against less than this.
LEAST_SCALE = {"mm": 1.0, "mm2": 100.0, "mm3": 1000.0, "deg": 1.0, "kg": 0.01, "m/s": 1.0}
PLAIN_SCALE = 0.01
ROUNDING = 1e-9
# A builder who asks for 180 cm^2 takes 179 for it, not 175: what steps may cost of a value.
STEPS_SHARE = 0.01
# Nor does a hundredth of 2 mm count: this much nobody holds by hand.
STEPS_LEAST = {"mm": 0.1, "deg": 0.1}


@dataclass(frozen=True)
class FigureGap:
    """One figure against what is asked of it.

    `aim` is what the search aims at [unit of the check], `off` the figure less the aim (None when
    nothing was measured), `scale` what a difference is told against. `limited` says that the aim
    comes from limits that are met on their inside, not at the aim only.
    """

    until: Until
    check: Check
    sense: Sense
    aim: float
    off: float | None
    scale: float
    limited: bool

    @property
    def noise(self) -> float:
        """How finely a figure can be told from that of another state [its unit].

        What was measured, by its error bound. The band of masses moves all states alike.
        """
        return _noise(self.until, self.check)

    @property
    def told(self) -> bool:
        """Whether there is a figure, and a bound that says how far it may be off."""
        bound = self.check.error_bound
        return self.off is not None and bound is not None and isfinite(bound)

    @property
    def doubt(self) -> float:
        """How far a first answer's `off` may be from the exact one, as a share [1] of the scale.

        The figure moves by its bound, and so may an aim that has the bound inside it.
        """
        return 2.0 * (self.check.error_bound or 0.0) / self.scale

    @property
    def short(self) -> float:
        """How far it is from met, as a share [1] of the scale; 0 when the aim is reached."""
        if self.sense == "verdict":
            return 0.0 if self.met() else 1.0
        if self.off is None:
            return 1.0
        wrong = {"equal": abs(self.off), "at least": -self.off, "at most": self.off}[self.sense]
        return max(0.0, wrong) / self.scale

    @property
    def slack(self) -> float:
        """How far it is on the good side of the aim, as a share [1] of the scale; minus: short."""
        if self.off is None or self.sense == "verdict":
            return -self.short
        good = {"equal": -abs(self.off), "at least": self.off, "at most": -self.off}[self.sense]
        return good / self.scale

    def met(self, give: float = 0.0) -> bool:
        """Say whether it is met.

        `give` [unit of the check] is what a value may be off where no tolerance is stated.
        """
        if self.until.way == "all":
            return not self.check.stops
        if self.until.way == "target":
            return inside(self.check)
        if self.check.measured is None or self.off is None:
            return False
        assert self.until.value is not None
        off = self.check.measured - self.until.value
        give_here = ROUNDING * max(1.0, abs(self.until.value))
        if self.until.way == "=":
            return abs(off) <= max(self.tolerance(give), give_here)
        return off >= -give_here if self.until.way == ">=" else off <= give_here

    def tolerance(self, give: float = 0.0) -> float:
        """Return how far a value may be off [its unit]: as stated, by `noise` or by steps.

        What steps cost (`give`) counts up to a hundredth of the value.
        """
        if self.until.give is not None:
            return self.until.give
        most = max(STEPS_SHARE * self.scale, STEPS_LEAST.get(self.check.unit, 0.0))
        return max(min(give, most), self.noise)

    def bare(self) -> float:
        """Return how far the figure is outside what counts as met, without give [its unit]."""
        if self.off is None:
            return float("inf")
        check, value = self.check, self.until.value
        if self.until.way in ("target", "all"):
            return max(0.0, -(check.margin or 0.0))
        assert check.measured is not None
        assert value is not None
        wrong = check.measured - value
        return {"=": abs(wrong), ">=": max(0.0, -wrong), "<=": max(0.0, wrong)}[self.until.way]


def inside(check: Check) -> bool:
    """Say whether a check is inside its own limits, however close.

    >>> from geomgen.verdicts.check import Limits
    >>> inside(Check("a", "p", "", 9.0, "mm", Limits("", 10.0), "at least", -1.0, "fail"))
    False
    """
    if check.comparison == "one of":
        return check.verdict == "pass"
    if check.verdict in ("fail", "not_measured") or check.margin is None:
        return False
    return check.margin >= 0


def gaps_of(untils: Sequence[Until], checks: Sequence[Check]) -> tuple[FigureGap, ...]:
    """Return each asked figure of a state; one that is not there is missing from the answer."""
    ids = [check.id for check in checks]
    found: list[FigureGap] = []
    for until in untils:
        meant = set(until.means(ids))
        own = [check for check in checks if check.id in meant and _counts(until, check)]
        found += [_gap(until, check) for check in own]
    return tuple(found)


def absent(untils: Sequence[Until], checks: Sequence[Check]) -> tuple[Until, ...]:
    """Return what is asked of figures that a state does not have."""
    ids = [check.id for check in checks]
    return tuple(until for until in untils if not until.means(ids))


def _counts(until: Until, check: Check) -> bool:
    return until.way != "all" or check.binding


def _gap(until: Until, check: Check) -> FigureGap:
    sense, aim = _aim(until, check)
    off = None
    if check.measured is not None and sense != "verdict":
        off = check.measured - aim
    scale = max(abs(aim), LEAST_SCALE.get(check.unit, PLAIN_SCALE))
    return FigureGap(until, check, sense, aim, off, scale, until.way in ("target", "all"))


def _aim(until: Until, check: Check) -> tuple[Sense, float]:
    """Return the way and the aim: the middle of a band, a limit with the error bound inside it."""
    if until.value is not None:
        bound = _noise(until, check)
        ways: dict[str, tuple[Sense, float]] = {
            "=": ("equal", until.value),
            ">=": ("at least", until.value + bound),
            "<=": ("at most", until.value - bound),
        }
        return ways[until.way]
    bound = check.error_bound or 0.0
    low, high = check.target.low, check.target.high
    if check.comparison in ("one of", "none") or (low is None and high is None):
        return "verdict", 0.0
    if low is not None and high is not None:
        if until.way == "all":
            return _nearer(check, low + bound, high - bound)
        return "equal", (low + high) / 2
    if check.comparison == "equal":
        return "equal", low if low is not None else high or 0.0
    over = max(bound, ROUNDING) if check.comparison == "more than" else bound
    if low is not None:
        return "at least", low + over
    assert high is not None
    return "at most", high - bound


def _noise(until: Until, check: Check) -> float:
    return 0.0 if until.banded else check.error_bound or 0.0


def _nearer(check: Check, low: float, high: float) -> tuple[Sense, float]:
    """Return the side of a band that a figure is nearer to."""
    value = check.measured if check.measured is not None else low
    return ("at least", low) if value < (low + high) / 2 else ("at most", high)

"""Why an asked value that a figure passes is not met: steps that are too coarse, a jump."""

from collections.abc import Sequence
from itertools import pairwise

from geomgen.solving.search.log import MeasuredState
from geomgen.solving.search.missing import FigureGap
from geomgen.solving.search.one_key import FINER
from geomgen.solving.search.search import Solved
from geomgen.verdicts.wording import figure


def reason(solved: Solved, gap: FigureGap) -> str:
    """Return why a value that lies between measured figures is not met; empty for other reasons."""
    if gap.until.way != "=" or gap.off is None:
        return ""
    if gap.check.id in solved.between:
        steps = " and ".join(dict.fromkeys(free.step.text for free in solved.asked.frees))
        return f"the step of {steps} is too coarse for {gap.until.text} (--to)"
    sides = _sides(solved, gap)
    if sides is None:
        return ""
    free, unit = solved.asked.frees[0], gap.check.unit
    ends = " and ".join(
        f"{about(point, off + gap.aim, unit)} at {free.shown(point.values[0])}"
        for point, off in sides
    )
    return f"{gap.check.id} jumps there, or as good as: {ends}"


def _sides(solved: Solved, gap: FigureGap) -> Sequence[tuple[MeasuredState, float]] | None:
    """Return states and distances from the aim on both sides of a jump; None where there is none.

    Where the search came as close as it goes, and one state is still below, the next one above.
    """
    if len(solved.asked.frees) != 1:
        return None
    free = solved.asked.frees[0]
    seen = [
        (point, other.off)
        for point in solved.points
        for other in point.gaps
        if point.values and (other.until, other.check.id) == (gap.until, gap.check.id)
        if other.off is not None and free.low <= point.values[0] <= free.high
    ]
    seen.sort(key=lambda pair: pair[0].values[0])
    for (one, off), (next_, other_off) in pairwise(seen):
        near = next_.values[0] - one.values[0] <= FINER * free.step.size * 1.01
        if near and (off < 0) != (other_off < 0):
            return (one, off), (next_, other_off)
    return None


def about(point: MeasuredState, value: float, unit: str) -> str:
    """Return a figure [unit] of a state in words; that of a first answer is no more than about."""
    return f"{'' if point.exact else 'about '}{figure(value, unit)}"

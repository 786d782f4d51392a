"""What a search brings to nil: figures less their aims, and how far limits are passed."""

from collections.abc import Sequence
from dataclasses import dataclass

from geomgen.solving.search.log import MeasuredState, SearchProblem
from geomgen.solving.search.missing import FigureGap
from geomgen.solving.search.until import Until

# A first answer tells how far a figure is off when that is so many times its doubt: own choice.
CLEAR = 5.0


@dataclass(frozen=True)
class Level:
    """Which of what is asked is brought to its aim (`firm`); the rest has to be met only.

    Limits of a check are aimed at while there are not more aims than freed keys; values always.
    """

    firm: tuple[Until, ...]

    def is_firm(self, gap: FigureGap) -> bool:
        """Say whether a figure is brought to its aim."""
        return gap.until in self.firm and gap.sense != "verdict"

    def slack(self, gap: FigureGap) -> float:
        """Return how far a figure is inside what it has to meet, as a share [1]; minus outside."""
        check = gap.check
        if gap.limited and gap.sense != "verdict":
            if check.margin is None:
                return -1.0
            return (check.margin - (check.error_bound or 0.0)) / gap.scale
        return gap.slack

    def along(self, point: MeasuredState) -> float | None:
        """Return one number [1] that is nil at the answer; None where nothing was measured.

        With one aim: the figure less the aim (the mean over a family). Without: the least slack.
        """
        if not point.built or point.lacking or not point.gaps:
            return None
        firm = [gap for gap in point.gaps if self.is_firm(gap)]
        if firm:
            offs = [gap.off / gap.scale for gap in firm if gap.off is not None]
            return sum(offs) / len(offs) if len(offs) == len(firm) else None
        return min(self.slack(gap) for gap in point.gaps)

    def side_sure(self, point: MeasuredState) -> bool:
        """Say whether a first answer tells on which side of nil `along` is."""
        along = self.along(point)
        own = [gap for gap in point.gaps if self.is_firm(gap)] or point.gaps
        return along is not None and abs(along) > max(gap.doubt for gap in own)

    def doubts(self, point: MeasuredState) -> list[float]:
        """Return how far each of `rests` may be from the exact one [1]."""
        many = len(self.rests(point))
        return [0.0] * many if point.exact else [gap.doubt for gap in point.gaps]

    def clear(self, point: MeasuredState) -> bool:
        """Say whether a first answer tells how far each figure is from nil, or that it is met."""
        pairs = zip(point.gaps, self.rests(point), self.doubts(point), strict=True)
        return all(
            abs(rest) > CLEAR * doubt or (not self.is_firm(gap) and self.slack(gap) > doubt)
            for gap, rest, doubt in pairs
        )

    def rests(self, point: MeasuredState) -> list[float]:
        """Return a rest [1] for each figure of a state: nil where it is at its aim or met."""
        found = []
        for gap in point.gaps:
            if not self.is_firm(gap):
                found.append(max(0.0, -self.slack(gap)))
            else:
                found.append(1.0 if gap.off is None else gap.off / gap.scale)
        return found + [1.0] * len(point.lacking)

    def reached(self, point: MeasuredState, give: float = 1e-6) -> bool:
        """Say whether all rests of a state are nil, to `give` [1]."""
        return point.built and all(abs(rest) <= give for rest in self.rests(point))


def level_of(asked: SearchProblem) -> Level:
    """Return what is brought to its aim."""
    values = tuple(until for until in asked.untils if until.way == "=")
    limits = tuple(
        until
        for until in asked.untils
        if until.way == "target" and not any(until.shares(value) for value in values)
    )
    both = len(values) + len(limits)
    aims = both <= len(asked.frees) and not asked.least_mass
    return Level((*values, *limits) if aims else values)


def nearest_first(points: Sequence[MeasuredState]) -> list[MeasuredState]:
    """Return the built states, those nearest to what is asked first."""
    return sorted((point for point in points if point.built), key=lambda point: point.short)

"""Dimensions, names and leaders put where they can be read; what finds no room is told."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import chain
from math import cos, hypot, inf, radians, sin

import numpy as np

from geomgen.aircraft_drawings.dimensioning import TIER, Occupied
from geomgen.drafting.clashes import clashes
from geomgen.drafting.dimension_lines import drawn
from geomgen.drafting.lettering import width_of
from geomgen.drafting.record import CENTRE, DIM, Dimension, Drawing, Label, Path, Point, line

# All in heights of the letters: the smallest arc, from one arc to the next, the first dimension
# line off its points, from one to the next, from a row of names to the next, names aside.
ARC, ARCS, OFF, OFFS, ROW, ASIDE = 3.0, 1.0, 1.6, 0.8, 2.2, 3.0
# How many of each are tried; what a further try must spare, in lines crossed; how many places aside
# a row of names is worth.
RADII, LINES, ROWS, PLACES, FURTHER, HIGHER = 40, 30, 8, 24, 0.06, 4


@dataclass(frozen=True)
class AngleLeg:
    """A leg of an angle: its direction [deg], how far it is drawn ahead and back [mm]."""

    way: float
    long: float
    back: float = 0.0

    def end(self, corner: Point) -> Point:
        """Return where it ends [mm] from a corner [mm]."""
        return _along(corner, self.way, self.long)


@dataclass
class DrawingBoard:
    """A view [mm] with what is put onto it at a height of letters [mm]; `missed` had no room."""

    bare: Drawing
    letters: float
    missed: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._room = Occupied(self.bare.paths, self.bare.labels, self.letters)
        self._paths: list[Path] = []
        self._labels: list[Label] = []
        self._dimensions: list[Dimension] = []

    @property
    def drawing(self) -> Drawing:
        """Return the view with all that was put onto it."""
        bare = self.bare
        paths, labels = (*bare.paths, *self._paths), (*bare.labels, *self._labels)
        return Drawing(bare.name, paths, labels, bare.notes, tuple(self._dimensions))

    def dimension(self, tries: Iterable[Dimension], legs: bool = False) -> None:
        """Put a dimension at the place where it crosses few lines and is not far off.

        With `legs` it is an angle whose legs are drawn too, from its corner to its arc.
        """
        best, least, last = None, inf, None
        for rank, last in enumerate(tries):
            if FURTHER * rank >= least:
                break
            worth = self._crossed(last, legs) + FURTHER * rank
            if worth < least:
                best, least = last, worth
        if best is not None:
            self._dimensions.append(best)
            self._room.add(best)
            for leg in _legs(best) if legs else ():
                self._paths.append(leg)
                self._room.note(leg)
        elif last is not None:
            self.missed.append(last.text)

    def angle_with_legs(
        self, ways: tuple[float, float], corner: Point, prefix: str, name: str
    ) -> None:
        """Put an angle between two ways [deg] from a corner [mm], or behind it, with its legs."""
        ahead = (AngleLeg(ways[0], inf), AngleLeg(ways[1], inf))
        behind = (AngleLeg(ways[0] + 180.0, inf), AngleLeg(ways[1] + 180.0, inf))
        tries = (angle_tries(corner, two, self.letters, prefix, name) for two in (ahead, behind))
        self.dimension(chain.from_iterable(tries), legs=True)

    def _crossed(self, dimension: Dimension, legs: bool) -> float:
        """Return how many lines of the view a dimension line crosses; infinite for no place."""
        made = drawn(dimension)
        meets = self._room.meets_text
        lines = (*made.paths, *(_legs(dimension) if legs else ()))
        if not self._room.text_is_free(made.label) or any(meets(path) for path in lines):
            return inf
        if clashes(Drawing("", dimensions=(dimension,))):
            return inf
        return inf if self._room.meets_bar(made.line) else self._room.crossed(made.line)

    def label(self, tries: Iterable[Label]) -> bool:
        """Put the first of several labels that meets nothing; say whether there was one."""
        free = next((label for label in tries if self._room.text_is_free(label)), None)
        if free is not None:
            self._take(free)
        return free is not None

    def callout(self, at: Point, text: str) -> None:
        """Put a text over the view with a leader down to a point of it [mm]."""
        _, high = Drawing("", self.bare.paths).box()
        spots = ((row, place) for row in range(ROWS) for place in range(PLACES))
        for row, place in sorted(spots, key=lambda spot: HIGHER * spot[0] + spot[1]):
            aside = (place + 1) // 2 * ASIDE * self.letters * (-1 if place % 2 else 1)
            y = high[1] + (1.0 + ROW * row) * self.letters
            label = Label((at[0] + aside, y), text, self.letters, anchor="middle")
            leader = line((label.at[0], y - 0.5 * self.letters), at, DIM, "leader")
            if self._room.text_is_free(label) and not self._room.meets_text(leader):
                self._paths.append(leader)
                self._room.note(leader)
                self._take(label)
                return
        self.missed.append(text)

    def _take(self, label: Label) -> None:
        self._labels.append(label)
        self._room.note_text(label)


def _legs(angle: Dimension) -> tuple[Path, Path]:
    a, b = (line(angle.corner, end, CENTRE, f"leg of {angle.name}") for end in (angle.a, angle.b))
    return a, b


def angle_tries(
    corner: Point, legs: tuple[AngleLeg, AngleLeg], letters: float, prefix: str, name: str
) -> Iterator[Dimension]:
    """Return an angle from one leg counter-clockwise to the other at growing radii [mm].

    Where both legs run on behind the corner it may stand there too.
    """
    both = all(leg.back > 0.0 for leg in legs)
    for step in range(RADII):
        radius = (ARC + ARCS * step) * letters
        for behind in (False, True) if both else (False,):
            turn = 180.0 if behind else 0.0
            a, b = (
                _along(corner, leg.way + turn, min(radius, leg.back if behind else leg.long))
                for leg in legs
            )
            middle = (legs[0].way + (legs[1].way - legs[0].way) % 360.0 / 2) + turn
            at = _along(corner, middle, radius)
            yield Dimension(a, b, at, 0.0, letters, prefix, name=name, kind="angle", corner=corner)


def _along(corner: Point, way: float, far: float) -> Point:
    turn = radians(way)
    return corner[0] + far * cos(turn), corner[1] + far * sin(turn)


def length_tries(
    a: Point, b: Point, angle: float, letters: float, prefix: str, name: str,
    sides: Sequence[int] = (1, -1), start: float = OFF,
) -> Iterator[Dimension]:  # fmt: skip
    """Return a length [mm] along a direction [deg], its line ever further to either side.

    The first is `start` heights of letters off. A figure without room between its points stands at
    either end.
    """
    turn = radians(angle)
    along, across = np.array([cos(turn), sin(turn)]), np.array([-sin(turn), cos(turn)])
    ends = np.array([a, b])
    middle, half = ends.mean(axis=0), abs(float((ends[1] - ends[0]) @ along)) / 2
    reach = abs(float((ends[1] - ends[0]) @ across)) / 2
    for step in range(LINES):
        for side in sides:
            off = side * (reach + (start + OFFS * step) * letters)
            for shift in (0.0, -(half + TIER * letters)):
                x, y = (middle + off * across + shift * along).tolist()
                yield Dimension(a, b, (x, y), angle, letters, prefix, name=name)


def names_along(ends: tuple[Point, Point], text: str, letters: float) -> Iterator[Label]:
    """Return where a line's name may stand [mm]: along it from the right on, beyond its ends."""
    (x0, y0), (x1, y1) = sorted(ends)
    slope, long = np.arctan2(y1 - y0, x1 - x0), hypot(x1 - x0, y1 - y0)
    wide = width_of(text, letters)
    for share in np.linspace(1.0, 0.0, PLACES).tolist() if wide < long else ():
        for off in (0.9, -1.9):
            run = share * (long - wide)
            x = x0 + run * np.cos(slope) - off * letters * np.sin(slope)
            y = y0 + run * np.sin(slope) + off * letters * np.cos(slope)
            yield Label((float(x), float(y)), text, letters, float(np.degrees(slope)))
    yield Label((x1 + letters, y1 - letters / 2), text, letters)
    yield Label((x0 - letters, y0 - letters / 2), text, letters, anchor="end")

"""The outlines of a moulded wing tip, ended early where its skins leave no room between them.

As with a core cut by the wire, foam that is too thin to stand is left away: across the span the
body ends ahead of its trailing edge, and along the span where no plain section is left.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.interpolate import BSpline, make_interp_spline

from geomgen.arrays import Floats
from geomgen.shapes.aerofoil import FOLLOW, HALF, angles
from geomgen.shapes.lifting import AerofoilSection
from geomgen.shops.hotwire_cores.outline import LEAST_TAIL

# A plain section keeps this share of its chord, a tip this much of its span [mm]: own choice.
LEAST_SHARE, LEAST_SPAN = 0.5, 1.0
# The skin is at most this share of the radius that the section is bent to: own choice.
MOST_BENT = 0.9
# Between two outlines the body is ruled: it keeps this near [mm] to the skin, and its end this near
# to where it should be; so often an interval is halved for it.
NEAR, END_NEAR, HALVINGS = 0.02, 0.25, 5
# Points that an end is looked for with; how finely a place along the span is told [mm].
FINE, PLACE = 2001, 1e-6


@dataclass(frozen=True)
class End:
    """Where a body ends early: a buttock line, the station there, how far ahead of the TE [mm]."""

    buttock_line: float
    station: float
    ahead: float


@dataclass(frozen=True)
class Tip:
    """The outlines (k, 3) [mm] of a tip from its inboard end out, and where it ends early.

    `runs` are the runs along the span where it ends ahead of its trailing edge, `last` [mm] the
    buttock line of its outer end, `short` [mm] how far that lies inboard of where the tip's skin
    would end it.
    """

    rows: list[Floats]
    last: float
    runs: tuple[tuple[End, ...], ...] = ()
    short: float = 0.0

    @property
    def early(self) -> bool:
        """Say whether it ends early anywhere."""
        return bool(self.runs) or self.short > 0.0


def tip_of(
    sections: Sequence[AerofoilSection], start: float, skin: float, gap: float
) -> Tip | None:
    """Return a tip from `start` [mm] out, its surface moved outward by `gap` [mm]; None: no room.

    It ends where the body inside a skin of `skin` [mm] has to, and as much further as `gap` lies
    outside of that. The tip's end face is skin and moves with `gap`, the inboard end stays.
    """
    at = np.array([section.nose[1] for section in sections])
    outside = np.stack([section.points() for section in sections])
    inside = _Inside(at, outside, np.stack([grown_section(row, -skin) for row in outside]), skin)
    outer = np.stack([grown_section(row, gap) for row in outside])
    inner = [start, *(y for y in at if start + PLACE < y < at[-1] - skin), at[-1] - skin]
    if skin == 0.0 or all(inside.share(float(y)) == 1.0 for y in inner):
        places = [start, *(y for y in at if start + PLACE < y < at[-1]), at[-1] + gap]
        return Tip([between(outer, at, float(y)) for y in places], float(at[-1] - skin))
    kept, last = _plain_places(inside, inner)
    if last - start < LEAST_SPAN:
        return None
    cut = _Cut(inside, outer, last, gap + skin)
    places = [*kept, last + gap + skin]
    rows = cut.rows(places)
    runs = [tuple(_end(inside, y) for y in run) for run in _early(inside, [*kept, last])]
    return Tip(rows, last, tuple(runs), float(at[-1] - skin - last))


def _plain_places(inside: "_Inside", places: Sequence[float]) -> tuple[list[float], float]:
    """Return the places short of the last one with a plain section inside, and that last place.

    Where the body begins to end early between two places, that is a place as well.
    """
    kept = [float(places[0])]
    for a, b in zip(places[:-1], places[1:], strict=True):
        if inside.share(b) is None:
            return kept, _last(lambda y: inside.share(y) is not None, a, b)
        whole = [inside.share(y) == 1.0 for y in (a, b)]
        if whole[0] != whole[1]:
            ways = (a, b) if whole[0] else (b, a)
            kept.append(_last(lambda y: inside.share(y) == 1.0, *ways))
        kept.append(float(b))
    return kept[:-1], kept[-1]


def _last(holds: Callable[[float], bool], good: float, bad: float) -> float:
    """Return the last place from `good` towards `bad` [mm] where something holds."""
    if not holds(good):
        return good
    while abs(bad - good) > PLACE:
        middle = 0.5 * (good + bad)
        good, bad = (middle, bad) if holds(middle) else (good, middle)
    return float(good)


def _early(inside: "_Inside", places: Sequence[float]) -> list[list[float]]:
    """Return the runs of places [mm] between which the body ends ahead of its trailing edge."""
    runs: list[list[float]] = []
    for a, b in zip(places[:-1], places[1:], strict=True):
        if inside.share(0.5 * (a + b)) != 1.0:
            joined = bool(runs) and runs[-1][-1] == a
            runs = [*runs[:-1], [*runs[-1], b]] if joined else [*runs, [a, b]]
    return runs


def _end(inside: "_Inside", place: float) -> End:
    station = _station(inside.row(place), inside.share(place) or 0.0)
    outside = between(inside.outside, inside.at, place)
    return End(place, station, float(0.5 * (outside[0, 0] + outside[-1, 0]) - station))


def _station(row: Floats, share: float) -> float:
    nose, edge = row[HALF, 0], min(row[0, 0], row[-1, 0])
    return float(nose + share * (edge - nose))


@dataclass(frozen=True)
class _Inside:
    """What lies inside a skin [mm]: outlines (n, k, 3) outside and inside, at places [mm]."""

    at: Floats
    outside: Floats
    rows: Floats
    skin: float

    def row(self, place: float) -> Floats:
        """Return the outline at a place [mm]."""
        return between(self.rows, self.at, place)

    def share(self, place: float) -> float | None:
        """Return the share of its length at which the body has to end; 1: nowhere, None: no body.

        Ahead of it the body stands open by LEAST_TAIL, its nose is rounder than the skin is thick
        and its outline does not cross itself.
        """
        if self.skin * _tightest(between(self.outside, self.at, place)) > MOST_BENT:
            return None
        row = self.row(place)
        x = np.linspace(row[HALF, 0], min(row[0, 0], row[-1, 0]), FINE)
        high, low = (_height(side, x) for side in (row[HALF::-1], row[HALF:]))
        open_ = high - low - LEAST_TAIL
        thickest = int(np.argmax(open_))
        thin = np.nonzero(open_[thickest:] < 0)[0]
        share = 1.0
        if len(thin) and open_[thickest] > 0:
            i = thickest + int(thin[0])
            part = open_[i - 1] / (open_[i - 1] - open_[i])
            share = float((i - 1 + part) / (FINE - 1))
        elif len(thin):
            return None
        ahead = row[row[:, 0] <= _station(row, share)] if share < 1.0 else row
        plain = shapely.Polygon(ahead[:, [0, 2]]).is_valid if len(ahead) > 3 else False
        return share if plain and share >= LEAST_SHARE else None


def _tightest(row: Floats) -> float:
    """Return how tightly an outline bends at most [1/mm], outwards, ahead of its tail."""
    line = _spline(angles(), row[:, [0, 2]])
    (x, z), (xx, zz) = (line.derivative(i)(angles()).T for i in (1, 2))
    ahead = row[:, 0] - row[HALF, 0] < FOLLOW * (row[0, 0] - row[HALF, 0])
    return float(np.max((x * zz - z * xx)[ahead] / np.hypot(x, z)[ahead] ** 3))


def _height(side: Floats, x: Floats) -> Floats:
    """Return the heights (n,) [mm] of a side, from nose to edge, at stations (n,) [mm]."""
    line = _spline(angles()[HALF:], side)(np.linspace(0.0, np.pi / 2, FINE))
    return np.asarray(np.interp(x, np.maximum.accumulate(line[:, 0]), line[:, 2]))


def _spline(parameter: Floats, points: Floats) -> BSpline:
    return make_interp_spline(parameter, points, k=3)


@dataclass(frozen=True)
class _Cut:
    """A body that ends early: what is inside, its own outlines, its last place, its stock [mm]."""

    inside: _Inside
    outer: Floats
    last: float
    stock: float

    def rows(self, places: Sequence[float]) -> list[Floats]:
        """Return the outlines at places [mm], and as many between them as the skin asks for."""
        found = [self.row(places[0])]
        for a, b in zip(places[:-1], places[1:], strict=True):
            found += self._up_to(a, b, found[-1], self.row(b), HALVINGS)
        return found

    def _up_to(self, a: float, b: float, first: Floats, last: Floats, more: int) -> list[Floats]:
        middle = self.row(0.5 * (a + b))
        if more == 0 or _ruled_near(middle, 0.5 * (first + last)):
            return [last]
        left = self._up_to(a, 0.5 * (a + b), first, middle, more - 1)
        return left + self._up_to(0.5 * (a + b), b, middle, last, more - 1)

    def row(self, place: float) -> Floats:
        """Return the outline at a place [mm], laid out anew up to where the body ends."""
        own = between(self.outer, self.inside.at, place)
        known = min(place, self.last)
        share = self.inside.share(known)
        if share == 1.0:
            return own
        row = self.inside.row(place)
        end = _station(row, share or 0.0) + self.stock
        spline = _spline(angles(), own)
        return np.asarray(spline(_turned(spline, end)))


def _turned(spline: BSpline, end: float) -> Floats:
    """Return the parameters of an outline that ends at a station [mm], the nose's kept.

    Points near the nose keep their places, so that the ruled body stays on its skin.
    """
    turn = angles().copy()
    for side in (turn < 0, turn > 0):
        last = np.pi / 2 * np.sign(turn[side][0])
        fine = np.linspace(0.0, last, FINE)
        x = np.maximum.accumulate(spline(fine)[:, 0])
        reached = float(np.interp(end, x, fine))
        turn[side] += (reached - last) * (turn[side] / last) ** 2
    return turn


def _ruled_near(row: Floats, ruled: Floats) -> bool:
    """Say whether an outline half-way between two others lies near to what is ruled there."""
    way = _spline(angles(), row).derivative()(angles())[:, [0, 2]]
    way /= np.linalg.norm(way, axis=1)[:, None]
    off = (ruled - row)[:, [0, 2]]
    across = np.abs(off[:, 0] * way[:, 1] - off[:, 1] * way[:, 0])
    return bool(across.max() < NEAR and np.abs(off[[0, -1], 0]).max() < END_NEAR)


def grown_section(points: Floats, gap: float) -> Floats:
    """Return a section (k, 3) [mm] across the span, its outline moved outward by `gap` [mm].

    Near the blunt edge the points slide along the skin, so that the edge moves by `gap` as well
    and the skin's distance stays true.
    """
    if gap == 0.0:
        return points
    way = make_interp_spline(angles(), points[:, [0, 2]], k=3).derivative()(angles())
    way /= np.linalg.norm(way, axis=1)[:, None]
    aft = np.where(angles() < 0, -1.0, 1.0)[:, None] * way
    out = np.stack([way[:, 1], -way[:, 0]], axis=-1)
    rise = points[0, [0, 2]] - points[-1, [0, 2]]
    edge = np.array([rise[1], -rise[0]]) / np.hypot(*rise)
    slides = [(1 - out[end] @ edge) / (aft[end] @ edge) for end in (0, -1)]
    share = (points[:, 0] - points[HALF, 0]) / (points[0, 0] - points[HALF, 0])
    along = np.clip((share - FOLLOW) / (1 - FOLLOW), 0, None) ** 2
    along *= np.where(angles() < 0, *slides)
    moved = points.copy()
    moved[:, [0, 2]] += gap * (out + along[:, None] * aft)
    return moved


def between(rows: Floats, at: Floats, place: float) -> Floats:
    """Return the row at a place [mm] between rows (n, ...) that stand at `at` (n,) [mm]."""
    i = int(np.clip(np.searchsorted(at, place) - 1, 0, len(at) - 2))
    share = (place - at[i]) / (at[i + 1] - at[i])
    return np.asarray((1 - share) * rows[i] + share * rows[i + 1])

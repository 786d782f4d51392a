"""The course of a spar: where it stands along the span, how wide, between which heights."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.parameters.records.structure.wing import TUBE, Spar
from geomgen.shapes.wing_structure.inner_room import FIT, InnerRoom

# What the names of the outer half's parts have for it.
OUTER = "_outer"
# Heights are looked at so often across a spar and between two of its sections.
ACROSS, BETWEEN = 9, 7
# Least height between the two caps [mm]: own choice.
LEAST_WEB = 2.0


@dataclass(frozen=True)
class SparSection:
    """A spar at a place along the span [mm]: front and aft face, corners, height of a cap."""

    s: float
    fore: float
    aft: float
    low: tuple[float, float]
    high: tuple[float, float]
    cap: float

    def height(self, x: float, upper: bool) -> float:
        """Return the height [mm] of its lower or upper side at a station [mm]."""
        a, b = self.high if upper else self.low
        return a + (b - a) * (x - self.fore) / (self.aft - self.fore)

    @property
    def corners(self) -> Floats:
        """Its outline (4, 2) [mm]."""
        return np.array(
            [
                (self.fore, self.low[0]),
                (self.aft, self.low[1]),
                (self.aft, self.high[1]),
                (self.fore, self.high[0]),
            ]
        )


def span_of(room: InnerRoom, spar: Spar) -> tuple[float, float]:
    """Return the places along the span [mm] where a spar begins and ends."""
    low, high = room.ends
    start = room.base + spar.start
    end = high - spar.skin - FIT if spar.end is None else room.base + spar.end
    if not low - 1e-6 <= start < end <= high + 1e-6:
        raise GeometryError(
            f"it runs from {start - room.base:.1f} to {end - room.base:.1f} mm, and the "
            f"{room.name} from {low - room.base:.1f} to {high - room.base:.1f} mm",
            part=f"spar_{spar.name}",
            step="spar",
            look_at=[f"spars.{spar.name}.start", f"spars.{spar.name}.end"],
        )
    return start, end


def spar_sections(room: InnerRoom, spar: Spar) -> list[SparSection]:
    """Return the sections of a spar on the right from inside out, straight between them.

    Its sides are moved in until they clear the skin between the sections, too.
    """
    start, end = span_of(room, spar)
    inner = {s for s in room.places if start + 1e-6 < s < end - 1e-6}
    inner |= {room.base + row.at for row in spar.stations if start < room.base + row.at < end}
    found = [_section(room, spar, s, start, end) for s in sorted({start, *inner, end})]
    low, high = (
        max(_short(room, spar, a, b, upper) for a, b in pairwise(found)) for upper in (False, True)
    )
    moved = [
        SparSection(
            c.s, c.fore, c.aft,
            (c.low[0] + low, c.low[1] + low), (c.high[0] - high, c.high[1] - high), c.cap,
        )
        for c in found
    ]  # fmt: skip
    for section in moved:
        _require_depth(room, spar, section)
    return moved


def station_at(room: InnerRoom, spar: Spar, s: float, start: float, end: float) -> float:
    """Return the station [mm] of a spar's middle at a place along the span [mm]."""
    if spar.chord_share is not None:
        return room.chord_station(s, spar.chord_share)
    assert spar.station_start is not None
    assert spar.station_end is not None
    return float(np.interp(abs(s), (start, end), (spar.station_start, spar.station_end)))


def _sizes(room: InnerRoom, spar: Spar, s: float) -> tuple[float, float]:
    """Return width and cap height [mm] at a place."""
    if not spar.stations:
        return spar.width or 0.0, spar.cap_height or 0.0
    at = [room.base + row.at for row in spar.stations]
    width = float(np.interp(s, at, [row.width for row in spar.stations]))
    return width, float(np.interp(s, at, [row.cap_height for row in spar.stations]))


def _section(room: InnerRoom, spar: Spar, s: float, start: float, end: float) -> SparSection:
    middle = station_at(room, spar, s, start, end)
    width, cap = _sizes(room, spar, s)
    x = np.linspace(middle - width / 2, middle + width / 2, ACROSS)
    low, high = room.under(s, x, spar.skin)
    share = np.linspace(0.0, 1.0, ACROSS)
    up = float(np.max(low - (low[0] + share * (low[-1] - low[0]))))
    down = float(np.max(high[0] + share * (high[-1] - high[0]) - high))
    return SparSection(
        s, float(x[0]), float(x[-1]),
        (float(low[0]) + up, float(low[-1]) + up), (float(high[0]) - down, float(high[-1]) - down),
        cap,
    )  # fmt: skip


def between(a: SparSection, b: SparSection, s: float) -> SparSection:
    """Return the section at a place [mm] between two, as straight lines have it."""
    t = (s - a.s) / (b.s - a.s)
    first, second = a.corners, b.corners
    (fore, low), (aft, low_aft), (_, high_aft), (_, high) = ((1 - t) * first + t * second).tolist()
    cap = (1 - t) * a.cap + t * b.cap
    return SparSection(s, fore, aft, (low, low_aft), (high, high_aft), cap)


def section_at(sections: list[SparSection], s: float) -> SparSection:
    """Return the section at a place [mm], that of an end beyond it."""
    for a, b in pairwise(sections):
        if s <= b.s:
            return between(a, b, max(s, a.s))
    return sections[-1]


@dataclass(frozen=True)
class SparHalf:
    """A run of a spar in one piece: what its parts' names end with before the hand, its sections.

    `through` says that it goes through the centre plane to the other side.
    """

    suffix: str
    sections: list[SparSection]
    through: bool


def halves(room: InnerRoom, spar: Spar, sections: list[SparSection]) -> list[SparHalf]:
    """Return the runs of a spar on the right: one, or two where the outer wing comes off."""
    through = room.symmetric and sections[0].s < 1e-6
    joint = spar.wing_joint
    if joint is None:
        return [SparHalf("", sections, through)]
    low, high = (room.base + joint.at + side * joint.gap / 2 for side in (-1, 1))
    inner = [c for c in sections if c.s < low - 1e-6] + [section_at(sections, low)]
    outer = [section_at(sections, high)] + [c for c in sections if c.s > high + 1e-6]
    return [SparHalf("", inner, through), SparHalf(OUTER, outer, False)]


def _short(room: InnerRoom, spar: Spar, a: SparSection, b: SparSection, upper: bool) -> float:
    """Return how far straight sides between two sections stand out into the skin [mm]."""
    most, sides = 0.0, np.linspace(0.0, 1.0, ACROSS)
    for share in np.linspace(0.0, 1.0, BETWEEN + 2)[1:-1]:
        c = between(a, b, a.s + float(share) * (b.s - a.s))
        free = room.under(c.s, c.fore + sides * (c.aft - c.fore), spar.skin)[int(upper)]
        line = np.interp(sides, (0.0, 1.0), c.high if upper else c.low)
        most = max(most, float(np.max(line - free if upper else free - line)))
    return most


def _require_depth(room: InnerRoom, spar: Spar, c: SparSection) -> None:
    depth = min(high - low for high, low in zip(c.high, c.low, strict=True))
    needed = c.aft - c.fore if spar.kind == TUBE else 2 * c.cap + LEAST_WEB
    if depth < needed:
        what = "its diameter needs" if spar.kind == TUBE else "its two caps and a web need"
        raise GeometryError(
            f"at {c.s - room.base:.0f} mm along the {room.name} {max(depth, 0.0):.1f} mm are left "
            f"between the skins, and {what} {needed:.1f} mm: end it further in, make it thinner or "
            "put it where the aerofoil is deeper",
            part=f"spar_{spar.name}",
            step="spar",
            look_at=[f"spars.{spar.name}"],
        )

"""The outline of a core and of its template in the plane of a section, in the chord's own frame.

Common practice: the wire melts half of its kerf to each side, so the edge that guides it stands
half a kerf outside the wanted core. Skin and kerf lie square to the surface in space; where the
surface leans to the plane of the template by an angle, their share in the plane is larger by one
over its cosine (closed form).
"""

from dataclasses import dataclass

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.parameters.records.shops import SparCap
from geomgen.shops.hotwire_cores.sections import STEP, CoreSection, Run

# Foam thinner than this does not stand: there a core ends [mm].
LEAST_TAIL = 0.1
# Foam left under a trough at least [mm].
LEAST_WEB = 1.0
# Thickness [mm] of the run-in, where the kerf is not more.
RUN_IN = 2.0
# How far [mm] the outline of a trough goes out past the template's edge.
PAST = 3.0
SKIN_KEYS = ["handoff.laminate.plies", "handoff.cores.inset_skin", "wing.sections"]


@dataclass(frozen=True)
class OutlineSide:
    """One side of an outline from nose to tail: points (n, 2) [mm] and where to grow, (n, 2).

    `grow` is the outward move in the plane for 1 mm square to the surface in space.
    """

    points: Floats
    grow: Floats

    def moved(self, distance: float) -> "OutlineSide":
        """Return the side moved out by a distance [mm] square to the surface."""
        return OutlineSide(self.points + distance * self.grow, self.grow)


@dataclass(frozen=True)
class Outline:
    """Upper and lower side of an outline in the frame of a chord of `chord` [mm].

    x runs aft along the chord from the wing's leading edge, y up across it.
    """

    upper: OutlineSide
    lower: OutlineSide
    chord: float

    def moved(self, distance: float) -> "Outline":
        """Return the outline moved out by a distance [mm]; its tail is not closed anew."""
        return Outline(self.upper.moved(distance), self.lower.moved(distance), self.chord)

    def polygon(self) -> shapely.Polygon:
        """Return the area inside; the nose, where both sides begin, is taken once."""
        return shapely.Polygon(np.concatenate([self.upper.points, self.lower.points[:0:-1]]))


def in_chord_frame(section: CoreSection) -> Outline:
    """Return the wing's own outline at a section."""
    turn = _turn(section)

    def side(run: Run) -> OutlineSide:
        normal = run.normals[:, [0, 2]] @ turn
        size = np.hypot(normal[:, 0], normal[:, 1])[:, None]
        return OutlineSide(along_chord(section, run.points[:, [0, 2]]), normal / size**2)

    return Outline(side(section.upper), side(section.lower), section.chord)


def along_chord(section: CoreSection, points: Floats) -> Floats:
    """Return points (n, 2), station and waterline [mm], in the frame of a section's chord."""
    return np.asarray((points - np.array(section.nose)[[0, 2]]) @ _turn(section))


def _turn(section: CoreSection) -> Floats:
    angle = np.radians(section.angle)
    return np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])


def core_outline(wing: Outline, skin: float) -> Outline:
    """Return the wanted core: the wing less a skin [mm] on both sides and at the blunt edge.

    Where both skins meet ahead of the trailing edge the core ends there. GeometryError when the
    skin is thicker than the nose is round.
    """
    inner = wing.moved(-skin)
    corner, aft = _edge(wing)
    upper, lower = ((side.points - corner) @ aft for side in (inner.upper, inner.lower))
    end = min(-skin, _meeting(inner, corner, aft))
    core = Outline(_ended(inner.upper, upper, end), _ended(inner.lower, lower, end), wing.chord)
    if not core.polygon().is_valid or -end > 0.5 * wing.chord:
        raise GeometryError(
            f"a skin of {skin:.2f} mm leaves no plain core of a chord of {wing.chord:.0f} mm",
            part="wing",
            step=STEP,
            look_at=SKIN_KEYS,
        )
    return core


def _edge(wing: Outline) -> tuple[Floats, Floats]:
    """Return the lower corner of the trailing edge and the unit direction it looks to."""
    up = wing.upper.points[-1] - wing.lower.points[-1]
    return wing.lower.points[-1], np.array([up[1], -up[0]]) / np.hypot(*up)


def _meeting(inner: Outline, corner: Floats, aft: Floats) -> float:
    """Return how far aft of the edge [mm] the core gets too thin to stand; infinite: nowhere."""
    x = np.linspace(0.5 * inner.chord, corner[0], 2000)
    high, low = heights(inner.upper, x), heights(inner.lower, x)
    thin = np.nonzero(high - low < LEAST_TAIL)[0]
    if not len(thin):
        return np.inf
    i = int(thin[0])
    return float((np.array([x[i], 0.5 * (high[i] + low[i])]) - corner) @ aft)


def heights(side: OutlineSide, x: Floats) -> Floats:
    """Return the heights y [mm] of a side at x (n,) [mm], behind its foremost point."""
    aft = side.points[int(np.argmin(side.points[:, 0])) :]
    return np.asarray(np.interp(x, aft[:, 0], aft[:, 1]))


def _ended(side: OutlineSide, reach: Floats, end: float) -> OutlineSide:
    """Return a side up to where its reach (n,) aft is `end` [mm]: its last point lies there."""
    keep = reach < end - 1e-9
    keep[: len(keep) // 2] = True
    count = int(np.argmin(keep)) if not keep.all() else len(keep)
    rows = np.concatenate([side.points, side.grow], axis=1)
    a, b = (count - 1, count) if count < len(rows) else (count - 2, count - 1)
    last = rows[a] + (end - reach[a]) / (reach[b] - reach[a]) * (rows[b] - rows[a])
    rows = np.concatenate([rows[:count], last[None]])
    return OutlineSide(rows[:, :2], rows[:, 2:])


@dataclass(frozen=True)
class Guide:
    """What guides the wire: upper and lower edge (n, 2) between the tangs, and the tangs' ends.

    `front` and `rear` are the x of the tangs' ends [mm].
    """

    upper: Floats
    lower: Floats
    front: float
    rear: float

    @property
    def ring(self) -> Floats:
        """Return the closed outline (n, 2) [mm] with both tangs, from the front over the top."""
        tips = (
            [(self.front, self.upper[0, 1])],
            [(self.rear, self.upper[-1, 1]), (self.rear, self.lower[-1, 1])],
            [(self.front, self.lower[0, 1])],
        )
        return np.concatenate([tips[0], self.upper, tips[1], self.lower[::-1], tips[2]])

    def tick(self, upper: bool, share: float) -> tuple[Floats, Floats]:
        """Return a place [mm] at a share [1] of an edge, and the unit direction into the core."""
        edge = self.upper if upper else self.lower
        run = np.r_[0.0, np.cumsum(np.hypot(*np.diff(edge, axis=0).T))]
        at = np.array([np.interp(share * run[-1], run, edge[:, i]) for i in (0, 1)])
        i = int(np.clip(np.searchsorted(run, share * run[-1]) - 1, 0, len(edge) - 2))
        step = (edge[i + 1] - edge[i]) / np.hypot(*(edge[i + 1] - edge[i]))
        inward = np.array([step[1], -step[0]])
        return at, inward if upper else -inward


def guide(core: Outline, kerf: float, lead: float) -> Guide:
    """Return the template's edge for a wanted core: half a kerf [mm] outside, with both tangs.

    `lead` is the length of run-in and run-out as a share of the chord; the run-in lies on the
    chord line, the run-out behind the tail, both along the chord.
    """
    wire = core.moved(0.5 * kerf)
    half = 0.5 * max(kerf, RUN_IN)
    upper, lower = _from(wire.upper.points, half), _from(wire.lower.points, -half)
    return Guide(upper, lower, -lead * core.chord, (1 + lead) * core.chord)


def _from(points: Floats, height: float) -> Floats:
    """Return the points of a side from where it first passes a height on."""
    past = points[:, 1] * np.sign(height) >= abs(height)
    if not past.any():
        raise GeometryError(
            "the section is too thin for a run-in", part="wing", step=STEP, look_at=SKIN_KEYS
        )
    i = int(np.argmax(past))
    if i == 0:
        return points
    share = (height - points[i - 1, 1]) / (points[i, 1] - points[i - 1, 1])
    return np.concatenate([[points[i - 1] + share * (points[i] - points[i - 1])], points[i:]])


def trough(core: Outline, cap: SparCap, kerf: float) -> tuple[Floats, Floats]:
    """Return the wire's way round a cap's trough [mm]: bottom (n, 2), its two ends outside.

    The trough is `cap.depth` deep below the core's surface and `cap.width` wide along the chord;
    the wire keeps half a kerf [mm] inside of it. GeometryError when it does not fit into the core.
    """
    side = core.upper if cap.side == "upper" else core.lower
    middle, half = cap.at * core.chord, 0.5 * (cap.width - kerf)
    bottom = side.moved(0.5 * kerf - cap.depth)
    x = np.linspace(middle - half, middle + half, 61)
    other = core.lower if cap.side == "upper" else core.upper
    sign = 1 if cap.side == "upper" else -1
    y = heights(bottom, x)
    room = sign * (y - heights(other, x))
    beyond = x[0] < 0.01 * core.chord or x[-1] > core.upper.points[-1, 0]
    if half <= 0 or beyond or min(room) < LEAST_WEB + 0.5 * kerf:
        raise GeometryError(
            f"the {cap.side} trough at {cap.at:.2f} of a chord of {core.chord:.0f} mm does not fit "
            "into the core",
            part="wing",
            step="spar cap troughs",
            look_at=["handoff.cores.caps", "handoff.cores.kerf"],
        )
    ends = x[[0, -1]]
    out = heights(side.moved(0.5 * kerf + PAST), ends)
    return np.stack([x, y], axis=-1), np.stack([ends, out], axis=-1)

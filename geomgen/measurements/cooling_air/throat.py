"""The least section of a passage: planes turned and moved along it until they are least."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize

from geomgen.arrays import Floats
from geomgen.kernel.airways.least_section import RoughSection, Void, void_of
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.brep.planes import frame_round
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.openings.sealing import sealed_width
from geomgen.kernel.plain import Passage, Plane, Vec3, vec

# So many places along the passage are looked at first; the least is sought from the best of them
# and from the best of the passage's own planes.
STATIONS = 13
# A plane is turned by no more than this [tangent], first by `TURN`, and moved by `MOVE` [share].
MOST, TURN, MOVE = 1.7, 0.15, 0.1
# The search ends at steps of this tangent and area [mm2], or after so many sections. A plane so
# little askew measures too much by this share of the area (half its square).
SHARP, LEVEL, LOOKS = 0.02, 0.5, 60
ASKEW = SHARP**2 / 2


@dataclass(frozen=True)
class NarrowestSection:
    """The least section found: area [mm2], how far it may be off [mm2], its centroid [mm]."""

    area: float
    off: float
    at: Vec3


def looked_through(passage: Passage) -> Box:
    """Return the box [mm] in which sections of a passage lie."""
    where = (passage.mouth, *passage.throats)
    seeds, reach = np.array([o.seed for o in where]), max(o.reach for o in where)
    (a, b, c), (d, e, f) = (
        (seeds.min(axis=0) - reach).tolist(),
        (seeds.max(axis=0) + reach).tolist(),
    )
    return Box((a, b, c), (d, e, f))


def narrowest_section(passage: Passage, bodies: Mapping[str, Body]) -> NarrowestSection | None:
    """Return the least plane section between a passage's mouth and its last throat.

    Planes that leave the passage (through the mouth, past a wall) are none. None where no section
    is closed.
    """
    joint = max(o.joint for o in (passage.mouth, *passage.throats))
    void = void_of(looked_through(passage), list(bodies.values()), sealed_width(joint))
    line = _Line(passage)
    found = [each for start in _starts(void, line) for each in _least_from(void, line, *start)]
    if not found:
        return None
    least = min(found, key=lambda each: each.area)
    return NarrowestSection(least.area, least.off + LEVEL + ASKEW * least.area, least.centroid)


class _Line:
    """The seeds and normals of a passage's planes, by the share of the way between them."""

    def __init__(self, passage: Passage) -> None:
        where = (passage.mouth, *passage.throats)
        self._seeds = np.array([o.seed for o in where])
        normals = np.array([o.plane.normal for o in where])
        along = np.gradient(self._seeds, axis=0) if len(where) > 1 else normals
        self._normals = normals * np.where(np.sum(normals * along, axis=1) < 0, -1.0, 1.0)[:, None]
        steps = np.linalg.norm(np.diff(self._seeds, axis=0), axis=1)
        self.shares = np.r_[0.0, np.cumsum(steps)] / max(float(np.sum(steps)), 1e-9)

    def seed(self, share: float) -> Vec3:
        return vec(self._at(self._seeds, share))

    def normal(self, share: float) -> Vec3:
        way = self._at(self._normals, share)
        return vec(way / np.linalg.norm(way))

    def _at(self, rows: Floats, share: float) -> Floats:
        return np.array([np.interp(share, self.shares, column) for column in rows.T])


def _starts(void: Void, line: _Line) -> Iterator[tuple[float, Vec3]]:
    """Return where to begin: at the least of many planes along the way, and of its own."""
    for shares in (np.linspace(0, 1, STATIONS), line.shares):
        every = [(float(share), line.normal(float(share))) for share in shares]
        known = [void.section(line.seed(share), normal) for share, normal in every]
        areas = [np.inf if section is None else section.area for section in known]
        yield every[int(np.argmin(areas))]


def _least_from(void: Void, line: _Line, share: float, normal: Vec3) -> Iterator[RoughSection]:
    """Return the least section found by turning and moving a plane; none where all leak."""
    frame = _directions(line.seed(share), normal)
    seen: list[RoughSection] = []

    def area(x: Floats) -> float:
        at = float(np.clip(share + MOVE / TURN * x[2], 0.0, 1.0))
        turn = np.clip(x[:2], -MOST, MOST)
        way = np.array(normal) + turn @ frame
        section = void.section(line.seed(at), vec(way / np.linalg.norm(way)))
        if section is None:
            return np.inf
        seen.append(section)
        return section.area

    first = np.zeros((4, 3))
    first[1:] = TURN * np.eye(3)
    if share > 0.5:
        first[3, 2] = -TURN
    options = {"initial_simplex": first, "xatol": SHARP, "fatol": LEVEL, "maxfev": LOOKS}
    with np.errstate(invalid="ignore"):
        minimize(area, np.zeros(3), method="Nelder-Mead", options=options)
    if seen:
        yield min(seen, key=lambda each: each.area)


def _directions(seed: Vec3, normal: Vec3) -> Floats:
    """Return the two directions (2, 3) of a plane."""
    frame = frame_round(Plane(seed, normal), seed)
    return np.array([frame.across, frame.up])

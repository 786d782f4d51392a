"""What lies under the foot of a bolted plate: how much of it is backed, how far holes are in."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import pi, sqrt

import numpy as np
import shapely

from geomgen.arrays import Bools, Floats
from geomgen.errors import GeometryError
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.plain import BoltedPlate, FlatSheet, Vec3, vec
from geomgen.kernel.plane_frame import Frame, front_of_sheet
from geomgen.kernel.sections.section import regions
from geomgen.kernel.visibility.shadow import overhead

# A place of a foot is backed where structure stands under it within the stated gap and this [mm]:
# own choice, what a filled bond takes.
BOND = 0.2
# Outlines are followed within this of their edges [mm].
CHORD = 0.01
# Points of a foot, about; the grid is shifted off the edges of triangles.
POINTS, ASIDE = 4000, 0.37
# Rings round a bolt, in diameters from its middle, and looks round each.
RINGS = np.arange(0.55, 3.06, 0.05)
ROUND = 48


@dataclass(frozen=True)
class BoltHole:
    """One hole of a plate: its middle [mm] in the plate's plane and in space, its diameter [mm].

    In diameters [1]: `plate` how far its middle is inside the plate's edge, `host` inside the edge
    of what is under the foot, as far as was looked.
    """

    flat: tuple[float, float]
    at: Vec3
    diameter: float
    plate: float
    host: float


@dataclass(frozen=True)
class BackedFoot:
    """How much of a foot is backed [1], give or take `bound`; by each part; its holes.

    `bare` is a place in the middle of what is not backed, if any.
    """

    share: float
    bound: float
    by_part: dict[str, float]
    holes: tuple[BoltHole, ...]
    bare: Vec3 | None


def backed_foot(plate: BoltedPlate, body: Body, hosts: Mapping[str, Body], part: str) -> BackedFoot:
    """Return what is under the foot of a plate; GeometryError where its section is no plate."""
    face = front_of_sheet(FlatSheet(plate.plane, plate.up, plate.thickness))
    foot = face.moved(plate.gap)
    outline = _section(foot.moved(plate.thickness / 2), body, part)
    under = _Under(foot, plate, hosts)
    points, step = _grid(outline)
    seen = {name: under.backed(points, name) for name in hosts}
    backed = np.any([*seen.values(), np.zeros(len(points), dtype=bool)], axis=0)
    bound = outline.length * step / 4 / outline.area
    return BackedFoot(
        float(backed.mean()), bound,
        {name: float(own.mean()) for name, own in seen.items()},
        tuple(_holes(outline, foot, under)), _bare(points, backed, foot),
    )  # fmt: skip


def _section(frame: Frame, body: Body, part: str) -> shapely.Polygon:
    pieces = regions(frame, body.solid, part, CHORD)
    if len(pieces) != 1:
        raise GeometryError(f"its middle plane cuts it into {len(pieces)} pieces", part=part)
    return pieces[0].polygon()


def _grid(outline: shapely.Polygon) -> tuple[Floats, float]:
    """Return points (n, 2) of an outline on a square grid, and their spacing [mm]."""
    step = sqrt(outline.area / POINTS)
    low_x, low_y, high_x, high_y = outline.bounds
    x, y = np.meshgrid(
        np.arange(low_x + ASIDE * step, high_x, step), np.arange(low_y + ASIDE * step, high_y, step)
    )
    points = np.column_stack([x.ravel(), y.ravel()])
    return points[shapely.contains_xy(outline, points)], step


class _Under:
    """What is met under points of a foot, looking square to it from half-way up the plate."""

    def __init__(self, foot: Frame, plate: BoltedPlate, hosts: Mapping[str, Body]) -> None:
        self._above = foot.moved(plate.thickness / 2)
        self._down = vec(-np.array(foot.normal))
        self._least = plate.thickness / 2
        self._most = plate.thickness / 2 + plate.gap + BOND
        self._hosts = hosts

    def backed(self, points: Floats, name: str) -> Bools:
        """Say of each point (n, 2) whether a part stands under it within the gap, and not in it."""
        body = self._hosts[name]
        frame = self._above
        start = np.array(frame.origin) + points @ np.array([frame.across, frame.up])
        way = overhead(start, body.mesh.corners, self._down).distance
        slack = body.deviation
        return np.asarray((way >= self._least - slack - BOND) & (way <= self._most + slack))

    def any_backed(self, points: Floats) -> Bools:
        """Say of each point (n, 2) whether any part stands under it."""
        each = [self.backed(points, name) for name in self._hosts]
        return np.asarray(np.any([*each, np.zeros(len(points), dtype=bool)], axis=0))


def _holes(outline: shapely.Polygon, foot: Frame, under: _Under) -> Sequence[BoltHole]:
    edge = outline.exterior
    found = []
    turn = 2 * pi * (np.arange(ROUND) + ASIDE) / ROUND
    circle = np.column_stack([np.cos(turn), np.sin(turn)])
    for ring in outline.interiors:
        hole = shapely.Polygon(ring)
        middle, diameter = hole.centroid, 2 * sqrt(hole.area / pi)
        centre = np.array([middle.x, middle.y])
        looks = centre + (RINGS[:, None, None] * diameter) * circle
        whole = under.any_backed(looks.reshape(-1, 2)).reshape(len(RINGS), -1).all(axis=1)
        good = int(np.argmin(whole)) if not whole.all() else len(RINGS)
        found.append(
            BoltHole(
                (middle.x, middle.y), foot.lifted((middle.x, middle.y)), diameter,
                middle.distance(edge) / diameter, float(RINGS[good - 1]) if good else 0.0,
            )
        )  # fmt: skip
    return found


def _bare(points: Floats, backed: Bools, foot: Frame) -> Vec3 | None:
    if backed.all():
        return None
    bare = points[~backed]
    middle = bare.mean(axis=0)
    nearest = bare[np.linalg.norm(bare - middle, axis=1).argmin()]
    return foot.lifted((float(nearest[0]), float(nearest[1])))

"""The ground in every attitude: a letter for each, its line in a view, and all in one table."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin
from string import ascii_uppercase

import numpy as np

from geomgen.aircraft_drawings.on_wheels.stance import Stance, nose_up
from geomgen.arrays import Floats
from geomgen.drafting.record import Drawing, Point
from geomgen.drafting.tables import table
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Ground, Plane
from geomgen.verdicts.check import Check

CLEARANCE = "prop.ground_clearance."
# A ground that leans to the side by less than this is seen on edge from the side [1], a foot that
# is no further off a ground stands on it [mm].
ON_EDGE, ON = 1e-9, 1e-3


@dataclass(frozen=True)
class Attitude:
    """A ground by its letter; `up` is how far the nose is up over it [deg], `rolled` if it leans.

    `clearance` is the check of the propeller over it, where that is the least of its kind, `same`
    the letter of an earlier ground in the same plane.
    """

    letter: str
    ground: Ground
    rolled: bool
    clearance: Check | None
    same: str = ""

    @property
    def name(self) -> str:
        """Return what it is called."""
        return self.ground.name.replace("_", " ").replace(".", ", ").upper()

    @property
    def up(self) -> float:
        """Return how far the nose is up over it [deg]."""
        return nose_up(self.ground)


@dataclass(frozen=True)
class GroundLine:
    """A ground seen on edge: a point [mm of the view] and its direction [deg]."""

    through: Point
    way: float

    def at(self, run: float) -> Point:
        """Return the point so far along it [mm]."""
        turn = radians(self.way)
        return self.through[0] + run * cos(turn), self.through[1] + run * sin(turn)

    def run_to(self, across: float) -> float:
        """Return how far along it [mm] its point at `across` [mm of the view] is."""
        return (across - self.through[0]) / cos(radians(self.way))

    def meets(self, other: "GroundLine") -> Point | None:
        """Return where two lines meet [mm]; None where they run side by side."""
        a, b = radians(self.way), radians(other.way)
        turn = sin(b - a)
        if abs(turn) < ON_EDGE:
            return None
        dx, dy = other.through[0] - self.through[0], other.through[1] - self.through[1]
        return self.at((dx * sin(b) - dy * cos(b)) / turn)


def attitudes(model: Model, stance: Stance, checks: Sequence[Check]) -> list[Attitude]:
    """Return every ground with its letter, the one that it stands on first."""
    order = sorted(model.grounds, key=lambda ground: ground.name != stance.ground.name)
    right = stance.axes[1]
    found: list[Attitude] = []
    for letter, ground in zip(ascii_uppercase, order, strict=False):
        leans = abs(float(np.array(ground.plane.normal) @ right)) > ON_EDGE
        check = next((c for c in checks if _of(c, ground)), None)
        same = next((one.letter for one in found if _alike(one.ground.plane, ground.plane)), "")
        found.append(Attitude(letter, ground, leans, check, same))
    return found


def _alike(one: Plane, other: Plane) -> bool:
    turned = np.abs(np.subtract(one.normal, other.normal)).max()
    return bool(turned < ON_EDGE) and abs(_over(one.origin, other)) < ON


def _of(check: Check, ground: Ground) -> bool:
    """Say whether a check is that of the propeller over just this ground."""
    first = ground.name.split(".")[0]
    if check.id != f"{CLEARANCE}{first}" or len(check.points) != 2:
        return False
    return abs(_over(check.points[1], ground.plane)) < ON


def _over(point: Sequence[float] | Floats, plane: Plane) -> float:
    return float((np.array(point) - plane.origin) @ np.array(plane.normal))


def side_line(stance: Stance, attitude: Attitude) -> GroundLine:
    """Return the line of a ground that does not roll in the view from beside [mm]."""
    aft, _, up = stance.axes
    at = np.array(attitude.ground.plane.origin)
    return GroundLine((float(at @ aft), float(at @ up)), attitude.up - stance.nose_up)


def front_line(stance: Stance, attitude: Attitude) -> GroundLine:
    """Return the line of a ground in the view from ahead [mm], where it passes the mains."""
    _, right, up = stance.axes
    normal = np.array(attitude.ground.plane.normal)
    across = np.array(stance.mains.mean(axis=0))
    # Straight under the mean of the mains, as seen: along what is up.
    drop = _over(across, attitude.ground.plane) / float(normal @ up)
    foot = across - drop * up
    slope = float(normal @ right) / float(normal @ up)
    return GroundLine((float(-foot @ right), float(foot @ up)), np.degrees(np.arctan(slope)))


def listed(every: Sequence[Attitude], checks: Sequence[Check], letters: float) -> Drawing:
    """Return the table of all attitudes, its upper left corner at nought; `letters` [mm] high."""
    least = {check.id: check for check in checks if check.id.startswith(CLEARANCE)}
    rows: list[tuple[str, ...]] = []
    for one in every:
        check = least.get(f"{CLEARANCE}{one.ground.name.split('.')[0]}")
        clear = "-"
        if check is not None and check.measured is not None:
            clear = f"{'' if one.clearance else 'at least '}{check.measured:.1f} mm"
        if one.same:
            clear = f"as {one.same}"
        rows.append((one.letter, one.name, f"{round(one.up, 1) + 0.0:.1f}°", clear))
    head = ("", "GROUND", "NOSE UP", "PROPELLER")
    shown = len(head) if least else len(head) - 1
    cut = [row[:shown] for row in rows]
    return table((0.0, 0.0), "THE GROUND IN EACH ATTITUDE", head[:shown], cut, letters).drawing

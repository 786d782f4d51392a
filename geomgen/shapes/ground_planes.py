"""The plane that a machine stands on: tangent to its tyres from below, no wheel under it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, hypot, radians, sin

import numpy as np
from scipy.optimize import linprog

from geomgen.arrays import Floats
from geomgen.kernel.plain import Plane

# The touching points of round tyres move as the plane leans; they settle in a few turns.
TURNS = 30
SETTLED = 1e-12


@dataclass(frozen=True)
class Tyre:
    """A tyre as `primitives.wheel` builds it, its middle drawn up as it gives way [mm]."""

    station: float
    buttock_line: float
    waterline: float
    diameter: float
    width: float

    def lowest(self, normal: Floats) -> Floats:
        """Return the point (3,) [mm] of the tyre that is lowest along a unit normal (3,) [1].

        The tread is the arc of a circle over the width; beyond its ends the edge of the side wall.

        >>> Tyre(0.0, 0.0, 100.0, 200.0, 60.0).lowest(np.array([0.0, 0.0, 1.0])).tolist()
        [0.0, 0.0, 0.0]
        """
        radius, half = self.diameter / 2, self.width / 2
        crown = min(half, radius / 2)
        arc = (half**2 + crown**2) / (2 * crown)
        size = hypot(normal[0], normal[2])
        across = arc * normal[1]
        if abs(across) <= half:
            out, side = radius - arc + arc * size, -across
        else:
            out, side = radius - crown, -half if normal[1] > 0 else half
        down = np.array([-normal[0], 0.0, -normal[2]]) / size
        middle = np.array([self.station, self.buttock_line, self.waterline])
        return np.asarray(middle + out * down + np.array([0.0, side, 0.0]))


def resting(
    carry: Sequence[Tyre], weight: float, pitch: float | None = None, lifted: Sequence[Tyre] = ()
) -> Plane | None:
    """Return the ground plane under some tyres; None where they do not carry the machine.

    Of all planes that no tyre reaches through, the highest under the weight, which stands on the
    centre plane at the station `weight` [mm]. With a nose-up `pitch` [deg] given only the roll is
    free; `lifted` tyres carry nothing then, but the ground is not above them either. A machine
    that has wheels on one side of its weight alone falls over: no plane.
    """
    turn = radians(pitch or 0.0)
    fore, up = np.array([cos(turn), 0.0, sin(turn)]), np.array([-sin(turn), 0.0, cos(turn)])
    beside = np.array([0.0, 1.0, 0.0])
    normal = up
    for _ in range(TURNS):
        points = np.array([tyre.lowest(normal) for tyre in carry])
        if np.ptp(points[:, 1]) < 1.0:
            return None
        free = [points @ beside] if pitch is not None else [points @ beside, points @ fore]
        rows = np.stack([np.ones(len(points)), *free], axis=1)
        at = np.array([1.0, 0.0] if pitch is not None else [1.0, 0.0, weight])
        found = linprog(-at, rows, points @ up, bounds=(None, None), method="highs")
        if not found.success:
            return None
        lean = up - found.x[1] * beside - (0.0 if pitch is not None else found.x[2]) * fore
        lean = lean / np.linalg.norm(lean)
        settled = float(np.abs(lean - normal).max()) < SETTLED
        normal = lean
        if settled:
            break
    points = np.array([tyre.lowest(normal) for tyre in (*carry, *lifted)])
    foot = points[int(np.argmin(points @ normal))]
    x, y, z = (float(c) for c in foot)
    a, b, c = (float(v) for v in normal)
    return Plane((x, y, z), (a, b, c))

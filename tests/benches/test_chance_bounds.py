"""Machines by chance, each figure within the bound that stands beside it. Closed forms (DERIVED).

- engine.clearance: boxes, cylinders and balls beside a box, all turned together;
- prop.radial_clearance, prop.axial_clearance: balls and rods beside and ahead of a flat disc;
- parts.interference: balls and rods too large for the hollow that they stand in, so that the shared
  space is entered from all round, in the middle and off it; balls in a flat face.
Three or four of each fifty run by default, all of them with `-m long`.
"""

import math
import random

import numpy as np
import pytest
from asking import propeller_figures
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Pnt
from scipy.spatial.transform import Rotation
from surveyed_models import model_of, surveyed

from geomgen.kernel.brep.primitives import box, cylinder, ring, tilted, turned
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.fit.questions import MEETINGS, ROOMS

X = (1.0, 0.0, 0.0)
CHANCE = [*range(2), *(pytest.param(n, marks=pytest.mark.long) for n in range(2, 50))]
FEWER = [*range(2), *(pytest.param(n, marks=pytest.mark.long) for n in range(2, 50))]
# The kernel's own distances are exact to this [mm].
KERNEL = 1e-5


def ball(centre, radius):
    return BRepPrimAPI_MakeSphere(gp_Pnt(*map(float, centre)), radius).Solid()


def holds(found, due) -> None:
    assert found.error_bound is not None
    assert abs(found.value - due) <= found.error_bound + KERNEL


# Room round the engine ------------------------------------------------------------------------


def beside_a_box(rng, half):
    """Return a body beside a box about the origin, and how far it is from it [mm]."""
    kind, gap = rng.choice(("box", "rod", "ball")), rng.uniform(0.5, 60.0)
    way = np.array([rng.uniform(-1, 1) for _ in range(3)])
    if kind == "ball":
        centre = way * half * rng.uniform(1.1, 3.0) / np.abs(way).max()
        radius = max(float(np.linalg.norm(np.maximum(np.abs(centre) - half, 0.0))) - gap, 0.0)
        if radius < 2.0:
            radius = 2.0
        off = float(np.linalg.norm(np.maximum(np.abs(centre) - half, 0.0)))
        return ball(centre, radius), off - radius
    if kind == "rod":
        # Along x beside an edge or a face: as far as in its own plane.
        y, z = rng.uniform(0.0, 2.0) * half[1], half[2] + rng.uniform(30.0, 80.0)
        off = math.hypot(max(y - half[1], 0.0), z - half[2])
        radius = max(off - gap, 1.0)
        return cylinder((-50.0, y, z), X, radius, 100.0), off - radius
    low = np.array([rng.uniform(0.2, 1.5) for _ in range(3)]) * half
    face = int(np.argmax(low / half))
    low[face] = half[face] + gap
    return box(tuple(low), tuple(low + 40.0)), float(np.linalg.norm(np.maximum(low - half, 0.0)))


@pytest.mark.parametrize("seed", CHANCE)
def test_room_round_an_engine(seed) -> None:
    rng = random.Random(seed)
    half = np.array([rng.uniform(60.0, 200.0) for _ in range(3)])
    part, due = beside_a_box(rng, half)
    way = tuple(rng.uniform(-1, 1) for _ in range(3))
    place = (way, rng.uniform(0, 180), (500.0, rng.uniform(-300, 300), 100.0))
    parts = {
        "engine": turned(box(tuple(-half), tuple(half)), *place),
        "wing": turned(part, *place),
    }
    holds(surveyed(model_of(parts), 0.1, ROOMS)["engine.clearance"], due)


# Beside and ahead of the blades ---------------------------------------------------------------

TIP, HALF, MIDDLE = 650.0, 34.0, (3000.0, 0.0, 800.0)


def propeller(rng, parts):
    tilt = rng.uniform(-6.0, 6.0)
    turn = math.radians(tilt)
    axis = Axis(MIDDLE, (math.cos(turn), 0.0, -math.sin(turn)))
    every = {name: tilted(solid, MIDDLE, tilt) for name, solid in parts.items()}
    every["prop_disc"] = ring(axis, -HALF, HALF, 80.0, TIP)
    return propeller_figures(
        Model(parts=every, families={name: name for name in every}, thrust_line=axis)
    )


def at(off, radius, turn):
    """Return a point so far behind the disc's middle and off the shaft of a level propeller."""
    return (
        MIDDLE[0] + off,
        MIDDLE[1] + radius * math.cos(turn),
        MIDDLE[2] + radius * math.sin(turn),
    )


@pytest.mark.parametrize("seed", CHANCE)
def test_gaps_beside_and_ahead_of_blades(seed) -> None:
    """A ball or a rod along the shaft outside the tips; a ball ahead of the disc, within them."""
    rng = random.Random(seed)
    beside, gap, thick = rng.uniform(0, 2 * math.pi), rng.uniform(1.0, 120.0), rng.uniform(8, 60)
    centre = at(rng.uniform(-30.0, 30.0), TIP + gap + thick, beside)
    if rng.random() < 0.5:
        outside = ball(centre, thick)
    else:
        outside = cylinder((centre[0] - 400.0, *centre[1:]), X, thick, 800.0)
    room, size = rng.uniform(1.0, 150.0), rng.uniform(8.0, 60.0)
    ahead = ball(at(-HALF - room - size, rng.uniform(150.0, 550.0), rng.uniform(0, 6.28)), size)
    found = propeller(rng, {"boom": outside, "wing": ahead})
    holds(found["prop.radial_clearance"], gap)
    holds(found["prop.axial_clearance"], room)


# Parts in hollows that are too small for them -------------------------------------------------


def depth(parts, tolerance=0.2):
    return surveyed(model_of(parts), tolerance, MEETINGS)["parts.interference"]


@pytest.mark.parametrize("seed", FEWER)
def test_a_rod_in_a_bore_that_is_too_small(seed) -> None:
    """Tight on all sides, by as much as the radii differ and it stands off the middle.

    Its far side counts as well where it is nearer: all of it stays shallower than that.
    """
    rng = random.Random(seed)
    radius, tight = rng.uniform(20.0, 80.0), rng.uniform(0.6, 3.0)
    off, turn = rng.uniform(0.0, 0.8) * tight, rng.uniform(0, 2 * math.pi)
    long = rng.uniform(0.5, 3.0) * radius
    wide = radius + 60.0
    block = box((0, -wide, -wide), (long, wide, wide))
    bore = cylinder((-9, 0, 0), X, radius - tight, long + 18)
    start = (-20.0, off * math.cos(turn), off * math.sin(turn))
    parts = {
        "wing": cut(block, [bore], "wing", "bore"),
        "boom": cylinder(start, X, radius, long + 40.0),
    }
    holds(depth(parts), -(tight + off))


@pytest.mark.parametrize("seed", FEWER)
def test_a_ball_in_a_hollow_that_is_too_small(seed) -> None:
    """A hollow ball of wall, closed all round: the shared space is a shell."""
    rng = random.Random(seed)
    radius, tight = rng.uniform(15.0, 30.0), rng.uniform(0.6, 3.0)
    off = rng.uniform(0.0, 0.8) * tight
    way = Rotation.random(random_state=seed).apply([off, 0.0, 0.0])
    hollow = cut(
        box((-120, -120, -120), (120, 120, 120)),
        [ball((0, 0, 0), radius - tight)],
        "wing",
        "hollow",
    )
    holds(depth({"wing": hollow, "fin": ball(way, radius)}), -(tight + off))


@pytest.mark.parametrize("seed", FEWER)
def test_a_ball_in_a_flat_face(seed) -> None:
    rng = random.Random(seed)
    radius, deep = rng.uniform(15.0, 30.0), rng.uniform(0.6, 12.0)
    place = (
        tuple(rng.uniform(-1, 1) for _ in range(3)),
        rng.uniform(0, 180),
        (0.0, rng.uniform(-200, 200), 0.0),
    )
    block = turned(box((-200, -200, -200), (200, 200, 0)), *place)
    centre = (rng.uniform(-100, 100), rng.uniform(-100, 100), radius - deep)
    holds(depth({"wing": block, "fin": turned(ball(centre, radius), *place)}), -deep)

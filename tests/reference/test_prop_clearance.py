"""Clearances of a swept volume against closed forms of disc, cylinder, sphere and plane.

Source: elementary solid geometry; status DERIVED. Split into radial and axial as 14 CFR 23.925
does (PUBLISHED). Every figure comes by the questions that `geomgen check` asks.
"""

import math
from functools import cache

import numpy as np
import pytest
from asking import propeller_figures
from few_cases import few
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS_Shape

from geomgen.kernel.brep.primitives import box, cylinder, revolved, ring, tilted
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis, Ground, Plane
from geomgen.kernel.solids.booleans import fuse
from geomgen.measurements.propeller.swept import swept_volume

TIP, HOLE, HALF = 650.0, 60.0, 40.0
MIDDLE = (3000.0, 0.0, 800.0)
TILTS = [0.0, -6.0, pytest.param(3.0, marks=pytest.mark.long)]


def thrust(tilt: float = 0.0) -> Axis:
    turn = math.radians(tilt)
    return Axis(MIDDLE, (math.cos(turn), 0.0, -math.sin(turn)))


def placed(solid: TopoDS_Shape, tilt: float) -> TopoDS_Shape:
    """Turn a solid that was made about a level axis along with the thrust line."""
    return tilted(solid, MIDDLE, tilt) if tilt else solid


@cache
def disc(tilt: float) -> TopoDS_Shape:
    return ring(thrust(tilt), -HALF, HALF, HOLE, TIP)


def model(tilt: float = 0.0, **parts: TopoDS_Shape) -> Model:
    every = {"prop_disc": disc(tilt), **{n: placed(s, tilt) for n, s in parts.items()}}
    return Model(parts=every, families={n: n for n in every}, thrust_line=thrust(tilt))


def ball(x: float, y: float, z: float, radius: float) -> TopoDS_Shape:
    """Return a sphere at a place counted from the middle of the disc."""
    centre = gp_Pnt(MIDDLE[0] + x, MIDDLE[1] + y, MIDDLE[2] + z)
    return BRepPrimAPI_MakeSphere(centre, radius).Solid()


def rod(x: float, y: float, z: float, radius: float, length: float) -> TopoDS_Shape:
    """Return a cylinder along the axis from a place counted from the middle of the disc."""
    return cylinder((MIDDLE[0] + x, MIDDLE[1] + y, MIDDLE[2] + z), (1, 0, 0), radius, length)


def slab(x: tuple[float, float], y: tuple[float, float], z: tuple[float, float]) -> TopoDS_Shape:
    low, high = zip(x, y, z, strict=True)
    return box(tuple(np.add(low, MIDDLE)), tuple(np.add(high, MIDDLE)))


def both(m: Model):
    """Return the radial and the axial clearance."""
    found = propeller_figures(m)
    return found["prop.radial_clearance"], found["prop.axial_clearance"]


def radial(m: Model):
    return both(m)[0]


def axial(m: Model):
    return both(m)[1]


def ground(m: Model):
    every = propeller_figures(m).values()
    return [found for found in every if found.id.startswith("prop.ground_clearance")]


@pytest.mark.parametrize("tilt", TILTS)
def test_the_disc_itself(tilt: float) -> None:
    m = model(tilt)
    swept = swept_volume(m.parts["prop_disc"], m)
    measured = (swept.front, swept.back, swept.tip, swept.hole)
    assert measured == pytest.approx((-HALF, HALF, TIP, HOLE), abs=1e-6)
    assert propeller_figures(m)["prop.tip_radius"].value == pytest.approx(TIP, abs=1e-6)


@pytest.mark.parametrize("tilt", few(TILTS, 1))
@pytest.mark.parametrize("distance", few([900.0, 700.5, 690.0, 640.0], 1, 3))
def test_a_boom_along_the_axis(tilt: float, distance: float) -> None:
    m = model(tilt, boom=rod(-1500.0, distance * 0.8, distance * 0.6, 40.0, 3000.0))
    found = radial(m)
    assert found.value == pytest.approx(distance - 40.0 - TIP, abs=1e-6)
    assert found.part == "boom"
    a, b = found.points
    assert math.dist(a, b) == pytest.approx(abs(found.value), abs=1e-5)


@pytest.mark.parametrize("tilt", few(TILTS, 1))
def test_a_boom_through_the_disc_is_negative_both_ways(tilt: float) -> None:
    m = model(tilt, boom=rod(-1500.0, 0.0, 400.0, 40.0, 3000.0))
    off, deep = both(m)
    assert off.value == pytest.approx(360.0 - TIP, abs=1e-6)
    # It stands in the whole depth of the swept volume.
    assert deep.value == pytest.approx(-2 * HALF, abs=1e-6)
    assert "boom" in deep.note


@pytest.mark.parametrize("ahead", [0.0, 60.0, 75.0])
def test_a_ball_that_only_partly_stands_in_the_axial_range(ahead: float) -> None:
    """A ball is nearest where the slab's face cuts it: D - sqrt(r^2 - h^2)."""
    beyond = max(0.0, ahead - HALF)
    m = model(0.0, ball=ball(-ahead, 0.0, 800.0, 50.0))
    due = 800.0 - math.sqrt(50.0**2 - beyond**2) - TIP
    assert radial(m).value == pytest.approx(due, abs=1e-6)


def test_what_stands_ahead_of_the_range_is_no_matter_for_the_radial_gap() -> None:
    m = model(0.0, ball=ball(-100.0, 0.0, 400.0, 50.0), boom=rod(-500, 0, 900.0, 40.0, 1000.0))
    found = radial(m)
    assert found.value == pytest.approx(210.0, abs=1e-6)
    assert found.part == "boom"


@pytest.mark.parametrize("tilt", few(TILTS, 1))
@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_a_ball_ahead_or_behind(tilt: float, side: float) -> None:
    m = model(tilt, ball=ball(side * 200.0, 100.0, 300.0, 50.0), boom=rod(-900, 0, 900, 40, 1800))
    found = axial(m)
    assert found.value == pytest.approx(150.0 - HALF, abs=1e-6)
    assert found.part == "ball"
    a, b = found.points
    assert math.dist(a, b) == pytest.approx(found.value, abs=1e-4)


def test_a_ball_half_outside_the_tips_counts_where_it_is_inside() -> None:
    """Its centre is beyond the tips: aftmost inside them at h below it, sqrt(r^2 - h^2)."""
    m = model(0.0, ball=ball(-200.0, 0.0, TIP + 30.0, 50.0))
    assert axial(m).value == pytest.approx(160.0 - math.sqrt(50.0**2 - 30.0**2), abs=1e-5)


def test_a_part_that_reaches_into_the_front_counts_by_its_depth() -> None:
    m = model(0.0, stay=rod(-500.0, 0.0, 300.0, 10.0, 500.0 - HALF + 7.0))
    off, deep = both(m)
    assert deep.value == pytest.approx(-7.0, abs=1e-6)
    assert off.value == pytest.approx(290.0 - TIP, abs=1e-6)


def test_the_shaft_in_the_hub_does_not_count() -> None:
    m = model(0.0, shaft=rod(-300.0, 0.0, 0.0, 30.0, 600.0), boom=rod(-900, 0, 900, 40, 1800))
    off, deep = both(m)
    assert off.value == pytest.approx(210.0, abs=1e-6)
    assert deep.value is None


@pytest.mark.parametrize(
    "turn",
    [37.0, pytest.param(0.0, marks=pytest.mark.long), pytest.param(90.0, marks=pytest.mark.long)],
)
def test_an_arm_that_leaves_the_hub_among_the_blades_counts(turn: float) -> None:
    """From the shaft outwards in any direction: it begins at the hole's rim."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    arm = cylinder(MIDDLE, (0.0, c, s), 15.0, 300.0)
    shaft = rod(-300.0, 0.0, 0.0, 30.0, 600.0)
    m = model(0.0, shaft=fuse([shaft, arm], "shaft", "arm"))
    off, deep = both(m)
    assert off.value == pytest.approx(HOLE - TIP, abs=1.0)
    # Its own width is what it takes of the blades' range.
    assert deep.value == pytest.approx(-30.0, abs=1e-4)


def test_spinner_and_swept_volume_do_not_count_but_wheels_and_engine_do() -> None:
    parts = {
        "spinner": rod(-30.0, 0.0, 0.0, 80.0, 200.0),
        "wheel_tail": rod(-20.0, 0.0, -700.0, 30.0, 20.0),
        "engine": rod(-400.0, 0.0, 0.0, 100.0, 300.0),
    }
    off, deep = both(model(0.0, **parts))
    assert (off.part, off.value) == ("wheel_tail", pytest.approx(20.0, abs=1e-6))
    assert (deep.part, deep.value) == ("engine", pytest.approx(60.0, abs=1e-6))


def test_nothing_in_range_is_said_and_is_no_number() -> None:
    found = radial(model(0.0, ball=ball(-900.0, 0.0, 900.0, 50.0)))
    assert found.value is None
    assert found.note


@pytest.mark.parametrize("tilt", TILTS)
@pytest.mark.parametrize("pitch", [0.0, 12.0])
def test_height_over_the_ground(tilt: float, pitch: float) -> None:
    """A disc's lowest point: n.(c - o) - R sqrt(1 - (d.n)^2) - t |d.n|."""
    up = (math.sin(math.radians(-pitch)), 0.0, math.cos(math.radians(pitch)))
    origin = (1700.0, 0.0, -50.0)
    m = model(tilt)
    m.grounds = [Ground("static", Plane(origin, up))]
    slope = float(np.dot(thrust(tilt).direction, up))
    due = np.dot(np.subtract(MIDDLE, origin), up)
    due -= TIP * math.sqrt(1 - slope**2) + HALF * abs(slope)
    (found,) = ground(m)
    assert found.id == "prop.ground_clearance.static"
    assert found.value == pytest.approx(due, abs=1e-6)
    low, foot = found.points
    assert math.dist(low, foot) == pytest.approx(abs(due), abs=1e-5)


def test_a_tip_below_the_ground_is_negative_and_the_worst_flat_tyre_counts() -> None:
    m = model()
    m.grounds = [
        Ground("flat_tyre.main", Plane((0, 0, 100.0), (0, 0, 1))),
        Ground("flat_tyre.nose", Plane((0, 0, 180.0), (0, 0, 1)), "nose tyre flat"),
    ]
    (found,) = ground(m)
    assert found.id == "prop.ground_clearance.flat_tyre"
    assert found.value == pytest.approx(-30.0, abs=1e-6)
    assert found.note == "the least of 2: nose tyre flat"


def test_blades_that_flex_at_the_tips_are_measured_at_their_widest() -> None:
    """A ring with deeper tips than roots: front and back are those of the tips."""
    profile = [(-20.0, HOLE), (-HALF, TIP), (HALF, TIP), (20.0, HOLE)]
    m = model()
    m.parts["prop_disc"] = revolved(profile, thrust())
    swept = swept_volume(m.parts["prop_disc"], m)
    assert (swept.front, swept.back) == pytest.approx((-HALF, HALF), abs=1e-6)

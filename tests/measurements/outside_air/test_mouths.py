"""The air ahead of mouths: what is looked at, the slow layer, joints that it ran along."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from falling_surfaces import START, falling_surface
from plain_machines import SCOOP, WALL, about, box, climb, mouth, pipe, pod, wing

from geomgen.air.slow_layer.streamlines import SweptSurface
from geomgen.errors import ParameterError
from geomgen.measurements.outside_air import mouths
from geomgen.measurements.outside_air.askew import askew
from geomgen.measurements.outside_air.mouth_stand import mouth_stands
from geomgen.measurements.outside_air.mouths import in_wake, mouth_air, mouth_pressure
from geomgen.measurements.outside_air.skin import rim_pressure, surface
from geomgen.measurements.outside_air.states import solved_machine

LONG, WIDE, SPEED = 1500.0, 350.0, 25.0
CALM = climb(thrust=0.0, through=0.0)
STAND = about(winged=False).stands["scoop_a_right"]


@pytest.fixture(scope="module")
def scooped():
    """A pod that is open behind with a scoop each side, no wing."""
    return solved_machine(about(winged=False), 0.8)


def looked_at(machine, trip=None, state=CALM, which=None, stand=STAND):
    flow = machine.flow(state, 0.0)
    over = surface(machine.outside, flow)
    return mouth_air(machine.outside, flow, over, which or mouth(), stand, trip)


def test_mouth_is_looked_at_on_the_skin_ahead_of_it(scooped):
    found = looked_at(scooped)
    skin = WIDE * np.sqrt(1 - (SCOOP[0][0] / LONG) ** 2)
    assert found.gap == pytest.approx(0.0, abs=0.1)
    # The corner inside its walls, which is farthest from the axis; the strips are 5 mm broad.
    corner = np.hypot(SCOOP[1][1] - WALL, SCOOP[1][2] - WALL)
    assert found.height == pytest.approx(corner - skin, abs=0.6)
    ahead = SCOOP[0][0] - found.at[0]
    assert 1.0 * found.height < ahead < 3.0 * found.height
    assert found.pressure == pytest.approx(1 - found.speed**2, abs=1e-6)
    assert found.why == ""
    least, best, most = found.slow
    assert 0.0 <= least <= best <= most < 1.0
    assert found.thick_band[0] <= found.thick <= found.thick_band[1]
    assert 1.0 < found.thick < 40.0
    assert any("followed back to where it comes to rest" in word for word in found.words)


def test_layer_goes_with_a_power_of_the_speed_between_those_of_both_kinds(scooped):
    """Laminar ones with the root, turbulent ones with the fifth; the pressure is that of any."""
    slow, fast = (
        looked_at(scooped, None, climb(speed=v, thrust=0.0, through=0.0)) for v in (3.0, 6.0)
    )
    assert slow.pressure == pytest.approx(fast.pressure, abs=1e-9)
    assert 2**0.2 < slow.thick / fast.thick < 2**0.5


def test_step_in_the_skin_ahead_of_the_mouth_makes_the_layer_thicker(scooped):
    """The step's station counts as such, not as a length along the air's line."""
    free, early, late = (looked_at(scooped, trip) for trip in (None, -1400.0, -300.0))
    assert early.thick > late.thick > free.thick
    behind = looked_at(scooped, SCOOP[0][0] + 50.0)
    assert behind.thick == pytest.approx(free.thick, rel=1e-12)


def test_mouth_without_panels_is_not_looked_at(scooped):
    other = replace(mouth(), name="scoop_b_right")
    assert looked_at(scooped, which=other) is None
    assert mouth_pressure(scooped.outside, scooped.flow(CALM, 0.0), other, STAND) is None


def test_mouth_whose_opening_can_t_be_measured_is_not_looked_at(scooped):
    assert looked_at(scooped, stand=None) is None
    assert mouth_pressure(scooped.outside, scooped.flow(CALM, 0.0), mouth(), None) is None


def test_mouth_where_no_line_can_be_followed_is_told_without_one(scooped, monkeypatch):
    def none(surface, places):
        return [ParameterError("the air stands at this place: no line leads there") for _ in places]

    monkeypatch.setattr(mouths, "upstreams", none)
    found = looked_at(scooped)
    assert (found.slow, found.left.length) == (None, None)
    assert "stands" in found.why
    assert "stands" in found.left.why


def test_propeller_pulls_a_little_on_the_mouths_of_a_machine_that_stands(scooped):
    state = climb(speed=0.0, lift=0.0, thrust=500.0, through=0.0)
    flow = scooped.flow(state, 0.0)
    at_mouth = mouth_pressure(scooped.outside, flow, mouth(), STAND)
    assert rim_pressure(scooped.outside, flow) < at_mouth < 0.0


@cache
def second_mouth(front):
    """Return what is told of a mouth that stands at 500 mm behind another scoop, or alone."""
    low, high = (500.0, 280.0, -60.0), (800.0, 420.0, 60.0)
    bare = about(scoops=False, winged=False)
    meshes = {**bare.meshes, "scoop_b_right": pipe(low, high)}
    if front:
        meshes["scoop_a_right"] = box(*front)
    families = {name: name.split("_")[0] for name in meshes}
    own = replace(mouth(ahead=500.0), name="scoop_b_right")
    machine = solved_machine(replace(bare, meshes=meshes, families=families, mouths=[own]), 1.0)
    (stand,) = mouth_stands([own], meshes, families)[0].values()
    return looked_at(machine, which=own, stand=stand)


def test_mouth_in_the_wake_of_another_scoop_is_not_told_a_thin_layer():
    """Broken on purpose: behind a blunt body the air has left the skin, or its layer is thick."""
    alone_ = second_mouth(None)
    behind = second_mouth(((-300.0, 280.0, -90.0), (100.0, 450.0, 90.0)))
    assert alone_.thick_band[1] is not None
    assert behind.thick_band[1] is None
    assert behind.slow[2] == 1.0
    assert any("leaves the surface" in word for word in behind.words)
    assert alone_.left.length == 0.0
    assert behind.left.length > 0.0
    assert behind.left.at[0] < 500.0


def test_air_that_comes_off_another_part_brings_no_fresh_layer(scooped):
    """A plate's line begins at its border, where the layer may be of any thickness."""
    found = mouth_air(
        scooped.outside,
        scooped.flow(CALM, 0.0),
        shifted(falling_surface(0.0), looked_at(scooped).at),
        *(mouth(), STAND, None),
    )
    assert found.thick_band[1] is None
    assert found.slow[2] == 1.0
    assert any("off another part" in word for word in found.words)


def behind_wing(at):
    """Return what is told of a mouth behind the trailing edge of a wing at a waterline [mm]."""
    low, high = (680.0, 260.0, -60.0), (950.0, 390.0, 60.0)
    meshes = {"pod": pod(), "wing": wing(0.1, 600.0, at=(-100.0, at))}
    meshes["scoop_b_right"] = pipe(low, high)
    families = {name: name.split("_")[0] for name in meshes}
    own = replace(mouth(ahead=low[0]), name="scoop_b_right")
    machine = about(meshes=meshes, families=families, mouths=[own])
    stand = machine.stands[own.name]
    return looked_at(solved_machine(machine, 0.6), which=own, stand=stand)


def test_mouth_behind_the_joint_of_a_wing_is_told_between_a_new_layer_and_both_together():
    """The pod's own layer and the wing root's by the law of a plate lie within its band."""
    beside, clear = behind_wing(0.0), behind_wing(900.0)
    assert any("along the joint of the wing" in word for word in beside.words)
    assert not any("joint" in word for word in clear.words)
    low, high = beside.thick_band
    assert low < 0.5 * clear.thick_band[0]
    assert high is None or high > clear.thick_band[1]
    assert beside.slow[2] >= clear.slow[2]


def test_behind_a_separation_the_pressure_rises_no_further():
    """A step in the outer speed that no layer stays on: it is told as it was where it left."""
    flat = second_mouth(((-300.0, 280.0, -90.0), (100.0, 450.0, 90.0)))
    assert flat.pressure == pytest.approx(1 - flat.speed**2, abs=0.02)
    assert flat.slow[0] <= flat.slow[1] == pytest.approx(0.5 * (flat.slow[0] + 1.0))


def test_doubtful_panels_ahead_of_a_mouth_are_passed_over(scooped):
    flow = scooped.flow(CALM, 0.0)
    usual = looked_at(scooped)
    spots = scooped.outside.panels.spots
    there = int(np.linalg.norm(spots - np.array(usual.at), axis=1).argmin())
    assert not flow.doubtful[there]
    doubtful, wild = flow.doubtful.copy(), flow.velocity.copy()
    doubtful[there] = True
    wild[there] *= 5.0
    cut = replace(flow, doubtful=doubtful, velocity=wild)
    found = mouth_air(scooped.outside, cut, surface(scooped.outside, flow), mouth(), STAND, None)
    assert found.at != usual.at
    assert found.pressure == pytest.approx(usual.pressure, abs=0.15)


def shifted(over, at):
    """Return a plate whose middle lies at a place [mm]."""
    points = over.points - np.array([START + 500.0, 0.0, 0.0]) + np.array(at)
    return SweptSurface.of(points, over.normals, over.speeds)


def test_mouth_in_the_wake_of_a_leg_may_have_all_slow_air(scooped):
    found = looked_at(scooped)
    waked = in_wake(found, ["leg_main_right"])
    assert waked.thick_band == (found.thick_band[0], None)
    assert waked.slow == pytest.approx((found.slow[0], 0.5 * (found.slow[0] + 1.0), 1.0))
    assert "in the wake of leg_main_right" in waked.words[-1]
    assert in_wake(found, []) == found


def test_the_angle_counts_from_the_way_into_the_mouth(scooped):
    """Along the skin, by the ellipse's own slope; past a mouth that looks aside and out of one.

    The skin is looked at a little ahead, where the panels' slope is that of a chord.
    """
    plain = mouth()
    found = looked_at(scooped)
    x = found.at[0]
    slope = WIDE / LONG * -x / np.sqrt(LONG**2 - x**2)
    assert found.angle == pytest.approx(abs(np.degrees(np.arctan(slope))), abs=1.5)
    back = replace(plain, plane=replace(plain.plane, normal=(-1.0, 0.0, 0.0)))
    assert looked_at(scooped, which=back).angle > 170.0


def test_the_panels_of_the_pod_see_a_mouth_beside_the_air_at_a_right_angle():
    speed = np.array([25.0, 0.0, 0.0])
    assert askew(speed, np.array([0.0, 1.0, 0.0])) == 90.0
    assert askew(-speed, np.array([1.0, 0.0, 0.0])) == 180.0
    assert askew(speed, np.array([1.0, 0.0, 0.0])) == 0.0

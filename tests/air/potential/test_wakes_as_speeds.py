"""Wakes felt as speeds: the same far off, bounded where they cut through a body."""

from dataclasses import replace

import numpy as np
import pytest
from plain_machines import ellipsoid, wing

from geomgen.air.paneling.machine import outside
from geomgen.air.potential.attack import stream
from geomgen.air.potential.onsets import AFT, UP
from geomgen.air.potential.solution import solved
from geomgen.air.potential.wakes import wake, wash, washed_by

AXES = (1500.0, 350.0, 350.0)


def panels_of(level, fineness=0.7):
    """Return the panels of a pod behind a wing at a waterline [mm]."""
    meshes = {"pod": ellipsoid(AXES, (500.0, 0.0, 0.0)), "wing": wing(at=(-600.0, level))}
    return outside(meshes, {"pod": "pod", "wing": "wing"}, [], False, 0.3, fineness).panels


def pressures(level, washed, fineness=0.7):
    """Return pressure coefficients on the pod at 4 deg of attack, and its panels."""
    panels = panels_of(level, fineness)
    flow = solved(panels, [AFT, UP], washed=washed).flow(stream(1.0, 4.0))
    return flow.coefficients()[panels.of("pod")], flow


def straight(at, a, b):
    """Return the speed at a point of a straight vortex of strength 1 from a to b, by its angles."""
    r1, r2, r0 = at - a, at - b, b - a
    turn = np.cross(r1, r2)
    along = r0 @ (r1 / np.linalg.norm(r1) - r2 / np.linalg.norm(r2))
    return turn / (turn @ turn) * along / (4 * np.pi)


def test_body_far_from_the_wake_feels_the_same_either_way():
    by_potential, _ = pressures(3000.0, ())
    by_speed, _ = pressures(3000.0, ("pod",))
    off = np.abs(by_potential - by_speed)
    assert np.sqrt((off**2).mean()) < 0.01
    assert np.quantile(off, 0.95) < 0.01


@pytest.mark.long
def test_finer_panels_bring_both_ways_together():
    off = []
    for fineness in (0.6, 1.2):
        both = [pressures(1500.0, washed, fineness)[0] for washed in ((), ("pod",))]
        off.append(np.sqrt(((both[0] - both[1]) ** 2).mean()))
    assert off[1] < 0.6 * off[0]


def test_wing_lifts_as_much_either_way():
    flows = [pressures(800.0, washed)[1] for washed in ((), ("pod",))]
    assert flows[0].jumps == pytest.approx(flows[1].jumps, rel=0.01)


@pytest.mark.parametrize("level", [0.0, 120.0, 330.0])
def test_body_that_the_wake_cuts_keeps_bounded_speeds(level):
    """A slender body at 4 deg of attack has no speed of twice the stream's anywhere."""
    found, flow = pressures(level, ("pod",))
    assert np.isfinite(flow.velocity).all()
    assert found.max() <= 1.0
    assert found.min() > -3.0
    assert np.quantile(found, 0.1) > -1.2


def test_speeds_are_those_of_the_vortices_round_the_strips():
    panels = panels_of(800.0, 0.5)
    trail = wake(panels, np.array([1.0, 0.0, 0.0]), 1, ("pod",))
    who = washed_by(panels, trail, ("pod",))
    found = wash(panels, trail, who, 1)
    row = int(np.flatnonzero(panels.of("pod"))[10])
    for strip in (0, len(trail) - 1):
        at, due = panels.spots[row], np.zeros(3)
        for side in (1.0, -1.0):
            mirror = np.array([1.0, side, 1.0])
            for ring in trail.corners[trail.strip == strip]:
                each = [straight(at, ring[k] * mirror, ring[k - 3] * mirror) for k in range(4)]
                due += side * np.sum(each, axis=0)
        assert np.abs(found[row, :, strip]) == pytest.approx(np.abs(due), rel=0.02, abs=1e-9)
        sign = np.sign(found[row, 2, strip] * due[2])
        assert found[row, :, strip] == pytest.approx(sign * due, rel=0.02, abs=1e-9)


def test_lifting_wing_washes_down_on_what_follows_it():
    _, flow = pressures(0.0, ("pod",))
    panels = flow.panels
    behind = panels.of("pod") & (panels.spots[:, 0] > 600.0) & (panels.spots[:, 1] < 100.0)
    added = flow.onset[behind, 2] - flow.still[behind, 2]
    assert (added < 0).all()
    # No more than what the lift's circulation does over its own span, twice over.
    assert np.abs(added).max() < 0.5


def test_only_named_bodies_take_others_wakes():
    panels = panels_of(800.0, 0.5)
    trail = wake(panels, np.array([1.0, 0.0, 0.0]), 1)
    assert not washed_by(panels, trail, ()).any()
    assert not washed_by(panels, trail, ("nobody",)).any()
    own = washed_by(panels, trail, ("pod", "wing"))
    assert own[panels.of("pod")].all()
    assert not own[panels.of("wing")].any()
    assert not wash(panels, trail, washed_by(panels, trail, ()), 1).any()


def test_vortex_in_a_panel_has_a_core_of_its_size():
    """However near a strip's edge passes, the speed stays below that at half the panel's size."""
    panels = panels_of(0.0, 0.5)
    trail = wake(panels, np.array([1.0, 0.0, 0.0]), 1, ("pod",))
    spots = panels.spots[panels.of("pod")][::7]
    # A wake whose edges pass a hundredth of a millimetre beside what is asked.
    nearly = spots[: len(trail), None, :] + np.array([[-500.0, 0.01, 0.0], [-500.0, 60.0, 0.0]])
    corners = np.concatenate([nearly, nearly[:, ::-1] + np.array([900.0, 0.0, 0.0])], axis=1)
    trail = replace(trail, corners=corners, strip=np.arange(len(corners)))
    found = wash(panels, trail, washed_by(panels, trail, ("pod",)), 1)
    speeds = np.linalg.norm(found, axis=1).max(axis=1)
    most = 4.0 / (2 * np.pi * 0.5 * panels.whole.diameters)
    assert (speeds <= most).all()

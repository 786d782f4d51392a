"""The actuator disc against momentum theory and the vortices it is made of.

Sources: Rankine and Froude's momentum theory (any text on propellers; DERIVED); the speed on the
axis of a tube of ring vortices, closed (DERIVED); Biot and Savart's law by quadrature.
"""

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest
from air_bodies import body
from scipy.integrate import quad

from geomgen.air.potential.disc import Disc, head_of, narrowing, shares, tube_speeds
from geomgen.air.potential.loads import pressure_loads
from geomgen.air.potential.onsets import AFT
from geomgen.air.potential.solution import solved

DISC = Disc("propeller", (0.0, 0.0, 0.0), 800.0)
# How much more air passes at most through a narrowing tube than through its disc [1], by its area
# far behind. Flown ones keep to 0.8; the narrowest stands still.
MORE_AIR = {0.9: 0.02, 0.8: 0.05, 0.7: 0.1, 0.6: 0.18, 0.5: 0.29}


def test_on_the_axis() -> None:
    """u0 (1 + x / sqrt(x^2 + R^2))."""
    x = np.linspace(-4000.0, 4000.0, 9)
    found = DISC.at(np.stack([x, 0 * x, 0 * x], axis=1))
    assert found[:, 0] == pytest.approx(1 + x / np.sqrt(x**2 + 800.0**2), abs=1e-12)
    assert np.abs(found[:, 1:]).max() == 0.0


def by_quadrature(x, r):
    """Return both speeds of the tube: rings summed along it closed, round it by quadrature."""

    def piece(turn, out):
        y, z = r - np.cos(turn), -np.sin(turn)
        side = y * y + z * z
        if out:
            return -np.cos(turn) / sqrt(x * x + side)
        return -(np.sin(turn) * z + np.cos(turn) * y) * (1 + x / sqrt(x * x + side)) / side

    return [quad(piece, 0, pi, args=(out,), limit=300)[0] / pi for out in (False, True)]


@pytest.mark.parametrize(
    ("x", "r"), [(-0.5, 0.01), (0.3, 0.5), (-1.0, 0.8), (0.7, 1.3), (2.0, 0.9), (0.1, 1e-3)]
)
def test_off_the_axis(x, r) -> None:
    found = [float(part[0]) for part in tube_speeds(np.array([x]), np.array([r]))]
    assert found == pytest.approx(by_quadrature(x, r), abs=1e-8)


def test_the_same_air_passes_everywhere() -> None:
    """What flows through the disc and through a wide ring round it goes on behind: no sources."""
    r = np.sqrt(np.linspace(0, 1, 4001))
    middle = np.sqrt(0.5 * (r[1:] ** 2 + r[:-1] ** 2))
    through = [tube_speeds(np.full_like(middle, x), middle)[0].mean() for x in (0.0, 60.0)]
    assert through == pytest.approx([1.0, 2.0], abs=2e-3)


@pytest.mark.parametrize("speed", [0.0, 30.0])
def test_momentum(speed) -> None:
    """T = 2 rho A (V + u) u, half of what is added far behind; on the spot sqrt(T / 2 rho A)."""
    strength = DISC.strength(700.0, speed, 1.2)
    area = pi * 0.8**2
    passed = 1.2 * area * (speed + strength)
    assert passed * 2 * strength == pytest.approx(700.0)
    assert DISC.thrust(strength, speed, 1.2) == pytest.approx(700.0)
    if speed == 0:
        assert strength == pytest.approx(sqrt(700.0 / (2 * 1.2 * area)))


def test_far_behind_the_pressure_is_that_of_still_air() -> None:
    """The rise of total head and the speed of the slipstream make up for each other."""
    small = body(8, 8, (20.0, 5.0, 5.0), at=(40000.0, 0.0, 0.0))
    flow = solved(small, [AFT, DISC]).flow({"aft": 30.0, "propeller": 3.0})
    front = flow.coefficients(36.0)
    alone = solved(small, [AFT]).flow({"aft": 36.0})
    assert front == pytest.approx(alone.coefficients(36.0), abs=2e-3)


def test_a_body_ahead_of_the_disc_is_drawn_back() -> None:
    """A source and the flow it is in: a small body of volume v bears rho v (1 + k) u du/dx.

    G. I. Taylor 1928 (MEMORY); a sphere has 1 + k = 3/2.
    """
    a, x = 40.0, -1200.0
    ball = body(16, 16, (a, a, a), at=(x, 0.0, 0.0))
    flow = solved(ball, [AFT, DISC]).flow({"aft": 30.0, "propeller": 3.0})
    still = solved(ball, [AFT]).flow({"aft": 30.0})
    forces = [pressure_loads(f, 1.2, (x, 0.0, 0.0)).force[0] for f in (flow, still)]
    slope = 3.0 * 800.0**2 / (x * x + 800.0**2) ** 1.5 * 1000  # [1/s]
    speed = 30.0 + 3.0 * (1 + x / sqrt(x * x + 800.0**2))
    volume = 4 / 3 * pi * a**3 * 1e-9
    assert forces[0] - forces[1] == pytest.approx(1.2 * volume * 1.5 * speed * slope, rel=0.05)


@pytest.mark.parametrize(("speed", "added"), [(0.0, 9.0), (20.0, 5.0), (23.0, 4.0), (40.0, 0.5)])
def test_as_much_air_far_behind_as_at_the_disc(speed, added):
    """(V + u) A = (V + 2 u) A', so A' / A is (V + u) / (V + 2 u): a half standing still."""
    each = shares(added, speed)
    assert sum(each.values()) == pytest.approx(added, rel=1e-12)
    narrowed = sum(area * share for area, share in each.items()) / added
    assert narrowed == pytest.approx((speed + added) / (speed + 2 * added), rel=1e-12)
    assert len(each) <= 2
    assert max(each) - min(each) <= 0.1 + 1e-12
    edge = 800.0 * np.sqrt(min(each))
    just = np.array([[1e5, 0.999 * edge, 0.0], [1e5, 1.001 * 800.0 * np.sqrt(max(each)), 0.0]])
    found = sum(s * replace(DISC, far=area).at(just) for area, s in each.items())
    assert found[:, 0] == pytest.approx([2 * added, 0.0], abs=1e-3 * added)


@pytest.mark.parametrize("far", MORE_AIR)
def test_as_much_air_all_along_a_narrowing_slipstream(far):
    """Stations all along it, each over what the slipstream holds there: (V + u) A within a bound.

    A straight tube at the load of 0.8 has a sixth more a radius behind, in the end a quarter more.
    """
    disc, stream = replace(DISC, far=far), (2 * far - 1) / (1 - far)
    r = 800.0 * np.sqrt((np.arange(4000) + 0.5) / 4000)
    for x in (1e-3, 80.0, 200.0, 400.0, 800.0, 1600.0, 4000.0, 2e4):
        points = np.stack([np.full_like(r, x), 0 * r, r], axis=1)
        held = disc.behind(points)
        air = (stream + disc.at(points)[held, 0]).sum() / 4000 / (stream + 1.0)
        assert 1.0 - 0.006 < air < 1.0 + MORE_AIR[far]
    assert not disc.behind(np.array([[-1.0, 0.0, 0.0]]))[0]
    ahead = np.stack([np.full_like(r, -1e-6), 0 * r, r], axis=1)
    assert disc.at(ahead)[:, 0].mean() == pytest.approx(1.0, abs=2e-3)


@pytest.mark.parametrize("far", [0.9, 0.5])
def test_a_narrowing_slipstream_has_neither_sources_nor_turning_off_its_edge(far):
    """Central differences, inside and outside of it and ahead."""
    disc, step = replace(DISC, far=far), 0.5
    points = np.array([[300.0, 200, 100], [-250, 500, 300], [500, 900, 50], [1500, 0, 300.0]])
    slope = np.zeros((len(points), 3, 3))
    for axis, off in enumerate(np.eye(3) * step):
        slope[:, axis] = (disc.at(points + off) - disc.at(points - off)) / (2 * step) * 800.0
    assert np.abs(np.trace(slope, axis1=1, axis2=2)).max() < 1e-4
    assert np.abs(slope - slope.transpose(0, 2, 1)).max() < 1e-4
    assert np.abs(slope).max() > 0.1


def test_a_light_load_leaves_the_slipstream_straight():
    x = np.linspace(-900.0, 900.0, 7)
    points = np.stack([x, 0.4 * x, 250.0 + 0 * x], axis=1)
    straight = DISC.at(points)
    assert (replace(DISC, far=1.0).at(points) == straight).all()
    gaps = []
    for added in (1.0, 0.1, 0.01):
        found = sum(s * replace(DISC, far=far).at(points) for far, s in shares(added, 30.0).items())
        gaps.append(np.abs(found / added - straight).max())
    assert gaps[0] > 5e-3
    assert gaps[1:] == pytest.approx([0.1 * gaps[0], 0.01 * gaps[0]], rel=0.1)
    assert shares(0.0, 30.0) == {}


@pytest.mark.parametrize("added", [3.0, 5.5])
def test_shares_of_one_propeller_far_behind_make_up_for_each_other(added):
    """Total head and speed of a slipstream drawn as shares of two: as much as of one."""
    small = body(8, 8, (20.0, 5.0, 5.0), at=(40000.0, 0.0, 0.0))
    each = {f"propeller {far:g}": share for far, share in shares(added, 30.0).items()}
    assert len(each) == 2
    flow = solved(small, [AFT, *narrowing(DISC)]).flow({"aft": 30.0, **each})
    alone = solved(small, [AFT]).flow({"aft": 30.0 + 2 * added})
    found = flow.coefficients(30.0 + 2 * added)
    assert found == pytest.approx(alone.coefficients(), abs=2e-3)
    outside = np.array([[40000.0, 820.0, 0.0], [40000.0, 0.0, 5.0], [-100.0, 0.0, 0.0]])
    assert head_of(flow.onsets, outside) == pytest.approx([0.0, 2 * (30 + added) * added, 0.0])

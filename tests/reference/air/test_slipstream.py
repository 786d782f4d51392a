"""The actuator disc against momentum theory and the vortices it is made of.

Sources: Rankine and Froude's momentum theory (any text on propellers; DERIVED); the speed on the
axis of a tube of ring vortices, closed (DERIVED); Biot and Savart's law by quadrature.
"""

from math import pi, sqrt

import numpy as np
import pytest
from air_bodies import body
from scipy.integrate import quad

from geomgen.air.potential.disc import Disc, tube_speeds
from geomgen.air.potential.loads import pressure_loads
from geomgen.air.potential.onsets import AFT
from geomgen.air.potential.solution import solved

DISC = Disc("propeller", (0.0, 0.0, 0.0), 800.0)


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

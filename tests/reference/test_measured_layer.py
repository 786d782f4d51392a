"""A measured turbulent layer in a slowing stream: Ludwieg and Tillmann's milder one.

PUBLISHED: NACA TM 1285; as flow 1100 in D. E. Coles and E. A. Hirst, Computation of Turbulent
Boundary Layers, 1968 AFOSR-IFP-Stanford Conference, vol. 2 (read in others' copies of its tables).
The stream was not quite two-dimensional: what it measured of shape and friction, put into the
balance of momentum, gives 27 % less thickness at the end than it measured. So thickness is held to
that balance.
"""

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from geomgen.air.slow_layer import turbulent
from geomgen.air.slow_layer.edge_speed import EdgeSpeed

VISCOSITY = 1.55e-5
# Stations [m], speeds [m/s], their slopes [1/s], momentum thicknesses [mm], shapes, friction.
ROWS = np.array(
    [
        (0.782, 33.90, -2.30, 2.760, 1.3811, 0.00285),
        (1.282, 32.60, -3.35, 4.128, 1.3941, 0.00249),
        (1.782, 30.70, -4.32, 6.059, 1.4022, 0.00221),
        (2.282, 28.60, -3.58, 8.108, 1.4269, 0.00205),
        (2.782, 27.10, -3.00, 10.736, 1.4572, 0.00180),
        (3.132, 26.05, -2.74, 12.761, 1.4848, 0.00168),
        (3.332, 25.75, -2.60, 14.325, 1.4924, 0.00162),
        (3.532, 24.85, -2.50, 16.139, 1.5186, 0.00150),
        (3.732, 24.50, -2.40, 17.733, 1.5423, 0.00141),
        (3.932, 24.05, -2.30, 20.046, 1.5657, 0.00133),
        (4.132, 23.60, -2.25, 22.458, 1.5941, 0.00124),
        (4.332, 23.10, -2.18, 25.276, 1.6179, 0.00117),
    ]
)
AT, SPEED, SLOPE, MOMENTUM, SHAPE, FRICTION = ROWS.T


@pytest.fixture(scope="module")
def run():
    """Return momentum thicknesses [mm] and shapes at the stations, by entrainment."""
    stations = 1000 * (AT - AT[0])
    edge = EdgeSpeed.of(stations, SPEED / SPEED[0], speed=SPEED[0], viscosity=VISCOSITY).fine()
    found = turbulent.run(edge, MOMENTUM[0], SHAPE[0])
    assert found.leaves is None
    at = edge.stations[: len(found.thicknesses)]
    drawn = np.interp(stations, at, found.entrainments)
    return np.interp(stations, at, found.thicknesses), np.array([turbulent.shape(h) for h in drawn])


def balance():
    """Return momentum thicknesses [mm] by the balance of momentum with what was measured."""
    shape, friction, speed, slope = (
        CubicSpline(AT, each) for each in (SHAPE, FRICTION, SPEED, SLOPE)
    )
    x = np.linspace(AT[0], AT[-1], 4000)
    grown = [MOMENTUM[0] / 1000]
    for a, b in zip(x[:-1], x[1:], strict=True):
        rate = friction(a) / 2 - (shape(a) + 2) * grown[-1] * slope(a) / speed(a)
        grown.append(grown[-1] + (b - a) * float(rate))
    return 1000 * np.interp(AT, x, grown)


def test_shape_stays_with_what_was_measured(run):
    """Worst measured: 3.4 %; it did not leave the surface, nor is it said that it might."""
    assert run[1] == pytest.approx(SHAPE, rel=0.04)
    assert run[1].max() < turbulent.MAY_LEAVE


def test_thickness_is_that_of_the_balance_of_momentum(run):
    """Worst measured: 4.2 %; against the thickness as measured it is 27 % less at the end."""
    due = balance()
    assert run[0] == pytest.approx(due, rel=0.05)
    assert due[-1] / MOMENTUM[-1] == pytest.approx(0.73, abs=0.01)


def test_friction_law_by_what_was_measured():
    """Worst measured: 3.1 %; theirs, so the reading of the table is held too."""
    reynolds = SPEED * MOMENTUM / 1000 / VISCOSITY
    found = [turbulent.friction(h, re) for h, re in zip(SHAPE, reynolds, strict=True)]
    assert found == pytest.approx(FRICTION, rel=0.035)


def test_a_speed_that_stays_is_told_apart(run):
    """Broken on purpose: without the slowing stream the shape falls instead of rising."""
    stations = 1000 * (AT - AT[0])
    edge = EdgeSpeed.of(stations, np.ones(len(AT)), speed=33.9, viscosity=VISCOSITY).fine()
    last = turbulent.run(edge, MOMENTUM[0], SHAPE[0]).entrainments[-1]
    assert turbulent.shape(float(last)) < SHAPE[0]

"""Potentials and speeds of panels against integration by quadrature."""

import numpy as np
import pytest
from air_bodies import body
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import dblquad

from geomgen.air.potential import influence
from geomgen.air.potential.influence import potentials
from geomgen.air.potential.panels import Panels, TrailingEdges

NONE = np.zeros(0, dtype=np.int64)
SQUARE = np.array([[[0.0, 0.0, 0.0], [2.0, 0.0, 0.0], [2.5, 1.5, 0.0], [0.0, 1.0, 0.0]]])


def alone(corners):
    n = len(corners)
    sides = np.zeros((n, 2, 2), dtype=bool)
    return Panels(
        *(corners, np.zeros(n, dtype=np.int64), ("panel",), np.full((n, 2, 2), -1), sides, sides),
        *(TrailingEdges(NONE, NONE, np.zeros((0, 2, 3)), NONE), False),
        *(np.zeros((0, 4, 3)), NONE),
    )


def by_quadrature(point):
    """Return a unit doublet's and a unit source's potential: the sides are straight lines."""

    def sums(power):
        def piece(v, u):
            x, y = u * (2 + 0.5 * v), v * (1 + 0.5 * u)
            area = (2 + 0.5 * v) * (1 + 0.5 * u) - 0.5 * u * 0.5 * v
            off = np.array([point[0] - x, point[1] - y, point[2]])
            far = np.sqrt(off @ off)
            return area * (point[2] / far**3 if power == 3 else 1 / far)

        return dblquad(piece, 0, 1, 0, 1, epsabs=1e-11)[0]

    return sums(3) / (4 * np.pi), -sums(1) / (4 * np.pi)


@pytest.mark.parametrize(
    "point", [(1.0, 0.7, 0.9), (1.0, 0.7, -0.9), (4.0, -2.0, 1.0), (9.0, 3.0, 5.0), (-20.0, 9, 7)]
)
def test_one_panel(point) -> None:
    doublet, source = potentials(alone(SQUARE), np.array([point]), np.ones((1, 1)))
    assert (doublet[0, 0], source[0, 0]) == pytest.approx(by_quadrature(point), abs=2e-6)


def test_near_and_far_agree_where_one_takes_over(monkeypatch) -> None:
    panels = alone(SQUARE)
    far = influence.NEAR * panels.whole.diameters[0] * 1.001
    points = panels.centres[0] + far * np.eye(3) + [0, 0, 1.0]
    rough = potentials(panels, points, np.ones((1, 1)))
    monkeypatch.setattr(influence, "NEAR", 100.0)
    exact = potentials(panels, points, np.ones((1, 1)))
    for a, b in zip(rough, exact, strict=True):
        assert a == pytest.approx(b, rel=2e-3)
        assert a == pytest.approx(b, abs=2e-5)


def test_a_closed_body_is_seen_all_round_from_inside() -> None:
    """The sum of solid angles (Gauss): 4 pi inside, none outside."""
    ball = body(12, 12)
    points = np.array([[0.0, 0.0, 0.0], [0.3, 0.5, -0.2], [0.3, -0.5, -0.2], [2.0, 1.0, 0.5]])
    seen = potentials(ball, points, np.zeros((len(ball), 1)))[0].sum(axis=1)
    assert seen == pytest.approx([-1, -1, -1, 0], abs=1e-4)
    own = potentials(ball, ball.spots, np.zeros((len(ball), 1)), np.arange(len(ball)))[0]
    assert own.sum(axis=1) == pytest.approx(-1, abs=1e-4)


def test_threads_change_nothing() -> None:
    ball = body(14, 14)
    strengths = np.linspace(0, 1, 2 * len(ball)).reshape(-1, 2)
    one, two = (potentials(ball, ball.spots, strengths, threads=n) for n in (1, 2))
    for a, b in zip(one, two, strict=True):
        assert (a == b).all()


@settings(max_examples=5, deadline=None)
@given(st.tuples(*[st.floats(-2.0, 2.0)] * 3))
def test_a_mirrored_half_is_a_whole(point) -> None:
    half, whole = body(8, 6), body(8, 12, whole=True)
    points = np.array([point])
    if np.linalg.norm(point) < 1.2:
        points = points + 1.5
    sums = [
        potentials(panels, points, np.ones((len(panels), 1)), doublets=False)[1]
        for panels in (half, whole)
    ]
    assert sums[0] == pytest.approx(sums[1], rel=1e-9)

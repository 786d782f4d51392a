"""The fairest course of a line: against other solvers, and what may never happen to one."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.interpolate import BSpline, CubicSpline
from scipy.optimize import minimize

from geomgen.kernel.lofting.fairest import (
    FREE,
    Band,
    blended,
    fairest,
    flat_knots,
    looks,
    natural,
    on_knots,
    past,
)

V = np.array([0.0, 0.4, 0.55, 1.2, 1.5])
STEP = np.array([0.0, 0.0, 10.0, 10.0, 10.0])


def band(y, slack=0.05) -> Band:
    return Band(y, np.minimum(y[:-1], y[1:]) - slack, np.maximum(y[:-1], y[1:]) + slack)


def bending(curve) -> float:
    corners = np.unique(curve.t)
    return sum(
        quad(lambda v: float(curve(v, nu=2)) ** 2, a, b)[0]
        for a, b in zip(corners[:-1], corners[1:], strict=True)
    )


def test_natural_is_the_natural_cubic() -> None:
    """Against the cubic of another class of the library, natural at both ends."""
    y = np.array([1.0, 3.0, 2.0, 5.0, 4.0])
    other = CubicSpline(V, y, bc_type="natural")
    at = np.linspace(0, 1.5, 200)
    assert np.allclose(natural(V, y, (None, None))(at), other(at), atol=1e-9)


def test_more_knots_change_nothing() -> None:
    y = np.array([1.0, 3.0, 2.0, 5.0, 4.0])
    plain = natural(V, y, (None, None))
    finer = on_knots(plain, flat_knots(V, np.array([1, 0, 3, 2])))
    at = np.linspace(0, 1.5, 300)
    assert np.allclose(finer(at), plain(at), atol=1e-9)


def test_plain_spline_overshoots_and_the_fairest_does_not() -> None:
    held = band(STEP)
    assert past(natural(V, STEP, (None, None)), V, held).max() > 0.5
    course = fairest(flat_knots(V, np.full(4, FREE)), V, held)
    assert course is not None
    assert past(course, V, held).max() < 1e-6
    assert np.allclose(course(V), STEP, atol=1e-9)
    for order in (0, 1, 2):
        below, above = (course(V[1:-1] + e, nu=order) for e in (-1e-9, 1e-9))
        assert np.allclose(below, above, rtol=1e-5, atol=1e-4)


def test_fairest_is_what_a_general_solver_finds() -> None:
    """The same quadratic problem given to a general solver: no cubic that keeps within bends less.

    The solver is told the bending by quadrature of its own, and moves the values of the curve at
    points between the stations.
    """
    held = band(STEP)
    knots = flat_knots(V, np.full(4, 2))
    course = fairest(knots, V, held)
    assert course is not None
    basis = BSpline(knots, np.eye(len(knots) - 4), 3)
    fine = np.linspace(V[0], V[-1], 4001)
    step = np.r_[0.5, np.ones(3999), 0.5] * (V[-1] - V[0]) / 4000
    bend = basis(fine, nu=2)
    energy = bend.T @ (bend * step[:, None]) / bending(course)
    fixed = np.vstack([basis(V), basis(V[[0, -1]], nu=2) / 1e2])
    values = np.r_[STEP, 0.0, 0.0]
    rows = basis(looks(V).ravel())
    low, high = np.repeat(held.low, 33), np.repeat(held.high, 33)
    found = minimize(
        lambda c: float(c @ energy @ c),
        on_knots(natural(V, STEP, (None, None)), knots).c,
        jac=lambda c: 2 * energy @ c,
        method="SLSQP",
        constraints=[
            {"type": "eq", "fun": lambda c: fixed @ c - values, "jac": lambda c: fixed},
            {"type": "ineq", "fun": lambda c: rows @ c - low, "jac": lambda c: rows},
            {"type": "ineq", "fun": lambda c: high - rows @ c, "jac": lambda c: -rows},
        ],
        options={"maxiter": 500, "ftol": 1e-12},
    )
    assert found.success
    assert found.fun == pytest.approx(1.0, rel=1e-3)


def test_nothing_on_too_few_knots_is_said() -> None:
    assert fairest(flat_knots(V, np.zeros(4, dtype=int)), V, band(STEP, 1e-6)) is None


def test_fair_values_are_left_alone() -> None:
    """Where the natural cubic keeps within, the course on more knots is that cubic."""
    y = np.array([0.0, 1.0, 1.4, 2.2, 2.4])
    plain, held = natural(V, y, (None, None)), band(y, 5.0)
    course = fairest(flat_knots(V, np.full(4, 2)), V, held)
    assert course is not None
    at = np.linspace(0, 1.5, 200)
    assert np.allclose(course(at), plain(at), atol=1e-7)


@given(
    st.lists(st.floats(1.0, 300.0), min_size=4, max_size=9),
    st.lists(st.floats(-50.0, 50.0), min_size=9, max_size=9),
)
def test_three_more_knots_everywhere_always_do(gaps, values) -> None:
    """No run of values is there, however wild, that no course keeps within a slack of."""
    v = np.r_[0.0, np.cumsum(gaps)] / sum(gaps)
    y = np.array(values[: len(v)])
    v = v[: len(y)]
    held = band(y, 0.2)
    course = fairest(flat_knots(v, np.full(len(v) - 1, FREE)), v, held)
    assert course is not None
    assert past(course, v, held).max() <= 1e-6 * held.size()


@given(st.lists(st.floats(0.1, 80.0), min_size=5, max_size=5), st.booleans(), st.booleans())
def test_blended_lines_keep_their_order(apart, nose, tail) -> None:
    """Two lines that never touch at a station never cross between: one is the mean of its own."""
    low = np.array([5.0, -40.0, 60.0, 0.0, 10.0])
    high = low + np.array(apart)
    knots = flat_knots(V, np.full(4, FREE))
    below, above = blended(knots, V, [low, high], (nose, tail))
    at = looks(V)
    assert np.all(above(at) > below(at))
    assert np.allclose(below(V), low, atol=1e-8)
    assert past(below, V, band(low, 1e-7)).max() < 1e-6

"""Lines and arcs through dense points: within the tolerance, few, closed; shapely measures."""

import math

import numpy as np
import pytest
from shapely import LineString, Polygon

from geomgen.drafting.arcs import fitted
from geomgen.shapes.aerofoil import naca

TURN = np.linspace(0.0, 2 * np.pi, 700, endpoint=False)


def ring(a, b):
    return np.stack([a * np.cos(TURN), b * np.sin(TURN)], axis=1)


def off(path, points, closed=True):
    given = LineString(np.vstack([points, points[:1]]) if closed else points)
    return LineString(path.dense(0.0005)).hausdorff_distance(given)


@pytest.mark.parametrize("tolerance", [0.2, 0.05, 0.01])
@pytest.mark.parametrize(("a", "b"), [(50, 50), (300, 120), (20, 260)])
def test_ellipse_within_tolerance_and_area(a, b, tolerance):
    path = fitted(ring(a, b), tolerance)
    assert off(path, ring(a, b)) <= 1.1 * tolerance + 0.003
    # Closed form: pi a b; the fit may be off by the tolerance along the outline.
    assert path.area() == pytest.approx(np.pi * a * b, abs=tolerance * path.length())
    assert len(path.points) < 120


def test_circle_takes_few_arcs():
    assert len(fitted(ring(80, 80)).points) <= 8


def test_sense_is_kept():
    assert fitted(ring(60, 30)[::-1]).area() < 0 < fitted(ring(60, 30)).area()


def test_square_keeps_its_corners():
    side = np.linspace(0, 100, 26)[:-1]
    zero = np.zeros_like(side)
    points = np.vstack([
        np.stack([side, zero], 1), np.stack([zero + 100, side], 1),
        np.stack([100 - side, zero + 100], 1), np.stack([zero, 100 - side], 1),
    ])  # fmt: skip
    path = fitted(points)
    assert sorted(path.points) == [(0, 0), (0, 100), (100, 0), (100, 100)]
    assert not any(path.bulges)


def test_aerofoil_with_its_blunt_edge():
    outline = 1200 * naca("4415")
    path = fitted(outline, corners=(0, len(outline) - 1))
    assert off(path, outline) <= 0.03
    assert path.area() == pytest.approx(
        -Polygon(outline).area if Polygon(outline).exterior.is_ccw is False
        else Polygon(outline).area, rel=1e-4,
    )  # fmt: skip
    assert tuple(outline[0]) in path.points
    assert tuple(outline[-1]) in path.points


def test_open_run_keeps_both_ends():
    run = ring(100, 40)[:200]
    path = fitted(run, closed=False)
    assert not path.closed
    assert path.points[0] == tuple(run[0])
    assert path.points[-1] == tuple(run[-1])
    assert off(path, run, closed=False) <= 0.03


def test_spike_thinner_than_the_tolerance_keeps_its_tip():
    out = np.stack([np.linspace(0, 100, 60), np.zeros(60)], axis=1)
    back = out[::-1][1:] + np.array([0, 0.01])
    run = np.vstack([out, back])
    path = fitted(run, closed=False)
    # Closed form: out and back again is 200 mm long.
    assert path.length() == pytest.approx(200, abs=0.1)
    assert (100, 0) in path.points


def test_points_given_twice_make_no_piece_without_length():
    twice = np.repeat(ring(80, 80), 2, axis=0)
    path = fitted(np.vstack([twice, twice[:1]]), corners=(700,))
    assert len(path.points) <= 8
    assert min(math.dist(a, b) for a, b, _ in path.pieces()) > 1
    assert tuple(twice[700]) in path.points


def test_too_few_points():
    with pytest.raises(ValueError, match="too few"):
        fitted([(0, 0), (1, 0)])
    with pytest.raises(ValueError, match="too few"):
        fitted([(0, 0), (1, 0), (1, 0), (0, 0)])

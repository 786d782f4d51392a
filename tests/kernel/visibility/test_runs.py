"""Runs of points against what can be counted by hand."""

import numpy as np
import pytest

from geomgen.kernel.visibility.runs import chained, spaced, without_doubles


def straight(a, b, steps=20):
    return np.linspace(a, b, steps + 1)


def total(runs):
    return sum(float(np.linalg.norm(np.diff(run, axis=0), axis=1).sum()) for run in runs)


def test_spacing_keeps_corners_and_length():
    bent = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 3.0]])
    made = spaced(bent, 0.7)
    assert np.linalg.norm(np.diff(made, axis=0), axis=1).max() <= 0.7
    assert total([made]) == pytest.approx(13.0)
    assert [10.0, 0.0] in made.tolist()


def test_four_sides_make_one_closed_run():
    corners = [(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)]
    sides = [np.array([corners[i], corners[(i + 1) % 4]]) for i in (2, 0, 3, 1)]
    (ring,) = chained(sides, 0.01)
    assert ring[0].tolist() == ring[-1].tolist()
    assert total([ring]) == pytest.approx(14.0)


def test_at_a_crossing_the_straightest_follows():
    arms = [straight((0, 0), at, 4) for at in ((-9.0, 0.0), (8.0, 0.0), (0.0, 7.0), (0.0, -6.0))]
    made = chained(arms, 0.01)
    assert sorted(round(total([run])) for run in made) == [13, 17]


def test_the_part_that_doubles_goes_and_the_rest_stays():
    """Closed form: of 0..100 and 60..160 on one line 160 mm are drawn, whatever the order."""
    a, b = straight((0, 0), (100, 0), 50), straight((160, 0.05), (60, 0.05), 50)
    for runs in ([a, b], [b, a]):
        assert total([run for _, run in without_doubles(runs, 0.1)]) == pytest.approx(160, abs=4)


def test_lines_that_cross_or_run_beside_stay():
    a, b = straight((0, 0), (100, 0)), straight((50, -50), (50, 50))
    c = straight((0, 0.5), (100, 0.5))
    assert total([run for _, run in without_doubles([a, b, c], 0.1)]) == pytest.approx(300.0)


def test_a_ring_seen_from_the_edge_is_drawn_once():
    there = straight((0, 0), (100, 0))
    ring = np.vstack([there, there[::-1][1:]])
    assert total([run for _, run in without_doubles([ring], 0.1)]) == pytest.approx(100, abs=6)

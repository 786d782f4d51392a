"""The nearest points of two meshes, against scipy: bounded least squares over two triangles."""

from math import cos, pi

import numpy as np
import pytest
from scipy.optimize import lsq_linear

from geomgen.kernel.interference import near_triangles
from geomgen.kernel.interference.near_triangles import (
    Triangles,
    _of_pairs,
    near_pairs,
    nearest_points,
)

ROUND = 150


def triangles(corners) -> Triangles:
    return Triangles(corners, np.zeros(len(corners), dtype=np.int64))


def apart(a, b) -> float:
    """Least squares over barycentric shares, held to the triangles by a heavy row each."""
    heavy = 1e4
    rows = np.vstack(
        [np.c_[a.T, -b.T], heavy * np.r_[1, 1, 1, 0, 0, 0][None], [[0, 0, 0] + [heavy] * 3]]
    )
    found = lsq_linear(rows, np.r_[0, 0, 0, heavy, heavy], bounds=(0, 1), tol=1e-14)
    return float(np.linalg.norm(a.T @ found.x[:3] - b.T @ found.x[3:]))


def test_triangles_by_chance() -> None:
    chance = np.random.default_rng(3)
    for _ in range(60):
        a = chance.normal(size=(3, 3))
        b = chance.normal(size=(3, 3)) + np.array([6.0, 0.0, 0.0])
        p, q = nearest_points(triangles(a[None]), triangles(b[None]), 20.0)
        assert np.linalg.norm(p - q) == pytest.approx(apart(a, b), abs=1e-4)


def test_of_many_pairs_as_near_few_are_compared(monkeypatch) -> None:
    """A ring round a ring: all of both is as near as the gap, whatever boxes say."""
    compared = []

    def counted(a, b):
        compared.append(len(a))
        return _of_pairs(a, b)

    monkeypatch.setattr(near_triangles, "_of_pairs", counted)
    p, q = nearest_points(ring(100.0), ring(400.0), 300.0 * cos(pi / ROUND))
    assert sum(compared) <= 2_000
    assert np.linalg.norm(p - q) == pytest.approx(300.0 * cos(pi / ROUND), abs=1e-6)


def ring(radius: float) -> Triangles:
    """Return a band of flat sides round an axis, 20 mm wide."""
    turn = 2 * pi * np.arange(ROUND + 1) / ROUND
    low, high = (
        np.stack([radius * np.cos(turn), radius * np.sin(turn), 0 * turn + z], axis=1)
        for z in (0.0, 20.0)
    )
    sides = [(low[:-1], low[1:], high[:-1]), (low[1:], high[1:], high[:-1])]
    return triangles(np.concatenate([np.stack(side, axis=1) for side in sides]))


def test_too_small_a_gap_finds_nothing() -> None:
    a = np.eye(3)[None]
    assert nearest_points(triangles(a), triangles(a + 50.0), 3.0) is None


def test_far_triangles_are_left_out() -> None:
    a = np.eye(3)[None]
    mine, theirs, first, second = near_pairs(triangles(a), triangles(a + 50.0), 3.0)
    assert not len(first) + len(second) + len(mine.face) + len(theirs.face)


def test_of_more_pairs_than_many_no_quarters_are_looked_at(monkeypatch) -> None:
    """Of meshes that are far off their solids all pairs are near: 100 times as many quarters."""
    flat = np.array([[[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]])
    some = triangles(np.concatenate([np.add(flat, (i, 0.0, 0.0)) for i in range(4)]))
    others = triangles(np.add(some.corners, (0.0, 0.0, 5.0)))
    assert len(near_pairs(some, others, 50.0)[2]) == 16 * 16**2
    monkeypatch.setattr(near_triangles, "MANY", 15)
    mine, theirs, first, second = near_pairs(some, others, 50.0)
    assert sorted(zip(first.tolist(), second.tolist(), strict=True)) == [
        (i, j) for i in range(4) for j in range(4)
    ]
    assert (len(mine.face), len(theirs.face)) == (4, 4)

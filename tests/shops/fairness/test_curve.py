"""Curvature signs and bumps of sampled lines of known shape (closed forms)."""

import numpy as np
import pytest

from geomgen.shops.fairness.curve import (
    asked_signs,
    bumps,
    curved,
    runs,
    sign_changes,
    unfair,
)

X = np.arange(0.0, 2500.0, 3.0)


def line(y: np.ndarray) -> np.ndarray:
    return np.stack([X, y], axis=-1)


def arch(x: np.ndarray) -> np.ndarray:
    """A crown line like a pod's: radius about 1.7 m."""
    return 1200.0 - (x - 1200.0) ** 2 / 3400.0


def cosine(at: float, height: float, width: float) -> np.ndarray:
    inside = np.abs(X - at) < width / 2
    return np.where(inside, height / 2 * (1 + np.cos(2 * np.pi * (X - at) / width)), 0.0)


def control(y: np.ndarray, every: int = 100) -> np.ndarray:
    return line(y)[::every]


def test_curvature_of_a_parabola() -> None:
    """Closed form: y'' / (1 + y'^2)^1.5."""
    found = curved(line(arch(X)), 1.0)
    slope = -(found.points[:, 0] - 1200.0) / 1700.0
    assert found.curvature == pytest.approx(1 / 1700.0 / (1 + slope**2) ** 1.5, rel=1e-5)


@pytest.mark.parametrize("at", [700.0, 1300.0, 1850.0])
@pytest.mark.parametrize("height", [0.5, -0.5])
@pytest.mark.parametrize("base", [arch(X), 0 * X, 0.1 * X, 300.0 * np.sin(X / 800.0)])
def test_half_a_millimetre_over_a_hundred_is_found(
    at: float, height: float, base: np.ndarray
) -> None:
    found = unfair([curved(line(base + cosine(at, height, 100.0)), 1.0)], control(base), 1.0)
    top = [one for one in found if one.kind == "bump"]
    assert len(top) == 1
    assert top[0].station == pytest.approx(at, abs=20.0)
    assert top[0].height == pytest.approx(0.5, rel=0.35)
    assert ("bump" if height > 0 else "hollow") in top[0].words
    # Its run-outs, where the spline meets the kinked ends of a cosine, are about it.
    assert all(abs(one.station - at) < 150.0 for one in found)


def test_a_bump_with_its_own_stations_is_found_all_the_same() -> None:
    """Half a millimetre is within what a drawing is read to: no station can ask for it."""
    bumped = arch(X) + cosine(1299.0, 0.5, 100.0)
    stations = line(bumped)[::11]
    assert bumps(curved(line(bumped), 1.0))
    assert any(one.kind == "bump" for one in unfair([curved(line(bumped), 1.0)], stations, 1.0))


@pytest.mark.parametrize("base", [arch(X), 0 * X, 0.1 * X + 50.0, 300.0 * np.sin(X / 800.0)])
@pytest.mark.parametrize("noise", [0.0, 0.0005])
def test_fair_lines_are_left_alone(base: np.ndarray, noise: float) -> None:
    rough = base + noise * np.random.default_rng(2).standard_normal(len(X))
    assert unfair([curved(line(rough), 1.0)], control(base), 1.0) == []


def test_a_long_gentle_wave_is_no_bump() -> None:
    wave = arch(X) + 2.0 * np.sin(2 * np.pi * X / 900.0)
    assert bumps(curved(line(wave), 1.0)) == []


def test_a_change_that_no_station_asks_for() -> None:
    """sin changes its sign at 800 pi; stations on an arch ask for none."""
    found = unfair([curved(line(300 * np.sin(X / 700.0)), 1.0)], control(arch(X)), 1.0)
    assert [one.kind for one in found] == ["change"]
    assert found[0].station == pytest.approx(700 * np.pi, abs=5.0)
    assert found[0].words == "full to hollow"


def test_each_change_asked_for_allows_one() -> None:
    """Stations that ask for one change do not excuse three."""
    base = 300 * np.sin(X / 700.0)
    twice = base + 40 * np.sin(X / 150.0)
    changes = len(sign_changes(curved(line(twice), 1.0)))
    asked = unfair([curved(line(twice), 1.0)], control(base), 1.0)
    assert changes > 3
    assert len([one for one in asked if one.kind == "change"]) >= changes - 1


def test_flat_to_curved_is_no_change() -> None:
    """Straight, then an arc, then straight: 0, +, 0."""
    y = np.where(X > 800, -((np.clip(X, 800, 1500) - 800.0) ** 2) / 4000.0, 0.0)
    y += np.where(X > 1500, -(X - 1500.0) * 1400.0 / 4000.0, 0.0)
    assert sign_changes(curved(line(y), 1.0)) == []
    assert {sign for _, sign in asked_signs(control(y), 1.0)} == {1.0}


def test_the_keel_is_full_downward() -> None:
    down = curved(line(-arch(X)), -1.0)
    assert np.all(down.curvature > 0)
    assert all(sign == 1.0 for _, sign in asked_signs(control(-arch(X)), -1.0))


def test_an_opening_parts_the_line() -> None:
    points = line(arch(X))
    parts = runs(points[(points[:, 0] < 900) | (points[:, 0] > 1100)])
    assert [len(part) for part in parts] == [300, int(np.sum(X > 1100))]

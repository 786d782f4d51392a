"""The disc where it stands, which way, what is refused."""

import numpy as np
import pytest

from geomgen.air.potential.disc import Disc, tube_speeds
from geomgen.errors import GeometryError


def test_a_leaning_disc_is_the_level_one_turned() -> None:
    level = Disc("propeller", (0.0, 0.0, 0.0), 700.0)
    leaning = Disc("propeller", (100.0, 0.0, 50.0), 700.0, (0.8, 0.0, 0.6))
    turn = np.array([[0.8, 0.0, -0.6], [0.0, 1.0, 0.0], [0.6, 0.0, 0.8]])
    points = np.random.default_rng(5).uniform(-1500, 1500, (40, 3))
    moved = points @ turn.T + [100.0, 0.0, 50.0]
    assert leaning.at(moved) == pytest.approx(level.at(points) @ turn.T, abs=1e-9)
    assert (leaning.behind(moved) == level.behind(points)).all()


def test_the_speed_jumps_at_the_slipstreams_edge_alone() -> None:
    """By twice the speed at the disc, all along; nowhere does the speed outward jump."""
    for x in (0.2, 1.0, 5.0):
        along, out = tube_speeds(np.full(2, x), np.array([1 - 1e-7, 1 + 1e-7]))
        assert along[0] - along[1] == pytest.approx(2.0, abs=1e-5)
        assert out[0] == pytest.approx(out[1], abs=1e-5)
    along, _ = tube_speeds(np.full(2, -0.2), np.array([1 - 1e-7, 1 + 1e-7]))
    assert along[0] == pytest.approx(along[1], abs=1e-5)


def test_on_the_edge_and_on_the_rim_speeds_are_numbers() -> None:
    along, out = tube_speeds(np.array([0.0, 1.0, 1.0]), np.array([1.0, 1.0, 0.0]))
    assert np.isfinite(along).all()
    assert np.isfinite(out).all()
    either = tube_speeds(np.full(2, 1.0), np.array([1 - 1e-6, 1 + 1e-6]))[0]
    assert along[1] == pytest.approx(either.mean(), abs=1e-5)


@pytest.mark.parametrize("far", [0.9, 0.5])
def test_a_narrowing_slipstream_holds_what_lies_within_its_jump(far):
    disc = Disc("propeller", (0.0, 0.0, 0.0), 800.0, far=far)
    r, widths = np.arange(0.5, 800.0), []
    for x in (1.0, 300.0, 700.0, 3000.0, 1e5):
        points = np.stack([np.full_like(r, x), r, 0 * r], axis=1)
        along = disc.at(points)[:, 0]
        held = disc.behind(points)
        widths.append(held.sum())
        assert not held.all() or x == 1.0
        assert x == 1.0 or held.sum() - 1 == np.abs(np.diff(along)).argmax()
    assert widths == sorted(widths, reverse=True)
    assert widths[0] == len(r)
    assert widths[-1] == pytest.approx(800.0 * far**0.5, abs=1.0)


@pytest.mark.parametrize("thrust", [0.0, 1e-6, 250.0, 4000.0])
@pytest.mark.parametrize("speed", [0.0, 1e-3, 40.0])
def test_strength_and_thrust_are_each_others(thrust, speed) -> None:
    disc = Disc("propeller", (0.0, 0.0, 0.0), 800.0)
    strength = disc.strength(thrust, speed, 1.225)
    assert disc.thrust(strength, speed, 1.225) == pytest.approx(thrust, rel=1e-9)


def test_what_is_refused() -> None:
    with pytest.raises(GeometryError, match="propeller: the disc is turned round"):
        Disc("propeller", (0.0, 0.0, 0.0), 800.0, (-1.0, 0.0, 0.0))
    with pytest.raises(GeometryError, match="radius must be more than 0"):
        Disc("propeller", (0.0, 0.0, 0.0), 0.0)
    for far in (0.49, 1.01, float("nan")):
        with pytest.raises(GeometryError, match=r"narrows to .* allowed are 0.5 to 1"):
            Disc("propeller", (0.0, 0.0, 0.0), 800.0, far=far)
    with pytest.raises(GeometryError, match="must not be below zero"):
        Disc("propeller", (0.0, 0.0, 0.0), 800.0).strength(-5.0, 10.0, 1.2)

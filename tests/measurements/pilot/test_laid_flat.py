"""Strain of what is laid flat: none of cans and cones, a third of (b/R)^2 of a band of a ball.

A long band of a ball, half as broad as b, round its equator: at the latitude t its length is
cos t of the equator's. Laid flat it is straight all over, as long as the mean of them, so that the
edge is off by t^2 / 2 less the mean of that, t^2 / 6: a third of (b / R)^2 (DERIVED).
"""

import numpy as np
import pytest

from geomgen.measurements.pilot.laid_flat import strain_of, turning


def net(first, second, shape):
    a, b = np.meshgrid(first, second, indexing="ij")
    return np.stack(shape(a, b), axis=-1)


@pytest.mark.parametrize("count", [13, 25])
def test_a_can_has_none(count):
    turn = np.linspace(-1.2, 1.2, count)
    can = net(
        np.linspace(0, 900, count),
        turn,
        lambda x, t: (x, 300 * np.sin(t), 300 * np.cos(t)),
    )
    # Chords across a can are shorter than its skin by a share of the angle's square / 24.
    assert strain_of(can) < 2 * (turn[1] - turn[0]) ** 2 / 24


def test_a_cone_has_none():
    cone = net(
        np.linspace(300, 900, 25),
        np.linspace(-1.2, 1.2, 25),
        lambda x, t: (x, 0.4 * x * np.sin(t), 0.4 * x * np.cos(t)),
    )
    assert strain_of(cone) < 5e-4


@pytest.mark.parametrize("half", [0.12, 0.18, 0.24])
def test_a_band_of_a_ball(half):
    band = net(
        np.linspace(-1.4, 1.4, 61),
        np.linspace(-half, half, 13),
        lambda a, t: (
            500 * np.sin(a) * np.cos(t),
            500 * np.sin(t),
            500 * np.cos(a) * np.cos(t),
        ),
    )
    assert strain_of(band) == pytest.approx(half**2 / 3, rel=0.12)


def test_it_has_no_size_and_no_hand():
    def cap(size, turn):
        return net(
            np.linspace(-0.5, 0.5, 13),
            np.linspace(-0.3, 0.3, 13),
            lambda a, t: (
                size * np.sin(a) * np.cos(t),
                turn * size * np.sin(t),
                size * np.cos(a) * np.cos(t),
            ),
        )

    assert strain_of(cap(300.0, 1)) == pytest.approx(strain_of(cap(900.0, 1)), rel=1e-3)
    assert strain_of(cap(300.0, 1)) == pytest.approx(strain_of(cap(300.0, -1)), rel=1e-3)


def test_a_can_turns_as_sharply_as_its_radius():
    can = net(
        np.linspace(0, 900, 9),
        np.linspace(-1.2, 1.2, 41),
        lambda x, t: (x, 250 * np.sin(t), 250 * np.cos(t)),
    )
    assert turning(can) == pytest.approx(1 / 250, rel=1e-3)

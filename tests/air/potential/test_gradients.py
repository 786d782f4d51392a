"""Slopes along surfaces: exact for what is linear in space, second order for what is not."""

import numpy as np
import pytest
from air_bodies import body, ellipsoid, plain_wing

from geomgen.air.potential.gradients import slopes
from geomgen.air.potential.grids import grid
from geomgen.air.potential.panels import NOBODY


def flat_grid():
    x, y = np.meshgrid(np.linspace(0, 3, 7) ** 1.3, np.linspace(0, 2, 5), indexing="ij")
    return grid("flat", np.stack([x + 0.3 * y, y, 0 * x], axis=-1), mirrored=False)


def test_linear_on_a_plane() -> None:
    panels = flat_grid()
    potential = panels.spots @ np.array([[2.0], [-1.0], [5.0]])
    speeds = slopes(panels).speeds(potential, np.zeros((len(panels), 3, 1)))[:, :, 0]
    assert speeds == pytest.approx(np.tile([2.0, -1.0, 0.0], (len(panels), 1)), abs=1e-9)


def test_parabolas_along_lines() -> None:
    panels = flat_grid()
    along = slopes(panels)
    speeds = along.speeds(panels.spots[:, 1:2] ** 2, np.zeros((len(panels), 3, 1)))[:, :, 0]
    assert speeds[:, 1] == pytest.approx(2 * panels.spots[:, 1], abs=1e-9)


def test_an_onset_stays_along_the_surface() -> None:
    panels = flat_grid()
    onset = np.tile(np.array([1.0, 2.0, 3.0])[:, None], (len(panels), 1, 1))
    speeds = slopes(panels).speeds(np.zeros((len(panels), 1)), onset)[:, :, 0]
    assert speeds == pytest.approx(np.tile([1.0, 2.0, 0.0], (len(panels), 1)))


def error_on_a_ball(size):
    ball = body(size, size)
    out = ball.spots / np.linalg.norm(ball.spots, axis=1)[:, None]
    given = np.array([0.6, 0.0, -0.8])
    speeds = slopes(ball).speeds((ball.spots @ given)[:, None], np.zeros((len(ball), 3, 1)))
    off = speeds[:, :, 0] - (given - (out @ given)[:, None] * out)
    return np.sqrt(np.average((off**2).sum(axis=1), weights=ball.areas))


def test_on_a_ball_the_error_falls_as_the_square_of_the_size() -> None:
    errors = [error_on_a_ball(size) for size in (8, 16, 32)]
    assert np.log2(errors[0] / errors[1]) > 1.6
    assert np.log2(errors[1] / errors[2]) > 1.6
    assert errors[2] < 0.01


def test_who_is_parted_is_not_asked() -> None:
    wing = plain_wing(12, 6)
    cut = np.zeros((len(wing), 2, 2), dtype=bool)
    one = int(wing.edges.last[3])
    cut[one, 0, 0] = True
    free, parted = slopes(wing), slopes(wing, cut)
    behind = wing.neighbours[one, 0, 0]
    assert behind in free.who[one, 0]
    assert behind not in parted.who[one, 0]
    assert not parted.known[one, 0]
    assert parted.doubtful[one]
    assert not free.doubtful[one]


def test_a_lone_panel_takes_the_onset_alone() -> None:
    panels = grid("one", ellipsoid(4, 4)[1:3, 1:3], mirrored=False)
    assert (panels.neighbours == NOBODY).all()
    along = slopes(panels)
    onset = np.array([[[1.0], [0.0], [0.0]]])
    speeds = along.speeds(np.ones((1, 1)), onset)[0, :, 0]
    assert speeds @ panels.normals[0] == pytest.approx(0.0, abs=1e-9)
    assert along.doubtful.all()

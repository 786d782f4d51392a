"""What lies inside bodies goes; panels are cut where they enter."""

import numpy as np
import pytest
from air_bodies import body, winged_pod

from geomgen.air.potential.hidden import cut, inside, without_hidden
from geomgen.air.potential.influence import potentials
from geomgen.air.potential.panels import together


def test_inside_of_an_ellipsoid() -> None:
    egg = body(16, 12, (3.0, 1.0, 0.5))
    points = np.random.default_rng(3).uniform(-1.2, 1.2, (300, 3)) * [3.0, 1.0, 0.5]
    within = (points / [3.0, 1.0, 0.5]) ** 2
    sure = np.abs(np.sqrt(within.sum(axis=1)) - 1) > 0.06
    assert (inside(egg, points)[sure] == (within.sum(axis=1) < 1)[sure]).all()


def test_two_balls_lose_what_is_inside_the_other() -> None:
    """Caps of height 1 - d/2 each: areas 2 pi r h, the rest stays (any text on the sphere)."""
    apart = 1.2
    both = together(
        [body(20, 20, name="a"), body(20, 20, (1, 1, 1), (apart, 0, 0), name="b")],
    )
    left = without_hidden(both)
    whole = both.areas.sum()
    lost = (1 - apart / 2) / 2
    assert left.areas.sum() / whole == pytest.approx(1 - lost, abs=2e-3)
    seen = potentials(left, np.array([[0.6, 0.0, 0.0]]), np.zeros((len(left), 1)))[0].sum()
    assert seen == pytest.approx(-1.0, abs=2e-3)


def test_bodies_apart_stay_as_they_are() -> None:
    both = together([body(8, 8, name="a"), body(8, 8, (1, 1, 1), (5, 0, 0), name="b")])
    left = without_hidden(both)
    assert len(left) == len(both)
    assert not left.trimmed.any()


def test_a_joined_body_does_not_leak() -> None:
    """Seen from inside all panels fill all directions, also beside the joint."""
    panels = winged_pod(16, 8, 16)
    own = np.arange(len(panels))
    seen = potentials(panels, panels.spots, np.zeros((len(panels), 1)), own)[0].sum(axis=1)
    assert seen == pytest.approx(-1.0, abs=0.03)


@pytest.mark.parametrize(("beyond", "left"), [(0.25, 0.25), (0.75, 0.75), (2.0, 1.0), (-1.0, 0.0)])
def test_a_square_cut_by_a_plane(beyond, left) -> None:
    square = np.array([[[0.0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]]])
    made, keep = cut(square, np.zeros(1, dtype=int), lambda points, _: points[:, 0] > beyond)
    area = np.prod(np.ptp(made[0], axis=0)[:2]) if keep[0] else 0.0
    assert area == pytest.approx(left, abs=1e-4)


def test_a_corner_cut_off_and_a_corner_left() -> None:
    square = np.array([[[0.0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]]])
    for sign, area in ((1, 1 - 0.125), (-1, 0.125)):
        made, keep = cut(
            *(square, np.zeros(1, dtype=int)),
            lambda points, _, sign=sign: sign * (points[:, 0] + points[:, 1] - 1.5) > 0,
        )
        a, b = made[0, 2] - made[0, 0], made[0, 3] - made[0, 1]
        assert keep[0]
        assert 0.5 * abs(np.cross(a, b)[2]) == pytest.approx(area, abs=1e-3)

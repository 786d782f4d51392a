"""Planes of the tabs against the planes they should be, by closed form."""

import math

import numpy as np
import pytest
from handoff.trays import chord_distance, measured, tray

from geomgen.handoff.tabs import INSIDE, OUTSIDE, SHARE, divided


def test_planes_of_a_cylinder_lie_at_their_chords() -> None:
    division = divided(measured(tray()), 60.0, 3.0, 0.3)
    count = len(division.plans)
    for i, plan in enumerate(division.plans):
        turn = math.pi / 2 + (i + 0.5) * 2 * math.pi / count
        assert plan.out == pytest.approx((math.cos(turn), math.sin(turn)), abs=1e-4)
        reach = np.dot(plan.out, np.subtract(plan.mould, (0.0, 700.0)))
        assert reach == pytest.approx(chord_distance(150.0, count, 3.0, 0.15), abs=2e-3)


def test_slits_of_a_cone_run_down_its_sides() -> None:
    """Each slit's way is a generator of the cone: it leans by the cone's half angle."""
    lean = math.radians(12.0)
    division = divided(measured(tray(half_angle=12.0)), 60.0, 3.0, 0.3)
    for slit in division.slits:
        assert slit.way[2] == pytest.approx(math.cos(lean), abs=1e-4)
        radial = np.subtract(slit.root[:2], (0.0, 700.0)) / math.dist(slit.root[:2], (0, 700))
        assert np.dot(radial, slit.way[:2]) == pytest.approx(-math.sin(lean), abs=1e-4)
        assert abs(np.dot(slit.across[:2], radial)) < 1e-3


@pytest.mark.parametrize("gap", [0.0, 0.1, 1.0])
def test_tabs_take_no_more_of_the_gap_than_their_share(gap) -> None:
    division = divided(measured(tray()), 60.0, 3.0, gap)
    assert division.outward <= min(OUTSIDE, SHARE * gap) + 1e-6
    assert division.inward <= INSIDE + 1e-6


def test_tabs_are_shorter_where_the_outline_bends_more(saltmarsh) -> None:
    from geomgen.handoff.sheet_solid import measure_sheet
    from geomgen.shapes.firewall import firewall, mid_plane
    from geomgen.shapes.hull import pod_lines

    solid = firewall(saltmarsh, pod_lines(saltmarsh)).solid
    plans = divided(measure_sheet(solid, *mid_plane(saltmarsh)), 60.0, 3.0, 0.3).plans
    places = np.array([plan.mould for plan in plans])
    steps = np.linalg.norm(np.roll(places, -1, axis=0) - places, axis=1)
    side = steps[np.abs(places[:, 1] - 800.0).argmin()]
    assert side > 1.3 * steps[places[:, 1].argmin()]
    # The hull is its own mirror image, so are the tabs.
    mirror = np.array([[-x, y] for x, y in places[::-1]])
    assert np.abs(mirror - places).max() < 0.05

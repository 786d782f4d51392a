"""Planes of the tabs against the planes they should be, by closed form."""

import math

import numpy as np
import pytest
from shops.sheet_metal.trays import chord_distance, half_turn, measured, oval_tabs, oval_tray, tray

from geomgen.errors import GeometryError
from geomgen.shops.sheet_metal.flat_pattern.tabs import (
    OUTSIDE,
    SHARE,
    Reliefs,
    divided,
    longest_pitch,
)


def test_planes_of_a_cylinder_lie_at_their_chords() -> None:
    division = divided(measured(tray()), Reliefs(3.0, 60.0, 0.3))
    count = len(division.plans)
    for i, plan in enumerate(division.plans):
        turn = math.pi / 2 + (i + 0.5) * 2 * math.pi / count
        assert plan.out == pytest.approx((math.cos(turn), math.sin(turn)), abs=1e-4)
        reach = np.dot(plan.out, np.subtract(plan.mould, (0.0, 700.0)))
        assert reach == pytest.approx(chord_distance(150.0, count, 3.0, 0.15), abs=2e-3)


def test_slits_of_a_cone_run_down_its_sides() -> None:
    """Each slit's way is a generator of the cone: it leans by the cone's half angle."""
    lean = math.radians(12.0)
    division = divided(measured(tray(half_angle=12.0)), Reliefs(3.0, 60.0, 0.3))
    for slit in division.slits:
        assert slit.way[2] == pytest.approx(math.cos(lean), abs=1e-4)
        radial = np.subtract(slit.root[:2], (0.0, 700.0)) / math.dist(slit.root[:2], (0, 700))
        assert np.dot(radial, slit.way[:2]) == pytest.approx(-math.sin(lean), abs=1e-4)
        assert abs(np.dot(slit.across[:2], radial)) < 1e-3


@pytest.mark.parametrize("gap", [0.0, 0.1, 1.0])
@pytest.mark.parametrize("pitch", [30.0, 60.0])
def test_gap_of_a_cylinder_is_its_sagitta(gap, pitch) -> None:
    """Closed form: sagitta of the arc between two slits, less what the corners stand out."""
    sheet = measured(tray())
    division = divided(sheet, Reliefs(3.0, pitch, gap, over=0.0))
    half = half_turn(150.0, len(division.plans), 3.0)
    room = min(OUTSIDE, SHARE * gap)
    assert division.inward == pytest.approx(150.0 * (1 - math.cos(half)) - room, abs=2e-3)
    assert division.widest == pytest.approx(gap + division.inward)
    further = divided(sheet, Reliefs(3.0, pitch, gap, over=1.0))
    lean = 21.0 * math.sin(math.radians(1.0))
    assert further.widest - division.widest == pytest.approx(lean, abs=1e-6)


@pytest.mark.parametrize("pitch", [60.0, pytest.param(35.0, marks=pytest.mark.long)])
def test_gap_of_an_elliptical_hull_is_its_largest_sagitta(pitch) -> None:
    """Closed form: the farthest that the ellipse bulges over the chord of a tab."""
    division = divided(measured(oval_tray(120.0, 200.0)), Reliefs(3.0, pitch, 0.3, over=0.0))
    bulges = []
    for arc in oval_tabs(120.0, 200.0, pitch, 3.0):
        way = (arc[-1] - arc[0]) / np.linalg.norm(arc[-1] - arc[0])
        bulges.append(np.abs((arc - arc[0]) @ np.array([way[1], -way[0]])).max())
    assert len(division.plans) == len(bulges)
    assert division.inward == pytest.approx(max(bulges) - 0.15, abs=5e-3)
    assert {plan.angle for plan in division.plans} == {90.0}


def test_wider_gap_than_the_sealant_fills_has_a_pitch_that_mends_it() -> None:
    """Closed form: between 2 pi / count where the sagitta is just too large and just not."""
    sheet, wish = measured(tray()), Reliefs(3.0, 60.0, 0.3, sealant=1.0, over=0.0)
    assert divided(sheet, wish).widest > 1.0
    pitch = longest_pitch(sheet, wish)
    assert pitch is not None

    def gap(count):
        return 0.15 + 150.0 * (1 - math.cos(half_turn(150.0, count, 3.0)))

    count = round(2 * math.pi * 150.0 / pitch)
    assert gap(count) <= 1.0 < gap(count - 1)
    assert divided(sheet, Reliefs(3.0, pitch, 0.3, sealant=1.0, over=0.0)).widest <= 1.0
    assert longest_pitch(sheet, Reliefs(3.0, 60.0, 0.3, sealant=0.2)) is None


def test_relief_cuts_wider_than_their_pitch_are_refused() -> None:
    with pytest.raises(GeometryError, match="leave no tabs") as caught:
        divided(measured(tray()), Reliefs(8.0, 9.0, 0.3))
    assert "handoff.sheet.relief_pitch" in caught.value.look_at


@pytest.fixture(scope="module")
def example_sheet(saltmarsh):
    from geomgen.shapes.firewall import firewall, mid_plane
    from geomgen.shapes.hull import pod_lines
    from geomgen.shops.sheet_metal.flat_pattern.solid import measure_sheet

    return measure_sheet(firewall(saltmarsh, pod_lines(saltmarsh)).solid, *mid_plane(saltmarsh))


def test_tabs_are_their_own_mirror_image(example_sheet) -> None:
    """The hull is its own mirror image, so are tabs of one length and their angles."""
    plans = divided(example_sheet, Reliefs(3.0, 60.0, 0.3)).plans
    places = np.array([plan.mould for plan in plans])
    assert np.abs(np.array([[-x, y] for x, y in places[::-1]]) - places).max() < 0.05
    angles = [plan.angle for plan in plans]
    assert angles == angles[::-1]


def test_fewest_angles_that_keep_the_gap_are_taken(example_sheet) -> None:
    """Each angle more gives a lesser gap; the first that the sealant fills is taken."""

    def made(most, sealant):
        division = divided(example_sheet, Reliefs(3.0, 60.0, 0.3, sealant, most))
        return len({plan.angle for plan in division.plans}), division.widest

    gaps = [made(most, 0.2)[1] for most in (1, 2, 3, 4)]
    assert gaps == sorted(gaps, reverse=True)
    assert gaps[3] < gaps[0] - 0.5
    for most in (1, 2, 3):
        assert made(4, gaps[most - 1] + 1e-3) == (most, pytest.approx(gaps[most - 1]))
    assert all(2 * plan.angle == round(2 * plan.angle)
               for plan in divided(example_sheet, Reliefs(3.0, 60.0, 0.3)).plans)  # fmt: skip

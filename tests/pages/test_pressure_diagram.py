"""Pressures along the pod: places in the drawing are those of the figures, one scale for all."""

import re
from dataclasses import replace

import pytest

from geomgen.pages.pressure_diagram import MarkedStation, PressureCurve, drawn_pressures

STATIONS = (0.0, 500.0, 1000.0, 2000.0)
CROWN = PressureCurve("crown", STATIONS, (700.0, 1000.0, 1200.0, 1000.0), (1.0, 0.0, -0.5, 0.25))
KEEL = PressureCurve("keel", STATIONS, (690.0, 500.0, 400.0, 600.0), (1.0, 0.1, -0.2, 0.0))


def points(path):
    return [tuple(map(float, pair)) for pair in re.findall(r"[ML]([-\d.]+),([-\d.]+)", path)]


@pytest.fixture(scope="module")
def made():
    return drawn_pressures(
        [CROWN, KEEL], [MarkedStation("cheek", 1000.0)], [("1", "crown", 500.0, 0.0)], "climb"
    )


def test_the_grid_tells_station_and_pressure(made):
    crown = points(made.curves[0].pressures)
    up = {float(tick.text): tick.at for tick in made.up}
    across = {float(tick.text): tick.at for tick in made.across}
    assert crown[0][1] == pytest.approx(up[1.0], abs=0.02)
    assert crown[2] == pytest.approx((across[1000.0], up[-0.5]), abs=0.02)
    assert made.nought == up[0.0]


def test_the_pod_stands_below_to_the_same_scale_both_ways(made):
    """2000 mm between the ends, 800 mm from keel to crown at the third point."""
    crown, keel = (points(curve.outline) for curve in made.curves)
    scale = (crown[-1][0] - crown[0][0]) / 2000.0
    assert keel[2][1] - crown[2][1] == pytest.approx(800.0 * scale, abs=0.02)
    assert [x for x, _ in crown] == [x for x, _ in points(made.curves[0].pressures)]
    assert made.bottom < min(y for _, y in crown)
    assert max(y for _, y in keel) == made.pod[1] < made.high


def test_mouths_and_places_stand_on_their_stations(made):
    assert made.mouths[0].at == points(made.curves[0].pressures)[2][0]
    assert made.places[0][:2] == points(made.curves[0].pressures)[1]
    assert made.places[0][2:] == ("", "1: crown, STA 500 mm: 0.00")
    assert made.places[1][:3] == (*points(made.curves[0].outline)[1], "1")


def test_where_the_air_leaves_is_marked_on_both_curves():
    """Half way from the second to the third point: straight between them."""
    made = drawn_pressures([replace(CROWN, leaves=750.0), KEEL])
    (curve, outline), none = made.curves[0].leaves, made.curves[1].leaves
    for spot, path in ((curve, made.curves[0].pressures), (outline, made.curves[0].outline)):
        before, after = points(path)[1:3]
        assert spot == pytest.approx(
            [0.5 * (a + b) for a, b in zip(before, after, strict=True)], abs=0.02
        )
    assert none == ()


def test_names_of_marks_do_not_run_into_each_other():
    marks = [MarkedStation(name, x) for name, x in (("cheek", 900.0), ("chin", 930.0))]
    first, second = drawn_pressures([CROWN], marks).mouths
    assert first.foot - second.foot >= 12.0


def test_all_states_have_one_scale():
    flat = replace(CROWN, pressures=(0.1,) * 4)
    one, other = (drawn_pressures([curve], between=(-0.5, 1.0)) for curve in (CROWN, flat))
    assert one.up == other.up


def test_a_line_is_broken_where_panels_are_missing():
    stations = (0.0, 100.0, 200.0, 500.0, 600.0)
    made = drawn_pressures([PressureCurve("crown", stations, (1.0,) * 5, (0.1,) * 5)])
    assert re.findall("[ML]", made.curves[0].pressures) == ["M", "L", "L", "M", "L"]


def test_a_mouth_off_the_lines_is_not_drawn():
    assert drawn_pressures([CROWN], [MarkedStation("far", 9000.0)]).mouths == ()


def test_nothing_to_show_is_no_diagram():
    assert drawn_pressures([]) is None
    assert drawn_pressures([PressureCurve("crown", (0.0,), (0.0,), (0.0,))]) is None


def test_everything_stays_within_the_frame(made):
    for curve in made.curves:
        assert all(made.top <= y <= made.bottom for _, y in points(curve.pressures))
        assert all(made.left <= x <= made.right for x, _ in points(curve.outline))

"""The flat pattern against closed forms of round firewalls."""

import math

import numpy as np
import pytest
import shapely
from shops.sheet_metal.trays import chord_distance, pattern_of, tray

from geomgen.errors import GeometryError
from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.tabs import Reliefs

RADIUS, SHEET, FLANGE = 150.0, 1.0, 20.0


def area_of_round_blank(count, bending, relief, room):
    """Return the area of a regular blank for a cylinder (closed form, derived).

    Tabs are chords whose corners stand out by the room they have; slits are radial, so the
    tabs are rectangles and the round roots are centred where the bends begin to meet.
    """
    half_turn = math.pi / count
    apothem = chord_distance(RADIUS, count, relief, room)
    width = SHEET + FLANGE
    inside = apothem - bending.setback(90.0)
    nearer = SHEET * math.sin(half_turn)
    half = apothem * math.tan(half_turn) - (relief / 2 + nearer) / math.cos(half_turn)
    flat = bending.allowance(90.0) + width - bending.setback(90.0)
    root = inside * math.tan(half_turn) - half
    return count * (
        inside**2 * math.tan(half_turn) - root**2 * (math.pi - 2 * half_turn) / 2 + 2 * half * flat
    )


@pytest.fixture(scope="module")
def round_pattern():
    return pattern_of(tray(RADIUS, SHEET, FLANGE))


def test_flange_of_a_cylinder_is_square_to_the_sheet(round_pattern) -> None:
    bending = round_pattern.bending
    wanted = SHEET + FLANGE - (1.5 + 1.0) + math.pi / 4 * (1.5 + 0.42)
    for tab in round_pattern.tabs:
        assert tab.angle == pytest.approx(90.0, abs=1e-4)
        assert tab.width == pytest.approx(21.0, abs=1e-6)
        assert tab.flat == pytest.approx(wanted, abs=1e-5)
    assert wanted == pytest.approx(bending.flat(90.0, 21.0))


def test_area_of_a_round_blank(round_pattern) -> None:
    wanted = area_of_round_blank(len(round_pattern.tabs), round_pattern.bending, 3.0, 0.15)
    assert round_pattern.area() == pytest.approx(wanted, rel=2e-5)


def test_area_agrees_with_another_library(round_pattern) -> None:
    polygon = shapely.Polygon(round_pattern.cut.dense(0.001))
    assert polygon.is_valid
    assert polygon.area == pytest.approx(round_pattern.area(), rel=1e-5)


def test_holes_are_taken_out() -> None:
    holes = ((40.0, 30.0, 22.0), (-50.0, 0.0, 9.5))
    bare, drilled = pattern_of(tray()), pattern_of(tray(holes=holes))
    assert bare.area() - drilled.area() == pytest.approx(math.pi * (11.0**2 + 4.75**2), rel=1e-5)


@pytest.mark.parametrize("pitch", [60.0, 40.0, 9.0])
def test_relief_cuts_stand_at_the_pitch_asked_for(pitch) -> None:
    """Closed form: a circle of 150 mm is 942.5 mm round."""
    tabs = pattern_of(tray(), reliefs=Reliefs(3.0, pitch, 0.3)).tabs
    assert len(tabs) == math.ceil(2 * math.pi * RADIUS / pitch)
    lengths = [math.dist(*tab.bend) for tab in tabs]
    assert max(lengths) - min(lengths) < 0.02


def test_round_firewalls_have_one_bend_angle() -> None:
    for solid in (tray(), tray(half_angle=8.0)):
        (zone,) = pattern_of(solid).zones()
        assert zone.words == "1-16"


def test_cone_is_bent_further_by_its_angle() -> None:
    pattern = pattern_of(tray(half_angle=8.0))
    for tab in pattern.tabs:
        assert tab.angle == pytest.approx(98.0, abs=0.02)
        assert tab.width == pytest.approx(21.0 / math.cos(math.radians(8.0)), abs=1e-3)
    # Folded to the cone the tabs narrow towards the edge, and flat as well.
    tab = pattern.tabs[0]
    root, edge = (math.dist(*pair) for pair in (tab.bend, tab.ends))
    narrower = 2 * math.pi / len(pattern.tabs) * tab.flat * math.sin(math.radians(8.0))
    assert root - edge == pytest.approx(narrower, abs=0.05)


def test_reliefs_reach_past_the_bend(round_pattern) -> None:
    """The root ends a thickness or more past the start of both bends (common practice)."""
    blank = np.array(round_pattern.cut.dense(0.005))
    bending = round_pattern.bending
    tip = blank[np.hypot(*(blank - [0.0, 700.0]).T).argmin()]
    near = sorted(round_pattern.tabs, key=lambda t: math.dist(np.mean(t.bend, axis=0), tip))[:2]
    depths = []
    for tab in near:
        along = np.subtract(*tab.bend[::-1]) / math.dist(*tab.bend)
        out = np.array([along[1], -along[0]])
        start = float(tab.bend[0] @ out) - bending.allowance(90.0) / 2
        depths.append(start - float(tip @ out))
    assert min(depths) >= bending.thickness * math.cos(math.pi / len(round_pattern.tabs)) - 1e-6


def test_blank_without_flange_is_the_disc() -> None:
    pattern = pattern_of(tray(flange=0.0))
    assert not pattern.tabs
    assert pattern.area() == pytest.approx(math.pi * RADIUS**2, rel=2e-4)
    assert pattern.size() == pytest.approx((300.0, 300.0), abs=0.05)


@pytest.mark.parametrize(
    ("width", "solid", "words"),
    [(18.0, {}, "leave no tabs"), (12.5, {"flange": 95.0, "half_angle": 30.0}, "too tightly")],
)
def test_reliefs_that_eat_up_the_tabs_are_refused(width, solid, words) -> None:
    with pytest.raises(GeometryError, match=words) as caught:
        pattern_of(tray(**solid), Bending(1.0, 1.5, 0.42), Reliefs(width, 26.5, 0.3))
    assert "handoff.sheet.relief_width" in caught.value.look_at

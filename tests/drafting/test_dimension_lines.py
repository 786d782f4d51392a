"""Dimensions as drawn: places after ISO 129-1 and closed forms, never on their own figure."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from geomgen.drafting.clashes import clashes
from geomgen.drafting.dimension_lines import drawn, drawn_out, foot
from geomgen.drafting.lettering import text_corners, width_of
from geomgen.drafting.record import DIM, Dimension, Drawing, Label

WIDE = Dimension((0.0, 0.0), (90.0, 10.0), (40.0, -30.0), prefix="span ", name="span")
PLACES = st.tuples(st.floats(-500, 500), st.floats(-500, 500))


def test_long_one_stands_over_its_line_between_its_arrows():
    made = drawn(WIDE)
    assert made.line.points == ((0, -30), (90, -30))
    assert [arrow.points[0] for arrow in made.arrows] == [(0, -30), (90, -30)]
    # Arrow heads lie between the points, their tips outward.
    assert made.arrows[0].points[1][0] > 0
    assert made.arrows[1].points[1][0] < 90
    assert made.label.text == "span 90.0"
    assert made.label.at[0] == pytest.approx(45)
    assert made.label.at[1] > -30
    assert {path.layer for path in made.paths} == {DIM}


def test_extension_lines_keep_off_the_points_and_run_over():
    first, second = drawn(WIDE).extensions
    for line, (x, y) in ((first, WIDE.a), (second, WIDE.b)):
        (x0, y0), (x1, y1) = line.points
        assert x0 == pytest.approx(x)
        assert x1 == pytest.approx(x)
        assert 0 < y - y0 < WIDE.height
        assert 0 < -30 - y1 < WIDE.height


def test_short_one_has_its_arrows_outside_and_its_figure_beside():
    made = drawn(Dimension((0.0, 0.0), (3.0, 0.0), (1.0, -10.0)))
    assert made.arrows[0].points[1][0] < 0
    assert made.arrows[1].points[1][0] > 3
    assert made.label.anchor == "start"
    assert made.label.at[0] > max(x for x, _ in made.arrows[1].points)


def test_figure_stands_on_the_side_that_was_asked_for():
    made = drawn(Dimension((0.0, 0.0), (3.0, 0.0), (-20.0, -10.0)))
    assert made.label.anchor == "end"
    assert made.label.at[0] < min(x for x, _ in made.arrows[0].points)


@pytest.mark.parametrize("angle", range(-360, 361, 15))
def test_figures_read_from_below_or_from_the_right(angle):
    # ISO 129-1: figures are read from the bottom or from the right side of the sheet.
    made = drawn(Dimension((0.0, 0.0), (80.0, 60.0), (200.0, -40.0), angle))
    assert -90.0 < made.label.angle <= 90.0
    assert (made.label.angle - angle) % 180.0 == pytest.approx(0.0, abs=1e-9)


@given(PLACES, PLACES, PLACES, st.sampled_from([0.0, 90.0, 30.0, 180.0, -45.0]))
def test_no_dimension_is_drawn_over_its_own_figure(a, b, at, angle):
    one = Dimension(a, b, at, angle, prefix="x ")
    made = drawn(one)
    assert clashes(Drawing("a", dimensions=(one,))) == ()
    tips = [arrow.points[0] for arrow in made.arrows]
    # Closed form: the tips are as far apart as the dimension says, on a line through `at`.
    assert math.dist(*tips) == pytest.approx(one.measured, abs=1e-6)
    ray = (math.cos(math.radians(angle)) * 5000, math.sin(math.radians(angle)) * 5000)
    through = LineString([(at[0] - ray[0], at[1] - ray[1]), (at[0] + ray[0], at[1] + ray[1])])
    assert all(through.distance(Point(tip)) < 1e-6 for tip in tips)
    assert math.dist(foot(one, a), foot(one, b)) == pytest.approx(one.measured, abs=1e-6)


def test_figure_between_its_arrows_has_room():
    for wide in range(1, 60):
        one = Dimension((0.0, 0.0), (float(wide), 0.0), (wide / 2, -10.0))
        made = drawn(one)
        if made.label.anchor == "middle":
            assert width_of(one.text, one.height) < wide
            assert not Polygon(text_corners(made.label)).intersects(
                LineString(made.extensions[0].points)
            )
    assert made.label.anchor == "middle"


def test_drawn_out_keeps_what_was_there():
    drawing = Drawing("a", (), (Label((0, 0), "x"),), ("note",), (WIDE,))
    whole = drawn_out(drawing)
    assert whole.notes == ("note",)
    assert [label.text for label in whole.labels] == ["x", "span 90.0"]
    assert not whole.dimensions
    plain = Drawing("b")
    assert drawn_out(plain) is plain


def test_an_arc_s_radius_has_one_arrow_that_points_at_it_from_its_centre():
    long = drawn(Dimension((0.0, 0.0), (60.0, 0.0), (0.0, 0.0), kind="radius"))
    assert [arrow.points[0] for arrow in long.arrows] == [(60.0, 0.0)]
    assert long.arrows[0].points[1][0] < 60.0
    assert long.label.at[0] == pytest.approx(30.0)
    # Too short for its figure, which then stands behind the centre if it is asked for there.
    short = drawn(Dimension((0.0, 0.0), (6.0, 0.0), (-1.0, 0.0), kind="radius"))
    assert short.arrows[0].points[1][0] < 6.0
    assert short.label.anchor == "end"
    assert short.label.at[0] < 0.0
    assert max(x for x, _ in short.line.points) == pytest.approx(6.0)


def test_a_small_hole_s_diameter_is_pointed_at_from_outside():
    made = drawn(Dimension((-2.0, 0.0), (2.0, 0.0), (0.0, 0.0), kind="diameter"))
    assert [arrow.points[0][0] for arrow in made.arrows] == pytest.approx([-2.0, 2.0])
    assert made.arrows[0].points[1][0] < -2.0
    assert made.arrows[1].points[1][0] > 2.0
    assert made.extensions == ()


@pytest.mark.parametrize("first", range(0, 360, 45))
@pytest.mark.parametrize("turn", [8.0, 90.0, 200.0])
def test_an_angle_s_arc_runs_about_its_corner(first, turn):
    corner, radius = (40.0, -20.0), 30.0

    def at(way, far):
        turned = math.radians(way)
        return corner[0] + far * math.cos(turned), corner[1] + far * math.sin(turned)

    row = Dimension(at(first, 10.0), at(first + turn, 50.0), at(first, radius), kind="angle",
                    corner=corner)  # fmt: skip
    assert row.measured == pytest.approx(turn)
    made = drawn(row)
    off = [math.dist(point, corner) - radius for point in made.line.dense(0.001)]
    assert max(map(abs, off)) < 0.01
    # Closed form: the length of the arc; outside arrows stand on tails beyond it.
    more = made.line.length() - math.radians(turn) * radius
    assert more == pytest.approx(0.0 if turn > 20 else 2 * 2.0 * row.height, abs=1e-6)
    for arrow, way in zip(made.arrows, (first, first + turn), strict=True):
        assert arrow.points[0] == pytest.approx(at(way, radius))
    # A leg that ends short of the arc is drawn on; the figure lies beyond the arc.
    assert len(made.extensions) == 1
    box = Polygon(text_corners(made.label))
    assert box.distance(Point(corner)) > radius
    assert clashes(Drawing("a", dimensions=(row,))) == ()


@pytest.mark.parametrize("first", [91.0, 60.0, 250.0])
def test_a_wide_figure_of_an_angle_keeps_off_the_ends_of_its_arc(first):
    """Over an arc that is not level in its middle, no text meets an arrow head."""
    turn = [math.radians(first + way) for way in (0.0, 18.0, 9.0)]
    a, b, at = ((60 * math.cos(way), 60 * math.sin(way)) for way in turn)
    made = Dimension(a, b, at, 0.0, 2.5, "A RATHER LONG NAME ", kind="angle")
    assert clashes(Drawing("", dimensions=(made,))) == ()

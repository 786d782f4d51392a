"""Texts in columns; common practice: none lies on another, all stand in their column."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon

from geomgen.aircraft_drawings.callouts import Callout, Column, in_column, longest, tall
from geomgen.drafting.clashes import clashes
from geomgen.drafting.dimension_lines import drawn
from geomgen.drafting.lettering import text_box, text_corners
from geomgen.drafting.record import Dimension


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(-50.0, 150.0), st.integers(1, 3), st.booleans()), min_size=1, max_size=7
    ),
    st.booleans(),
)
def test_texts_keep_apart_and_inside_however_their_points_lie(places, left: bool) -> None:
    callouts = [
        Callout(("engine 12.3 mm",) * rows, (-40.0 if not left else 240.0, at) if led else None, at)
        for at, rows, led in places
    ]
    column = Column(100.0, 60.0, -60.0, 160.0, left)
    assert tall(callouts, column.width, 2.5) < 220.0
    made = in_column(callouts, column, 2.5)
    assert clashes(made) == ()
    for label in made.labels:
        x0, low, x1, high = text_box(label)
        assert low >= column.low - 1.0
        assert high <= column.high + 1e-6
        assert (x0 >= 40.0 and x1 < 100.0) if left else (x0 > 100.0 and x1 <= 160.0)


def slants(drawing) -> list[LineString]:
    """Return the slanting parts of all leaders, from knee to point."""
    return [LineString(path.points[1:]) for path in drawing.paths if not path.closed]


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.integers(-90, 0), st.integers(0, 40)), min_size=2, max_size=6),
    st.booleans(),
)
def test_leaders_do_not_cross(points, left: bool) -> None:
    """Points at any depth: a text low in the stack may reach past one that stands higher."""
    points = list(dict.fromkeys(points))
    callouts = [
        Callout((f"part {i}", "area 93.3 cm²"), (float(-x if left else x), float(y)))
        for i, (x, y) in enumerate(points)
    ]
    made = slants(
        in_column(callouts, Column(20.0 * (-1 if left else 1), 60.0, -90, 140, left), 2.5)
    )
    assert not [1 for i, a in enumerate(made) for b in made[:i] if a.crosses(b)]


def test_mouths_whose_figures_stand_in_the_way_keep_their_order() -> None:
    """As beside a level section: no text goes past another to clear a dimension's figure."""
    lines = (
        "scoop cheek: mouth 170.0 mm wide along the skin, 56.0 mm high off it",
        "mouth 93.3 cm², 91.4 to 95.1 cm², PASS",
        "least along the passage 93.3 cm², at least 88.6 cm², PASS",
        "turn of the air 110.7 deg, at most 140.0 deg, PASS",
    )
    callouts = [
        Callout(lines, (1801.5, 347.2)),
        Callout(lines, (1801.5, -347.2)),
        Callout(("engine",), (2405.0, 0.0)),
    ]
    figures = [
        Dimension((1801.5, 347.2), (1801.5, 291.2), (1731.5, 319.2), 90.0, 25.0),
        Dimension((1801.5, -291.2), (1801.5, -347.2), (1731.5, -319.2), 90.0, 25.0),
    ]
    made = in_column(callouts, Column(1590.0, 930.0, -375.0, 270.0, True), 25.0, figures)
    right, left, engine = slants(made)
    assert right.coords[0][1] > engine.coords[0][1] > left.coords[0][1]
    assert not [1 for a, b in ((right, left), (right, engine), (left, engine)) if a.crosses(b)]
    boxes = [Polygon(text_corners(drawn(figure).label)) for figure in figures]
    assert not [1 for one in (right, left, engine) for box in boxes if one.intersects(box)]


def test_a_text_breaks_between_its_phrases_and_leaves_no_outcome_alone() -> None:
    text = "least along the passage 93.3 cm², at least 88.6 cm², PASS"
    for width in range(60, 100, 2):
        column = Column(0.0, float(width), 0, 90, False)
        rows = [label.text for label in in_column([Callout((text,))], column, 2.5).labels]
        assert "PASS" not in rows
        assert not [row for row in rows if row.endswith(("at least", "88.6", "93.3"))]


def test_a_text_alone_stands_at_the_height_of_its_point() -> None:
    made = in_column([Callout(("pod",), (0.0, 40.0))], Column(50.0, 40.0, 0, 90, False), 2.5)
    assert made.labels[0].at[1] + 1.25 == pytest.approx(40.0)
    leader, head = made.paths
    assert leader.points[-1] == head.points[0] == (0.0, 40.0)


def test_long_texts_are_folded_and_told_how_wide_they_would_be() -> None:
    callouts = [Callout(("least gap round the engine 34.11 mm, at least 25.00 mm, PASS",))]
    wide = longest(callouts, 2.5)
    assert len(in_column(callouts, Column(0.0, wide, 0, 90, False), 2.5).labels) == 1
    assert len(in_column(callouts, Column(0.0, wide / 2, 0, 90, False), 2.5).labels) in (2, 3)

"""The blank on the dimensioned drawing: its figures are those of the blank and of the holes."""

import pytest
import shapely
from shops.sheet_metal.trays import pattern_of, tray

from geomgen.drafting.clashes import clashes
from geomgen.shops.sheet_metal.drawing.datum import datum_of
from geomgen.shops.sheet_metal.drawing.to_scale import HOLES, blank_view

CROWDED = [(12.0 * i - 18.0, 12.0 * j - 18.0, 8.0) for i in range(4) for j in range(4)]
DRILLED = ((40.0, 30.0, 22.0), (-50.0, -60.0, 9.5))


def view_of(holes, over=2):
    pattern = pattern_of(tray(holes=holes))
    return pattern, blank_view(pattern, datum_of(pattern.sheet), over)


def test_holes_and_blank_are_dimensioned() -> None:
    """Holes as they were drilled, the blank's size by another library."""
    pattern, view = view_of(DRILLED)
    x0, y0, x1, y1 = shapely.Polygon(pattern.cut.dense(0.001)).bounds
    seen = [(d.name, d.angle, d.measured) for d in view.dimensions if d.kind == "length"]
    across = sorted(row[2] for row in seen if row[1] == 0.0)
    upward = sorted(row[2] for row in seen if row[1] == 90.0)
    assert across == pytest.approx([40.0, 50.0, x1 - x0], abs=0.02)
    assert upward == pytest.approx([30.0, 60.0, y1 - y0], abs=0.02)
    assert {"H1", "H2", "width", "height"} == {row[0] for row in seen}


def test_a_hole_s_diameter_is_measured_across_its_rim() -> None:
    pattern, view = view_of(DRILLED)
    found = {d.text: d for d in view.dimensions if d.kind == "diameter"}
    assert set(found) == {"H1 Ø22.00", "H2 Ø9.50"}
    for made, (x, y, wide) in zip(found.values(), DRILLED, strict=True):
        ends = [shapely.Point(end) for end in (made.a, made.b)]
        assert ends[0].distance(ends[1]) == pytest.approx(wide, abs=0.01)
        u, v = (x, y + datum_of(pattern.sheet).v)
        assert {round(end.distance(shapely.Point(u, v)), 2) for end in ends} == {wide / 2}


def test_every_tab_has_its_number_and_zone() -> None:
    pattern, view = view_of(DRILLED)
    words = {label.text for label in view.labels}
    assert {f"{tab.number}A" for tab in pattern.tabs} <= words
    assert {"UP", "GRAIN", "LEFT", "RIGHT", "SEEN FROM AFT,"} <= words


def test_nothing_is_written_over_anything() -> None:
    for over in (2, 5):
        assert clashes(view_of(DRILLED, over)[1]) == ()


def test_many_holes_stand_in_the_table_alone() -> None:
    holes = [(-100.0 + 22.0 * i, 15.0, 6.0) for i in range(HOLES + 1)]
    _, view = view_of(holes)
    assert {d.name for d in view.dimensions if d.kind == "length"} == {"width", "height"}
    # One stands too near to others to be measured across, and has its figure beside it.
    told = {f"{d.text} mm" for d in view.dimensions if d.kind == "diameter"}
    beside = {label.text for label in view.labels} - told
    every = {f"H{i + 1} Ø6.00 mm" for i in range(len(holes))}
    assert len(told) == len(every) - 1
    assert every <= told | beside


def test_a_hole_without_room_for_its_figure_has_its_number() -> None:
    pattern = pattern_of(tray(radius=45.0, holes=CROWDED))
    view = blank_view(pattern, datum_of(pattern.sheet), 1)
    told = [d.text for d in view.dimensions if d.kind == "diameter"]
    told += [label.text for label in view.labels if label.text.startswith("H")]
    assert {text.split()[0] for text in told} == {f"H{i + 1}" for i in range(len(CROWDED))}
    assert len(told) == len(CROWDED)
    assert "H16" in told

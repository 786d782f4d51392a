"""The overlay drawing: what it shows, at which size, and that all of it can be read."""

from copy import copy
from functools import cache, partial

import pytest
from comparison_bodies import machine

from geomgen.comparison.overlay import overlay
from geomgen.comparison.shape_changes import PartChange, State, shape_changes
from geomgen.drafting.clashes import clashes
from geomgen.drafting.formats.every_format import write_drawing
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import FORMER, NEW, REF, Drawing, Label
from geomgen.errors import GeometryError


@cache
def states():
    old, new = machine(), machine(buttock_line=795.0, radius=260.0)
    return old, new, changes(old, new)


def changes(old, new):
    return shape_changes(
        *(
            {name: State(made.vertices.tobytes(), partial(copy, made), 0.1)
             for name, made in meshes.items()}
            for meshes in (old, new)
        )
    )  # fmt: skip


@pytest.fixture(scope="module", params=["first angle", "third angle"])
def sheet(request):
    return overlay(*states(), request.param)


def named(sheet, layer, name):
    return [p for p in sheet.drawing.paths if p.layer == layer and p.name == name]


def test_what_changed_is_drawn_twice_and_the_rest_faintly_once(sheet):
    assert named(sheet, FORMER, "pod")
    assert named(sheet, NEW, "pod")
    assert len(named(sheet, REF, "wing")) == 3
    assert not named(sheet, FORMER, "wing")


def test_outlines_are_as_far_apart_as_the_booms_were_moved(sheet):
    """Closed form: buttock line 780 to 795 mm, seen from the nose (right on the left)."""

    def leftmost(layer):
        shown = [p for p in named(sheet, layer, "boom_right") if p.closed]
        widths = {id(p): max(x for x, _ in p.points) - min(x for x, _ in p.points) for p in shown}
        round_ones = [p for p in shown if widths[id(p)] < 95.0]
        return min(min(x for x, _ in p.points) for p in round_ones)

    assert leftmost(FORMER) - leftmost(NEW) == pytest.approx(15.0, abs=0.5)


def test_views_keep_aligned(sheet):
    """ISO 5456-2: waterlines of side and nose view, buttock lines of nose view and plan."""
    wing = named(sheet, REF, "wing")
    spans = [(min(c), max(c)) for p in wing for c in zip(*p.points, strict=True)]
    across = sorted(s for s in spans if s[1] - s[0] > 7000)
    heights = sorted(s for s in spans if 100 < s[1] - s[0] < 130)
    assert across[0] == pytest.approx(across[1], abs=0.5)
    assert heights[0] == pytest.approx(heights[1], abs=0.5)


def test_no_text_meets_a_line_or_another_text(sheet):
    assert clashes(sheet.drawing) == ()


def test_a_text_put_on_a_line_would_be_seen(sheet):
    drawing = sheet.drawing
    point = named(sheet, NEW, "pod")[0].points[0]
    broken = Drawing("x", drawing.paths, (*drawing.labels, Label(point, "pod", 100.0)))
    assert clashes(broken)


def test_it_can_be_written_and_proves_right(sheet, tmp_path):
    rows = write_drawing(tmp_path, sheet, Title("Demo", "overlay", "B", note="former: A; new: B"))
    assert [row["file"] for row in rows] == ["overlay_mm.dxf", "overlay.pdf", "overlay.svg"]


def test_parts_that_came_and_went_are_drawn_on_one_layer_each():
    old, new, _ = states()
    fewer = {n: m for n, m in new.items() if n != "pod"}
    found = overlay(old, fewer, changes(old, fewer))
    assert named(found, FORMER, "pod")
    assert not named(found, NEW, "pod")


def test_nothing_to_draw_is_an_error():
    with pytest.raises(GeometryError, match="no part"):
        overlay({}, {}, ())


def test_a_part_that_is_the_same_needs_no_former_mesh():
    new = {"pod": states()[1]["pod"]}
    assert overlay({}, new, (PartChange("pod", "same"),)).drawing.paths

"""Drawings of one name; closed forms."""

import pytest

from geomgen.comparison.drawing_changes import drawing_change
from geomgen.drafting.formats.dxf.writing import read_dxf, write_dxf
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import BEND, REF, Drawing, Label, circle, line, rectangle


def plate(*more, labels=(), notes=()):
    return Drawing("plate", (rectangle((0, 0), (100.0, 60.0)), *more), tuple(labels), notes)


def through_file(tmp_path, drawing, fingerprint, revision="A", reason=""):
    title = Title("Demo", "plate", revision, fingerprint=fingerprint, reason=reason)
    return read_dxf(write_dxf(tmp_path / f"plate_{fingerprint}_mm.dxf", drawing, title))


def test_another_fingerprint_in_the_title_is_no_change(tmp_path):
    one = through_file(tmp_path, plate(circle((30, 30), 5.0)), "0" * 12)
    two = through_file(tmp_path, plate(circle((30, 30), 5.0)), "1" * 12, "B")
    assert one != two
    assert drawing_change(one, two).kind == "title only"


def test_a_release_is_no_change_of_a_sheet(tmp_path):
    """The reason stands above all other lines of the title and moves them down."""
    drawing = plate(circle((30, 30), 5.0), notes=("0.400 mm thick", "seen from aft"))
    one = through_file(tmp_path, drawing, "0" * 12)
    two = through_file(tmp_path, drawing, "1" * 12, reason="only to try the fit")
    assert len(two.labels) == len(one.labels) + 1
    assert drawing_change(one, two).kind == drawing_change(two, one).kind == "title only"
    other = plate(circle((30, 30), 5.0), notes=("0.500 mm thick", "seen from aft"))
    three = through_file(tmp_path, other, "2" * 12, reason="only to try the fit")
    assert drawing_change(one, three).kind == drawing_change(two, three).kind == "texts"


def test_a_note_that_says_another_thickness_is_one(tmp_path):
    one = through_file(tmp_path, plate(notes=("0.400 mm thick",)), "0" * 12)
    two = through_file(tmp_path, plate(notes=("0.500 mm thick",)), "1" * 12)
    assert drawing_change(one, two).kind == "texts"


@pytest.mark.parametrize("by", [0.01, 1.0, 12.0])
def test_outlines_are_as_far_apart_as_the_circle_was_moved(by):
    """Closed form: circles of one radius shifted by less than it are the shift apart."""
    found = drawing_change(plate(circle((30, 30), 15.0)), plate(circle((30 + by, 30), 15.0)))
    assert found.kind == "outlines"
    assert abs(found.moved - by) <= found.error


def test_a_hole_more_is_as_far_as_its_far_side_is_from_any_outline():
    """Closed form: the far side of a hole of radius 5 at (50, 30) is 25 to 30 from the rim."""
    found = drawing_change(plate(), plate(circle((50, 30), 5.0)))
    assert found.moved == pytest.approx(30.0, abs=found.error)


@pytest.mark.parametrize("more", [line((0, 0), (5.0, 5.0), REF)])
def test_lines_to_look_at_are_texts(more):
    assert drawing_change(plate(), plate(more)).kind == "texts"


def test_a_bend_line_is_worked_by():
    assert drawing_change(plate(), plate(line((5, 0), (5.0, 60.0), BEND))).kind == "outlines"


def test_a_label_in_another_place_is_told():
    one = plate(labels=[Label((5.0, 5.0), "STA 100")])
    two = plate(labels=[Label((5.0, 6.0), "STA 100")])
    assert drawing_change(one, one).kind == "title only"
    assert drawing_change(one, two).kind == "texts"


def test_no_outline_left_is_infinitely_far():
    assert drawing_change(plate(), Drawing("plate")).moved == float("inf")

"""Hand, size and treatment of parts, from the manifest's rows."""

import pytest

from geomgen.pages.rows import family_of, hand_of, part_rows, tape_dimensions

BOX = {"low_mm": [100.0, -50.0, 0.0], "high_mm": [350.0, 50.0, 12.25]}


def entry(file, part, what, **more):
    return {"file": file, "part": part, "what": what, **more}


SOLID = {"bounding_box": BOX, "volume_mm3": 1000.0, "area_mm2": 600.0}


def test_dimensions_are_the_box_over_all():
    lengths = [d.value for d in tape_dimensions(BOX)]
    assert lengths == pytest.approx([250.0, 100.0, 12.2], abs=0.051)
    assert all("over all" in d.what for d in tape_dimensions(BOX))


@pytest.mark.parametrize(
    ("part", "hand", "family"),
    [("boom_left", "left", "boom"), ("scoop_a_right", "right", "scoop_a"), ("pod", "", "pod")],
)
def test_hand_is_in_the_name(part, hand, family):
    assert hand_of(part) == hand
    assert family_of(part) == family


def test_one_row_a_part_and_none_for_assembly_or_shops():
    entries = [
        entry("boom_left_mm.stl", "boom_left", "mesh", **SOLID),
        entry("boom_left_mm.step", "boom_left", "solid", **SOLID),
        entry("all_mm.step", "all", "assembly"),
        entry("mould_maker/boom_plug_mm.step", "boom_plug", "solid", **SOLID),
    ]
    (row,) = part_rows(entries, {"boom": "plug, outside size"})
    assert (row.part, row.hand, row.treatment) == ("boom_left", "left", "plug, outside size")
    assert row.files == ("boom_left_mm.step", "boom_left_mm.stl")
    (other,) = part_rows(entries[:2], {})
    assert "no skin taken off" in other.treatment

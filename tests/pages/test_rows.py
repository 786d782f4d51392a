"""Hand, size and treatment of parts, from the manifest's rows."""

import pytest

from geomgen.kernel.model import Model
from geomgen.kernel.plain import AssemblyPlan, FlatSheet, Plane
from geomgen.measurements.fit.assembly_order import ASSEMBLY_ORDER
from geomgen.measurements.fit.straight_ways_in import AXES
from geomgen.measurements.subject import Answered
from geomgen.pages.rows import family_of, hand_of, part_rows, put_in, tape_dimensions
from geomgen.verdicts.check import Check, Limits

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


SIDE = (0.0, 1.0, 0.0)


def asked(plan, *rows, **more):
    """Return the check of three parts that meet as stated, as the survey says it."""
    names = ("pod", "frame_a", "tank_main")
    model = Model(families={n: n.split("_")[0] for n in names}, assembly=plan, **more)
    met = [[*row, [1.0, 2.0, 3.0]] for row in rows]
    answers = {"ways of pod past frame_a": {"met": met, "off": 0.1}}
    (found,) = ASSEMBLY_ORDER.say(Answered(model, names, answers))
    limits = Limits("at most 0", None, 0.0)
    return Check(
        *(found.id, "", found.what, found.value, "1", limits, "at most", 0.0, "pass"),
        note=f"{found.note}; a notice of 3. May",
    )


def test_the_order_is_read_as_it_was_told():
    halves = AssemblyPlan(Plane((0.0, 0.0, 0.0), SIDE), in_place=("tank",))
    ups = [("pod, right half", "frame_a", way) for way in AXES.values()]
    leaning = FlatSheet(Plane((0.0, 0.0, 0.0), (0.8, 0.0, 0.6)), (-0.6, 0.0, 0.8), 5.0)
    table = put_in([asked(halves, *ups, sheets={"frame_a": leaning})])
    assert [row.cells for row in table.rows] == [
        ("1", "pod, right half", "from above"),
        ("2", "pod, left half", "from above"),
        ("3", "frame_a", "from its back, square"),
        ("4", "tank_main", "from above"),
    ]


def test_what_is_barred_stands_in_the_order_too():
    every = [("pod", "frame_a", way) for way in AXES.values()]
    table = put_in([asked(AssemblyPlan(), *every)])
    assert [row.cells[2] for row in table.rows] == ["from above", "barred", "from above"]
    table = put_in([asked(AssemblyPlan(in_place=("frame",)), *every)])
    assert [row.cells[2] for row in table.rows] == ["from above", "built in place", "from above"]
    assert put_in([]) is None

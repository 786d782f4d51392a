"""Sentences and tables; common practice."""

from dataclasses import replace

from geomgen.comparison.cut_parts import CutPart
from geomgen.comparison.figure_changes import figure_changes
from geomgen.comparison.parameter_changes import ParameterChange
from geomgen.comparison.shape_changes import PartChange
from geomgen.comparison.wording import (
    answer,
    cut_table,
    figure_table,
    parameter_table,
    part_table,
)
from geomgen.kernel.meshes.shape_change import Motion
from geomgen.verdicts.check import Check, Limits

GAP = Check(
    "gap", "pod", "gap", 30.0, "mm", Limits("at least 25.00 mm", low=25.0), "at least", 5.0, "pass",
    error_bound=0.01,
)  # fmt: skip
BAD = replace(GAP, measured=24.0, margin=-1.0, verdict="fail")
PARTS = (
    PartChange("pod", "changed", 3.2, 0.2, (1800.0, 0.0, 1200.0), volume=-12000.0),
    PartChange("boom", "moved", 10.0, 0.1, motion=Motion((0, 10.0, 0), 0.0, (0, 0, 1.0), 0.0)),
    PartChange("wing", "same", 0.0, 0.0),
)
CUT = (
    CutPart("a", "foam_stations", "pod", "", "", "cut again", ("a.dxf", "a.pdf"), "x", 3.2, 0.3),
    CutPart("b", "foam_stations", "pod", "left", "", "in doubt", ("b.dxf",), "y", measured=False),
    CutPart("c", "foam_stations", "pod", "", "", "right"),
)


def test_the_answer_counts_everything():
    keys = (ParameterChange("pod.wall", "4 mm", "3 mm"),)
    assert answer(keys, figure_changes([GAP], [BAD]), PARTS, CUT) == (
        "1 parameter differs, 1 figure moved, 1 verdict turned to FAIL, 1 of 3 parts changed "
        "shape, 1 part only moved, 2 hand-off files are no longer right, 1 file is in doubt"
    )


def test_a_good_turn_is_told_as_one():
    said = answer((), figure_changes([BAD], [GAP]), (), ())
    assert "1 verdict turned to PASS" in said


def test_what_can_not_be_told_apart_is_not_said_to_have_changed():
    said = answer((), (), (PartChange("pod", "not told apart", 0.01, 0.2),), ())
    assert "no of 1" not in said
    assert "0 of 1 part changed shape" in said
    assert "1 part can't be told from the former" in said


def test_any_difference_is_told():
    assert answer((), (), PARTS[2:], ()).startswith("nothing differs")
    assert not answer((), (), PARTS[:1], ()).startswith("nothing differs")
    assert not answer((), (), (), CUT[1:2]).startswith("nothing differs")


def test_every_row_has_a_cell_for_each_heading():
    figures = figure_changes([GAP, replace(GAP, id="old")], [BAD, replace(GAP, id="new")])
    tables = (
        parameter_table((ParameterChange("pod.wall", None, "3 mm"),)),
        figure_table(figures),
        part_table(PARTS),
        cut_table(CUT, all_=True),
    )
    for table in tables:
        assert table.rows
        assert all(len(row.cells) == len(table.head) for row in table.rows)


def test_what_is_right_is_left_out_unless_asked_for():
    assert [row.cells[0] for row in cut_table(CUT).rows] == ["a", "b"]
    assert [row.cells[0] for row in cut_table(CUT, all_=True).rows] == ["a", "b", "c"]


def test_figures_and_parts_read_as_a_builder_would_say_it():
    (row,) = figure_table(figure_changes([GAP], [BAD])).rows
    figures = ("30.00 mm", "24.00 mm", "at least 25.00 mm", "-6.00 mm", "-120 %")
    assert row.cells == ("gap", *figures, "PASS -> FAIL")
    first, second = part_table(PARTS).rows
    assert first.cells[1].startswith("moved by +0.00, +10.00, +0.00 mm")
    assert second.cells[2:4] == ("3.20 mm (+/- 0.20)", "STA 1800.0 BL 0.0 WL 1200.0")

"""What a terminal shows of a comparison."""

from pathlib import Path

import pytest

from geomgen.comparison.figure_changes import figure_changes
from geomgen.comparison.wording import TextTable
from geomgen.terminal.changes import comparison, folded, table_lines, widths
from geomgen.verdicts.check import Check, Limits
from geomgen.workflows.comparing.result import ComparisonResult, SideInfo

TABLE = TextTable(
    "Figures",
    ("CHECK", "FORMER", "NEW"),
    (("prop.radial_clearance", "30.00 mm", "24.00 mm"), ("exit.area", "147.4 cm^2", "-")),
    ("bad", ""),
)


def side(label):
    return SideInfo(label, "demo", "Demo", "A", "0" * 64, "", True, False)


def check(value, verdict):
    limits = Limits("at least 25 mm", low=25.0)
    return Check(
        "prop.gap", "boom", "gap", value, "mm", limits, "at least", value - 25.0, verdict,
        error_bound=0.1,
    )  # fmt: skip


def result(former=(), new=(), findings=(), notes=()):
    figures = figure_changes(former, new)
    return ComparisonResult(
        side("a.toml"), side("b.toml"), (), figures, (), (), False, findings, notes, None, 1.5
    )


def test_columns_line_up_and_moods_are_kept():
    lines = table_lines(TABLE)
    assert lines[1] == ("Figures", "bold")
    rows = [line for line, _ in lines[2:]]
    words = ("FORMER", "30.00", "147.4")
    assert len({row.index(word) for row, word in zip(rows, words, strict=True)}) == 1
    assert lines[3][1] == "bold red"


@pytest.mark.parametrize("width", [60, 80, 100])
def test_no_line_is_wider_than_the_screen(width):
    long = TextTable("T", ("A", "B"), (("x" * 90, "some words " * 20),), ("",))
    assert all(len(line) <= width for line, _ in table_lines(long, width))
    assert sum(widths(long.rows, width)) <= width - 2


def test_nothing_is_lost_by_folding():
    text = "inlet.area.scoop_cheek_right moved"
    assert "".join(folded(text, 12)).replace(" ", "") == text.replace(" ", "")


def test_an_empty_table_takes_no_room():
    assert table_lines(TextTable("T", ("A",), (), ())) == []


def test_the_answer_comes_first_and_findings_under_it():
    made = result((check(30.0, "pass"),), (check(24.0, "fail"),), ("pod_mm.stl: it was changed",))
    lines = comparison(made, Path("out/demo.comparison"))
    assert "1 verdict turned to FAIL" in lines[0][0]
    assert ("pod_mm.stl: it was changed", "bold red") in lines
    assert any("PASS -> FAIL" in line for line, _ in lines)
    assert any("built for this comparison" in line for line, _ in lines)
    assert "airworthiness" in lines[-1][0]
    assert not made.passed


def test_quiet_leaves_the_tables_out():
    made = result((check(30.0, "pass"),), (check(28.0, "pass"),), notes=("mind this",))
    assert made.passed
    loud, quiet = (comparison(made, Path("x"), quiet=q) for q in (False, True))
    assert any("MOVED BY" in line for line, _ in loud)
    assert any("mind this" in line for line, _ in loud)
    assert not any("MOVED BY" in line for line, _ in quiet)


def test_a_state_that_fails_as_before_does_not_pass():
    assert not result((check(24.0, "fail"),), (check(24.0, "fail"),)).passed

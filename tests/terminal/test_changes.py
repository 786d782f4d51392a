"""What a terminal shows of a comparison."""

from pathlib import Path

from geomgen.comparison.figure_changes import figure_changes
from geomgen.terminal.changes import comparison
from geomgen.verdicts.check import Check, Limits
from geomgen.workflows.comparing.result import ComparisonResult, SideInfo


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

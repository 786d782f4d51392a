"""Checks in words; the words are ours."""

from bay_bodies import check

from geomgen.aircraft_drawings.check_words import lines_of, said
from geomgen.verdicts.check import Check, Limits


def test_every_outcome_is_said_in_words() -> None:
    for verdict, word in (("pass", "PASS"), ("fail", "FAIL"), ("warn", "warn")):
        line = said(check("exit.area", 9840.0, "mm2", "at least 98.4 cm^2", verdict), "open area")
        assert line == f"open area 98.4 cm\u00b2, at least 98.4 cm\u00b2, {word}"


def test_what_was_not_measured_has_no_figure() -> None:
    none = Check("a", "", "gap", None, "mm", Limits("at least 25.00 mm"), "at least", None, "fail")
    assert said(none) == "gap, at least 25.00 mm, FAIL"


def test_names_that_were_compared_and_figures_without_a_limit() -> None:
    limits = Limits("one of: steel, monel")
    names = Check(*("a", "", "material", None, "1", limits, "one of", None, "fail"), written="tin")
    assert said(names) == "material tin, one of: steel, monel, FAIL"
    free = Check("a", "", "radius", 656.0, "mm", Limits("no limit set"), "none", None, "pass")
    assert said(free) == "radius 656.00 mm"


def test_only_what_was_checked_is_said() -> None:
    checks = [check("a", 2.0, "mm", "at least 1.00 mm", "pass")]
    assert lines_of(checks, [("b", ""), ("a", "gap")]) == ("gap 2.00 mm, at least 1.00 mm, PASS",)

"""What is said of a search: it can be checked against the figures that were measured."""

from math import inf

import pytest
from plain_solving import first_looks, free, machine, solved

from geomgen.errors import GeometryError
from geomgen.sizing.target import Target
from geomgen.solving.search.log import SearchProblem
from geomgen.solving.search.search import solve
from geomgen.solving.search.told import headline, moved, progress_line, sentences
from geomgen.solving.search.until import KnownFigure, untils_of

AREA = Target("inlet.area", "mouths", "at least", "mm2", low=9000.0)
GAP = Target("prop.radial_clearance", "tips", "at least", "mm", low=25.0)


def area(h: float) -> float:
    return 170 * h


def test_nothing_works_says_ends_bound_and_what_is_missing() -> None:
    evaluate = machine([AREA], {"inlet.area": area})
    found = solved([free(30, 90, 50)], ["inlet.area=50000 mm^2"], [AREA], evaluate)
    said = " ".join(sentences(found))
    assert headline(found) == (
        "nothing found within the bounds meets inlet.area=50000 mm^2; nearest: "
        "scoops.0.height 90 mm, inlet.area 153.0 cm^2 (347.0 cm^2 short)"
    )
    assert "inlet.area is 153.0 cm^2 (347.0 cm^2 short), asked: 500.0 cm^2" in said
    assert "scoops.0.height runs into its upper bound, 90 mm" in said
    assert "at 30 mm 51.0 cm^2, at 90 mm 153.0 cm^2" in said


def test_a_figure_that_nothing_moves() -> None:
    evaluate = machine([AREA], {"inlet.area": lambda h: 8000.0})
    found = solved([free(30, 90, 50)], ["inlet.area=target"], [AREA], evaluate)
    assert "inlet.area stays at 80.0 cm^2: nothing that is freed moves it" in sentences(found)


def test_a_broken_check_is_named_with_its_figure() -> None:
    figures = {"inlet.area": area, "prop.radial_clearance": lambda h: 85.0 - h}
    evaluate = machine([AREA, GAP], figures)
    found = solved([free(30, 90, 50)], ["inlet.area=110 cm^2"], [AREA, GAP], evaluate)
    assert headline(found).endswith("but prop.radial_clearance did not pass")
    (text,) = [t for t in sentences(found) if "passed before" in t]
    assert text == (
        "prop.radial_clearance passed before and does not now: 20.30 mm, limit: at least 25.00 mm"
    )
    assert [(old.measured, new.verdict) for old, new in moved(found)] == [(35.0, "fail")]


def test_states_that_cant_be_built_are_counted() -> None:
    def some(h: float) -> float:
        if h > 80:
            raise GeometryError("the walls meet", part="pod")
        return area(h)

    evaluate = machine([AREA], {"inlet.area": some})
    found = solved([free(30, 90, 50)], ["inlet.area=100 cm^2"], [AREA], evaluate)
    bad = sum(not point.built for point in found.points)
    (text,) = [t for t in sentences(found) if "can't be built" in t]
    assert text.startswith(f"{bad} of {len(found.points)} states")
    assert "the walls meet" in text


def test_an_end_by_the_number_of_states_is_said() -> None:
    evaluate = machine([AREA], {"inlet.area": lambda h: 9000 * (h / 71) ** 9})
    asked = ["inlet.area=9000 mm^2 +/- 1 mm^2"]
    found = solved([free(30, 90, 50)], asked, [AREA], evaluate, 5)
    assert any("--evaluations" in text for text in sentences(found))


def test_an_answer_has_what_was_measured_and_its_tolerance() -> None:
    evaluate = machine([AREA], {"inlet.area": area})
    found = solved([free(30, 90, 50)], ["inlet.area=100 cm^2", "all"], [AREA], evaluate)
    assert headline(found) == (
        "scoops.0.height 58.8 mm meets inlet.area=100 cm^2 (measured 100.0 cm^2, tolerance "
        "0.1 cm^2), all, and every other check passes"
    )
    found = solved([free(30, 90, 50)], ["inlet.area=target"], [AREA], evaluate)
    assert "meets inlet.area=target (measured 90.1 cm^2), and" in headline(found)


@pytest.mark.parametrize(
    ("bound", "words"), [(inf, "; how far it may be off is not known)"), (500.0, "stays +/- 5.0 ")]
)
def test_an_answer_whose_band_is_not_known_says_so(bound, words) -> None:
    asked = untils_of(
        ["inlet.area>=100 cm^2"], [KnownFigure("inlet.area", "mm2", "at least", True)]
    )
    evaluate = machine([AREA], {"inlet.area": area}, bound=bound)
    found = solve(SearchProblem((free(30, 90, 50),), asked, False, 60), evaluate, lambda _: None)
    assert words in headline(found)


def test_coarse_steps_are_said_with_the_nearest_that_can_be_built() -> None:
    evaluate = machine([AREA], {"inlet.area": lambda h: 1000 * h})
    frees = [free(30, 90, 50, to="20 mm")]
    found = solved(frees, ["inlet.area=709 cm^2"], [AREA], evaluate)
    assert headline(found) == (
        "nothing found within the bounds meets inlet.area=709 cm^2: the step of 20 mm is too "
        "coarse for inlet.area=709 cm^2 (--to); nearest: scoops.0.height 80 mm, inlet.area "
        "800.0 cm^2 (91.0 cm^2 over)"
    )


def test_a_progress_line_has_number_values_figures_and_what_is_missing() -> None:
    lines = []
    evaluate = machine([AREA], {"inlet.area": area})
    frees = [free(30, 90, 50)]
    solved(frees, ["inlet.area=100 cm^2"], [AREA], evaluate, tell=lambda p: lines.append(
        progress_line(p, frees)))  # fmt: skip
    assert lines[0] == "  1  scoops.0.height 50 mm: inlet.area 85.0 cm^2 (15.0 cm^2 short)"


def test_figures_of_first_answers_are_said_as_such() -> None:
    figures, lines = {"inlet.area": area}, []
    frees = [free(30, 90, 50)]
    found = solved(
        frees, ["inlet.area=50000 mm^2"], [AREA], machine([AREA], figures),
        tell=lambda point: lines.append(progress_line(point, frees)),
        first=first_looks([AREA], figures, bound=5.0),
    )  # fmt: skip
    assert lines[1].endswith("inlet.area 51.0 cm^2 (449.0 cm^2 short) (first answer)")
    assert not lines[0].endswith("(first answer)")
    assert "at 30 mm about 51.0 cm^2, at 90 mm 153.0 cm^2" in " ".join(sentences(found))

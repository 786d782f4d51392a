"""Why a value that a figure passes is not met: steps, jumps, or neither of them."""

import pytest
from plain_solving import free, machine, solved

from geomgen.sizing.target import Target
from geomgen.solving.search.why import reason

AREA = Target("inlet.area", "mouths", "at least", "mm2", low=9000.0)


def why(formula, asked: str, to: str = "0.1 mm") -> str:
    evaluate = machine([AREA], {"inlet.area": formula}, (40.0,))
    found = solved([free(30, 90, 40, to=to)], [asked], [AREA], evaluate)
    assert not found.met
    return reason(found, found.unmet[0])


def test_a_jump_has_both_its_sides() -> None:
    said = why(lambda h: 9100 if h < 50.05 else 30000, "inlet.area=15000 mm^2")
    assert said.startswith("inlet.area jumps there, or as good as: 91.0 cm^2 at 50.0")
    assert " and 300.0 cm^2 at 50.0" in said


@pytest.mark.parametrize("asked", ["inlet.area=709 cm^2", "inlet.area=709 cm^2 +/- 1 cm^2"])
def test_coarse_steps(asked: str) -> None:
    assert why(lambda h: 1000 * h, asked, "20 mm") == (
        f"the step of 20 mm is too coarse for {asked} (--to)"
    )


@pytest.mark.parametrize("asked", ["inlet.area=50000 mm^2", "inlet.area>=50000 mm^2"])
def test_what_is_never_passed_has_no_such_reason(asked: str) -> None:
    assert why(lambda h: 170 * h, asked) == ""

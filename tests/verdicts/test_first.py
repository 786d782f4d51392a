"""First answers: which verdicts no exact figure can turn."""

import pytest

from geomgen.measurements.record import Measurement
from geomgen.sizing.target import Target
from geomgen.verdicts.first import first_judged

LEAST = Target("gap", "gap", "at least", "mm", low=25.0)


def judged(value, bound, target=LEAST, **more):
    (found,) = first_judged(
        [Measurement("gap", "pod", "", value, "mm", "", bound, **more)], [target]
    )
    return found.check.verdict if found.final else "waits"


@pytest.mark.parametrize(
    ("value", "bound", "verdict"),
    [
        *((26.0, 0.5, "pass"), (25.4, 0.5, "waits"), (25.0, 0.0, "pass"), (24.0, 0.5, "fail")),
        *((24.8, 0.5, "waits"), (26.0, None, "waits"), (None, None, "waits")),
        (26.0, float("inf"), "waits"),
    ],
)
def test_margin_decides_against_the_bound(value, bound, verdict):
    assert judged(value, bound) == verdict


def test_warnings_of_limits_inside_the_limit_are_looked_at_from_both_ends():
    wanted = Target("gap", "gap", "at least", "mm", low=25.0, wanted=30.0)
    assert judged(28.0, 0.5, wanted) == "warn"
    assert judged(29.8, 0.5, wanted) == "waits"
    assert judged(31.0, 0.5, wanted) == "pass"


def test_broken_opening_is_final_and_figures_without_a_limit_decide_nothing():
    assert judged(None, None, broken=True) == "fail"
    told = Target("gap", "gap", "none", "mm", severity="info")
    (found,) = first_judged([Measurement("gap", "pod", "", 1.0, "mm", "", 9.0)], [told])
    assert found.final
    assert not found.waits


def test_json_says_that_it_waits():
    (found,) = first_judged([], [LEAST])
    row = found.as_dict()
    assert (row["verdict"], row["final"], row["first"]) == ("waits", False, True)
    assert found.waits
    assert not found.fails

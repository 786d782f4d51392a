"""Targets of the air outside: only of a file with [air], with the file's own limits."""

import pytest

from geomgen.measurements.record import Measurement
from geomgen.sizing.outside_air_targets import STATES
from geomgen.sizing.targets import figures, targets
from geomgen.verdicts.judge import judge

STEMS = (
    *("inlet.pressure", "inlet.slow_layer", "inlet.separated", "exit.pressure"),
    "cooling.air_rise",
)


def of(p):
    return {t.id: t for t in figures(p) if t.id.startswith(STEMS)}


def test_none_without_an_air_table(parameters):
    p = parameters()
    assert of(p.model_copy(update={"air": None})) == {}
    assert set(of(p)) == {
        *("inlet.pressure.*", "inlet.slow_layer.*", "inlet.separated.*", "exit.pressure"),
        *(f"cooling.air_rise.{state}" for state in STATES),
    }


def test_limits_are_those_of_the_file(parameters):
    due = of(
        parameters(
            *("rules.inlet_pressure=0.72", "rules.slow_layer=0.31"),
            *("cooling.exit_pressure=-0.17", "cooling.air_rise=55 K"),
        )
    )
    assert (due["inlet.pressure.*"].low, due["inlet.pressure.*"].comparison) == (0.72, "at least")
    assert (due["inlet.slow_layer.*"].high, due["inlet.slow_layer.*"].comparison) == (
        0.31,
        "at most",
    )
    assert due["exit.pressure"].high == pytest.approx(-0.17)
    assert {due[f"cooling.air_rise.{state}"].high for state in STATES} == {55.0}


def test_only_flight_that_is_too_hot_and_air_that_has_left_stop_the_whole(parameters):
    due = of(parameters())
    assert due["cooling.air_rise.climb"].severity == "fail"
    assert due["cooling.air_rise.standing"].severity == "warn"
    assert due["inlet.separated.*"].severity == "fail"
    hard = ("cooling", "inlet.separated")
    assert {t.severity for t in due.values() if not t.id.startswith(hard)} == {"warn"}
    assert all(t.unsure for t in due.values() if t.id.startswith("cooling"))
    # A pod that is open behind has an exit, with or without an [exit].
    without = parameters().model_copy(update={"exit": None})
    assert of(without)["cooling.air_rise.climb"].severity == "fail"


def test_nothing_measured_is_no_check(parameters):
    ids = {check.id for check in judge([], figures(parameters()))}
    assert not [id_ for id_ in ids if id_.startswith(STEMS)]


def verdict(p, id_, value, bound=None, unit="1", **more):
    made = Measurement(id_, "pod", "", value, unit, "made up", error_bound=bound, **more)
    (check,) = [c for c in judge([made], figures(p)) if c.id == id_]
    return check


@pytest.mark.parametrize(
    ("rise", "bound", "expected"),
    [(50.0, 5.0, "pass"), (58.0, 5.0, "warn"), (63.0, 5.0, "warn"), (66.0, 5.0, "fail")],
)
def test_rise_beyond_its_limit_by_less_than_it_may_be_off_warns(parameters, rise, bound, expected):
    p = parameters("cooling.air_rise=60 K")
    assert verdict(p, "cooling.air_rise.climb", rise, bound, "K").verdict == expected
    standing = verdict(p, "cooling.air_rise.standing", rise, bound, "K").verdict
    assert standing == ("warn" if expected == "fail" else expected)


def test_air_that_does_not_go_through_fails_in_its_own_words(parameters):
    check = verdict(parameters(), "cooling.air_rise.climb", None, None, "K", broken=True)
    assert check.verdict == "fail"
    assert check.stops
    assert "no air goes through" in check.note
    assert "opening" not in check.note


def test_mouth_whose_layer_left_the_skin_is_neither_passed_nor_a_stop(parameters):
    check = verdict(parameters(), "inlet.pressure.scoop_cheek_right", None, note="climb: has left")
    assert (check.verdict, check.stops) == ("not_measured", False)
    assert "has left" in check.note


def test_figures_only_to_be_read_have_no_limit(parameters):
    read = {t.id: t for t in targets(parameters())}
    for id_ in ("cooling.mass_flow.climb", "pod.separation", "wing.neutral_point"):
        found = read.get(id_) or {t.id: t for t in figures(parameters())}[id_]
        assert (found.severity, found.low, found.high) == ("info", None, None)

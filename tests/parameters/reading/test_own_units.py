"""Refusals show values as they were written, and limits in the same unit with mm beside."""

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.parameters.reading.own_units import (
    as_written,
    counts_in_inches,
    in_own_unit,
    length_unit,
)
from geomgen.parameters.values.quantities import Within


def refusals(folder, *overrides, name="hayfield.toml"):
    with pytest.raises(ParameterError) as caught:
        load(folder / name, overrides)
    return list(getattr(caught.value, "errors", [caught.value]))


def test_a_value_in_inches_is_refused_in_inches_with_millimetres_beside(folder):
    (error,) = refusals(folder, "scoops.0.corner_radius=1 1/4 in")
    assert error.written == "1 1/4 in (31.75 mm)"
    assert error.allowed == "less than 1.15 in / 29.21 mm"
    lines = (folder / "hayfield.toml").read_text().splitlines()
    scoop = next(i for i, row in enumerate(lines) if row.startswith("[[scoops]]"))
    line = next(i for i, row in enumerate(lines, 1) if i > scoop and row.startswith("height"))
    assert error.advice == f"change scoops.0.corner_radius, or scoops.0.height (line {line})"


def test_what_a_field_allows_is_told_in_the_unit_written_and_rounded_inward(folder):
    (error,) = refusals(folder, "pod.wall=3 in")
    assert error.written == "3 in (76.2 mm)"
    assert error.allowed == "from 0.01182 in to 2.362 in (from 0.3 mm to 60 mm)"
    assert error.advice == "write 2.362 in or less"
    wall = Within("length", "0.3 mm", "60 mm")
    assert wall.read("0.01182 in") > 0.3
    assert wall.read("2.362 in") < 60.0


@pytest.mark.parametrize(
    ("wall", "allowed"),
    [("3 mm", "0.05905 in / 1.5 mm"), ("3/32 in", "0.04687 in / 1.19 mm")],
)
def test_a_limit_between_fields_may_be_written_as_it_was_told(folder, wall, allowed):
    (error,) = refusals(folder, f"scoops.0.wall={wall}", "scoops.0.lip_radius=1/4 in")
    assert error.allowed == f"at most half of the wall, {allowed}"
    for told in allowed.split(" / "):
        load(folder / "hayfield.toml", [f"scoops.0.wall={wall}", f"scoops.0.lip_radius={told}"])


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("more than the passage, 1 mm", "more than the passage, 0.03938 in / 1 mm"),
        ("at least 1 mm", "at least 0.03938 in / 1 mm"),
        ("behind station 1 mm", "behind station 0.03938 in / 1 mm"),
        ("less than 3 mm", "less than 0.1181 in / 3 mm"),
        ("within 1.5 mm", "within 0.05905 in / 1.5 mm"),
        ("between 1 mm and 1.5 mm", "between 0.03938 in / 1 mm and 0.05905 in / 1.5 mm"),
        ("more than 1 mm aft and 1 mm up", "more than 0.03938 in / 1 mm aft and 0.03938 in / 1 mm "
         "up"),
        ("more than 1 mm, at most 1.5 mm", "more than 0.03938 in / 1 mm, at most 0.05905 in / "
         "1.5 mm"),
        ("at most 3.175 mm", "at most 0.125 in / 3.175 mm"),
        ("more than -1 mm", "more than -0.03937 in / -1 mm"),
        ("1.5 mm across", "0.05906 in / 1.5 mm across"),
    ],
)  # fmt: skip
def test_limits_are_rounded_to_the_side_that_is_allowed(text, told):
    assert in_own_unit(text, "in") == told


def test_an_upright_cylinder_is_told_by_the_centre_that_was_written(folder):
    every = refusals(folder, "engine.cylinders.1.station=85 in")
    (error,) = (each for each in every if "ahead of the firewall" in each.problem)
    assert error.written == "85 in (2159 mm), its centre: it begins at 82.9 in / 2105.66 mm"
    least = float(error.allowed.split(" in / ")[0].removeprefix("more than "))
    moved = refusals(folder, f"engine.cylinders.1.station={least + 0.2} in")
    assert not [each for each in moved if "ahead of the firewall" in each.problem]


def test_a_metric_file_is_refused_as_before(folder):
    (error,) = refusals(folder, "scoops.0.corner_radius=30 mm", name="saltmarsh.toml")
    assert (error.written, error.allowed) == ("30 mm", "less than 28 mm")


def test_a_default_and_a_hung_place_are_told_in_the_unit_of_the_file(folder):
    errors = refusals(folder, "firewall.station=pod end + 10 in")
    hung = next(error for error in errors if error.key == "firewall.station")
    assert hung.written == "pod end + 10 in (144 in / 3657.6 mm)"
    assert hung.allowed == "between -15 in / -381 mm and 130 in / 3302 mm"


OUT_OF_RANGE = [
    ("pod.wall=1 m", "write 60 mm or less"),
    ("pod.wall=0.1 mm", "write 0.3 mm or more"),
    ("pod.stations.2.fullness_upper=2", "write 0.85 or less"),
    ("handoff.cores.ticks=1", "write 6 or more"),
    ("wing.leading_edge=pod end + 40 m", "write 15 m or less"),
    ("gear.wheels.0.deflection=-1 ft", "or more"),
]


@pytest.mark.parametrize(("text", "advice"), OUT_OF_RANGE)
def test_every_value_out_of_its_range_is_told_what_to_write(folder, text, advice):
    found = refusals(folder, text, name="saltmarsh.toml")
    told = [error for error in found if error.problem == "out of range"]
    assert told
    assert all(error.advice and advice in error.advice for error in told)


@pytest.mark.parametrize(
    ("text", "units"),
    [
        ("pod.wall=4 m", "mm, cm"),
        ("flight.climb_speed=4500 ft/s", "ft/min"),
        ("powerplant.power=22000 kW", "W"),
        ("pod.wall=70 mm", None),
        ("pod.wall=-4 m", None),
        ("wing.leading_edge=pod end + 40 m", None),
    ],
)
def test_a_number_far_out_of_its_range_is_asked_for_its_unit(folder, text, units):
    (error,) = [e for e in refusals(folder, text, name="saltmarsh.toml") if e.advice][:1]
    asked = error.advice.partition("; is the unit right? the same number in ")[2]
    assert asked == (f"{units} would do" if units else "")


CLASHES = (
    "pod.wall=60 mm", "firewall.station=5 m", "pod.stations.3.crown=400 mm",
    "booms.buttock_line=9 m", "propeller.station=1 m", "scoops.0.fairing_length=1.9 m",
    "gear.take_off_pitch=12 deg", "fins.trailing_edge_thickness=20 mm",
    "drawings.stations=['9 m']", "handoff.moulds.0.part='wing'", "exit.rim_station=1 m",
)  # fmt: skip


@pytest.mark.parametrize("text", CLASHES)
def test_every_clash_says_what_to_do(folder, text):
    assert all(error.advice for error in refusals(folder, text, name="saltmarsh.toml"))


def test_the_unit_is_that_of_the_key_then_of_its_table_then_of_the_file():
    tables = {"a": {"b": "1 in", "c": "firewall + 2 ft", "d": True}, "e": "3 mm", "f": "2 kg"}
    assert length_unit(tables, ("a", "c")) == "ft"
    assert length_unit(tables, ("a", "d")) in ("in", "ft")
    assert length_unit(tables, ("e",)) == "mm"
    assert length_unit({}, ("e",)) == "mm"


@pytest.mark.parametrize(("name", "inches"), [("hayfield", True), ("saltmarsh", False)])
def test_a_file_counts_in_what_most_of_its_lengths_are_written_in(folder, name, inches):
    assert counts_in_inches(load(folder / f"{name}.toml")) is inches


def test_only_lengths_are_turned():
    assert in_own_unit("3 deg, 5 mm2, 5 mm^2, x25 mm, -2.54 mm", "in") == (
        "3 deg, 5 mm2, 5 mm^2, x25 mm, -0.1 in / -2.54 mm"
    )
    assert as_written("3 deg at station 25.4 mm", "3 deg", "in") == (
        "3 deg at station 1 in / 25.4 mm"
    )

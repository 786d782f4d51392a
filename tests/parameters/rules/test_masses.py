"""Tables of masses that can't be: each is refused with what would do."""

import tomllib
from pathlib import Path

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.parameters.editing.writing import toml_of

CONFIGS = Path(__file__).parents[3] / "configs"


@pytest.fixture
def refused(tmp_path):
    tables = tomllib.loads((CONFIGS / "saltmarsh.toml").read_text())
    (tmp_path / "curlew.dat").write_bytes((CONFIGS / "curlew.dat").read_bytes())

    def make(change):
        change(tables)
        (tmp_path / "mine.toml").write_text(toml_of(tables))
        with pytest.raises(ParameterError) as caught:
            load(tmp_path / "mine.toml")
        return str(caught.value)

    return make


def item(**more):
    return {"name": "a", "group": "systems", "mass": "1 kg"} | more


PLACE = {"station": "1 m", "waterline": "0 mm"}


@pytest.mark.parametrize(
    ("table", "row", "words"),
    [
        ("mass", {"part": "float", "material": "fir"}, "no such part"),
        ("mass", {"part": "pod", "material": "fir"}, "named twice"),
        ("mass", {"part": "boom_left"}, "nothing says what it weighs"),
        ("mass", {"part": "boom_left", "wall": "1 mm", "laminate": True}, "a wall of what?"),
        (
            "mass",
            {"part": "boom_left", "laminate": True, "skin": "1 kg/m^2"},
            "the skin is said twice",
        ),
        (
            "mass",
            {"part": "boom_left", "material": "fir", "wall": "1 mm", "laminate": True},
            "a wall and a skin",
        ),
        ("items", item(), "where it stands"),
        ("items", item(**PLACE, at="pod"), "two places"),
        ("items", item(at="float"), "no such part"),
        ("items", item(at="pod", mirrored=True), "a pair has no one part"),
        ("items", item(**PLACE, mirrored=True), "the second one would stand in the same place"),
        ("items", item(**PLACE, band="2 kg"), "more than the mass itself"),
        ("items", item(**PLACE, name="Battery"), "an item of this name is there already"),
    ],
)
def test_a_row_that_can_not_be(refused, table, row, words):
    assert words in refused(lambda tables: tables[table].append(row))


@pytest.mark.parametrize(
    ("table", "row"),
    [("mass", {"part": "wheel_man", "weighed": "3 kg"}), ("items", item(at="wheel_man"))],
)
def test_a_part_that_is_not_there_hints_at_the_right_one(refused, table, row):
    assert "perhaps wheel_main?" in refused(lambda tables: tables[table].append(row))


def test_a_laminate_that_nobody_described(refused):
    assert "no laminate is described" in refused(lambda tables: tables.pop("handoff"))


def test_a_loading_of_a_pilot_who_is_not_there(refused):
    def change(tables):
        tables["loads"]["cases"][0]["pilot"] = "nobody"

    assert "lightest, heaviest, builder" in refused(change)


def test_ballast_without_a_place(refused):
    assert "no place for the ballast" in refused(lambda t: t["loads"].pop("ballast_station"))


def test_two_pilots_of_one_name(refused):
    def change(tables):
        tables["loads"]["pilots"][1]["name"] = "lightest"

    assert "one name a pilot" in refused(change)


def test_useful_loads_that_would_make_thousands_of_loadings(refused):
    def change(tables):
        tables["items"] += [item(**PLACE, name=f"bag {i}", group="useful load") for i in range(6)]

    assert "too many useful loads" in refused(change)


def test_a_pilot_who_is_weighed_far_from_his_seat(refused):
    def change(tables):
        tables["loads"]["station"] = "1.4 m"

    assert "far from the seat of [pilot]" in refused(change)


def test_a_mass_of_nothing_is_none(refused):
    assert "out of range" in refused(lambda tables: tables["items"].append(item(mass="0 kg")))


@pytest.mark.parametrize(
    ("override", "problem"),
    [
        ("tanks.main.station=1600 mm", "two places"),
        ("tanks.main.buttock_line=20 mm", "two places"),
        ("tanks.main.shape.diameter=200 mm", "a box has none"),
        ("tanks.main.shape.axis=y", "a box has none"),
        ("tanks.main.shape.kind=cylinder", "a cylinder needs it"),
        ("tanks.main.shape.kind=cylinder", "a cylinder has none"),
        ("tanks.0.name=Main tank", "part of file names"),
        ("tanks.main.low_waterline=500 mm", "outside of the tank's room"),
        ("tanks.main.low_waterline=2 m", "outside of the tank's room"),
        ("tanks.main.low_station=1470 mm", "outside of the tank's room"),
        ("tanks.main.shape.height=20 mm", ""),
    ],
)
def test_what_does_not_go_together_in_a_tank_is_refused(override, problem):
    if not problem:
        with pytest.raises(ParameterError, match="no room is left inside"):
            load(CONFIGS / "saltmarsh.toml", [override, "tanks.main.shape.wall=10 mm"])
        return
    with pytest.raises(ParameterError, match=problem):
        load(CONFIGS / "saltmarsh.toml", [override])


@pytest.mark.parametrize(
    ("shape", "problem"),
    [
        ({"rests_on": ["firewall", "cradle"]}, "no such part"),
        ({"out": "above", "off": ["wing", "hood"]}, "no such part"),
        ({"off": ["wing"]}, "nothing is taken off"),
    ],
)
def test_what_carries_a_tank_and_what_comes_off_is_in_the_file(refused, shape, problem):
    assert problem in refused(lambda tables: tables["tanks"][0]["shape"].update(shape))


def test_a_tank_without_a_shape_needs_a_place():
    row = '[{name = "main", usable = "18 l", station = "1600 mm"}]'
    with pytest.raises(ParameterError, match="where the fuel is"):
        load(CONFIGS / "saltmarsh.toml", [f"tanks={row}", "items.14.at=pod"])


def test_two_tanks_or_loadings_of_one_name_are_refused(refused):
    def tanks(tables):
        other = {"usable": "5 l", "station": "2400 mm", "waterline": "600 mm"}
        tables["tanks"].append({"name": tables["tanks"][0]["name"].upper(), **other})

    def cases(tables):
        tables["loads"]["cases"] += [{**tables["loads"]["cases"][0], "fuel": 1.0}]

    assert "named twice" in refused(tanks)
    assert "named twice" in refused(cases)


@pytest.mark.parametrize(("axis", "high"), [("x", 150.0), ("z", 300.0)])
def test_the_last_fuel_of_a_cylinder_is_held_to_its_own_height(axis, high):
    """Middle at WL 620, 600 mm long, 300 mm across, wall 1.5 mm."""

    def loaded(low):
        shape = (
            f'{{kind = "cylinder", axis = "{axis}", station = "1600 mm", waterline = "620 mm", '
            'length = "600 mm", diameter = "300 mm", wall = "1.5 mm"}'
        )
        row = f'{{name = "main", usable = "18 l", low_waterline = "{low} mm", shape = {shape}}}'
        return load(CONFIGS / "saltmarsh.toml", [f"tanks=[{row}]"])

    bottom = 620.0 - high + 1.5
    assert loaded(bottom + 1.0).tanks[0].low_waterline == bottom + 1.0
    with pytest.raises(ParameterError, match="outside of the tank's room"):
        loaded(bottom - 1.0)


def test_neutral_point_by_the_air_needs_an_air(refused):
    def change(tables):
        del tables["air"]
        tables["rules"] = tables.get("rules", {}) | {"neutral_point": "air"}

    text = refused(change)
    assert "rules.neutral_point" in text
    assert "no [air]" in text
    assert "mass that the wing carries" in text

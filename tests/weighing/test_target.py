"""Where a mass belongs: rows of parts and families, items, pairs, and what has no place."""

import pytest
from weighed_machines import machine

from geomgen.errors import ParameterError
from geomgen.weighing.reading import typed_readings
from geomgen.weighing.target import names_within, targets_of


def targets(*texts, p=None):
    return targets_of(p or machine(), typed_readings(texts))


@pytest.mark.parametrize(
    ("text", "table", "row", "like"),
    [
        ("pod=9 kg", "mass", 0, 0),
        ("boom=3 kg each", "mass", 5, 5),
        ("boom_left=3 kg", "mass", None, 5),
        ("boom_left=3 kg each", "mass", None, 5),
        ("wheel_main_right=3 kg", "mass", None, 12),
        ("scoop_cheek=0.3 kg each", "mass", None, 3),
        ("firewall=1.1 kg", "mass", None, None),
        ("battery=2 kg", "items", 12, None),
        ("Engine with reduction gear and fan=20 kg", "items", 0, None),
    ],
)
def test_a_mass_goes_where_its_name_stands(text, table, row, like):
    (target,) = targets(text)
    assert (target.table, target.row, target.like) == (table, row, like)


@pytest.mark.parametrize(
    ("texts", "problem"),
    [
        (["podd=9 kg"], "perhaps pod"),
        (["batery=2 kg"], "perhaps battery"),
        (["prop_disc=2 kg"], "no such part or item"),
        (["boom=3 kg"], "one piece on the scales, or both"),
        (["clamp and fittings of the main leg=1 kg"], "one piece on the scales, or both"),
        (["wheel_nose=5 kg both"], "there is one of it"),
        (["boom_left=5 kg both"], "there is one of it"),
        (["battery=5 kg both"], "there is one of it"),
        (["wing=10 kg each"], "all its pieces together"),
        (["battery=5 kg each"], "there is one of it"),
        (["wheel=3 kg each"], "several parts that differ"),
        (["engine=20 kg"], "count twice"),
        (["pod=9 kg", "pod=9 kg"], "weighed twice"),
        (["boom=3 kg each", "boom_left=3 kg"], "weighed twice"),
        (["battery=2 kg", "Battery=2 kg"], "weighed twice"),
    ],
)
def test_what_has_no_place_or_two_is_refused(texts, problem):
    with pytest.raises(ParameterError) as refused:
        targets(*texts)
    assert problem in str(refused.value)


def test_an_engine_whose_item_has_a_station_of_its_own_would_count_twice():
    p = machine()
    engine = p.items[0].model_copy(update={"at": None, "station": 2600.0, "waterline": 800.0})
    assert engine.weight_of == "engine"
    p = p.model_copy(update={"items": (engine, *p.items[1:])})
    with pytest.raises(ParameterError, match="count twice"):
        targets("engine=20 kg", p=p)


def test_a_closer_entry_of_the_file_goes_before():
    p = machine("mass.5.part=boom_left")
    with pytest.raises(ParameterError, match="entry of its own for boom_left"):
        targets("boom=3 kg each", p=p)


def test_a_part_and_an_item_of_one_name_are_told_apart_or_refused():
    p = machine("items.12.name=pod")
    with pytest.raises(ParameterError, match="a part and an item have this name"):
        targets("pod=9 kg", p=p)
    (target,) = targets("engine=20 kg", p=machine("items.0.name=engine"))
    assert (target.table, target.row) == ("items", 0)


def test_a_family_stands_for_its_parts():
    assert names_within(machine(), "scoop") == (
        *("scoop", "scoop_cheek", "scoop_cheek_right", "scoop_cheek_left"),
    )
    assert names_within(machine(), "boom") == ("boom", "boom_right", "boom_left")
    assert names_within(machine(), "pod") == ("pod",)

"""Which parameters differ; common practice."""

from pathlib import Path

import pytest

from geomgen.comparison.parameter_changes import parameter_changes
from geomgen.parameters import load


def rows(old, new, *written):
    return [(c.key, c.former, c.new, c.kind) for c in parameter_changes(old, new, *written)]


STATIONS = [{"station": f"{100 * i} mm", "crown": f"{500 + i} mm"} for i in range(5)]


def test_rows_go_by_number_from_one():
    new = [dict(row) for row in STATIONS]
    new[2]["crown"] = "610 mm"
    found = rows({"pod": {"stations": STATIONS}}, {"pod": {"stations": new}})
    assert found == [("pod.stations[3].crown", "502 mm", "610 mm", "changed")]


def test_rows_with_names_go_by_them_whatever_their_order():
    old = [{"name": "cheek", "width": "9 in"}, {"name": "chin", "width": "5 in"}]
    new = [{"name": "chin", "width": "6 in"}, {"name": "cheek", "width": "9 in"}]
    assert rows({"scoops": old}, {"scoops": new}) == [
        ("scoops[chin].width", "5 in", "6 in", "changed")
    ]


def test_a_station_put_in_between_is_one_station_not_four_changes():
    new = [*STATIONS[:2], {"station": "150 mm", "crown": "505 mm"}, *STATIONS[2:]]
    assert rows({"stations": STATIONS}, {"stations": new}) == [
        ("stations[3].station", None, "150 mm", "added"),
        ("stations[3].crown", None, "505 mm", "added"),
    ]
    assert [row[0::3] for row in rows({"stations": new}, {"stations": STATIONS})] == [
        ("stations[3].station", "removed"),
        ("stations[3].crown", "removed"),
    ]


def test_a_whole_table_comes_key_by_key():
    found = rows({}, {"spinner": {"length": "180 mm", "diameter": "160 mm"}})
    assert found == [
        ("spinner.length", None, "180 mm", "added"),
        ("spinner.diameter", None, "160 mm", "added"),
    ]


def test_both_values_are_shown_as_the_builder_wrote_them():
    old, new = {"flight": {"speed": "23.15 m/s"}}, {"flight": {"speed": "25.72 m/s"}}
    found = rows(old, new, {"flight.speed": "45 kt"}, {})
    assert found == [("flight.speed", "45 kt", "25.72 m/s (default)", "changed")]


@pytest.mark.parametrize(
    ("old", "new"),
    [("23.15 m/s", "23.150000000000002 m/s"), ("4 mm", "4 mm"), (0.12, {"value": 0.12})],
)
def test_a_rounding_or_another_way_to_write_it_is_no_change(old, new):
    assert rows({"rules": {"gap": old}}, {"rules": {"gap": new}}) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [("4 mm", "4.0001 mm"), ("4 mm", "4 in"), (True, False), (1, True), ("aft", "forward")],
)
def test_anything_else_is_a_change(old, new):
    assert len(rows({"a": {"b": old}}, {"a": {"b": new}})) == 1


def test_a_threshold_and_its_source_are_told_apart():
    old = {"rules": {"gap": {"value": "25 mm", "source": "own"}}}
    new = {"rules": {"gap": {"value": "1 in", "source": "rule"}}}
    assert [row[:3] for row in rows(old, new)] == [
        ("rules.gap", "25 mm", "1 in"),
        ("rules.gap.source", "own", "rule"),
    ]
    assert parameter_changes(old, new)[0].table == "rules"


def test_to_swap_former_and_new_swaps_the_values():
    old = {"a": 1, "rows": [{"x": 1}, {"x": 2}], "only": "1 mm"}
    new = {"a": 2, "rows": [{"x": 2}]}
    there, back = rows(old, new), rows(new, old)
    assert sorted((k, a, b) for k, a, b, _ in there) == sorted((k, b, a) for k, a, b, _ in back)


def test_a_place_that_hangs_shows_what_was_written_and_what_it_became():
    config = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"
    hung = "engine.fan_face.station=firewall + 400 mm"
    old, new = load(config, [hung]), load(config, [hung, "firewall.station=1790 mm"])
    rows = parameter_changes(old.plain(), new.plain(), old.written, new.written)
    assert [(row.key, row.former, row.new) for row in rows] == [
        ("firewall.station", "1800 mm", "1790 mm"),
        (
            "engine.fan_face.station",
            "firewall + 400 mm (2200 mm)",
            "firewall + 400 mm (2190 mm)",
        ),
    ]

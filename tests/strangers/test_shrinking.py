"""A failing file is made smaller while it fails in the same way."""

import tomllib

from strangers.aircraft import aircraft
from strangers.shrinking import places, smaller, without


def test_only_what_matters_stays():
    text = aircraft("fair", 3)

    def same(less):
        tables = tomllib.loads(less)
        return "wing" in tables and len(tables.get("scoops", [])) >= 1

    left = tomllib.loads(smaller(text, same))
    assert set(left) == {"wing", "scoops"}
    assert left["wing"] == {}
    assert left["scoops"] == [{}]


def test_no_more_files_are_asked_about_than_allowed():
    asked = []

    def same(less):
        asked.append(less)
        return False

    text = aircraft("fair", 3)
    assert smaller(text, same, most=7) == text
    assert len(asked) == 7


def test_later_rows_go_first_and_gone_places_are_skipped():
    tables = {"a": [{"b": 1}, {"b": 2}], "c": {"d": [1, 2]}}
    assert places(tables)[:4] == [("a",), ("c",), ("a", 1), ("a", 0)]
    assert without(tables, ("a", 2)) is None
    assert without(tables, ("x", "y")) is None

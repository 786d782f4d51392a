"""The order of putting in, from what bars what: an order wherever there is one."""

from itertools import permutations

import pytest

from geomgen.measurements.fit.straight_ways_in import AXES, Piece, means, order_in

UP, SIDE, AT = AXES["above"], AXES["the right"], (1.0, 2.0, 3.0)
BACK = {way: tuple(-c for c in way) for way in AXES.values()}


def met(*rows):
    """Return what meets: a part, another one, the way of the first, and the way back of both."""
    found = {}
    for one, other, way in rows:
        found[one, other, way] = found[other, one, BACK[way]] = AT
    return found


def pieces(*names, ways=("above", "the right"), **more):
    return [Piece(n, n, {side: AXES[side] for side in ways}, **more) for n in names]


def told(order):
    return [(one.name, one.side, [name for name, _ in one.bars]) for one in order]


def test_what_is_free_goes_in_as_listed():
    assert [one.name for one in order_in(pieces("a", "b", "c"), {})] == ["a", "b", "c"]


@pytest.mark.parametrize("names", list(permutations(["tray", "thing", "lid"])))
def test_a_lid_goes_on_last_in_whatever_order_the_parts_are_listed(names):
    rows = [("thing", "lid", UP), ("tray", "lid", UP), ("tray", "thing", UP)]
    rows += [(a, b, SIDE) for a, b in permutations(["tray", "thing", "lid"], 2)]
    assert told(order_in(pieces(*names), met(*rows))) == [
        ("tray", "above", []), ("thing", "above", []), ("lid", "above", [])
    ]  # fmt: skip


def test_parts_that_hold_each_other_are_told_and_the_rest_goes_in():
    rows = [(a, b, way) for a, b in (("l", "m"), ("m", "l")) for way in (UP, SIDE)]
    order = order_in(pieces("l", "m", "other"), met(*rows))
    barred = [one for one in order if one.bars]
    assert [(one.name, [name for name, _ in one.bars]) for one in barred] == [("m", ["l"])]
    assert {one.name for one in order} == {"l", "m", "other"}


def test_what_is_built_in_place_needs_no_way_but_goes_last_out():
    rows = met(*((a, b, way) for a, b in (("l", "m"), ("m", "l")) for way in (UP, SIDE)))
    order = order_in([*pieces("l", in_place=True), *pieces("m", "free")], rows)
    assert [one for one in order if one.bars] == []
    assert [one.name for one in order if not one.side] == ["l"]
    assert order[-1].name == "free"


def test_a_stated_order_is_kept_and_barred_where_it_does_not_go():
    rows = met(("thing", "lid", UP), ("thing", "lid", SIDE))
    first, last = (
        order_in(
            [*pieces("lid", rank=rank), *pieces("thing", rank=1 - rank), *pieces("other")], rows
        )
        for rank in (0, 1)
    )
    assert ("thing", "above", ["lid"]) in told(first)
    assert [one for one in last if one.bars] == []
    assert [one.name for one in last if one.name != "other"] == ["thing", "lid"]


def test_of_parts_that_are_stuck_it_names_the_one_without_which_the_others_go():
    """Without b, a goes to the right and c after it; without c, a and b still hold each other."""
    rows = [(x, y, UP) for x, y in permutations("abc", 2)]
    rows += [("a", "b", SIDE), ("b", "a", SIDE), ("b", "c", SIDE), ("c", "a", SIDE),
             ("c", "b", SIDE)]  # fmt: skip
    found = dict.fromkeys(rows, AT)
    for names in permutations("abc"):
        order = order_in(pieces("base", *names), found)
        assert [one.name for one in order if one.bars] == ["b"]


def test_what_others_are_put_into_is_not_named_as_long_as_something_else_is():
    rows = [(x, y, way) for x, y in permutations("abc", 2) for way in (UP, SIDE) if "a" in (x, y)]
    order = order_in(pieces("a", "b", "c"), dict.fromkeys(rows, AT))
    assert sorted(one.name for one in order if one.bars) == ["b", "c"]


def test_it_tells_the_way_that_the_fewest_bar():
    rows = [(x, y, UP) for x, y in permutations("abc", 2)]
    rows += [(x, y, SIDE) for x, y in permutations("ab", 2)]
    rows += [("c", "a", SIDE), ("c", "b", SIDE)]
    barred = [one for one in order_in(pieces("a", "b", "c"), dict.fromkeys(rows, AT)) if one.bars]
    assert told(barred) == [("b", "the right", ["a"])]


def test_a_name_means_its_family_its_row_and_both_hands():
    assert means("spar_main", "spar_main_cap_upper", "spar")
    assert means("stringer_sill", "stringer_sill_left", "stringer")
    assert not means("stringer_sill", "stringer_sill2", "stringer")
    assert not means("spar_main", "spar_mainly_web", "spar")
    assert not means("pod", "pylon", "pylon")

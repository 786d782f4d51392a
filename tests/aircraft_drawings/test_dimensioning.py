"""Dimensions round a view: none may meet another's figure (ISO 129-1)."""

import pytest

from geomgen.aircraft_drawings.dimensioning import Wanted, dimensioned, labelled, named
from geomgen.drafting.clashes import clashes
from geomgen.drafting.record import VISIBLE, Drawing, Label, line, rectangle
from geomgen.errors import GeometryError

BODY = Drawing("body", (rectangle((0.0, 0.0), (4800.0, 1500.0), VISIBLE),))
ROWS = [(0, 4800), (0, 2900), (0, 1800), (380, 1850), (2480, 3030), (2900, 3000), (100, 140)]


def wanted(rows=ROWS, sides=("below", "above")):
    return [Wanted((a, 0.0), (b, 0.0), sides, "WORD ", f"{a} to {b}") for a, b in rows]


@pytest.mark.parametrize("letters", [25.0, 50.0, 125.0, 250.0, 500.0])
def test_nothing_meets_a_figure_at_any_scale(letters):
    made = dimensioned(BODY, wanted(), letters)
    assert [d.measured for d in made.dimensions] == [b - a for a, b in ROWS]
    assert clashes(made) == ()
    assert all(d.height == letters for d in made.dimensions)


def test_the_figures_would_meet_if_all_stood_in_one_tier():
    """Broken on purpose: the check of the test above sees it."""
    from dataclasses import replace

    made = dimensioned(BODY, wanted(), 50.0)
    flat = tuple(replace(d, at=(d.at[0], -200.0)) for d in made.dimensions)
    assert clashes(replace(made, dimensions=flat))


def test_shorter_ones_stand_nearer():
    """Common practice: or extension lines would cross dimension lines."""
    made = dimensioned(BODY, wanted([(0, 4800), (0, 2900), (0, 1800)], ("below",)), 50.0)
    levels = [d.at[1] for d in made.dimensions]
    assert levels == sorted(levels)
    assert len(set(levels)) == 3


def test_dimensions_stand_outside_the_view():
    rows = [*wanted(), Wanted((0.0, 0.0), (0.0, 1500.0), ("right",), name="height")]
    made = dimensioned(BODY, rows, 50.0)
    for d in made.dimensions:
        assert not (0 < d.at[0] < 4800 and 0 < d.at[1] < 1500)
    assert made.dimensions[-1].at[0] > 4800
    assert made.dimensions[-1].measured == 1500.0


def test_within_takes_free_room_over_the_points():
    fins = Drawing("a", (line((0.0, 0.0), (900.0, 0.0)), line((900.0, 0.0), (900.0, 900.0))))
    gap = Wanted((100.0, 0.0), (700.0, 0.0), ("within", "above"), name="gap")
    assert 0 < dimensioned(fins, [gap], 30.0).dimensions[0].at[1] < 900


def test_words_go_before_the_figure_does():
    """Two from one point with no other side: the longer one's words would meet the other's line."""
    rows = [
        Wanted((a, 0.0), (b, 0.0), ("below",), "A RATHER LONG NAME ", n)
        for a, b, n in ((0.0, 400.0, "one"), (0.0, 900.0, "two"), (300.0, 1300.0, "three"))
    ]
    made = dimensioned(Drawing("a", (rectangle((0, 0), (1300, 90)),)), rows, 60.0)
    assert clashes(made) == ()
    assert {round(d.measured) for d in made.dimensions} == {400, 900, 1000}


def test_no_room_is_said_with_the_name():
    wall = Drawing(
        "a",
        (rectangle((0.0, 0.0), (10.0, 10.0)),),
        tuple(
            Label((x, y), "XXXXXXXXXXXXXXXXXXXXXXXX", 9.0)
            for x in (-200.0, 0.0)
            for y in range(-900, 900, 9)
        ),
    )
    with pytest.raises(GeometryError, match="'width'"):
        dimensioned(wall, [Wanted((0.0, 0.0), (10.0, 0.0), ("below", "above"), name="width")], 9.0)


def test_a_name_never_stands_on_a_line():
    for view in (BODY, dimensioned(BODY, wanted(), 50.0)):
        assert clashes(named(view, "VIEW FROM THE LEFT", 70.0)) == ()


def test_a_label_takes_the_first_free_place_or_none():
    on, off = Label((10.0, -10.0), "GROUND LINE", 40.0), Label((10.0, -300.0), "GROUND LINE", 40.0)
    assert labelled(BODY, [on, off], 40.0).labels == (off,)
    assert labelled(BODY, [on], 40.0).labels == ()

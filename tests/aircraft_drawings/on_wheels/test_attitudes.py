"""The ground in every attitude: letters, lines in a view, the table; by closed forms."""

import pytest
from aircraft_drawings.on_wheels.standing_machines import checks, leaning, standing_machine
from aircraft_drawings.on_wheels.test_stance import stance

from geomgen.aircraft_drawings.on_wheels.attitudes import (
    attitudes,
    front_line,
    listed,
    side_line,
)


def found(*more):
    model = standing_machine()
    model.grounds += more
    own = stance(model)
    return own, attitudes(model, own, checks())


def test_letters_words_and_what_is_the_same():
    _, every = found(leaning("flat_tyre.nose", 8.0))
    assert [(one.letter, one.name, one.rolled, one.same) for one in every] == [
        ("A", "STATIC", False, ""),
        ("B", "ROTATED", False, ""),
        ("C", "FLAT TYRE, MAIN", True, ""),
        ("D", "FLAT TYRE, NOSE", False, "B"),
    ]
    assert [one.clearance is not None for one in every] == [True, False, False, False]


def test_lines_on_edge():
    own, (static, rotated, flat) = found()
    line = side_line(own, rotated)
    assert line.way == pytest.approx(8.0)
    assert side_line(own, static).meets(line) == pytest.approx((1900.0, 20.0))
    assert side_line(own, static).meets(side_line(own, static)) is None
    # The right side, at the left of who looks at the nose, stands lower on a ground that rises.
    assert abs(front_line(own, flat).way) == pytest.approx(4.0)
    assert front_line(own, flat).at(0.0) == pytest.approx((0.0, 20.0), abs=1e-9)


def test_the_table_says_what_the_checks_say():
    texts = [label.text for label in listed(found()[1], checks(), 2.5).labels]
    assert texts[1:4] == ["GROUND", "NOSE UP", "PROPELLER"]
    assert texts[4:8] == ["A", "STATIC", "0.0°", "130.0 mm"]
    assert texts[8:12] == ["B", "ROTATED", "8.0°", "-"]
    bare = [label.text for label in listed(found()[1], (), 2.5).labels]
    assert "PROPELLER" not in bare

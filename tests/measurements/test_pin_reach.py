"""Sockets on the ends of pins, and pins out through a skin; truths by hand.

A pin of 10 mm stands along x from 0 to 100 mm, its nuts 5 mm short of its ends; the socket is 20 mm
wide and needs 60 mm beyond the pin.
"""

from functools import cache

import pytest
from spar_wings import body

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.plain import PinJoint, Plane
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.wing_structure.pin_reach import (
    bars_of_socket,
    closed_skin,
    pin_end,
    width_of,
)

JOINT = PinJoint(
    "main", "right", "wing", 1.0, Plane((0.0, 0.0, 0.0), (0.0, 1.0, 0.0)), (0.0, 1.0, 0.0),
    (1.0, 0.0, 0.0), 1.0, 5.0, 20.0, 60.0, 2.5,
)  # fmt: skip


@cache
def pin():
    return body(cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 5.0, 100.0), 0.01)


def end(side):
    return pin_end(JOINT, "joint_pin_main_1_right", pin(), side)


def wall(x, hole=0.0, thick=3.0):
    made = box((x, -80.0, -80.0), (x + thick, 80.0, 80.0))
    if hole:
        drill = cylinder((x - 5.0, 0.0, 0.0), (1.0, 0.0, 0.0), hole / 2, thick + 10.0)
        made = cut(made, [drill], "web", "test")
    return body(made, 0.01)


def barred(side, own=None, others=None):
    return bars_of_socket(JOINT, end(side), own or {}, others or {})


@pytest.mark.parametrize(("side", "x", "word"), [(-1.0, 0.0, "fore"), (1.0, 100.0, "aft")])
def test_an_end_stands_where_the_pin_ends(side, x, word):
    found = end(side)
    assert found.at == pytest.approx((x, 0.0, 0.0), abs=0.01)
    assert found.way == (side, 0.0, 0.0)
    assert found.word == word
    assert width_of(found, pin()) == pytest.approx(10.0, abs=0.02)


def test_the_other_web_of_a_box_shuts_the_nut_up_however_far_it_is():
    for x in (140.0, 900.0):
        assert set(barred(1.0, {"spar_main_web_aft": wall(x)})) == {"spar_main_web_aft"}
        assert not barred(-1.0, {"spar_main_web_aft": wall(x)})


def test_a_hole_in_it_must_be_as_wide_as_the_socket():
    """What is touched by up to 0.25 mm all round counts as contact."""
    assert not barred(1.0, {"web": wall(140.0, 21.0)})
    assert not barred(1.0, {"web": wall(140.0, 20.0)})
    assert set(barred(1.0, {"web": wall(140.0, 18.0)})) == {"web"}


def test_what_is_no_spar_bars_within_the_length_of_the_socket_alone():
    assert set(barred(1.0, others={"tank": wall(159.0)})) == {"tank"}
    assert not barred(1.0, others={"tank": wall(161.0)})
    assert set(barred(-1.0, others={"rib": wall(-62.0)})) == {"rib"}


def test_a_cap_or_a_pin_beside_the_nut_bars():
    """The nut stands 5 mm short of the end: from there on 10 mm all round must be free."""
    cap = {"cap": body(box((95.5, -40.0, 9.0), (99.0, 40.0, 30.0)), 0.01)}
    assert set(barred(1.0, cap)) == {"cap"}
    clear = {"cap": body(box((95.5, -40.0, 10.5), (99.0, 40.0, 30.0)), 0.01)}
    assert not barred(1.0, clear)
    behind = {"plate": body(box((60.0, -40.0, 6.0), (95.0, 40.0, 30.0)), 0.01)}
    assert not barred(1.0, behind)


def skin(hole=None):
    whole = box((-400.0, -300.0, -100.0), (800.0, 300.0, 100.0))
    if hole is None:
        return {"wing": body(whole, 0.01)}
    at, wide = hole
    drill = cylinder((-2.5, 0.0, at), (-1.0, 0.0, 0.0), wide / 2, 900.0)
    return {"wing": body(cut(whole, [drill], "wing", "test"), 0.01)}


def test_a_pin_gets_out_where_the_skin_is_open_in_its_line_and_as_wide_as_the_socket():
    assert set(closed_skin(JOINT, end(-1.0), pin(), skin())) == {"wing"}
    assert not closed_skin(JOINT, end(-1.0), pin(), skin((0.0, 21.0)))
    assert set(closed_skin(JOINT, end(1.0), pin(), skin((0.0, 21.0)))) == {"wing"}


@pytest.mark.parametrize("hole", [(0.0, 14.0), (4.0, 21.0)])
def test_an_opening_too_narrow_or_beside_the_pin_is_told(hole):
    assert set(closed_skin(JOINT, end(-1.0), pin(), skin(hole))) == {"wing"}

"""Joints of the outer wing against closed forms. Source: trigonometry, areas (DERIVED here)."""

import math

import numpy as np
import pytest
from joined_spars import jointed, sloped
from spar_wings import CHORD

from geomgen.kernel.solids.properties import centroid, volume
from geomgen.shapes.wing_structure.spars import spars
from geomgen.shapes.wing_structure.wing_joints import spars_and_joints

NOSE, WIDTH, WEB, T, GAP, ENDS = 1280.0, 60.0, 3.0, 4.0, 0.3, 5.0
HOLE, SWEEP, RISE = 10.1, math.tan(math.radians(10.0)), math.tan(math.radians(5.0))


def frame_by_hand(p):
    """Return the middle of the web's fore face at BL 2500, along, up and aft of the plates."""
    middle = np.array([NOSE + 0.3 * CHORD - WIDTH / 2 + 2500.0 * SWEEP, 2500.0,
                       p.wing.waterline + 2500.0 * RISE])  # fmt: skip
    along = np.array([SWEEP, 1.0, RISE]) / math.sqrt(1 + SWEEP**2 + RISE**2)
    aft = np.array([1.0, -SWEEP, 0.0]) / math.hypot(1.0, SWEEP)
    return middle, along, np.cross(aft, along), aft


def test_pins_and_plates_stand_where_sweep_and_dihedral_carry_them():
    p, model = sloped()
    middle, along, up, aft = frame_by_hand(p)
    square = WEB / math.hypot(1.0, SWEEP)
    ends = -2 * (T + GAP) - ENDS, square + ENDS
    places = [(-55.0, -15.0), (55.0, -15.0), (-55.0, 15.0), (55.0, 15.0)]
    for number, (a, b) in enumerate(places, start=1):
        want = middle + a * along + b * up + sum(ends) / 2 * aft
        right, left = (model.parts[f"joint_pin_main_{number}_{h}"] for h in ("right", "left"))
        assert centroid(right) == pytest.approx(want, abs=1e-5)
        assert centroid(left) == pytest.approx(want * [1.0, -1.0, 1.0], abs=1e-5)
        length = ends[1] - ends[0]
        assert volume(right).value == pytest.approx(math.pi / 4 * 100.0 * length, rel=1e-9)
    plate = volume(model.parts["joint_plate_main_inner_1_right"]).value
    assert plate == pytest.approx(T * (290.0 * 60.0 - 4 * math.pi / 4 * HOLE**2), rel=1e-9)
    packing = model.parts["joint_plate_main_packing_outer_1_right"]
    assert volume(packing).value == pytest.approx(T * (200.0 - 92.0) * 60.0, rel=1e-9)
    want = middle + 146.0 * along - (GAP + T / 2) * aft
    assert centroid(packing) == pytest.approx(want, abs=1e-5)


def test_a_web_loses_its_gap_and_its_holes_and_no_more():
    p, model = sloped()
    whole = {s.name: s.solid for s in spars(p.model_copy(update={
        "spars": (p.spars[0].model_copy(update={"wing_joint": None}),)}))}  # fmt: skip
    inner, outer = (model.parts[f"spar_main_web_fore{end}"] for end in ("", "_outer_right"))
    left = volume(inner).value + 2 * volume(outer).value
    high = volume(outer).value + 2 * math.pi / 4 * HOLE**2 * WEB / math.hypot(1.0, SWEEP)
    gone = 2 * 2.0 * high / 1499.0 + 8 * math.pi / 4 * HOLE**2 * WEB / math.hypot(1.0, SWEEP)
    assert volume(whole["spar_main_web_fore"]).value - left == pytest.approx(gone, rel=1e-6)


def test_plates_on_both_faces_and_more_layers():
    p = jointed({"side": "both", "layers": 3, "pin_columns": 2}, kind="caps and web")
    made = {s.name: s.solid for s in spars_and_joints(p) if s.name.endswith("_right")}
    plates = [name for name in made if name.startswith("joint_plate_")]
    assert len(plates) == 2 * (3 + 2)
    pin = made["joint_pin_main_1_right"]
    length = WEB + 2 * (3 * (T + GAP) + ENDS)
    assert volume(pin).value == pytest.approx(math.pi / 4 * 100.0 * length, rel=1e-9)

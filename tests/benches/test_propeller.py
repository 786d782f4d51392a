"""Machines that are wrong round the propeller, each in one way, against closed forms.

How a machine can be wrong while a check passes, and what sees it:

- prop.radial_clearance: a part just ahead of the blades' range, outside the tips: seen by
  prop.clearance (`test_a_corner_...`). What is farther off the shaft than four tip radii: not seen,
  no blade comes there.
- prop.axial_clearance: blades that flex taken as a flat disc, either way: measured from the swept
  volume's own face (`test_a_ring_...`, `test_a_plate_...`, `test_a_ball_...`). A swept volume that
  is not round about the thrust line: refused (`test_a_swept_volume_off_the_shaft_...`).
- prop.clearance: what of the engine lies within the hub's hole is taken for its shaft
  (`test_the_shaft_...`); a fixed part of the engine in there is not seen, and the method says so.
- prop.shaft_end: a shaft that ends short of the hub (`test_a_shaft_that_...`). An engine that ends
  in anything wider than the hub has no shaft drawn, and has no such figure.
- prop.spinner_clearance: room eaten by the shake along or across the shaft
  (`test_a_spinner_...`). The engine shakes with the spinner and is not counted.
- a leg through the disc: all three clearances; one that comes there only when the gear gives way:
  prop.leg_clearance alone (`test_a_leg_...`, `test_a_wheel_...`). Not seen: a leg that bends in
  itself, links of a strut, a wheel that turns with its leg.
- Parts that the file does not have (exhaust, cables, pilot's legs) are not seen by any check.
"""

from dataclasses import replace
from functools import cache
from math import cos, dist, hypot, radians, sin, sqrt

import pytest
from asking import all_propeller_figures, propeller_figures
from few_cases import few
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Pnt

from geomgen.kernel.brep.primitives import box, cylinder, moved, revolved, ring, tilted
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis, Shake
from geomgen.kernel.solids.booleans import fuse
from geomgen.shapes import propeller
from geomgen.shapes.assembly.cutters import cutters
from geomgen.shapes.gear import wheels
from geomgen.shapes.leg import legs, struts
from geomgen.sizing.targets import targets
from geomgen.verdicts.judge import judge

MIDDLE = (3000.0, 0.0, 800.0)
HOLE, TIP, ROOT = 80.0, 650.0, 34.0
TILTS = [0.0, -5.0]


def line(tilt=0.0):
    return Axis(MIDDLE, (cos(radians(tilt)), 0.0, -sin(radians(tilt))))


@cache
def blades(flex, tilt):
    wide = ROOT + flex
    return revolved([(-ROOT, HOLE), (-wide, TIP), (wide, TIP), (ROOT, HOLE)], line(tilt))


def machine(flex, tilt=0.0, shake=None, **parts):
    """Return blades that flex at the tips, and parts made about a level shaft, all turned."""
    every = {name: tilted(solid, MIDDLE, tilt) for name, solid in parts.items()}
    every = {"prop_disc": blades(flex, tilt), **every}
    families = {name: name for name in every}
    return Model(parts=every, families=families, thrust_line=line(tilt), shake=shake or Shake())


def front(radius, flex):
    """Return the station of the swept volume's front at a radius, from the middle [mm]."""
    return -ROOT - flex * (radius - HOLE) / (TIP - HOLE)


def ahead(part, inner, outer, flex, tilt, gap):
    """Return a ring about the shaft whose aft face is so far ahead of the blades at its rim."""
    end = front(outer, flex) - gap
    return machine(flex, tilt, **{part: ring(line(), end - 200.0, end, inner, outer)})


@pytest.mark.parametrize("tilt", few(TILTS, 1))
@pytest.mark.parametrize(
    ("flex", "gap"),
    few([(15.0, 44.69), (80.0, 54.0), (0.0, 20.0), (40.0, 3.0)], 0, 3, rows=True),
)
def test_a_ring_ahead_of_blades_that_flex_is_measured_at_its_own_radius(flex, gap, tilt):
    """Along the shaft, from the cone of the front at the ring's rim."""
    found = propeller_figures(ahead("fairing", 20.0, 110.0, flex, tilt, gap))
    assert found["prop.axial_clearance"].value == pytest.approx(gap, abs=1e-6)
    a, b = found["prop.axial_clearance"].points
    assert dist(a, b) == pytest.approx(gap, abs=1e-4)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_plate_that_reaches_beyond_the_tips_is_nearest_there(way):
    """Square to the shaft: the tips bend nearest to it, ahead and behind."""
    place = way * (ROOT + 60.0 + 7.0)
    low, high = sorted((place, place + way * 10.0))
    plate = box((3000.0 + low, 100.0, 700.0), (3000.0 + high, 900.0, 900.0))
    found = propeller_figures(machine(60.0, plate=plate))["prop.axial_clearance"]
    assert found.value == pytest.approx(7.0, abs=1e-5)


@pytest.mark.parametrize("tilt", few(TILTS, 1))
@pytest.mark.parametrize("flex", [0.0, 25.0, 90.0])
@pytest.mark.parametrize("away", few([350.0, 150.0, 560.0]))
def test_a_ball_ahead_of_a_cone(flex, away, tilt):
    """A ball's gap along the shaft to a cone: at its middle, less radius over the cosine."""
    ball = BRepPrimAPI_MakeSphere(gp_Pnt(2800.0, 0.6 * away, 800.0 + 0.8 * away), 40.0).Solid()
    found = propeller_figures(machine(flex, tilt, ball=ball))
    slope = flex / (TIP - HOLE)
    due = front(away, flex) + 200.0 - 40.0 * sqrt(1 + slope**2)
    assert found["prop.axial_clearance"].value == pytest.approx(due, abs=1e-5)


def test_a_part_among_the_blades_is_negative_by_what_it_shares():
    rod = cylinder((2500.0, 0.0, 1100.0), (1, 0, 0), 1.0, 500.0 - ROOT)
    found = propeller_figures(machine(57.0, rod=rod))
    # The front stands 0.1 (R - hole) ahead of the roots, at its farthest at the rod's top.
    assert found["prop.axial_clearance"].value == pytest.approx(-(301.0 - HOLE) * 0.1, abs=1e-4)
    assert found["prop.clearance"].value < 0.0


@pytest.mark.parametrize("tilt", few(TILTS, 1))
def test_a_corner_between_radial_and_axial_is_seen(tilt):
    """Ahead of the range and outside the tips: neither rule's clearance, and yet 12 mm off."""
    at = 3000.0 - ROOT - 20.0 - 8.0
    nose = box((at - 100.0, -50.0, 800.0 + TIP + 9.0), (at, 50.0, 800.0 + TIP + 60.0))
    boom = cylinder((2000.0, 0.0, 800.0 - 1000.0), (1, 0, 0), 40.0, 2000.0)
    found = propeller_figures(machine(20.0, tilt, nose=nose, boom=boom))
    assert found["prop.radial_clearance"].value == pytest.approx(310.0, abs=1e-6)
    assert found["prop.axial_clearance"].value is None
    seen = found["prop.clearance"]
    assert (seen.part, seen.value) == ("nose", pytest.approx(hypot(8.0, 9.0), abs=1e-5))
    assert dist(*seen.points) == pytest.approx(hypot(8.0, 9.0), abs=1e-4)


def test_the_shaft_in_the_hub_is_no_fixed_part_but_a_fairing_there_is():
    """6 mm ahead of the roots and 5 mm inside the hole: the root's rim is hypot(6, 5) off."""
    shaft = cylinder((2500.0, 0.0, 800.0), (1, 0, 0), 70.0, 700.0)
    found = propeller_figures(machine(15.0, engine=shaft))["prop.clearance"]
    assert found.value is None
    fairing = cylinder((2500.0, 0.0, 800.0), (1, 0, 0), HOLE - 5.0, 500.0 - ROOT - 6.0)
    found = propeller_figures(machine(15.0, tail_fairing=fairing))["prop.clearance"]
    assert found.value == pytest.approx(hypot(6.0, 5.0), abs=1e-5)


def test_an_engine_that_stands_beside_the_hub_counts_from_the_hub_out():
    block = box((2600.0, -200.0, 700.0), (3000.0 - ROOT - 9.0, 200.0, 900.0))
    found = propeller_figures(machine(0.0, engine=block))["prop.clearance"]
    assert (found.part, found.value) == ("engine", pytest.approx(9.0, abs=1e-5))


@pytest.mark.parametrize("by", [(0.0, 1.0, 0.0), (0.0, 0.0, 1.0)])
def test_a_swept_volume_off_the_shaft_gives_no_figure(by):
    m = machine(15.0, boom=cylinder((2000.0, 900.0, 800.0), (1, 0, 0), 40.0, 2000.0))
    m.parts["prop_disc"] = moved(m.parts["prop_disc"], by)
    found = propeller_figures(m)
    assert list(found) == ["prop.radial_clearance"]
    assert found["prop.radial_clearance"].value is None
    assert "body of revolution" in found["prop.radial_clearance"].note


def spun(tilt, **parts):
    """Return a flat-nosed spinner of radius 70 mm from 30 mm ahead of the blades' middle."""
    spinner = cylinder((2970.0, 0.0, 800.0), (1, 0, 0), 70.0, 180.0)
    return machine(15.0, tilt, Shake(4.0, 6.0), spinner=spinner, **parts)


@pytest.mark.parametrize("tilt", few(TILTS, 1))
def test_a_spinner_that_shakes_along_the_shaft(tilt):
    plate = cylinder((2900.0, 0.0, 800.0), (1, 0, 0), 40.0, 70.0 - 5.0)
    found = propeller_figures(spun(tilt, tail_fairing=plate))["prop.spinner_clearance"]
    assert found.value == pytest.approx(5.0 - 4.0, abs=found.error_bound)
    assert found.error_bound < 0.3
    assert dist(*found.points) == pytest.approx(found.value, abs=1e-9)


@pytest.mark.parametrize(
    ("room", "tilt"),
    [
        (7.0, 0.0),
        pytest.param(30.0, -5.0, marks=pytest.mark.long),
        pytest.param(30.0, 0.0, marks=pytest.mark.long),
        pytest.param(7.0, -5.0, marks=pytest.mark.long),
    ],
)
def test_a_spinner_that_shakes_across_the_shaft(room, tilt):
    collar = ring(Axis(MIDDLE, (1, 0, 0)), -200.0, 20.0, 70.0 + room, 78.0 + room)
    found = propeller_figures(spun(tilt, tail_fairing=collar))["prop.spinner_clearance"]
    assert found.value == pytest.approx(room - 6.0, abs=found.error_bound)


def test_a_spinner_that_strikes_what_it_shakes_into():
    plate = cylinder((2900.0, 0.0, 800.0), (1, 0, 0), 40.0, 70.0 - 3.0)
    found = propeller_figures(spun(0.0, tail_fairing=plate))["prop.spinner_clearance"]
    assert found.value <= 0.0
    assert "struck" in found.note


def test_the_engine_shakes_with_its_spinner():
    gear = cylinder((2700.0, 0.0, 800.0), (1, 0, 0), 65.0, 270.0 - 0.5)
    plate = cylinder((2600.0, 0.0, 800.0), (1, 0, 0), 40.0, 50.0)
    m = replace(spun(0.0, engine=gear, tail_fairing=plate))
    found = propeller_figures(m)["prop.spinner_clearance"]
    assert found.part == "tail_fairing"


@pytest.mark.parametrize("order", [("spinner", "spinner_front"), ("spinner_front", "spinner")])
def test_each_of_two_spinners_has_its_own_room(order):
    """The file has one at most, a set of parts may have two: 5 and 20 mm, less 4 of shake."""
    solids = {
        "spinner": cylinder((2970.0, 0.0, 800.0), (1, 0, 0), 70.0, 180.0),
        "spinner_front": cylinder((2970.0, 300.0, 800.0), (1, 0, 0), 40.0, 180.0),
    }
    plates = {
        "tail_fairing": cylinder((2900.0, 0.0, 800.0), (1, 0, 0), 40.0, 70.0 - 5.0),
        "pylon": cylinder((2900.0, 300.0, 800.0), (1, 0, 0), 30.0, 70.0 - 20.0),
    }
    m = machine(15.0, 0.0, Shake(4.0, 6.0), **{name: solids[name] for name in order}, **plates)
    m = replace(
        m,
        families={**m.families, "spinner_front": "spinner"},
        rotating=("prop_disc", *order),
    )
    found = [f for f in all_propeller_figures(m) if f.id == "prop.spinner_clearance"]
    rooms = dict(zip(order, found, strict=True))
    for name, plate, room in (("spinner", "tail_fairing", 1.0), ("spinner_front", "pylon", 16.0)):
        assert rooms[name].part == plate
        assert rooms[name].value == pytest.approx(room, abs=rooms[name].error_bound)


def with_shaft(end, tilt, radius=25.0):
    """Return blades, and an engine whose shaft ends so far from the middle of the blades [mm]."""
    x, y, z = MIDDLE
    case = box((x - 800, y - 150, z - 150), (x - 400, y + 150, z + 150))
    shaft = cylinder((x - 450, y, z), (1, 0, 0), radius, 450 + end)
    return machine(15.0, tilt, engine=fuse([case, shaft], "engine", "envelope"))


@pytest.mark.parametrize("tilt", few(TILTS, 1))
@pytest.mark.parametrize("end", [-300.0, -ROOT - 5.1, -ROOT, 20.0])
def test_a_shaft_that_ends_short_of_the_hub_is_seen_by_how_much(end, tilt) -> None:
    """Closed form: the roots begin `ROOT` ahead of the middle."""
    found = propeller_figures(with_shaft(end, tilt), keep=of_the_shaft)["prop.shaft_end"]
    assert found.value == pytest.approx(-ROOT - end, abs=1e-4)
    assert dist(*found.points) == pytest.approx(abs(found.value), abs=1e-4)


@pytest.mark.parametrize("radius", [HOLE + 2.0, 140.0])
def test_an_engine_that_ends_wider_than_the_hub_has_no_shaft_drawn(radius) -> None:
    found = propeller_figures(with_shaft(-100.0, 0.0, radius), keep=of_the_shaft)
    assert "prop.shaft_end" not in found


def of_the_shaft(question):
    return question.name in ("swept volume", "end of the shaft of engine")


def of_the_file(saltmarsh, engine):
    """Return what `check` says of the end of a shaft, by the example's own targets."""
    found = propeller_figures(machine(0.0, engine=engine), keep=of_the_shaft)
    due = [target for target in targets(saltmarsh) if target.id == "prop.shaft_end"]
    return judge([m for name, m in found.items() if name == "prop.shaft_end"], due)


def test_a_square_shaft_is_one_too(saltmarsh) -> None:
    gear = box((2400.0, -80.0, 720.0), (2600.0, 80.0, 880.0))
    square = box((2590.0, -20.0, 780.0), (3000.0 - ROOT - 40.0, 20.0, 820.0))
    (check,) = of_the_file(saltmarsh, fuse([gear, square], "engine", "bench"))
    assert (check.verdict, check.measured) == ("fail", pytest.approx(40.0, abs=1e-4))


@pytest.mark.parametrize("stub", [0.0, 3.0, 4.9])
def test_a_flange_on_the_gear_box_is_no_shaft_and_nothing_is_missed(saltmarsh, stub) -> None:
    gear = box((2400.0, -80.0, 720.0), (2600.0, 80.0, 880.0))
    flange = cylinder((2500.0, 0.0, 800.0), (1, 0, 0), 30.0, 100.0 + stub)
    assert of_the_file(saltmarsh, fuse([gear, flange], "engine", "bench")) == []


AFT = ("gear.wheels.main.station=3.05 m", "gear.wheels.main.leg.rooted_in=boom",
       "gear.wheels.main.leg.station=3 m", "gear.wheels.main.leg.buttock_line=780 mm",
       "gear.wheels.main.leg.waterline=1280 mm", "gear.wheels.main.leg.fork=true")  # fmt: skip


def with_main_legs(p):
    """Return the checks of the blades with the file's main legs and wheels, and nothing else."""
    pieces = [*legs(p, lambda family: cutters(p, family)), *wheels(p)]
    parts = {
        each.name: each for each in [propeller.prop_disc(p), *pieces] if "nose" not in each.name
    }
    model = Model(
        parts={name: each.solid for name, each in parts.items()},
        families={name: each.family for name, each in parts.items()},
        thrust_line=propeller.thrust_line(p),
        struts=[s for s in struts(p) if "nose" not in s.wheel],
    )
    return {c.id: c for c in judge(all_propeller_figures(model), targets(p))}


def test_a_leg_through_the_disc_fails_whichever_way_it_is_asked(variant) -> None:
    checks = with_main_legs(variant(*AFT, "gear.wheels.main.buttock_line=300 mm"))
    for key in ("radial_clearance", "axial_clearance", "clearance", "leg_clearance"):
        check = checks[f"prop.{key}"]
        assert check.verdict == "fail", key
        assert "main" in check.part
        assert check.measured < 0.0


@pytest.mark.parametrize(("travel", "verdict"), [(100.0, "pass"), (500.0, "fail")])
def test_a_wheel_that_comes_to_the_blades_as_the_gear_gives(variant, travel, verdict) -> None:
    """Still it stands 74 mm off the blades; its fork and tread go up beside the tips, or into them.

    By hand: the fork's inner side is at BL 700 - 87. Abreast of the shaft it would stand 613 mm off
    it, inside the tips of 656; drawn up by 140 mm it is not there yet, by 540 mm it is.
    """
    p = variant(*AFT, "gear.wheels.main.buttock_line=700 mm", f"gear.strut_travel={travel} mm")
    checks = with_main_legs(p)
    still = checks["prop.clearance"]
    assert still.verdict == checks["prop.radial_clearance"].verdict == "pass"
    check = checks["prop.leg_clearance"]
    assert check.verdict == verdict
    assert check.measured <= still.measured + check.error_bound
    if verdict == "fail":
        assert 613.0 - 656.0 <= check.measured < 0.0
        assert "is struck" in check.note
    assert check.target.low == 25.0

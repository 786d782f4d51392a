"""Passages made of plain pipes into a box-shaped bay; areas and angles in closed form (DERIVED)."""

import math
from dataclasses import replace

import pytest
from few_cases import few
from OCP.TopoDS import TopoDS_Shape
from one_look import ducts

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Opening, Passage, Plane, Vec3
from geomgen.kernel.solids.booleans import cut

X: Vec3 = (1.0, 0.0, 0.0)
THROAT = 30.0


def pipe(narrow: float = THROAT) -> TopoDS_Shape:
    """Return a scoop along x: bore 40 to STA 60, then `narrow` to STA 120."""
    rod = cylinder((0, 300, 0), X, 50.0, 120.0)
    bores = [cylinder((0, 300, 0), X, 40.0, 60.0), cylinder((60, 300, 0), X, narrow, 60.0)]
    for bore in bores:
        rod = cut(rod, [bore], "scoop", "bore")
    return rod


def hull() -> TopoDS_Shape:
    """Return a bay behind the scoop, open towards it and aft."""
    block, room = box((120, 0, -100), (600, 400, 100)), box((125, 5, -95), (601, 395, 95))
    way_in = cylinder((119, 300, 0), X, 30.0, 10.0)
    return cut(cut(block, [room], "pod", "bay"), [way_in], "pod", "passage")


def looked_at(at: float, reach: float = 60.0, y: float = 300.0) -> Opening:
    return Opening(f"at {at:.0f}", Plane((at, y, 0), X), (at, y, 0.0), reach)


FAN = Plane((500.0, 200.0, 0.0), X)


def model(**more: TopoDS_Shape) -> Model:
    parts = {"pod": hull(), "scoop": pipe(), **more}
    families = {n: n for n in parts}
    route = Passage(
        "scoop", looked_at(5.0), (looked_at(50.0), looked_at(90.0)), (200.0, 300.0, 0.0), FAN
    )
    return Model(parts=parts, families=families, passages=[route])


def measured(m: Model, bodies) -> dict:
    return {f.id.removesuffix(".scoop"): f for f in ducts(m, bodies(m.parts))}


def test_the_throat_counts_not_the_mouth(bodies) -> None:
    found = measured(model(), bodies)["duct.throat_area"]
    assert found.value == pytest.approx(math.pi * THROAT**2, rel=1e-7)
    assert "STA 90.0" in found.where
    assert not found.broken


def test_the_turn_is_the_sum_of_the_bends(bodies) -> None:
    """Straight into the bay, sideways to the fan and straight again: twice atan(100 / 300)."""
    found = measured(model(), bodies)["duct.turn_angle"]
    assert found.value == pytest.approx(2 * math.degrees(math.atan2(100.0, 300.0)), abs=1e-4)


def test_the_turn_is_told_by_where_the_air_turns(bodies) -> None:
    """Nothing at the mouth and along the pipe; atan(100 / 300) in the bay and at the fan."""
    found = measured(model(), bodies)["duct.turn_angle"]
    assert found.note == (
        "it turns 0.0 deg at the mouth, 0.0 deg in the passage, 18.4 deg in the bay, "
        "18.4 deg at the fan"
    )


def test_a_fan_that_looks_the_other_way_adds_half_a_turn(bodies) -> None:
    m = model()
    m.passages = [replace(m.passages[0], fan=Plane(FAN.origin, (-1.0, 0.0, 0.0)))]
    assert measured(m, bodies)["duct.turn_angle"].value == pytest.approx(180.0, abs=1e-4)


def test_a_mouth_plane_against_the_stream_is_turned_round(bodies) -> None:
    m = model()
    mouth = replace(m.passages[0].mouth, plane=Plane((5.0, 300.0, 0.0), (-1.0, 0.0, 0.0)))
    m.passages = [replace(m.passages[0], mouth=mouth)]
    due = 2 * math.degrees(math.atan2(100.0, 300.0))
    assert measured(m, bodies)["duct.turn_angle"].value == pytest.approx(due, abs=1e-4)


def test_without_a_fan_there_is_no_turn(bodies) -> None:
    m = model()
    m.passages = [replace(m.passages[0], fan=None)]
    found = measured(m, bodies)
    assert "duct.turn_angle" not in found
    assert found["duct.throat_area"].value == pytest.approx(math.pi * THROAT**2, rel=1e-7)


def test_a_plug_in_a_throat_breaks_it(bodies) -> None:
    m = model(plug=cylinder((80, 300, 0), X, THROAT, 20.0))
    found = measured(m, bodies)
    for record in found.values():
        assert (record.broken, record.value) == (True, None)
        assert "plug" in record.note


def test_a_hole_in_the_scoop_breaks_it(bodies) -> None:
    m = model()
    m.parts["scoop"] = cut(pipe(), [box((40, 295, 0), (55, 305, 90))], "scoop", "hole")
    found = measured(m, bodies)["duct.throat_area"]
    assert (found.broken, found.value) == (True, None)


@pytest.mark.parametrize("part", ["firewall", "pod"])
def test_a_wall_across_the_way_is_named(bodies, part: str) -> None:
    """A sheet behind the scoop: neither the point in the bay nor any throat stands in it."""
    sheet = box((150, 5, -95), (150.4, 395, 95))
    m = model(firewall=sheet)
    m.families["firewall"] = part
    found = measured(m, bodies)["duct.throat_area"]
    assert (found.broken, found.value) == (True, None)
    assert "does not reach the bay: firewall" in found.note
    assert "STA 150" in found.note


def test_a_wall_between_bay_and_fan_is_named(bodies) -> None:
    m = model(firewall=box((300, 5, -95), (300.4, 395, 95)))
    found = measured(m, bodies)["duct.throat_area"]
    assert found.broken
    assert "firewall" in found.note


def test_an_engine_on_the_way_is_not_a_wall_but_a_full_bay_is(bodies) -> None:
    beside = model(engine=box((300, 200, -50), (400, 280, 50)))
    assert not measured(beside, bodies)["duct.throat_area"].broken
    full = model(engine=box((190, 100, -80), (400, 390, 80)))
    found = measured(full, bodies)["duct.throat_area"]
    assert found.broken
    assert "engine" in found.note


def test_a_hull_that_was_never_opened_is_found(bodies) -> None:
    m = model()
    block, room = box((120, 0, -100), (600, 400, 100)), box((125, 5, -95), (601, 395, 95))
    m.parts["pod"] = cut(block, [room], "pod", "bay")
    found = measured(m, bodies)["duct.throat_area"]
    assert (found.broken, found.value) == (True, None)
    assert "pod" in found.note


@pytest.mark.parametrize("lean", few([0.0, 30.0, -30.0]))
@pytest.mark.parametrize("fan", [None, FAN])
def test_a_passage_that_ends_in_the_cabin_is_told_with_and_without_a_fan(bodies, lean, fan) -> None:
    """The firewall's plane passes the passage's end 40 mm ahead or behind, leaning or not."""
    turn = math.radians(lean)
    normal = (math.cos(turn), 0.0, -math.sin(turn))
    for off, broken in ((40.0, True), (-40.0, False)):
        m = model()
        # Where it leans, the plane's own origin lies on the other side of the passage's end.
        origin = (200.0 + off + 200.0 * math.tan(turn), 300.0, 200.0)
        m.firewall_plane = Plane(origin, normal)
        m.passages = [replace(m.passages[0], fan=fan)]
        found = measured(m, bodies)["duct.throat_area"]
        assert found.broken == broken
        assert ("cabin's side of the firewall" in found.note) == broken

"""Areas of air passages with closed forms, measured on solids in the planes that a shape publishes.

Source: plane geometry (circle, ellipse, ring, rectangle with rounded corners); status DERIVED.
The ratio of exit to inlet is a plain quotient of two such areas.
"""

import math

import pytest
from OCP.TopoDS import TopoDS_Shape
from one_look import exits, inlets

from geomgen.kernel.brep.primitives import box, cylinder, tilted
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Opening, Passage, Plane
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.cooling_air import opening

X = (1.0, 0.0, 0.0)


def pipe(start: float, length: float, inner: float, outer: float, y: float = 0.0) -> TopoDS_Shape:
    rod, hole = (cylinder((start, y, 0), X, r, length) for r in (outer, inner))
    return cut(rod, [hole], "pipe", "bore")


def rounded_hole(width: float, height: float, radius: float) -> TopoDS_Shape:
    """Return a block with a hole: two crossed boxes and four corner cylinders, cut one by one."""
    block: TopoDS_Shape = box((0, -200, -200), (100, 200, 200))
    w, h, r = width / 2, height / 2, radius
    block = cut(block, [box((-1, -w, r - h), (101, w, h - r))], "block", "hole")
    for side in (-1, 1):
        low, high = sorted((side * (h - r), side * h))
        block = cut(block, [box((-1, r - w, low), (101, w - r, high))], "block", "hole")
    for y in (r - w, w - r):
        for z in (r - h, h - r):
            block = cut(block, [cylinder((-1, y, z), X, r, 102)], "block", "corner")
    return block


def looked_at(name: str, at: float, y: float = 0.0, reach: float = 150.0, lean: float = 0.0):
    turn = math.radians(lean)
    plane = Plane((at, y, 0.0), (math.cos(turn), 0.0, -math.sin(turn)))
    return Opening(name, plane, (at, y, 0.0), reach)


def passage(name: str, mouth: Opening) -> Passage:
    return Passage(name, mouth, (), (90.0, mouth.seed[1], 0.0))


def by_id(model: Model) -> dict:
    found = [*inlets(model), *exits(model)]
    return {m.id: m for m in [*found, *opening.ratio(found)]}


def two_pipes() -> Model:
    """Two mouths of radius 40, and an exit: a ring between 70 and 30."""
    parts = {
        "scoop_right": pipe(0, 100, 40.0, 45.0, 300.0),
        "scoop_left": pipe(0, 100, 40.0, 45.0, -300.0),
        "exit": pipe(200, 100, 70.0, 75.0),
        "tail_fairing": cylinder((200, 0, 0), X, 30.0, 100.0),
        "prop_disc": cylinder((295, 0, 0), X, 600.0, 20.0),
    }
    seeds = [(x, 50.0, 0.0) for x in (220.0, 299.0)]
    rim = [Opening(f"exit at STA {s[0]}", Plane(s, X), s, 140.0) for s in seeds]
    routes = [
        passage(f"scoop_{side}", looked_at(f"scoop_{side}", 5.0, y))
        for side, y in (("right", 300.0), ("left", -300.0))
    ]
    return Model(parts=parts, families={n: n for n in parts}, passages=routes, exits=rim)


def test_mouths_and_exit_and_their_ratio() -> None:
    found = by_id(two_pipes())
    mouth, ring = math.pi * 40.0**2, math.pi * (70.0**2 - 30.0**2)
    assert found["inlet.area.scoop_right"].value == pytest.approx(mouth, rel=1e-7)
    assert found["inlet.area"].value == pytest.approx(2 * mouth, rel=1e-7)
    assert found["exit.area"].value == pytest.approx(ring, rel=1e-7)
    assert found["exit.to_inlet_ratio"].value == pytest.approx(ring / (2 * mouth), rel=1e-7)
    assert found["inlet.area"].error_bound < 1e-2
    assert not any(m.broken for m in found.values())


def test_a_body_that_widens_ahead_of_the_rim_makes_the_exit_smaller() -> None:
    model = two_pipes()
    model.parts["engine"] = cylinder((210, 0, 0), X, 45.0, 40.0)
    found = by_id(model)["exit.area"]
    assert found.value == pytest.approx(math.pi * (70.0**2 - 45.0**2), rel=1e-7)
    assert "STA 220.0" in found.where


@pytest.mark.parametrize("lean", [4.0, 25.0])
def test_a_mouth_in_a_plane_that_leans(lean: float) -> None:
    model = Model(parts={"scoop": pipe(0, 100, 40.0, 45.0)}, families={"scoop": "scoop"})
    model.passages = [passage("scoop", looked_at("scoop", 50.0, lean=lean))]
    due = math.pi * 40.0**2 / math.cos(math.radians(lean))
    assert by_id(model)["inlet.area"].value == pytest.approx(due, rel=1e-7)


@pytest.mark.parametrize("lean", [0.0, 10.0])
def test_a_rectangle_with_rounded_corners(lean: float) -> None:
    """A = w h - (4 - pi) r^2, over the cosine of the lean."""
    solid = tilted(rounded_hole(150.0, 80.0, 20.0), (50.0, 0.0, 0.0), lean)
    model = Model(parts={"scoop": solid}, families={"scoop": "scoop"})
    model.passages = [passage("scoop", looked_at("scoop", 50.0, reach=120.0, lean=lean))]
    due = 150.0 * 80.0 - (4 - math.pi) * 20.0**2
    assert by_id(model)["inlet.area"].value == pytest.approx(due, rel=1e-7)


def test_a_mouth_that_was_built_too_small_is_found() -> None:
    """The planes and seeds are as drawn, the solid is not: what counts is the solid."""
    model = two_pipes()
    model.parts["scoop_left"] = pipe(0, 100, 36.0, 45.0, -300.0)
    found = by_id(model)
    assert found["inlet.area.scoop_left"].value == pytest.approx(math.pi * 36.0**2, rel=1e-7)
    assert found["inlet.area"].value == pytest.approx(math.pi * (36.0**2 + 40.0**2), rel=1e-7)


def test_a_shut_mouth_breaks_the_sum_and_the_ratio() -> None:
    model = two_pipes()
    model.parts["plug"] = cylinder((0, 300, 0), X, 40.0, 10.0)
    found = by_id(model)
    for key in ("inlet.area.scoop_right", "inlet.area", "exit.to_inlet_ratio"):
        assert found[key].broken
        assert found[key].value is None
        assert "plug" in found[key].note
    assert not found["inlet.area.scoop_left"].broken


def test_a_mouth_in_the_wrong_place_leaks() -> None:
    model = two_pipes()
    model.parts["scoop_right"] = pipe(0, 100, 40.0, 45.0, 400.0)
    found = by_id(model)["inlet.area.scoop_right"]
    assert (found.broken, found.value) == (True, None)


def test_an_exit_that_leaks_at_one_of_its_planes_gives_no_area() -> None:
    model = two_pipes()
    slot = box((215, 0, -2), (225, 100, 2))
    model.parts["exit"] = cut(model.parts["exit"], [slot], "exit", "slot")
    found = by_id(model)["exit.area"]
    assert (found.broken, found.value) == (True, None)
    assert "STA 220.0" in found.where


def test_the_swept_volume_does_not_stand_in_the_way_but_the_spinner_does() -> None:
    model = two_pipes()
    model.parts["spinner"] = cylinder((298, 0, 0), X, 40.0, 50.0)
    due = math.pi * (70.0**2 - 40.0**2)
    assert by_id(model)["exit.area"].value == pytest.approx(due, rel=1e-7)

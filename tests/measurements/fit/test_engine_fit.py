"""Room round an engine: exact gaps of plain solids (DERIVED)."""

import math

import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Pnt
from one_look import engine_room

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.model import Model
from geomgen.kernel.solids.booleans import cut
from geomgen.kernel.solids.distance import Closest
from geomgen.measurements.fit import engine_fit
from geomgen.measurements.fit.engine_fit import NeighbourGap, room_record

X = (1.0, 0.0, 0.0)


def model(**parts) -> Model:
    rod, hole = (cylinder((0, 0, 0), X, r, 1000.0) for r in (304.0, 300.0))
    every = {"pod": cut(rod, [hole], "pod", "inside"), **parts}
    return Model(parts=every, families={n: n.split("_")[0] for n in every})


def measured(m: Model, bodies):
    return engine_room(m, bodies(m.parts))


def test_the_corner_of_a_box_in_a_round_hull(bodies) -> None:
    engine = box((300, -120, -160), (600, 120, 160))
    (found,) = measured(model(engine=engine), bodies)
    assert found.value == pytest.approx(300.0 - 200.0, abs=1e-5)
    a, b = found.points
    assert math.dist(a, b) == pytest.approx(found.value, abs=1e-4)
    assert found.id == "engine.clearance"
    assert found.method == engine_fit.ON_SOLIDS


def test_a_round_part_near_a_round_hull(bodies) -> None:
    """Two curved faces: a ball's clearance in a cylinder is R - d - r, however it is turned."""
    for turn in (0.3, 1.0, 2.4, 4.4):
        y, z = 200.0 * math.cos(turn), 200.0 * math.sin(turn)
        engine = BRepPrimAPI_MakeSphere(gp_Pnt(500, y, z), 70.0).Solid()
        (found,) = measured(model(engine=engine), bodies)
        assert found.value == pytest.approx(30.0, abs=1e-3)
        assert abs(found.value - 30.0) <= found.error_bound


def test_the_nearest_neighbour_counts_and_each_is_noted(bodies) -> None:
    m = model(
        engine=box((300, -100, -100), (600, 100, 100)),
        firewall=cylinder((280, 0, 0), X, 299.0, 0.4),
        exit=cylinder((640, 0, 0), X, 100.0, 20.0),
    )
    (found,) = measured(m, bodies)
    assert found.value == pytest.approx(19.6, abs=1e-5)
    assert "firewall" in found.part
    for text in ("firewall 19.6 mm", "exit about 40.0 mm", "pod about 158."):
        assert text in found.note


def test_every_part_is_a_neighbour_but_what_moves_with_the_engine(bodies) -> None:
    near = box((610, 0, 0), (650, 9, 9))
    m = model(engine=box((300, -100, -100), (600, 100, 100)), wheel=near, spinner=near)
    (found,) = measured(m, bodies)
    assert found.value == pytest.approx(10.0, abs=1e-5)
    assert "wheel" in found.part
    assert "spinner" not in found.note + found.part
    m.on_engine = ("wheel",)
    (found,) = measured(m, bodies)
    assert "pod" in found.part
    assert "fixed to the engine: wheel" in found.note


def test_where_the_kernel_is_wrong_the_meshes_count_and_the_method_says_so(
    bodies, monkeypatch
) -> None:
    monkeypatch.setattr(
        engine_fit,
        "closest",
        lambda *_: Closest(70.0, (300.0, 120.0, 160.0), (300.0, 180.0, 160.0)),
    )
    engine = box((300, -120, -160), (600, 120, 160))
    (found,) = measured(model(engine=engine), bodies)
    assert found.method == engine_fit.ON_MESHES
    assert abs(found.value - 100.0) <= found.error_bound
    assert found.error_bound > 1e-3


def test_an_engine_that_stands_in_the_hull_is_negative(bodies) -> None:
    (found,) = measured(model(engine=box((300, -50, 0), (600, 50, 310))), bodies)
    assert found.value < 0
    assert found.method == engine_fit.SHARED
    assert "pod" in found.part


def test_without_an_engine_nothing_is_measured(bodies) -> None:
    assert measured(model(), bodies) == []


def test_the_bound_of_a_first_answer_covers_who_may_be_nearer() -> None:
    """A box is told to 0.01 mm by its mesh, a cut skin a little farther off to 0.2 mm."""
    ends = ((0.0, 0.0, 0.0), (10.0, 0.0, 0.0))
    (found,) = room_record([NeighbourGap(10.0, "tank", 0.01, ends), NeighbourGap(10.1, "pod", 0.2)])
    assert found.error_bound == pytest.approx(0.1)
    assert "tank" in found.part
    (found,) = room_record([NeighbourGap(10.0, "tank", 0.01, ends), NeighbourGap(10.3, "pod", 0.2)])
    assert found.error_bound == 0.01

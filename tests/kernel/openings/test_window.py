"""Openings of elementary ducts in planes; closed forms (DERIVED)."""

import math

import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Pnt

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.openings.window import angle_between, opening, points_in, window
from geomgen.kernel.plain import Plane
from geomgen.kernel.plane_frame import at_station
from geomgen.kernel.sections.section import regions
from geomgen.kernel.solids.booleans import cut
from geomgen.kernel.solids.properties import face_area

ACROSS = Plane((50.0, 0.0, 0.0), (1.0, 0.0, 0.0))
SEED = (50.0, 0.0, 0.0)


def pipe(inner: float, outer: float, length: float = 100.0):
    rod, hole = (cylinder((0, 0, 0), (1, 0, 0), r, length) for r in (outer, inner))
    return cut(rod, [hole], "pipe", "bore")


@pytest.mark.parametrize("tilt", [0.0, 5.0, 30.0, 45.0])
def test_a_plane_that_leans_cuts_a_pipe_in_an_ellipse(tilt: float) -> None:
    turn = math.radians(tilt)
    plane = Plane(SEED, (math.cos(turn), math.sin(turn), 0.0))
    found = opening(plane, SEED, 35.0, [pipe(10.0, 12.0)])
    assert found.state == "open"
    assert found.area == pytest.approx(math.pi * 100.0 / math.cos(turn), rel=1e-7)
    assert found.centroid == pytest.approx(SEED, abs=1e-5)
    assert abs(found.area - math.pi * 100.0 / math.cos(turn)) <= found.error


def test_a_hollow_sphere_off_its_middle() -> None:
    ball, hollow = (BRepPrimAPI_MakeSphere(gp_Pnt(0, 0, 0), r).Solid() for r in (60.0, 50.0))
    shell = cut(ball, [hollow], "shell", "hollow")
    found = opening(Plane((30, 0, 0), (1, 0, 0)), (30.0, 5.0, -3.0), 80.0, [shell])
    assert found.area == pytest.approx(math.pi * (50.0**2 - 30.0**2), rel=1e-7)


def test_what_stands_in_the_middle_is_taken_off() -> None:
    core = cylinder((20, 0, 0), (1, 0, 0), 4.0, 60.0)
    found = opening(ACROSS, (50.0, 7.0, 0.0), 30.0, [pipe(10.0, 12.0), core])
    assert found.area == pytest.approx(math.pi * (100.0 - 16.0), rel=1e-7)


@pytest.mark.parametrize("at", [(3.0, 3.0), (-6.0, 2.0), (0.0, -7.5), (1.7, 6.1)])
def test_a_thin_rod_anywhere_in_the_duct_is_found(at: tuple[float, float]) -> None:
    rod = cylinder((20.0, *at), (1, 0, 0), 0.5, 60.0)
    found = opening(ACROSS, SEED, 30.0, [pipe(10.0, 12.0), rod])
    assert found.area == pytest.approx(math.pi * (100.0 - 0.25), rel=1e-7)


def test_a_plug_shuts_it_and_is_named() -> None:
    plug = cylinder((40, 0, 0), (1, 0, 0), 10.0, 20.0)
    found = opening(ACROSS, SEED, 30.0, [pipe(10.0, 12.0), plug])
    assert (found.state, found.area, found.standing) == ("shut", None, (1,))


def test_a_seed_on_a_skin_counts_as_shut() -> None:
    assert opening(ACROSS, (50.0, 10.0, 0.0), 30.0, [pipe(10.0, 12.0)]).state == "shut"


def test_a_slot_makes_it_leak_and_no_area_is_given() -> None:
    slot = box((0, 0, -0.5), (100, 30, 0.5))
    slotted = cut(pipe(10.0, 12.0), [slot], "pipe", "slot")
    found = opening(ACROSS, SEED, 30.0, [slotted])
    assert (found.state, found.area) == ("leaks", None)


@pytest.mark.parametrize("seed", [(50.0, 20.0, 0.0), (150.0, 0.0, 0.0)])
def test_beside_the_duct_or_behind_it_there_is_no_opening(
    seed: tuple[float, float, float],
) -> None:
    assert opening(Plane(seed, (1, 0, 0)), seed, 25.0, [pipe(10.0, 12.0)]).state == "leaks"


def test_nothing_there_leaks() -> None:
    assert opening(ACROSS, SEED, 30.0, []).state == "leaks"


def test_a_window_too_small_for_the_duct_leaks() -> None:
    assert opening(ACROSS, SEED, 8.0, [pipe(10.0, 12.0)]).state == "leaks"


def test_two_solids_a_hair_apart_still_close_it() -> None:
    lower, upper = box((0, -20, -20), (100, 20, -5)), box((0, -20, 5), (100, 20, 20))
    left, right = box((0, -20, -4.999), (100, -8, 4.999)), box((0, 8, -4.999), (100, 20, 4.999))
    found = opening(ACROSS, SEED, 30.0, [lower, upper, left, right])
    assert found.state == "leaks"
    touching = [box((0, -20, -5), (100, -8, 5)), box((0, 8, -5), (100, 20, 5))]
    closed = opening(ACROSS, SEED, 30.0, [lower, upper, *touching])
    assert closed.area == pytest.approx(160.0, rel=1e-9)


def test_a_thin_ring_has_points_inside() -> None:
    (ring,) = regions(at_station(50.0), pipe(10.0, 10.4))
    face = ring.face
    assert points_in(face)
    for x, y, z in points_in(face):
        assert x == pytest.approx(50.0)
        assert 10.0 < math.hypot(y, z) < 10.4


def test_window_has_the_size_asked_for() -> None:
    assert face_area(window(ACROSS, SEED, 7.0)).value == pytest.approx(196.0)


def test_angle_between_opposite_ways() -> None:
    assert angle_between((1.0, 0.0, 0.0), (-3.0, 0.0, 0.0)) == pytest.approx(180.0)
    assert angle_between((1.0, 0.0, 0.0), (1.0, 1e-8, 0.0)) == pytest.approx(0.0, abs=1e-6)

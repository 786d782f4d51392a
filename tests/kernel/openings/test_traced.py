"""Openings told from meshes: closed forms, and the kernel's own cut as the slow reference."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from meshed_bodies import body
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Pnt

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.openings.traced import traced_opening
from geomgen.kernel.openings.window import opening
from geomgen.kernel.plain import Plane
from geomgen.kernel.solids.booleans import cut

X = (1.0, 0.0, 0.0)
ACROSS = Plane((50.0, 0.0, 0.0), X)
SEED = (50.0, 0.0, 0.0)


def pipe(inner=10.0, outer=12.0):
    rod, hole = (cylinder((0, 0, 0), X, r, 100.0) for r in (outer, inner))
    return cut(rod, [hole], "pipe", "bore")


def traced(solids, plane=ACROSS, seed=SEED, reach=30.0):
    return traced_opening(plane, seed, reach, [body(solid) for solid in solids])


@settings(max_examples=12, deadline=None)
@given(st.floats(-0.7, 0.7), st.floats(-0.7, 0.7), st.floats(8.0, 14.0))
def test_a_pipe_cut_by_a_leaning_plane(a: float, b: float, inner: float) -> None:
    plane = Plane(SEED, (math.cos(a) * math.cos(b), math.sin(a) * math.cos(b), math.sin(b)))
    found = traced([pipe(inner, inner + 3.0)], plane, reach=45.0)
    due = math.pi * inner**2 / plane.normal[0]
    assert found.area == pytest.approx(due, rel=1e-9)
    assert abs(found.area - due) <= found.error
    assert found.centroid == pytest.approx(SEED, abs=1e-6)


def test_a_hollow_sphere_and_what_stands_in_it() -> None:
    ball, hollow = (BRepPrimAPI_MakeSphere(gp_Pnt(0, 0, 0), r).Solid() for r in (60.0, 50.0))
    shell = cut(ball, [hollow], "shell", "hollow")
    core = cylinder((-20, 7, 0), X, 4.0, 70.0)
    seed = (30.0, 15.0, -3.0)
    found = traced([shell, core], Plane((30, 0, 0), X), seed, 80.0)
    assert found.area == pytest.approx(math.pi * (50.0**2 - 30.0**2 - 16.0), rel=1e-9)
    same = opening(Plane((30, 0, 0), X), seed, 80.0, [shell, core])
    assert found.area == pytest.approx(same.area, rel=1e-9)
    assert found.centroid == pytest.approx(same.centroid, abs=1e-6)


def test_the_solid_is_measured_and_not_its_mesh() -> None:
    """A rougher mesh, the same figure."""
    found = [
        traced_opening(ACROSS, SEED, 30.0, [body(pipe(), tolerance)]).area
        for tolerance in (0.3, 0.02)
    ]
    assert found[0] == pytest.approx(found[1], rel=1e-11)


def test_a_plug_shuts_it_and_is_named() -> None:
    found = traced([pipe(), cylinder((40, 0, 0), X, 9.0, 20.0)])
    assert (found.state, found.area, found.standing) == ("shut", None, (1,))


def slotted():
    return cut(pipe(), [box((0, 0, -0.5), (100, 30, 0.5))], "pipe", "slot")


def thirds():
    return [box((0, -20, -20), (100, 20, -5)), box((0, -20, 5), (100, 20, 20))]


@pytest.mark.parametrize(
    "solids",
    [
        [slotted()],
        [],
        [*thirds(), box((0, -20, -5), (100, -8, 5)), box((0, 8, -5), (100, 20, 5))],
        [pipe(), cylinder((20, 9.95, 0), X, 1.0, 60.0)],
        [pipe(), cylinder((20, 9.0, 0), X, 0.95, 60.0)],
        [pipe(), cylinder((40, 0.01, 1.0), X, 1.0, 20.0)],
        [pipe(), cylinder((50.03, 5.0, 0.0), X, 1.0, 20.0)],
    ],
    ids=["leak", "nothing", "touching", "crossing", "a hair apart", "at the seed", "beside it"],
)
def test_what_meshes_do_not_settle_is_left_to_the_kernel(solids) -> None:
    assert traced(solids) is None


def test_a_window_too_small_is_left_to_the_kernel() -> None:
    assert traced([pipe()], reach=8.0) is None


def test_a_mesh_of_another_pipe_gives_no_figure() -> None:
    wrong = replace(body(pipe(10.5)), solid=pipe())
    assert traced_opening(ACROSS, SEED, 30.0, [wrong]) is None

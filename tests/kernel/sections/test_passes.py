"""Where edges and rows pass planes: closed forms, and another library's roots."""

import math

import numpy as np
import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from scipy.optimize.elementwise import find_root

from geomgen.kernel.brep.faces import bounds_of, faces_of
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.brep.surface_points import surface_points
from geomgen.kernel.plane_frame import at_buttock_line, at_station, at_waterline
from geomgen.kernel.sections.passes import edge_passes, nil_between, nil_on_rows
from geomgen.kernel.solids.probing import edges_in


def test_roots_are_those_of_another_library() -> None:
    at = np.random.default_rng(3).uniform(-0.9, 0.9, 200)

    def steep(x, root=at):
        return 1e3 * np.tanh(20.0 * (x - root))

    low, high = np.full(200, -1.0), np.full(200, 1.0)
    found = nil_between(steep, low, high, steep(low), steep(high))
    theirs = find_root(steep, (low, high), args=(at,)).x
    assert found == pytest.approx(theirs, abs=1e-12)
    assert found == pytest.approx(at, abs=1e-13)


@pytest.mark.parametrize("root", [-1.0, 1.0])
def test_a_root_at_an_end_is_kept(root: float) -> None:
    ends = np.array([-1.0]), np.array([1.0])
    found = nil_between(lambda x: x - root, *ends, ends[0] - root, ends[1] - root)
    assert found.tolist() == [root]


def test_nothing_between_no_places() -> None:
    none = np.zeros(0)
    assert len(nil_between(lambda x: x, none, none, none, none)) == 0


def test_a_circle_passes_twice() -> None:
    """Half the chord of a circle of radius 20 at 12 from its middle is 16."""
    round_edges = [e for e in edges_in(cylinder((0, 0, 0), (1, 0, 0), 20.0, 50.0))]
    found = [edge_passes(edge, at_waterline(12.0)) for edge in set(round_edges)]
    points = np.concatenate([edge.points for edge in found])
    assert np.abs(points[:, 1]) == pytest.approx(np.full(len(points), 16.0), abs=1e-10)
    assert sorted(set(np.round(points[:, 0], 9))) == [0.0, 50.0]
    assert max(edge.heights.max() for edge in found) == pytest.approx(20.0 - 12.0, abs=0.2)


def test_an_edge_in_the_plane_does_not_pass() -> None:
    edges = edges_in(box((0, 0, 0), (10, 20, 30)))
    seen = [edge_passes(edge, at_station(10.0), 1e-5) for edge in edges]
    assert sum(len(edge.points) for edge in seen) == 0
    assert sum(bool(np.abs(edge.heights).max() < 1e-5) for edge in seen) == 8


def test_rows_of_a_sphere_pass_a_plane_in_a_circle() -> None:
    (face,) = faces_of(BRepPrimAPI_MakeSphere(50.0).Shape())
    surface, (u0, u1, v0, v1) = surface_points(face), bounds_of(face)
    u = np.linspace(u0, u1, 37)
    first, last = (np.stack([u, np.full(37, v)], axis=1) for v in (v0, v1))

    def value(uv):
        return at_buttock_line(0.0).height(surface.at(uv)[0]) + surface.at(uv)[0][:, 2] - 30.0

    ends = value(first), value(last)
    uv = nil_on_rows(value, first, last, ends)
    points = surface.at(uv)[0]
    assert points[:, 2] - points[:, 1] == pytest.approx(np.full(37, 30.0), abs=1e-10)
    off = points - np.array([0.0, -15.0, 15.0])
    assert np.linalg.norm(off, axis=1) == pytest.approx(math.sqrt(2500.0 - 450.0), abs=1e-9)

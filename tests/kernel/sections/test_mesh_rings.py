"""Rings of meshes cut by planes; areas of polygons in closed form."""

import math

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.plane_frame import Frame, at_station
from geomgen.kernel.sections.mesh_rings import mesh_rings
from geomgen.kernel.solids.booleans import cut

X = (1.0, 0.0, 0.0)


def pipe():
    rod, hole = (cylinder((0, 0, 0), X, r, 100.0) for r in (20.0, 10.0))
    return mesh(cut(rod, [hole], "pipe", "bore"), 0.1)


def test_material_lies_on_the_left_and_a_hole_is_negative() -> None:
    outer, inner = sorted((r.area for r in mesh_rings(pipe(), at_station(40.0))), reverse=True)
    # Polygons in circles: too small by no more than the chord error along the outline.
    assert 0.0 <= math.pi * 400.0 - outer <= 0.1 * math.tau * 20.0
    assert 0.0 <= math.pi * 100.0 + inner <= 0.1 * math.tau * 10.0


@pytest.mark.parametrize("lean", [0.0, 0.3, 1.0])
def test_a_leaning_plane_through_a_box(lean: float) -> None:
    """A plane that leans about the y axis cuts a long box in a taller rectangle (closed form)."""
    way = Frame((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), (math.sin(lean), 0.0, math.cos(lean)))
    (ring,) = mesh_rings(mesh(box((-90, -5, -10), (90, 5, 10)), 0.1), way)
    assert ring.area == pytest.approx(10.0 * 20.0 / math.cos(lean), rel=1e-6)


def test_every_piece_names_its_triangle_and_joins_the_next() -> None:
    made = pipe()
    for ring in mesh_rings(made, at_station(40.0)):
        after = np.roll(ring.sides, -1, axis=0)
        for triangle, start, end in zip(ring.triangles, ring.sides, after, strict=True):
            corners = set(made.triangles[triangle].tolist())
            assert set(start.tolist()) <= corners
            assert set(end.tolist()) <= corners


def test_a_plane_through_vertices_and_sides_still_gives_closed_rings() -> None:
    """Steps whose corners lie in the plane: counted as above it, all alike."""
    made = mesh(box((0, 0, 0), (10, 20, 30)), 0.1)
    assert mesh_rings(made, at_station(0.0)) == []
    (ring,) = mesh_rings(made, at_station(10.0))
    assert ring.area == pytest.approx(600.0)


def test_an_open_mesh_is_refused() -> None:
    from dataclasses import replace

    made = pipe()
    torn = replace(made, triangles=made.triangles[1:], face=made.face[1:], uv=made.uv[1:])
    at = made.corners[0, :, 0].mean()
    assert mesh_rings(made, at_station(float(at))) is not None
    assert mesh_rings(torn, at_station(float(at))) is None


def test_a_plane_that_misses_gives_nothing() -> None:
    assert mesh_rings(pipe(), at_station(200.0)) == []

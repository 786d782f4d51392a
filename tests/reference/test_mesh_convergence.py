"""Meshes converge to closed forms at second order, seen through two independent libraries.

Flat triangles of size h miss a curved surface by h^2 (Taylor), and their number grows as h^-2; so
volume and section area must come nearer in proportion to the mesh tolerance and to the inverse of
the number of triangles. Closed forms: torus, sphere, frustum, prolate spheroid (solid geometry,
DERIVED; the torus of radii 3 and 1 has V 59.217626). Reference libraries: trimesh, manifold3d.
"""

from math import log, pi, sqrt

import manifold3d
import numpy as np
import pytest
import trimesh
from few_cases import few
from OCP.BRepBuilderAPI import BRepBuilderAPI_NurbsConvert
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCone, BRepPrimAPI_MakeSphere, BRepPrimAPI_MakeTorus

from geomgen.files.stl import read_stl, write_stl
from geomgen.kernel.lofting.bodies import body, outer_skin
from geomgen.kernel.lofting.lines import Stations, lay
from geomgen.kernel.meshing.proven import meshed

TOLERANCES = (0.4, 0.2, 0.1, 0.05, 0.025)


def spheroid(a, b):
    """Sixty-five stations: the body itself is within 1e-7 of the closed form."""
    angle = np.linspace(0, pi, 65)
    x, r = a * (1 - np.cos(angle)), b * np.sin(angle)
    r[0] = r[-1] = 0.0
    one = np.ones(65)
    lines = lay(Stations(x, r, -r, r, 0 * one, one / sqrt(2), one / sqrt(2), "round", "round"))
    return body(outer_skin(lines), "spheroid")


TORUS = BRepPrimAPI_MakeTorus(60.0, 20.0).Shape()
SOLIDS = {
    "torus": (TORUS, 59.217626 * 20**3),
    "rational torus": (BRepBuilderAPI_NurbsConvert(TORUS, True).Shape(), 2 * pi**2 * 60 * 400),
    "sphere": (BRepPrimAPI_MakeSphere(40.0).Shape(), 4 / 3 * pi * 40**3),
    "frustum": (BRepPrimAPI_MakeCone(40.0, 20.0, 60.0).Shape(), pi * 20 * (1600 + 800 + 400)),
    "spheroid": (spheroid(180.0, 30.0), 4 / 3 * pi * 180 * 900),
}


def taken(corners):
    """The mesh as the solid modeller sees it."""
    points, place = np.unique(corners.reshape(-1, 3), axis=0, return_inverse=True)
    body = manifold3d.Manifold(
        manifold3d.Mesh64(points.astype(float), place.reshape(-1, 3).astype(np.uint64))
    )
    assert body.status() == manifold3d.Error.NoError
    return body


def slope(x, y):
    """Return the exponent p of y = c x^p by least squares."""
    return float(np.polyfit([log(v) for v in x], [log(v) for v in y], 1)[0])


@pytest.mark.parametrize("name", few(SOLIDS, 0, 3))
def test_volume_converges_at_second_order(name, tmp_path):
    shape, exact = SOLIDS[name]
    counts, by_trimesh, by_manifold, measured = [], [], [], []
    for tolerance in TOLERANCES:
        made = meshed(shape, tolerance)
        path = write_stl(tmp_path, made.mesh, name.replace(" ", "_"))
        found = trimesh.load(path)
        assert found.is_watertight
        by_trimesh.append(abs(found.volume / exact - 1))
        by_manifold.append(abs(taken(read_stl(path)).volume() / exact - 1))
        counts.append(len(made.mesh.triangles))
        measured.append(made.deviation.largest)
        assert made.deviation.largest <= tolerance
    for errors in (by_trimesh, by_manifold):
        assert 0.8 < slope(TOLERANCES, errors) < 1.2
        assert all(fine < coarse for coarse, fine in zip(errors[:-1], errors[1:], strict=True))
    assert 0.85 < slope(TOLERANCES, measured) < 1.15
    # A surface bent one way only needs h in one direction: the count grows half as fast.
    expected = -2.0 if name == "frustum" else -1.0
    assert slope(counts, by_trimesh) == pytest.approx(expected, rel=0.25)


def test_section_of_the_torus_converges_in_both_libraries():
    shape, _ = SOLIDS["torus"]
    across, along = 2 * pi * 20**2, pi * (80**2 - 40**2)
    by_trimesh, by_manifold = [], []
    for tolerance in TOLERANCES:
        made = meshed(shape, tolerance).mesh
        cut = trimesh.Trimesh(made.vertices, made.triangles, process=False).section(
            plane_origin=[0, 0, 0], plane_normal=[0.0, 1.0, 0.0]
        )
        flat, _ = cut.to_2D()
        by_trimesh.append(abs(flat.area / across - 1))
        sliced = taken(made.corners).slice(0.0)
        by_manifold.append(abs(sliced.area() / along - 1))
    # Single sections jump a little with where the triangles happen to lie.
    assert 0.75 < slope(TOLERANCES, by_trimesh) < 1.25
    assert 0.75 < slope(TOLERANCES, by_manifold) < 1.25
    assert by_trimesh[-1] < 2e-3
    assert by_manifold[-1] < 2e-3

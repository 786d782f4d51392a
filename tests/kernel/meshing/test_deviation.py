"""The deviation must be the one that closed forms give, and wrong meshes must be found out.

Source: the sag of a chord, r (1 - cos(turn / 2)) (elementary geometry, DERIVED); broken meshes are
made on purpose.
"""

from dataclasses import replace
from math import cos, pi

import numpy as np
import pytest
from few_cases import few
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakeSphere,
    BRepPrimAPI_MakeTorus,
)

from geomgen.kernel.meshing.deviation import deviation, to_triangles
from geomgen.kernel.meshing.proven import holds, is_closed, mesh

CYLINDER = BRepPrimAPI_MakeCylinder(10.0, 30.0).Shape()
SHAPES = {
    "box": BRepPrimAPI_MakeBox(10.0, 20.0, 30.0).Shape(),
    "cylinder": CYLINDER,
    "sphere": BRepPrimAPI_MakeSphere(10.0).Shape(),
    "torus": BRepPrimAPI_MakeTorus(30.0, 10.0).Shape(),
}


def test_the_sag_of_a_cylinder_is_measured():
    made = mesh(CYLINDER, 0.1)
    pieces = (len(made.triangles) + 4) // 4
    sag = 10.0 * (1 - cos(pi / pieces))
    found = deviation(CYLINDER, made)
    assert found.mesh_to_solid == pytest.approx(sag, rel=1e-5)
    assert found.solid_to_mesh == pytest.approx(sag, rel=1e-5)
    assert np.hypot(found.worst[0], found.worst[1]) == pytest.approx(10.0 - sag, abs=sag + 1e-4)


def test_a_fine_mesh_of_a_ball_against_the_distance_from_its_centre():
    # Mesh to solid is 10 - |p| for a point p of the mesh: dense samples of all triangles.
    shape = SHAPES["sphere"]
    made = mesh(shape, 0.05)
    rng = np.random.default_rng(3)
    shares = rng.dirichlet([1, 1, 1], 300)
    points = np.einsum("kc,mcd->mkd", shares, made.corners).reshape(-1, 3)
    depth = 10.0 - np.linalg.norm(points, axis=1)
    found = deviation(shape, made)
    assert depth.max() <= 1.1 * found.mesh_to_solid
    assert found.mesh_to_solid <= 1.02 * depth.max() + 1e-5


def broken(made, how):
    middle = made.vertices.mean(axis=0)
    if how == "scaled by 25.4":
        return replace(made, vertices=made.vertices * 25.4)
    if how == "scaled about its middle":
        return replace(made, vertices=middle + (made.vertices - middle) * 1.02)
    if how == "shifted 1 mm":
        return replace(made, vertices=made.vertices + np.array([0.0, 1.0, 0.0]))
    if how == "one vertex off":
        vertices = made.vertices.copy()
        away = vertices[len(vertices) // 2] - middle
        vertices[len(vertices) // 2] += 0.3 * away / np.linalg.norm(away)
        return replace(made, vertices=vertices)
    if how == "inside out":
        return replace(made, triangles=made.triangles[:, ::-1], uv=made.uv[:, ::-1])
    if how == "one triangle turned":
        triangles, uv = made.triangles.copy(), made.uv.copy()
        triangles[3], uv[3] = triangles[3, ::-1], uv[3, ::-1]
        return replace(made, triangles=triangles, uv=uv)
    if how == "one triangle lost":
        return replace(made, triangles=made.triangles[1:], face=made.face[1:], uv=made.uv[1:])
    if how == "a point nowhere":
        vertices = made.vertices.copy()
        vertices[len(vertices) // 2] = np.nan
        return replace(made, vertices=vertices)
    keep = made.face != made.face[0]
    return replace(made, triangles=made.triangles[keep], face=made.face[keep], uv=made.uv[keep])


WRONGS = [
    "scaled by 25.4",
    "scaled about its middle",
    "shifted 1 mm",
    "one vertex off",
    "inside out",
    "one triangle turned",
    "one triangle lost",
    "a face lost",
    "a point nowhere",
]


@pytest.mark.parametrize("how", WRONGS)
@pytest.mark.parametrize("name", few(SHAPES, 0, 1))
def test_a_wrong_mesh_does_not_pass(name, how):
    good = mesh(SHAPES[name], 0.1)
    wrong = broken(good, how)
    assert holds(good, deviation(SHAPES[name], good))
    assert not holds(wrong, deviation(SHAPES[name], wrong))


def test_what_is_wrong_is_told_apart():
    shape = SHAPES["torus"]
    good = mesh(shape, 0.1)
    assert deviation(shape, broken(good, "scaled by 25.4")).largest > 100
    assert deviation(shape, broken(good, "shifted 1 mm")).largest == pytest.approx(1.0, abs=0.1)
    assert deviation(shape, broken(good, "inside out")).facing < -0.9
    assert broken(good, "inside out").volume < 0
    assert not is_closed(broken(good, "one triangle turned"))
    assert not is_closed(broken(good, "one triangle lost"))
    assert np.isinf(deviation(shape, broken(good, "a face lost")).largest)


def test_another_solids_mesh_is_found_out():
    other = BRepPrimAPI_MakeCylinder(10.5, 30.0).Shape()
    found = deviation(other, mesh(CYLINDER, 0.05))
    assert found.largest == pytest.approx(0.5, abs=0.06)
    assert found.by_face.max() > 0.1


def test_distance_to_a_triangle_in_all_its_regions():
    # Over the face, beside each side, beyond each corner: worked out by hand.
    triangle = np.array([[0.0, 0.0, 0.0], [4.0, 0.0, 0.0], [0.0, 3.0, 0.0]])
    points = np.array(
        [[1, 1, 2], [2, -1, 0], [-2, 1, 0], [4, 3, 0], [-3, -4, 0], [7, -4, 0], [0, 6, 4]], float
    )
    corners = np.broadcast_to(triangle, (len(points), 3, 3))
    assert to_triangles(points, corners) == pytest.approx([2, 1, 2, 12 / 5, 5, 5, 5])

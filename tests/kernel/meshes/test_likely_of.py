"""A mesh that can't be a solid's is told by its reach; its own is taken, round or not."""

from dataclasses import replace

import numpy as np
import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere, BRepPrimAPI_MakeTorus

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.meshes.likely_of import why_not_its_mesh
from geomgen.kernel.meshing.proven import meshed

SHAPES = {
    "box": box((0, -20, 5), (300, 20, 45)),
    "cylinder": cylinder((0, 0, 0), (0.6, 0.0, 0.8), 30.0, 200.0),
    "ball": BRepPrimAPI_MakeSphere(40.0).Solid(),
    "torus": BRepPrimAPI_MakeTorus(60.0, 20.0).Solid(),
}


@pytest.mark.parametrize("name", SHAPES)
def test_its_own_mesh_is_taken_and_a_moved_or_grown_one_is_not(name) -> None:
    solid = SHAPES[name]
    made = meshed(solid, 0.2)
    off = made.deviation.largest
    assert why_not_its_mesh(solid, made.mesh, off) == ""
    for vertices in (
        made.mesh.vertices + np.array([0.0, 90.0, 0.0]),
        made.mesh.vertices * 25.4,
        made.mesh.vertices / 25.4,
    ):
        assert "beside" in why_not_its_mesh(solid, replace(made.mesh, vertices=vertices), off)


def test_a_mesh_inside_out_is_told() -> None:
    made = meshed(SHAPES["box"], 0.2)
    turned = replace(made.mesh, triangles=made.mesh.triangles[:, ::-1], uv=made.mesh.uv[:, ::-1])
    assert why_not_its_mesh(SHAPES["box"], turned, 0.2) == "it is inside out"

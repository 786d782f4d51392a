import numpy as np
import pytest
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt
from shops.hotwire_cores.core_wing import skins, wing

from geomgen.kernel.brep.faces import faces_of
from geomgen.shops.hotwire_cores.distance import depth_in


def kernel_distance(point) -> float:
    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*(float(c) for c in point))).Vertex()
    return min(float(BRepExtrema_DistShapeShape(vertex, face).Value()) for face in faces_of(wing()))


@pytest.mark.parametrize("side", [1, -1])
def test_depth_is_the_kernels_own_distance(side) -> None:
    section = skins(side).section(430.0)
    for depth in (-0.7, 0.3, 2.0):
        for run in (section.upper, section.lower):
            points = (run.points - depth * run.normals)[[12, 90, 200, 310, 380]]
            found = depth_in(skins(side), points)
            exact = [kernel_distance(point) for point in points]
            assert np.abs(found) == pytest.approx(exact, abs=1e-5)
            assert (np.sign(found) == np.sign(depth)).all()


def test_depth_before_the_blunt_edge_counts_the_edge() -> None:
    section = skins(1).section(430.0)
    tail = np.array([section.tail])
    nose = np.array([section.nose])
    point = tail + 0.3 * (nose - tail) / np.linalg.norm(nose - tail)
    assert depth_in(skins(1), point) == pytest.approx(kernel_distance(point[0]), abs=1e-5)

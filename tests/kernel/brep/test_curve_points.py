"""Many points of a curve at once must be those of the kernel (reference library) one by one."""

import numpy as np
import pytest
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepBuilderAPI import BRepBuilderAPI_NurbsConvert
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCone, BRepPrimAPI_MakeTorus
from OCP.Geom import Geom_Ellipse
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Vec
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopoDS import TopoDS

from geomgen.kernel.brep.curve_points import edge_curve, of_curve, plane_curve
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.primitives import mirrored, tilted
from geomgen.kernel.lofting.bodies import body, outer_skin
from geomgen.kernel.lofting.lines import Stations, lay
from geomgen.kernel.meshing.edges import mapped


def spindle():
    x = np.array([0.0, 100.0, 300.0, 700.0])
    r = np.array([0.0, 40.0, 60.0, 30.0])
    w = np.array([1.0, 1.0, 1.2, 0.8]) / 2**0.5
    return body(
        outer_skin(lay(Stations(x, r, -0.7 * r, r, 0.1 * r, w, w[::-1], "round", "flat"))), "body"
    )


SHAPES = {
    "box": BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape(),
    "cone": BRepPrimAPI_MakeCone(3.0, 1.0, 4.0).Shape(),
    "leaning, mirrored": mirrored(
        tilted(BRepPrimAPI_MakeCone(3.0, 1.0, 4.0).Shape(), (1, 2, 3), 20.0)
    ),
    "rational": BRepBuilderAPI_NurbsConvert(BRepPrimAPI_MakeTorus(3.0, 1.0).Shape()).Shape(),
    "spindle": spindle(),
}


def edges(shape):
    found = mapped(shape, TopAbs_EDGE)
    return [TopoDS.Edge(found.FindKey(i + 1)) for i in range(found.Size())]


def asked(curve, t):
    """Points and first derivatives by the kernel."""
    p, d, rows = gp_Pnt(), gp_Vec(), []
    for at in t.tolist():
        curve.D1(at, p, d)
        rows.append((p.Coord(), d.Coord()))
    return np.array(rows).transpose(1, 0, 2)


@pytest.mark.parametrize("name", SHAPES)
def test_edges_in_space(name):
    kinds = set()
    for edge in edges(SHAPES[name]):
        if BRep_Tool.Degenerated_s(edge):
            continue
        curve = BRepAdaptor_Curve(edge)
        t = np.linspace(curve.FirstParameter(), curve.LastParameter(), 23)
        points, tangents = asked(curve, t)
        found = edge_curve(edge)
        kinds.add(found.kind)
        assert np.allclose(found.with_tangents(t), (points, tangents), atol=1e-9)
        assert np.allclose(found.at(t), points, atol=1e-9)
    assert "kernel" not in kinds


@pytest.mark.parametrize("name", SHAPES)
def test_edges_in_the_planes_of_faces(name):
    for face in faces_of(SHAPES[name]):
        sides = mapped(face, TopAbs_EDGE)
        for i in range(sides.Size()):
            edge = TopoDS.Edge(sides.FindKey(i + 1))
            curve = BRep_Tool.CurveOnSurface_s(edge, face, 0.0, 1.0)
            t = np.linspace(*BRep_Tool.Range_s(edge, face), 17)
            wanted = [(p.X(), p.Y()) for p in map(curve.Value, t.tolist())]
            assert np.allclose(plane_curve(curve).at(t), wanted, atol=1e-9)


def test_a_curve_of_another_kind_is_asked_of_the_kernel():
    ellipse = Geom_Ellipse(gp_Ax2(gp_Pnt(1, 2, 3), gp_Dir(0, 0, 1)), 5.0, 2.0)
    found, t = of_curve(ellipse), np.linspace(0, 6, 9)
    assert found.kind == "kernel"
    wanted = np.stack([1 + 5 * np.cos(t), 2 + 2 * np.sin(t), 3 + 0 * t], axis=-1)
    assert np.allclose(found.at(t), wanted)
    assert np.allclose(found.with_tangents(t)[1][:, 0], -5 * np.sin(t))

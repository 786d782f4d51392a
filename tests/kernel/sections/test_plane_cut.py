"""Plane cuts: closed forms (DERIVED), and the cuts of the proven meshes by trimesh."""

import math

import numpy as np
import pytest
import shapely
import trimesh
from bay_bodies import tube
from few_cases import few
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCone, BRepPrimAPI_MakeSphere, BRepPrimAPI_MakeTorus
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.plane_frame import Frame, at_buttock_line, at_station, at_waterline
from geomgen.kernel.sections import plane_cut as module
from geomgen.kernel.sections.plane_cut import clear_of_faces, lies_in, plane_cut


def test_a_tube_is_cut_in_a_ring() -> None:
    found = plane_cut(at_station(700.0), {"tube": tube(0.0, 1000.0, 50.0, 40.0, "tube")})
    (region,) = found.parts["tube"]
    assert region.area == pytest.approx(math.pi * (50.0**2 - 40.0**2), rel=1e-9)
    assert region.outer.area > 0 > region.holes[0].area
    assert region.polygon().area == pytest.approx(region.area, rel=2e-3)
    for loop, radius in ((region.outer, 50.0), (region.holes[0], 40.0)):
        assert np.linalg.norm(loop.points - (0.0, 500.0), axis=1) == pytest.approx(radius)


def test_a_tube_is_cut_in_two_bars_along_it() -> None:
    found = plane_cut(at_buttock_line(0.0), {"tube": tube(0.0, 1000.0, 50.0, 40.0, "tube")})
    bars = sorted(region.polygon().bounds for region in found.parts["tube"])
    assert bars == [
        pytest.approx((0.0, 450.0, 1000.0, 460.0)),
        pytest.approx((0.0, 540.0, 1000.0, 550.0)),
    ]


def test_a_cone_is_cut_in_a_circle_and_in_an_ellipse() -> None:
    frame = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(1, 0, 0))
    cone = BRepPrimAPI_MakeCone(frame, 100.0, 0.0, 200.0).Shape()
    (region,) = plane_cut(at_station(50.0), {"cone": cone}).parts["cone"]
    assert region.area == pytest.approx(math.pi * 75.0**2, rel=1e-9)
    lean = math.radians(10.0)
    tilted = Frame((50.0, 0.0, 0.0), (math.sin(lean), math.cos(lean), 0.0), (0.0, 0.0, 1.0))
    (region,) = plane_cut(tilted, {"cone": cone}).parts["cone"]
    # Semi-axes of the section of a cone with slope k by a plane that leans by t: of Dandelin.
    k, t = 0.5, math.tan(lean)
    d = 100.0 - k * 50.0
    ends = [d / (1 + k * t) / math.cos(lean), d / (1 - k * t) / math.cos(lean)]
    a = sum(ends) / 2
    b = d / math.sqrt(1 - (k * t) ** 2)
    assert region.area == pytest.approx(math.pi * a * b, rel=1e-6)


def test_a_torus_is_cut_in_two_circles_and_a_hollow_sphere_off_its_middle() -> None:
    torus = BRepPrimAPI_MakeTorus(100.0, 20.0).Shape()
    regions = plane_cut(at_station(0.0), {"torus": torus}).parts["torus"]
    assert [r.area for r in regions] == pytest.approx([math.pi * 400.0] * 2, rel=1e-9)
    ball = BRepPrimAPI_MakeSphere(gp_Pnt(0, 0, 0), 60.0).Shape()
    (cap,) = plane_cut(at_station(50.0), {"ball": ball}).parts["ball"]
    assert cap.area == pytest.approx(math.pi * (60.0**2 - 50.0**2), rel=1e-9)


def test_what_the_plane_misses_is_not_there() -> None:
    solids = {"near": box((0, 0, 0), (10, 10, 10)), "far": box((50, 0, 0), (60, 10, 10))}
    assert list(plane_cut(at_station(5.0), solids).parts) == ["near"]


def test_a_face_in_the_plane_is_refused_and_stepped_aside_from() -> None:
    solids = {"block": box((0, 0, 0), (10, 20, 30))}
    with pytest.raises(GeometryError, match="block: one of its faces lies in the plane"):
        plane_cut(at_station(10.0), solids)
    assert clear_of_faces(at_station(10.0), solids)[1] == pytest.approx(0.1)
    assert clear_of_faces(at_station(10.0), solids, -1)[1] == pytest.approx(-0.1)
    assert clear_of_faces(at_station(5.0), solids)[1] == 0.0
    # The only corner of a round end lies in the plane along it; the end itself does not.
    assert not lies_in(at_buttock_line(0.0), cylinder((0, 0, 0), (1, 0, 0), 10.0, 50.0))


@pytest.mark.parametrize(
    ("answer", "wrong"),
    [
        (lambda window, solid, fuzzy: [window], "uncut plane"),
        (lambda window, solid, fuzzy: [], "no cut where the plane passes"),
        (lambda window, solid, fuzzy: None, "can't cut"),
    ],
)
def test_a_wrong_answer_of_the_kernel_is_refused(monkeypatch, answer, wrong: str) -> None:
    monkeypatch.setattr(module, "shared", answer)
    with pytest.raises(GeometryError, match=wrong):
        plane_cut(at_station(5.0), {"block": box((0, 0, 0), (10, 20, 30))})


def test_a_missed_bar_is_refused(monkeypatch) -> None:
    true = module.shared
    monkeypatch.setattr(module, "shared", lambda *given: true(*given)[:1])
    with pytest.raises(GeometryError, match="no outline"):
        plane_cut(at_buttock_line(0.0), {"tube": tube(0.0, 1000.0, 50.0, 40.0, "tube")})


def test_outlines_that_miss_area_are_refused(monkeypatch) -> None:
    true = module.sampled

    def shrunk(wire, face, chord):
        points, corners, missed = true(wire, face, chord)
        return points.mean(axis=0) + 0.999 * (points - points.mean(axis=0)), corners, missed

    monkeypatch.setattr(module, "sampled", shrunk)
    with pytest.raises(GeometryError, match="its outlines hold"):
        plane_cut(at_station(5.0), {"block": box((0, 0, 0), (10, 20, 30))})


PARTS = ("pod", "exit", "tail_fairing", "scoop_cheek_right", "firewall", "engine", "pylon")


@pytest.mark.parametrize(
    "frame",
    few([at_buttock_line(0.0), at_waterline(794.3), at_station(1801.5)]),
    ids=["BL", "WL", "STA"],
)
def test_the_example_is_cut_where_its_meshes_are(saltmarsh_model, saltmarsh_meshes, frame) -> None:
    solids = {name: saltmarsh_model.parts[name] for name in PARTS}
    cut = plane_cut(frame, solids)
    seen = 0
    for name in PARTS:
        mesh, deviation = saltmarsh_meshes[name]
        body = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
        rings = body.section(plane_origin=frame.origin, plane_normal=frame.normal)
        assert (rings is None) == (name not in cut.parts)
        if rings is None:
            continue
        seen += 1
        lines = shapely.MultiLineString([frame.flat(ring) for ring in rings.discrete])
        for region in cut.parts[name]:
            for loop in (region.outer, *region.holes):
                off = shapely.distance(shapely.points(loop.points), lines).max()
                # A skin that the plane meets at a slant is off by more across it than along it.
                assert off < 2.0 * deviation.largest
        drawn = cut.shape(name)
        polygons = [shapely.make_valid(shapely.Polygon(frame.flat(r))) for r in rings.discrete]
        meshed = polygons[0]
        for polygon in polygons[1:]:
            meshed = shapely.symmetric_difference(meshed, polygon)
        allowed = 2.0 * deviation.largest * drawn.length
        assert abs(meshed.area - drawn.area) < allowed
    assert seen >= 4

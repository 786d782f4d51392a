"""Sections of bodies across the axis: closed forms, and the kernel's own section."""

import numpy as np
import pytest
from OCP.BRepAlgoAPI import BRepAlgoAPI_Section
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
from shapely import LineString, Polygon

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder, revolved, ring
from geomgen.kernel.lofting.bodies import body, outer_skin
from geomgen.kernel.lofting.lines import lay
from geomgen.kernel.plain import Axis
from geomgen.kernel.solids.probing import edges_in
from geomgen.shapes.hull import round_stations
from geomgen.shops.foam.sections import sections, strips

AXIS = Axis((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))


def area(points):
    """Area of the polygon, less what chords cut off a circle of as many points (closed form)."""
    n = len(points)
    return Polygon(points).area / (n / (2 * np.pi) * np.sin(2 * np.pi / n))


def test_cylinder_and_frustum():
    rod = strips(cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 40.0, 300.0))
    assert area(sections(rod, [120.0])[0][0]) == pytest.approx(np.pi * 1600, rel=1e-3)
    cone = strips(revolved([(0.0, 0.0), (0.0, 80.0), (300.0, 20.0), (300.0, 0.0)], AXIS))
    for x, (outline, _) in zip((30.0, 150.0), sections(cone, [30.0, 150.0]), strict=True):
        radius = 80.0 - 60.0 * x / 300.0
        assert np.hypot(*outline.T) == pytest.approx(radius, abs=1e-6)


def spheroid():
    turn = np.linspace(0.0, np.pi, 17)
    x, r = 300.0 * (1 - np.cos(turn)), 80.0 * np.sin(turn)
    r[[0, -1]] = 0.0
    return body(outer_skin(lay(round_stations(x, r, 500.0, "round", "round"), "pod")), "pod")


def test_spheroid_radius_and_normals():
    for x in (60.0, 300.0, 520.0):
        outline, normals = sections(strips(spheroid()), [x])[0]
        # Closed form: r = b sqrt(1 - ((x - a) / a)^2); the loft itself is near it to 1e-3 mm.
        radius = 80.0 * np.sqrt(1 - ((x - 300.0) / 300.0) ** 2)
        assert np.hypot(outline[:, 0], outline[:, 1] - 500.0) == pytest.approx(radius, abs=0.01)
        # Closed form: the gradient of (x/a)^2 + (r/b)^2.
        away = np.c_[np.full(len(outline), (x - 300.0) / 300.0**2), outline[:, 0] / 80.0**2,
                     (outline[:, 1] - 500.0) / 80.0**2]  # fmt: skip
        away /= np.linalg.norm(away, axis=1)[:, None]
        assert normals == pytest.approx(away, abs=2e-3)


def test_no_section_outside_and_at_the_very_nose():
    body_strips = strips(spheroid())
    for x in (-1.0, 0.0, 600.0, 700.0):
        assert len(sections(body_strips, [x])[0][0]) == 0


def test_agrees_with_the_kernels_own_section(saltmarsh):
    from geomgen.shapes.hull import pod_lines
    from geomgen.shops.foam.slabs import core_body

    core = core_body(pod_lines(saltmarsh), 0.4)
    outline, _ = sections(strips(core), [1234.5])[0]
    cut = BRepAlgoAPI_Section(core, gp_Pln(gp_Pnt(1234.5, 0, 0), gp_Dir(1, 0, 0)), False)
    cut.Build()
    ring = LineString(np.vstack([outline, outline[:1]]))
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from shapely import Point

    off = []
    for edge in edges_in(cut.Shape()):
        curve = BRepAdaptor_Curve(edge)
        low, high = curve.FirstParameter(), curve.LastParameter()
        for t in np.linspace(low, high, 25):
            point = curve.Value(t)
            off.append(ring.distance(Point(point.Y(), point.Z())))
    # The outline's chords bulge by their sagitta.
    assert max(off) < 0.02


def test_a_section_with_a_hole_is_refused():
    pipe = strips(ring(AXIS, 0.0, 300.0, 30.0, 40.0))
    with pytest.raises(GeometryError, match="not one outline") as caught:
        sections(pipe, [120.0])
    assert "pod.stations" in caught.value.look_at


def test_a_box_has_faces_along_it():
    outline, _ = sections(strips(box((0.0, -1.0, -2.0), (5.0, 1.0, 2.0))), [2.5])[0]
    assert Polygon(outline).area == pytest.approx(8.0)


def test_body_without_faces_along_it():
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace

    flat = BRepBuilderAPI_MakeFace(gp_Pln(gp_Pnt(1, 0, 0), gp_Dir(1, 0, 0)), 0, 1, 0, 1).Face()
    with pytest.raises(GeometryError, match="no faces along"):
        strips(flat)

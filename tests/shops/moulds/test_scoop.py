"""A scoop's outer shape as a body: its mouth, its growth, its seat."""

from math import pi

import numpy as np
import pytest
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_Plane
from scipy.interpolate import make_interp_spline
from shapely.geometry import LineString, Point

from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.solids.distance import closest
from geomgen.kernel.solids.properties import area, bounding_box
from geomgen.kernel.solids.validity import require_valid
from geomgen.shapes.hull import pod_body, pod_lines
from geomgen.shapes.scoop import course, cowl_rows
from geomgen.shops.moulds.scoop import _grown, scoop_body


def mouth(solid, station):
    for face in faces_of(solid):
        surface = BRepAdaptor_Surface(face)
        if surface.GetType() == GeomAbs_Plane:
            plane = surface.Plane()
            upright = abs(plane.Axis().Direction().X()) > 0.999
            if upright and abs(plane.Location().X() - station) < 1e-6:
                return face
    raise AssertionError("no face in the plane of the mouth")


def test_the_mouth_is_closed_by_a_plane_within_the_lip(saltmarsh):
    s = saltmarsh.scoops[0]
    solid = scoop_body(saltmarsh, 0, 0.0)
    require_valid(solid, "scoop", "body")
    # A rounded rectangle out to where the lip begins to round (closed form).
    out = s.wall - s.lip_radius
    corner = s.corner_radius + out
    wanted = (s.width + 2 * out) * (s.height + 2 * out) - (4 - pi) * corner**2
    assert area(mouth(solid, 1800.0)).value == pytest.approx(wanted, rel=1e-9)
    assert bounding_box(solid).size[2] == pytest.approx(s.width + 2 * s.wall, abs=1e-3)


@pytest.mark.parametrize("gap", [pytest.param(2.0, marks=pytest.mark.long), -0.5])
def test_it_grows_on_its_sides_and_ahead_and_the_roof_rises(saltmarsh, gap):
    plain = bounding_box(scoop_body(saltmarsh, 0, 0.0))
    grown = bounding_box(scoop_body(saltmarsh, 0, gap))
    assert grown.size[2] == pytest.approx(plain.size[2] + 2 * gap, abs=1e-3)
    assert grown.low[0] == pytest.approx(plain.low[0] - gap, abs=1e-6)
    assert grown.high[1] == pytest.approx(plain.high[1] + gap, abs=0.02)


def test_it_stands_off_the_hull_by_its_gap(saltmarsh):
    solid, hull = scoop_body(saltmarsh, 0, 0.0), pod_body(pod_lines(saltmarsh), 0.0)
    assert closest(solid, hull).distance == pytest.approx(saltmarsh.scoops[0].gap, abs=5e-3)


def test_a_lip_rounder_than_the_skin_is_needed(saltmarsh):
    with pytest.raises(GeometryError) as error:
        scoop_body(saltmarsh, 0, -1.5)
    assert error.value.look_at[0] == "scoops.cheek.lip_radius"


@pytest.mark.parametrize("gap", [-0.8, -0.3, 1.5])
def test_a_floor_that_dives_fast_is_grown_along_its_normals(variant, gap):
    """A short passage under a tall mouth: distances by an independent library, in the plane."""
    p = variant("scoops.cheek.passage_length=105 mm", "scoops.cheek.boundary_layer_gap=11 mm")
    rows = cowl_rows(p, 0, course(p, pod_lines(p), 0))
    x = np.linspace(rows.x[0], rows.x[-1], 20_001)
    grown = _grown(rows, gap)
    assert np.ptp(np.gradient(rows.middle - rows.half_height, rows.x)) > 0.8
    # The first and last row stay in the planes of lip and end.
    between = np.linspace(grown.x[0] + 2, grown.x[-1] - 2, 300)
    for way in (1.0, -1.0):
        line, edge = (
            make_interp_spline(r.x, r.middle + way * r.half_height, k=3)(at)
            for r, at in ((rows, x), (grown, between))
        )
        off = LineString(np.stack([x, line], axis=1))
        found = [off.distance(Point(*at)) for at in zip(between, edge, strict=True)]
        assert max(abs(each - abs(gap)) for each in found) < 0.02 * max(1.0, gap**2)

"""Shadows and sections of meshes, against closed forms and shapely's union of triangles."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.visibility.silhouette import AXES, DrawnBody, flat


def polygon(silhouette):
    return shapely.union_all([shapely.Polygon(outline) for outline in silhouette.outlines])


@pytest.mark.parametrize("view", list(AXES))
def test_the_shadow_of_a_sphere_is_a_circle(view):
    """Closed form, within the mesh tolerance."""
    shadow = polygon(
        DrawnBody(mesh(BRepPrimAPI_MakeSphere(100.0).Shape(), 0.05)).silhouette(view, 0.01)
    )
    assert np.pi * 99.8**2 < shadow.area < np.pi * 100.0**2


@pytest.mark.parametrize("view", list(AXES))
def test_the_shadow_is_the_union_of_all_triangles(view):
    made = mesh(cylinder((1.0, 2.0, 3.0), (0.4, 0.3, 1.0), 20.0, 90.0), 0.1)
    corners = flat(made.vertices, view)[made.triangles]
    union = shapely.union_all([shapely.Polygon(c) for c in corners])
    shadow = polygon(DrawnBody(made).silhouette(view, 0.01))
    assert shapely.hausdorff_distance(shadow.exterior, union.exterior) < 0.05


@pytest.mark.parametrize("view", list(AXES))
def test_no_view_shows_a_mirror_image(view):
    """The axes to the right, up and towards the eye are a right-handed frame."""
    rows = np.zeros((3, 3))
    for row, (axis, sign) in enumerate(AXES[view]):
        rows[row, axis] = sign
    assert np.linalg.det(rows) == pytest.approx(1.0)


def test_the_nose_view_has_the_right_wing_on_the_left():
    assert flat(np.array([[0.0, 900.0, 10.0]]), "front").tolist() == [[-900.0, 10.0]]
    assert flat(np.array([[5.0, 900.0, 10.0]]), "side").tolist() == [[5.0, 10.0]]


@pytest.mark.parametrize(("view", "size"), [("front", (20, 30)), ("side", (10, 30)),
                                            ("plan", (20, 10))])  # fmt: skip
def test_a_section_has_the_size_of_the_box(view, size):
    body = DrawnBody(mesh(box((0, 0, 0), (10.0, 20.0, 30.0)), 0.1))
    (outline,) = body.section(view, 5.0).outlines
    assert np.ptp(outline, axis=0) == pytest.approx(size)
    assert not body.section(view, 50.0).outlines


def test_an_open_mesh_is_refused():
    made = mesh(box((0, 0, 0), (10.0, 20.0, 30.0)), 0.1)
    torn = replace(made, triangles=made.triangles[1:])
    with pytest.raises(GeometryError, match="not closed"):
        DrawnBody(torn, "pod")

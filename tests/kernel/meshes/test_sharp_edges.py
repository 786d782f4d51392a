"""Sharp edges of meshes, against closed forms."""

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.meshes.sharp_edges import features, unit_normals
from geomgen.kernel.meshing.proven import mesh


def test_a_box_has_twelve_sharp_edges():
    """Closed form: twelve edges, points at most 4 mm apart on each."""
    found = features(mesh(box((0, 0, 0), (40.0, 20.0, 10.0)), 0.1), 4.0)
    assert len(found.points) == 4 * (11 + 6 + 4)
    on = np.isclose(found.points, 0.0) | np.isclose(found.points, [40.0, 20.0, 10.0])
    assert np.all(on.sum(axis=1) >= 2)


def test_a_cylinder_is_sharp_at_its_ends_only():
    found = features(mesh(cylinder((0, 0, 0), (0, 0, 1), 50.0, 300.0), 0.1), 5.0)
    assert len(found.points)
    assert np.all(np.isclose(found.points[:, 2], 0.0) | np.isclose(found.points[:, 2], 300.0))


def test_normals_look_out_of_the_body():
    made = mesh(box((0, 0, 0), (1.0, 1.0, 1.0)), 0.1)
    out = made.corners.mean(axis=1) - 0.5
    assert np.all(np.einsum("ij,ij->i", unit_normals(made.corners), out) > 0)
    assert np.linalg.norm(unit_normals(made.corners), axis=1) == pytest.approx(1.0)

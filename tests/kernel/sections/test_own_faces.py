"""Faces that a solid has in a plane, against closed forms and against cuts just below them."""

import numpy as np
import pytest
import shapely

from geomgen.kernel.brep.sheets import sheet
from geomgen.kernel.plain import Plane
from geomgen.kernel.plane_frame import at_waterline
from geomgen.kernel.sections.section import faces_in_plane, regions

SQUARE = np.array([[0.0, 0, 5], [90, 0, 5], [90, 90, 5], [0, 90, 5]])


@pytest.mark.parametrize("level", [5.0, 8.0])
def test_a_pierced_sheet(level):
    solid = sheet(
        Plane((0.0, 0.0, 5.0), (0.0, 0.0, 1.0)), SQUARE, [], [((40.0, 40.0, 5.0), 10.0)],
        (0.0, 0.0, 3.0),
    )  # fmt: skip
    (face,) = faces_in_plane(at_waterline(level), solid, chord=1e-3)
    assert face.area == pytest.approx(90.0**2 - np.pi * 100.0, rel=1e-9)
    (cut,) = regions(at_waterline(6.5), solid, chord=1e-3)
    assert shapely.hausdorff_distance(face.polygon().exterior, cut.polygon().exterior) < 1e-6
    assert len(face.polygon().interiors) == 1
    assert faces_in_plane(at_waterline(6.5), solid) == ()

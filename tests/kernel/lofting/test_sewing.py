"""Faces sewn to a solid: voids inside, bodies beside each other, gaps."""

import pytest
from OCP.BRepCheck import BRepCheck_Analyzer

from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.lofting.sewing import sew
from geomgen.kernel.solids.properties import volume


def test_box_in_a_box_is_a_void() -> None:
    outer, inner = box((0, 0, 0), (10, 10, 10)), box((1, 2, 3), (4, 5, 6))
    solid = sew([*faces_of(inner), *faces_of(outer)], "box")
    assert volume(solid).value == pytest.approx(1000.0 - 27.0, rel=1e-9)
    assert BRepCheck_Analyzer(solid).IsValid()


def test_two_voids() -> None:
    inner = [box((1, 1, 1), (2, 2, 2)), box((4, 4, 4), (6, 6, 6))]
    faces = [face for body in (box((0, 0, 0), (10, 10, 10)), *inner) for face in faces_of(body)]
    assert volume(sew(faces, "box")).value == pytest.approx(1000.0 - 1.0 - 8.0, rel=1e-9)


def test_boxes_beside_each_other_are_refused() -> None:
    faces = [*faces_of(box((0, 0, 0), (1, 1, 1))), *faces_of(box((5, 0, 0), (7, 1, 1)))]
    with pytest.raises(GeometryError, match="beside each other"):
        sew(faces, "box")


def test_a_missing_face_is_refused() -> None:
    with pytest.raises(GeometryError, match="do not close"):
        sew(faces_of(box((0, 0, 0), (1, 1, 1)))[:-1], "box")

"""Planes as the kernel turns them, and rectangles in them."""

import pytest

from geomgen.kernel.brep.planes import frame_of, frame_round, window
from geomgen.kernel.plain import Plane
from geomgen.kernel.plane_frame import Frame, at_buttock_line
from geomgen.kernel.solids.properties import face_area

SEED = (5.0, 2.0, 3.0)


@pytest.mark.parametrize(
    "normal", [(1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.6, 0.0, 0.8), (0.48, 0.64, -0.6)]
)
def test_a_plane_keeps_its_normal_and_its_seed(normal) -> None:
    frame = frame_round(Plane(SEED, normal), SEED)
    assert frame.origin == SEED
    assert frame.normal == pytest.approx(normal, abs=1e-15)
    face = window(frame, (-1.0, -2.0), (3.0, 4.0))
    assert face_area(face).value == pytest.approx(24.0)
    again = frame_of(face)
    for one, other in ((again.across, frame.across), (again.up, frame.up)):
        assert one == pytest.approx(other, abs=1e-15)


def test_a_window_lies_where_its_corners_say() -> None:
    frame: Frame = at_buttock_line(20.0)
    face = window(frame, (10.0, 30.0), (11.0, 32.0))
    assert face_area(face).value == pytest.approx(2.0)
    assert frame_of(face).up == pytest.approx(frame.up)

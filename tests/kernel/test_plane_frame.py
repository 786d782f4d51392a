"""Frames of planes; closed forms (DERIVED)."""

import numpy as np
import pytest

from geomgen.kernel.plane_frame import Frame, at_buttock_line, at_station, at_waterline


@pytest.mark.parametrize(
    ("frame", "normal", "flat"),
    [
        (at_station(10.0), (1.0, 0.0, 0.0), (20.0, 30.0)),
        (at_buttock_line(20.0), (0.0, -1.0, 0.0), (10.0, 30.0)),
        (at_waterline(30.0), (0.0, 0.0, 1.0), (10.0, 20.0)),
    ],
)
def test_the_viewer_stands_behind_left_and_above(frame: Frame, normal, flat) -> None:
    assert frame.normal == pytest.approx(normal)
    assert frame.flat((10.0, 20.0, 30.0))[0] == pytest.approx(flat)
    assert frame.height((10.0, 20.0, 30.0)) == pytest.approx([0.0])
    assert frame.plane.normal == frame.normal


def test_a_leaning_plane_there_and_back() -> None:
    frame = Frame((1.0, 2.0, 3.0), (0.6, 0.8, 0.0), (0.0, 0.0, 1.0)).moved(5.0)
    lifted = frame.lifted((7.0, -4.0))
    assert frame.flat(lifted)[0] == pytest.approx((7.0, -4.0))
    assert frame.height(lifted)[0] == pytest.approx(0.0, abs=1e-12)
    assert np.linalg.norm(np.subtract(frame.origin, (1.0, 2.0, 3.0))) == pytest.approx(5.0)

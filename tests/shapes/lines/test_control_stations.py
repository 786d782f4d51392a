"""The control stations as the loft takes them, against the file's own figures."""

import pytest

import geomgen
from geomgen.shapes.lines.control_stations import ELLIPSE, boom_stations, pod_stations


@pytest.fixture(scope="module")
def example():
    return geomgen.load("configs/saltmarsh.toml")


def test_the_pod(example):
    made = pod_stations(example)
    assert made.half_breadth[4] == 310.0
    assert (made.nose, made.tail, made.centre) == ("round", "flat", 0.0)
    # A conic's weight is rho / (1 - rho); that of an ellipse 1 / sqrt(2).
    assert made.weight_upper[[0, 4]] == pytest.approx([2**-0.5, 0.44 / 0.56])


def test_the_booms_are_ellipses_about_their_centre_line(example):
    made = boom_stations(example)
    assert (made.crown[1] + made.keel[1]) / 2 == 1324.0
    assert made.crown[1] - made.keel[1] == 2 * made.half_breadth[1] == 100.0
    assert made.weight_lower == pytest.approx(ELLIPSE / (1 - ELLIPSE))
    assert made.centre == 780.0

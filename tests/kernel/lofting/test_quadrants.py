"""Halves and pieces sewn from quadrants, against the spheroid's closed forms."""

import numpy as np
import pytest
from shops.moulds.plain_moulds import (
    LONG,
    SHORT,
    cylinder_pod,
    spheroid_pod,
    spheroid_slice,
    with_mould,
)

from geomgen.errors import GeometryError
from geomgen.kernel.lofting.quadrants import sewn_pieces, side_lines
from geomgen.kernel.solids.properties import centroid, volume
from geomgen.kernel.solids.validity import require_valid
from geomgen.shops.moulds.bodies import skin_grown


@pytest.mark.parametrize(
    ("half", "axis", "way"), [("right", 1, 1), ("left", 1, -1), ("upper", 2, 1), ("lower", 2, -1)]
)
def test_a_half_of_a_spheroid(saltmarsh, half, axis, way):
    p, mould = with_mould(spheroid_pod(saltmarsh))
    (solid,) = sewn_pieces(skin_grown(p, mould, 0.0), half, (), "pod")
    require_valid(solid, "pod", "half")
    assert volume(solid).value == pytest.approx(2 / 3 * np.pi * LONG * SHORT**2, rel=2e-5)
    # The centroid of half a spheroid lies 3/8 of the radius off the cut (closed form).
    assert centroid(solid)[axis] == pytest.approx(way * 3 / 8 * SHORT, rel=1e-3)


@pytest.mark.parametrize("half", ["left", "upper"])
def test_pieces_of_a_spheroid(saltmarsh, half):
    p, mould = with_mould(spheroid_pod(saltmarsh))
    cuts = [150.0, 400.0]
    solids = sewn_pieces(skin_grown(p, mould, 0.0, cuts), half, cuts, "pod")
    ends = [0.0, *cuts, 2 * LONG]
    for solid, a, b in zip(solids, ends[:-1], ends[1:], strict=True):
        require_valid(solid, "pod", "piece")
        assert volume(solid).value == pytest.approx(spheroid_slice(a, b) / 2, rel=1e-4)


def test_a_skin_without_the_bands_is_refused(saltmarsh):
    p, mould = with_mould(cylinder_pod(saltmarsh))
    with pytest.raises(GeometryError, match="400 mm"):
        sewn_pieces(skin_grown(p, mould, 0.0), "right", [400.0], "pod")


def test_a_breadth_line_runs_through_the_stations(saltmarsh):
    p, mould = with_mould(spheroid_pod(saltmarsh))
    line = side_lines(skin_grown(p, mould, 0.0).faces[0], 0.0)
    found = line.at(np.linspace(line.knots[0], line.knots[-1], 50))
    wanted = SHORT * np.sqrt(np.clip(1 - (found[:, 0] / LONG - 1) ** 2, 0, None))
    assert np.abs(found[:, 1] - wanted).max() < 0.05

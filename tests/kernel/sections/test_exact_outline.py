"""Outlines of wires: closed forms, and the body's outline by its mesh."""

import math

import numpy as np
import pytest
from meshed_bodies import body

from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.brep.wires import outer_wire
from geomgen.kernel.plane_frame import Frame, at_station
from geomgen.kernel.sections.exact_outline import along_wire
from geomgen.kernel.sections.outline_gap import widest_slit
from geomgen.kernel.sections.section import outlines, regions

X = (1.0, 0.0, 0.0)


def outline(solid, frame):
    (region,) = regions(frame, solid)
    return along_wire(outer_wire(region.face), frame)


@pytest.mark.parametrize("lean", [0.0, 0.4])
def test_a_rod_is_followed_between_its_nodes(lean: float) -> None:
    """A leaning plane cuts it in an ellipse (closed form)."""
    frame = Frame((50.0, 0.0, 0.0), (math.sin(lean), math.cos(lean), 0.0), (0.0, 0.0, 1.0))
    seen = outline(cylinder((0, 0, 0), X, 20.0, 100.0), frame)
    y, z = seen.at(seen.spread(0.3)).T
    assert np.hypot(y * math.cos(lean), z) == pytest.approx(np.full(len(y), 20.0), abs=2e-7)


def test_a_slit_between_wires_and_between_rings_is_one() -> None:
    sheet, hull = cylinder((0, 0.4, 0), X, 297.0, 10.0), cylinder((0, 0, 0), X, 300.0, 10.0)
    frame = at_station(5.0)
    by_wires = widest_slit(outline(sheet, frame), outline(hull, frame))
    rings = [outlines(frame, body(solid), 400.0)[0].rings[0] for solid in (sheet, hull)]
    assert by_wires.gap == pytest.approx(3.4, abs=1e-6)
    assert by_wires.gap == pytest.approx(widest_slit(*rings).gap, abs=1e-6)

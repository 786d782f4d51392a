"""Openings crossed by planes; closed forms (DERIVED)."""

import math

import pytest
from bay_bodies import bay_model, passage, scoop

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.openings.border import opening_cut
from geomgen.kernel.plane_frame import at_buttock_line, at_waterline


def crossed(found, frame):
    return sorted(tuple(round(float(v), 6) for v in (*a, *b)) for a, b in found.lines(frame))


def test_a_plane_crosses_a_ring_twice() -> None:
    model = bay_model()
    found = opening_cut(model.exits[0], {n: model.parts[n] for n in ("exit", "tail_fairing")})
    assert found.area == pytest.approx(math.pi * (106.0**2 - 80.0**2), rel=1e-6)
    lines = crossed(found, at_buttock_line(0.0))
    assert [line[1] for line in lines] == pytest.approx([394.0, 580.0], abs=0.02)
    assert [line[3] for line in lines] == pytest.approx([420.0, 606.0], abs=0.02)
    # Past the fairing there is one line: a chord of the outer circle.
    ((_, y0, _, y1),) = crossed(found, at_waterline(590.0))
    assert (y0, y1) == pytest.approx((-math.sqrt(106.0**2 - 90.0**2), -y0), abs=0.05)
    assert found.lines(at_waterline(700.0)) == []


@pytest.mark.parametrize("outward", [0.0, 20.0])
def test_a_moved_scoop_moves_its_mouth(outward: float) -> None:
    found = opening_cut(passage(1.0).mouth, {"scoop": scoop(outward=outward)})
    assert found.area == pytest.approx(90.0 * 110.0)
    ((x, y0, _, y1),) = crossed(found, at_waterline(500.0))
    assert (x, y0, y1) == pytest.approx((1005.0, 307.0 + outward, 397.0 + outward))


def test_a_shut_and_a_leaking_mouth_have_no_line() -> None:
    mouth = passage(1.0).mouth
    plug = box((1000.0, 300.0, 400.0), (1010.0, 420.0, 600.0))
    shut = opening_cut(mouth, {"scoop": scoop(), "plug": plug})
    leaks = opening_cut(mouth, {"scoop": scoop(aft=100.0)})
    assert (shut.state, leaks.state) == ("shut", "leaks")
    assert (shut.area, leaks.area) == (None, None)
    assert shut.lines(at_waterline(500.0)) == leaks.lines(at_waterline(500.0)) == []

"""How near a body comes to an axis between two stations: closed forms of rods and cones."""

import math
from dataclasses import replace

import pytest
from meshed_bodies import body

from geomgen.kernel.brep.primitives import box, cylinder, revolved
from geomgen.kernel.plain import Axis
from geomgen.kernel.sections.near_axis import Span, nearest_to_axis, told

LINE = Axis((2000.0, 0.0, 800.0), (1.0, 0.0, 0.0))
SPAN = Span(LINE, -30.0, 30.0, 2600.0)
X = (1.0, 0.0, 0.0)


def least(one, span=SPAN):
    return nearest_to_axis(span, one, told(span, one))


@pytest.mark.parametrize("turn", [0.1, 1.3, 2.9, 5.0])
def test_a_rod_beside_the_axis(turn: float) -> None:
    y, z = 750.0 * math.cos(turn), 800.0 + 750.0 * math.sin(turn)
    found = least(body(cylinder((1000, y, z), X, 40.0, 2000.0)))
    assert found.distance == pytest.approx(710.0, abs=1e-6)


@pytest.mark.parametrize("slope", [0.2, -0.2])
def test_a_cone_is_nearest_at_the_station_where_it_is_thickest(slope: float) -> None:
    about = Axis((1900.0, 900.0, 800.0), X)
    thick = [40.0 + slope * (s - 100.0) for s in (0.0, 200.0)]
    cone = revolved([(0.0, 0.0), (0.0, thick[0]), (200.0, thick[1]), (200.0, 0.0)], about)
    found = least(body(cone))
    assert found.distance == pytest.approx(900.0 - 40.0 - abs(slope) * 30.0, abs=1e-6)
    assert found.second[0] == pytest.approx(2000.0 + math.copysign(30.0, slope), abs=1e-6)


def test_a_part_that_ends_between_the_stations() -> None:
    found = least(body(box((1990, 700, 780), (2010, 900, 830))))
    assert found.distance == pytest.approx(700.0, abs=1e-6)


def test_what_stays_out_of_the_span_is_not_told_of() -> None:
    assert told(SPAN, body(cylinder((1000, 700, 800), X, 10.0, 900.0))).least == math.inf


def test_a_mesh_of_another_solid_gives_nothing() -> None:
    """A mesh 5 mm farther out, and one 5 mm farther in, than the solid."""
    rods = {y: cylinder((1000, y, 800), X, 40.0, 2000.0) for y in (745.0, 750.0, 755.0)}
    for y in (745.0, 755.0):
        assert least(replace(body(rods[y]), solid=rods[750.0])) is None


def test_a_face_that_the_kernel_loses_is_noticed(monkeypatch) -> None:
    import geomgen.kernel.sections.near_axis as module

    one = body(cylinder((1000, 750, 800), X, 40.0, 2000.0))
    monkeypatch.setattr(module, "shared", lambda face, room: [])
    assert least(one) is None
    # Uncut, it would be nearest where it is not asked for.
    monkeypatch.setattr(module, "shared", lambda face, room: [face])
    about = Axis((1900.0, 900.0, 800.0), X)
    cone = revolved([(0.0, 0.0), (0.0, 20.0), (200.0, 60.0), (200.0, 0.0)], about)
    assert least(body(cone)) is None

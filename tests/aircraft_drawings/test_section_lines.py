"""Outlines and hatching of cuts; closed forms (DERIVED)."""

import math

import pytest
import shapely
from bay_bodies import tube

from geomgen.aircraft_drawings.section_lines import Window, section_paths, spans
from geomgen.drafting.record import CENTRE, HATCH, SECTION
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.plane_frame import at_station
from geomgen.kernel.sections.section import plane_cut


def paths_of(solid, over=1, limits=None, phantom=()):
    cut = plane_cut(at_station(50.0), {"part": solid})
    return section_paths(cut, over, limits, phantom)


def test_a_ring_is_a_few_arcs_of_its_area() -> None:
    rings = [p for p in paths_of(tube(0, 100, 50.0, 40.0, "tube")) if p.layer == SECTION]
    assert len(rings) == 2
    assert sum(p.area() for p in rings) == pytest.approx(math.pi * 900.0, rel=1e-4)
    assert all(len(p.points) <= 12 for p in rings)


def test_hatching_fills_by_its_spacing_and_keeps_inside() -> None:
    lines = [p for p in paths_of(box((0, 0, 0), (100, 200, 100))) if p.layer == HATCH]
    # Lines so far apart take, times their distance, the area.
    assert sum(p.length() for p in lines) * 2.2 == pytest.approx(200.0 * 100.0, rel=0.02)
    square = shapely.box(0, 0, 200, 100).buffer(1e-6)
    assert all(square.contains(shapely.LineString(p.points)) for p in lines)


@pytest.mark.parametrize(("wall", "hatched"), [(0.5, False), (3.0, True)])
def test_a_thin_wall_is_left_as_a_double_line(wall: float, hatched: bool) -> None:
    layers = {p.layer for p in paths_of(tube(0, 100, 100.0, 100.0 - wall, "tube"))}
    assert (HATCH in layers) == hatched
    assert HATCH not in {p.layer for p in paths_of(tube(0, 100, 100.0, 97.0, "tube"), over=10)}


def test_where_the_drawing_breaks_off_there_is_no_line() -> None:
    limits = Window((0.0, -10.0), (100.0, 110.0))
    paths = paths_of(box((0, -200, 0), (100, 200, 100)), 1, limits)
    outline = [p for p in paths if p.layer == SECTION]
    assert not any(p.closed for p in outline)
    assert sum(p.length() for p in outline) == pytest.approx(200.0)
    assert all(-1e-6 <= x <= 100.0 + 1e-6 for p in paths for x, _ in p.points)


def test_a_phantom_is_a_centre_line_without_hatching() -> None:
    paths = paths_of(cylinder((0, 0, 0), (1, 0, 0), 40.0, 100.0), phantom=("part",))
    assert {p.layer for p in paths} == {CENTRE}


def test_spans_run_in_the_order_of_the_line() -> None:
    two = shapely.MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(3, 0, 4, 1)])
    assert spans(two, (9.0, 0.5), (-9.0, 0.5)) == [
        ((4.0, 0.5), (3.0, 0.5)),
        ((1.0, 0.5), (0.0, 0.5)),
    ]

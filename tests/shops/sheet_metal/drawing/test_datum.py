"""The datum of the holes: in the pattern's own plane, upright and leaning."""

import math
from dataclasses import replace

import pytest
from shops.sheet_metal.trays import START, measured, tray

from geomgen.drafting.record import REF
from geomgen.kernel.brep.primitives import tilted
from geomgen.kernel.plain import Plane
from geomgen.shops.sheet_metal.drawing.datum import datum_lines, datum_of
from geomgen.shops.sheet_metal.flat_pattern.solid import measure_sheet


def test_holes_of_a_leaning_sheet_count_along_the_sheet() -> None:
    """Closed form: 30 mm up a sheet is 30 mm in the pattern, however far it leans."""
    solid = tilted(tray(holes=((40.0, 30.0, 10.0),)), (START, 0.0, 700.0), 20.0)
    lean = math.radians(20.0)
    normal = (math.cos(lean), 0.0, -math.sin(lean))
    middle = (START + 0.5 * normal[0], 0.0, 700.0 + 0.5 * normal[2])
    sheet = measure_sheet(solid, Plane(middle, normal), middle)
    datum = datum_of(sheet)
    assert datum.of(sheet.holes[0].centre) == pytest.approx((40.0, 30.0), abs=1e-6)
    assert (datum.buttock_line, datum.waterline) == pytest.approx((0.0, 700.0), abs=1e-6)


def test_thrust_line_beside_the_sheet_leaves_half_its_height() -> None:
    sheet = measured(tray())
    far = replace(sheet, frame=replace(sheet.frame, origin=(START, 0.0, 900.0)))
    assert datum_of(far).v == 700.0
    assert datum_of(sheet).v == 700.0


def test_lines_cross_in_the_datum() -> None:
    sheet = measured(tray())
    upright, level = datum_lines(sheet, datum_of(sheet), REF)
    assert {x for x, _ in upright.points} == {0.0}
    assert {y for _, y in level.points} == {700.0}
    assert upright.length() == pytest.approx(300.0, abs=0.02)

"""Where patterns come to lie on a sheet, by hand; their own datum may be anywhere."""

import pytest
import shapely

from geomgen.drafting.record import CUT, Path
from geomgen.kernel.plane_frame import at_station
from geomgen.parameters.records.shops import PlyShop
from geomgen.shops.ply_patterns.nest import laid, least_gap
from geomgen.shops.ply_patterns.outline import PlyPattern

CORNERS = ((40.0, 300.0), (240.0, 300.0), (240.0, 360.0), (40.0, 360.0))


@pytest.mark.parametrize(
    ("grain", "bounds"),
    [("across", (10.0, 10.0, 210.0, 70.0)), ("up", (10.0, 10.0, 70.0, 210.0))],
)
def test_a_pattern_lies_in_the_sheets_corner_a_gap_off_its_edges(grain, bounds):
    lines = Path(CORNERS, (), True, CUT, "outline")
    whole = shapely.Polygon(CORNERS)
    made = PlyPattern("a", at_station(0.0), 6.0, whole, whole, (lines,), (), "front")
    shop = PlyShop.model_validate({"grain": grain, "gap": "10 mm"})
    (row,) = laid([made], shop)
    assert row.outline().bounds == pytest.approx(bounds)
    assert shapely.Polygon(row.paths()[0].points).bounds == pytest.approx(bounds)
    assert least_gap([row], shop) == pytest.approx(10.0)

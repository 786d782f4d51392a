"""Names of marked lines stand at their lines, in smaller letters rather than farther away."""

import math

import pytest
import shapely

from geomgen.drafting.own_lengths import lengths_on_paper
from geomgen.kernel.plane_frame import at_station
from geomgen.shops.ply_patterns.drawing import BESIDE, ply_drawing
from geomgen.shops.ply_patterns.marks import FROM_AFT, PlyWords, SheetMark
from geomgen.shops.ply_patterns.outline import PlyPattern, drawn

LEVEL = 300.0


def half_ring(wide):
    """Return a U of 600 x 500 mm, its limbs `wide` [mm] broad, its bottom 110 mm high."""
    hole = shapely.box(wide - 300.0, 110.0, 300.0 - wide, 500.0)
    whole = shapely.difference(shapely.box(-300.0, 0.0, 300.0, 500.0), hole)
    return drawn(PlyPattern("ring", at_station(0.0), 6.0, whole, whole, (), (), "front"))


@pytest.mark.parametrize("inches", [False, True])
@pytest.mark.parametrize("wide", [38.0, 60.0])
def test_the_name_of_a_waterline_stands_at_it(wide, inches):
    made = half_ring(wide)
    ends = [made.frame.lifted((x, LEVEL)) for x in (300.0, -300.0)]
    with lengths_on_paper(inches):
        said = PlyWords("STA 2000", FROM_AFT, (SheetMark(f"WL {LEVEL:g}", *ends),))
        drawing = ply_drawing(made, said, ("RING", FROM_AFT), 90.0)
    (name,) = [label for label in drawing.labels if label.text.startswith("WL")]
    lines = [path for path in drawing.paths if path.name == said.marks[0].words]
    assert len(lines) == 2
    far = min(math.dist(name.at, end) for path in lines for end in path.points)
    assert far <= BESIDE


def test_a_name_without_room_there_stands_elsewhere_on_the_part():
    made = half_ring(9.0)
    ends = [made.frame.lifted((x, LEVEL)) for x in (300.0, -300.0)]
    said = PlyWords("STA 2000", FROM_AFT, (SheetMark("WL 300", *ends),))
    drawing = ply_drawing(made, said, ("RING",), None)
    assert [label.text for label in drawing.labels if label.text.startswith("WL")] == ["WL 300"]

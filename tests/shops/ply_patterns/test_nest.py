"""Where patterns come to lie on a sheet, by hand; their own datum may be anywhere."""

import math

import pytest
import shapely
from shapely.affinity import rotate, translate

from geomgen.drafting.formats.dxf.writing import read_dxf, write_dxf
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import CUT, Path
from geomgen.errors import GeometryError
from geomgen.kernel.plane_frame import at_station
from geomgen.parameters.records.shops import PlyShop
from geomgen.shops.ply_patterns.drawing import ply_drawing
from geomgen.shops.ply_patterns.marks import FROM_AFT, PlyWords
from geomgen.shops.ply_patterns.nest import laid, least_gap, nest_sheets
from geomgen.shops.ply_patterns.outline import PlyPattern, drawn
from geomgen.shops.ply_patterns.split import in_pieces
from geomgen.shops.ply_patterns.stock import grain_angle

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


# No mirror image of its own, turned about whatever.
ODD = ((0.0, 0.0), (420.0, 0.0), (420.0, 60.0), (150.0, 90.0), (0.0, 180.0))
KINDS = ("frame_a", "rib_a_1_right", "spar_main_web_right", "spar_main_web_right_strap_1")


def odd(name):
    """Return a pattern of the right hand, or the mirror image of it on the left."""
    side = -1.0 if "_left" in name else 1.0
    whole = shapely.geometry.polygon.orient(shapely.Polygon([(side * x, y) for x, y in ODD]))
    return drawn(PlyPattern(name, at_station(0.0), 6.0, whole, whole, (), (), "front"))


def outlines(drawing):
    return [shapely.Polygon(path.points) for path in drawing.paths if path.layer == CUT]


@pytest.mark.parametrize("grain", ["up", "across", "45 deg"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_grain_of_a_part_lies_along_the_sheet_it_is_cut_from(grain, hand, tmp_path):
    """The arrow of its own DXF, carried along with its outline to where that of the nest lies."""
    names = [name.replace("right", hand) for name in KINDS]
    keys = {f"grain_{kind}": grain for kind in ("frames", "ribs", "webs", "straps")}
    shop = PlyShop.model_validate(keys)
    title = Title("P", "ply", "A")
    for name in names:
        one = odd(name)
        said = ply_drawing(one, PlyWords("BL 500", FROM_AFT), (name,), grain_angle(name, shop))
        own = read_dxf(write_dxf(tmp_path / "own.dxf", said, title))
        (arrow,) = [
            path.points for path in own.paths if path.layer == "TEXT" and len(path.points) == 2
        ]
        (nest,) = nest_sheets(laid([one], shop), shop, "ply", "nest")
        (there,) = outlines(read_dxf(write_dxf(tmp_path / "nest.dxf", nest.drawing, title)))
        (a, b), (c, d) = arrow
        heading = math.degrees(math.atan2(d - b, c - a))
        due = {"up": 90.0, "across": 0.0, "45 deg": 45.0}[grain]
        due = -due if "left" in name and grain == "45 deg" else due
        assert math.sin(math.radians(heading - due)) == pytest.approx(0.0, abs=1e-8)
        off = {}
        for turn in (-heading, 180.0 - heading, 45.0 - heading, 90.0 - heading, heading):
            turned = rotate(outlines(own)[0], turn, origin=(0.0, 0.0))
            (x0, y0, *_), (x1, y1, *_) = turned.bounds, there.bounds
            shared = translate(turned, x1 - x0, y1 - y0).symmetric_difference(there).area
            off[round(turn % 360.0, 3)] = shared / there.area
        best = min(off, key=off.get)
        assert off[best] < 1e-5
        assert math.sin(math.radians(best + heading)) == pytest.approx(0.0, abs=1e-4)


def test_each_kind_has_its_own_grain_and_what_is_not_said_that_of_all():
    shop = PlyShop.model_validate({"grain": "up", "grain_webs": "45 deg"})
    rows = laid([odd(name) for name in KINDS], shop)
    assert [row.turn for row in rows if "web" in row.pattern.name] == [-45.0, -45.0]
    assert {row.turn for row in rows if "web" not in row.pattern.name} == {90.0}
    assert least_gap(rows, shop) >= shop.gap - 0.06


def test_a_part_too_long_for_the_sheet_at_its_grain_comes_in_pieces():
    """420 by 180 mm lie along a sheet of 460 by 210 mm, and aslant they do not."""
    size = {"sheet_length": "460 mm", "sheet_width": "210 mm", "gap": "5 mm"}
    across, aslant = (
        PlyShop.model_validate({**size, "grain": "up", "grain_webs": grain})
        for grain in ("across", "45 deg")
    )
    web = odd("spar_main_web_right")
    assert len(in_pieces(web, across, "length")) == 1
    pieces = in_pieces(web, aslant, "length")
    assert len(pieces) > 1
    assert {row.turn for row in laid(pieces, aslant)} == {-45.0}
    with pytest.raises(GeometryError, match="with the grain 45 deg"):
        laid([web], aslant)

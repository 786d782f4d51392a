"""Parts larger than a sheet, in pieces: rings and plates by hand, a frame as the shop gets it."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from framed_pods import (
    BROAD,
    HIGH,
    MIDDLE,
    WALL,
    frame,
    model_of,
    off_ellipse,
    stringer,
)
from shops.ply_patterns.test_package import asked

from geomgen.errors import GeometryError
from geomgen.kernel.plane_frame import at_station
from geomgen.parameters.records.shops import PlyShop
from geomgen.shops.ply_patterns.nest import laid, least_gap
from geomgen.shops.ply_patterns.outline import OFF, PlyPattern, drawn, pattern
from geomgen.shops.ply_patterns.package import ply_package
from geomgen.shops.ply_patterns.split import (
    in_pieces,
    joint_marks,
    pieces_finding,
    reached_by_straps,
    straps,
    straps_finding,
)

THICK = 6.0


def ring(width, height, wide=40.0):
    outer = shapely.box(-width / 2, 0.0, width / 2, height)
    whole = shapely.difference(outer, outer.buffer(-wide, join_style="mitre"))
    return drawn(PlyPattern("ring", at_station(0.0), THICK, whole, whole, (), (), "front"))


def shop(length, width, grain="across"):
    sides = {"sheet_length": f"{length} mm", "sheet_width": f"{width} mm"}
    return PlyShop.model_validate({**sides, "gap": "10 mm", "grain": grain})


def test_a_ring_that_is_too_broad_comes_in_two_on_its_centre_line():
    whole, sheet = ring(600.0, 800.0), shop(480, 900)
    pieces = in_pieces(whole, sheet, "piece")
    assert [piece.name for piece in pieces] == ["ring_piece_1", "ring_piece_2"]
    assert [piece.whole.bounds for piece in pieces] == [(-300, 0, 0, 800), (0, 0, 300, 800)]
    assert sum(piece.drawn().area for piece in pieces) == pytest.approx(whole.whole.area, rel=1e-6)
    assert [piece.joints for piece in pieces] == [((0, 0.0),), ((0, 0.0),)]
    assert least_gap(laid(pieces, sheet), sheet) >= 10.0 - OFF
    assert pieces_finding("ring", whole, pieces).measured == pytest.approx(0.0, abs=1e-6)


def test_a_ring_too_high_is_cut_level_and_one_too_large_both_ways():
    assert len(in_pieces(ring(600.0, 800.0), shop(900, 480), "piece")) == 2
    (both) = in_pieces(ring(600.0, 800.0), shop(480, 480), "piece")
    assert {len(piece.joints) for piece in both} == {2}
    assert len(both) == 4
    # A strip of its middle falls into two: each is a piece.
    assert len(in_pieces(ring(900.0, 500.0, 60.0), shop(340, 900), "piece")) == 4


def test_the_grain_decides_which_way_a_sheet_lies():
    """Up along the sheet's 900 mm there is room; across it there is none."""
    assert len(in_pieces(ring(300.0, 800.0), shop(900, 400, "up"), "piece")) == 1
    assert len(in_pieces(ring(300.0, 800.0), shop(900, 400, "across"), "piece")) > 1


def test_a_strap_reaches_so_many_thicknesses_to_each_side_of_the_joint():
    pieces = in_pieces(ring(600.0, 800.0), shop(480, 900), "piece")
    places = [mark.start[1] for piece in pieces for mark in joint_marks(piece, 12.0)]
    assert places == pytest.approx([-12.0 * THICK, 12.0 * THICK])
    assert not [mark for piece in pieces for mark in joint_marks(piece, None)]


def test_a_piece_that_is_missing_or_cut_twice_is_found():
    whole, sheet = ring(600.0, 800.0), shop(480, 900)
    left, right = in_pieces(whole, sheet, "piece")
    assert pieces_finding("ring", whole, [left]).verdict == "fail"
    assert pieces_finding("ring", whole, [left, right, right]).verdict == "fail"
    grown = drawn(replace(right, whole=right.whole.buffer(1.0, join_style="mitre")))
    assert pieces_finding("ring", whole, [left, grown]).verdict == "fail"


def test_a_sheet_too_small_for_any_piece_is_refused_by_name():
    whole, sheet = ring(3000.0, 3000.0), shop(150, 150)
    with pytest.raises(GeometryError, match="ring, 3000 x 3000 mm") as error:
        laid(in_pieces(whole, sheet, "piece"), sheet)
    assert error.value.exit_code == 3
    keys = ("sheet_length", "sheet_width", "gap", "grain")
    assert error.value.look_at == [f"handoff.ply.{key}" for key in keys]


def test_a_frame_larger_than_the_sheets_is_handed_off_in_two():
    p = asked(frame(width="60 mm"), sheet_length="900 mm", sheet_width="480 mm", grain="up")
    package = ply_package(p, model_of(p))
    assert {check.verdict for check in package.findings} == {"pass"}
    assert "ply.pieces.frame_one" in {check.id for check in package.findings}
    sheets = {sheet.name: sheet.drawing for sheet in package.sheets}
    two = [sheets[f"ply_frame_one_piece_{n}"] for n in (1, 2)]
    for drawing in two:
        text = " ".join(label.text for label in drawing.labels)
        assert "JOINT TO THE NEXT PIECE IS NOT DESIGNED" in text
        # No strap was asked for, so none is spoken of.
        assert not [path.name for path in drawing.paths if "STRAP" in path.name]
    # Mirror images: the pod and its frame are symmetric.
    edges = [{round(x, 2) for path in one.paths if path.layer == "CUT" for x, _ in path.points}
             for one in two]  # fmt: skip
    assert (max(edges[0]), min(edges[1])) == (0.0, 0.0)
    assert min(edges[0]) == pytest.approx(-max(edges[1]), abs=0.05)
    blanks = [item for item in package.items if item.kind == "part"]
    assert [item.name for item in blanks] == [f"frame_one_piece_{n} blank" for n in (1, 2)]
    assert math.isclose(blanks[0].mass, blanks[1].mass, rel_tol=1e-4)


def test_a_piece_that_is_all_bevel_keeps_its_own_outline():
    """The smaller face ends where the cut is: of it the second piece has nothing."""
    whole = ring(600.0, 800.0, 299.0)
    leaning = replace(whole, least=shapely.box(-300.0, 0.0, 0.0, 800.0))
    left, right = in_pieces(leaning, shop(480, 900), "piece")
    assert right.least.equals(right.whole)
    assert left.least.area == pytest.approx(left.whole.area)


@pytest.fixture(scope="module")
def strapped():
    crown = stringer(girth=1.0, mirrored=False, width="30 mm", depth="15 mm")
    sizes = {"sheet_length": "900 mm", "sheet_width": "480 mm", "grain": "up", "strap_ratio": 10}
    p = asked(frame(width="60 mm"), crown, **sizes)
    model = model_of(p)
    return p, model, ply_package(p, model)


def test_straps_are_parts_of_their_own(strapped):
    """Of a ring in two: a band of 2 x 10 thicknesses at its top and one at its bottom."""
    p, _, package = strapped
    assert {check.verdict for check in package.findings} == {"pass"}
    sheets = {sheet.name: sheet for sheet in package.sheets}
    blanks = {item.name: item for item in package.items if item.kind == "part"}
    thick = p.frames[0].thickness
    # The inner edge bends less than an ellipse that is narrower and higher.
    bulge = HIGH * (1.0 - math.sqrt(1.0 - (10.0 * thick / (0.8 * BROAD - 65.0)) ** 2))
    for n in (1, 2):
        name = f"frame_one_strap_{n}"
        item = blanks[f"{name} blank"]
        assert item.size[0] == pytest.approx(20.0 * thick, abs=0.05)
        assert 57.0 < item.size[1] < 60.0 + bulge
        assert item.files == (f"ply_{name}",)
        assert item.mass == pytest.approx(item.volume * 1e-9 * p.frames[0].density)
        assert 0.7 * math.prod(item.size) < item.volume < math.prod(item.size)
        own = sheets[f"ply_{name}"]
        assert own.note.endswith("butt strap on the front face, the joint is not designed")
        assert "JOINT" in {path.name for path in own.drawing.paths}
        assert any(name in sheet.note for sheet in package.sheets if "nest" in sheet.name)


def test_a_strap_lies_clear_of_the_skin_and_of_a_stringer_beside_its_sheet(strapped):
    """Edges of both against the pod's ellipse and the strip in its crown, by hand."""
    p, model, _ = strapped
    whole = pattern("frame_one", model.parts["frame_one"], model.sheets["frame_one"])
    pieces = in_pieces(whole, p.handoff.ply, "piece")
    made = straps(p, model, "frame_one", whole, reached_by_straps(whole, pieces, 10.0), 6.0)
    assert len(made) == 2
    edges = np.concatenate([one.drawn().exterior.segmentize(0.5).coords for one in made])
    points = np.array([whole.frame.lifted(tuple(edge)) for edge in edges.tolist()])[:, 1:]
    # The pod is narrowest at the strap's aft face, STA 1000: nine tenths of its size at STA 0.
    shares = (points - [0.0, MIDDLE]) / [0.9 * BROAD, 0.9 * HIGH]
    assert np.hypot(*shares.T).max() < 1.0
    assert off_ellipse(points, 0.9 * BROAD, 0.9 * HIGH).min() > WALL + 0.45
    under = MIDDLE + 0.9 * HIGH - WALL - 15.0
    beside = points[(np.abs(points[:, 0]) < 15.45) & (points[:, 1] > MIDDLE)]
    assert len(beside) > 10
    assert beside[:, 1].max() < under
    # The frame's front face is at STA 1000.
    assert {round(one.frame.origin[0], 6) for one in made} == {1000.0 - 6.0}


def test_what_a_strap_can_not_cover_is_told():
    """A tank's wall, so to speak, on both faces over all of the joint."""
    whole, sheet = ring(600.0, 800.0), shop(480, 900)
    pieces = in_pieces(whole, sheet, "piece")
    near = reached_by_straps(whole, pieces, 10.0)
    assert [joint for joint, _ in near] == [(0, 0.0), (0, 0.0)]
    assert sum(area.area for _, area in near) == pytest.approx(2 * 40.0 * 20.0 * THICK)
    check = straps_finding(whole, near, [], 680.0)
    assert (check.verdict, check.measured) == ("warn", 1.0)


def test_straps_over_a_crossing_of_joints_do_not_overlap():
    plate = replace(ring(600.0, 800.0), whole=shapely.box(-300, 0, 300, 800))
    plate = drawn(replace(plate, least=plate.whole))
    near = reached_by_straps(plate, in_pieces(plate, shop(480, 480), "piece"), 10.0)
    areas = [area for _, area in near]
    assert len(areas) == 3
    assert shapely.union_all(areas).area == pytest.approx(sum(area.area for area in areas))
    assert sum(area.area for area in areas) == pytest.approx(120 * 800 + 120 * 480)

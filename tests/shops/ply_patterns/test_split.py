"""Parts larger than a sheet, in pieces: rings and plates by hand, a frame as the shop gets it."""

import math
from dataclasses import replace

import pytest
import shapely
from framed_pods import frame, model_of
from shops.ply_patterns.test_package import asked

from geomgen.errors import GeometryError
from geomgen.kernel.plane_frame import at_station
from geomgen.parameters.records.shops import PlyShop
from geomgen.shops.ply_patterns.nest import laid, least_gap
from geomgen.shops.ply_patterns.outline import OFF, PlyPattern, drawn
from geomgen.shops.ply_patterns.package import ply_package
from geomgen.shops.ply_patterns.split import STRAP, in_pieces, pieces_finding, strap_marks

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
    places = [mark.start[1] for piece in pieces for mark in strap_marks(piece)]
    assert places == pytest.approx([-STRAP * THICK, STRAP * THICK])


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
        assert "BUTT STRAP 72 FROM THE JOINT" in {path.name for path in drawing.paths}
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

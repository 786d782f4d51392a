"""A panel that is longer than the bow, cut in pieces."""

import pytest
from few_cases import few
from shops.hotwire_cores.core_wing import ROOT, SPAN, TIP, WASHOUT, frame, skins, wing

from geomgen.drafting.clashes import clashes
from geomgen.drafting.lettering import text_box
from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import mirrored
from geomgen.kernel.lofting.panels import ruled_solid
from geomgen.kernel.model import Model
from geomgen.kernel.plain import PinJoint, Plane
from geomgen.kernel.solids.properties import kernel_box, volume
from geomgen.parameters.records.shops import Cores
from geomgen.shapes.aerofoil import angles
from geomgen.shops.hotwire_cores.gaps import gap_findings, gaps
from geomgen.shops.hotwire_cores.pieces import (
    SHORTEST,
    RibPlace,
    pieces,
    without_short_ends,
)
from geomgen.shops.hotwire_cores.plan import core_plan
from geomgen.shops.hotwire_cores.words import template_notes
from geomgen.shops.layout_lines import inside_parts

THICK = 4.0


def made(bow: str | None, side: int = 1, away=(), inside=(), skin=0.45):
    shop = Cores(kerf="1.2 mm", bow=bow)
    return pieces(wing(), skins(side), (0.0, SPAN), away, shop, skin, inside=inside)


def rib(side: int, middle: float):
    """Return a whole slice of the wing as a rib."""
    rows = []
    for y in (middle - THICK / 2, middle + THICK / 2):
        share = y / SPAN
        rows.append((1 - share) * frame(0.0, ROOT, 1.0).points()
                    + share * frame(SPAN, TIP, 1.0 - WASHOUT).points())  # fmt: skip
    solid = ruled_solid(rows, angles(), "rib")
    return solid if side > 0 else mirrored(solid)


def ribbed(side: int, *middles):
    parts = {f"rib_a_{n}": rib(side, y) for n, y in enumerate(middles, start=1)}
    return Model(parts=parts, families=dict.fromkeys(parts, "rib"))


@pytest.mark.parametrize("side", few([1, -1], 1))
def test_pieces_part_at_both_faces_of_a_near_rib_and_fill_the_wing_with_it(side) -> None:
    model = ribbed(side, 40.0, 410.0, 640.0)
    rows = made("540 mm", side, inside=inside_parts(model), skin=0.0)
    assert [row.span for row in rows] == [
        pytest.approx(span, abs=1e-4) for span in ((0.0, 408.0), (412.0, SPAN))
    ]
    assert [row.ribs for row in rows] == [("", "rib_a_2"), ("rib_a_2", "")]
    (whole,) = made(None, side, skin=0.0)
    filled = sum(row.blank.core for row in rows) + volume(model.parts["rib_a_2"]).value
    assert filled == pytest.approx(whole.blank.core, rel=2e-5)
    assert gaps(wing(), model, rows, (0.0, SPAN), side) == []
    shop = Cores(kerf="1.2 mm")
    assert "Here rib_a_2 stands against the foam; beyond it piece 2 begins." in template_notes(
        rows[0], 1, shop
    )
    assert not any("joins on" in said for row in rows for end in (0, 1)
                   for said in template_notes(row, end, shop))  # fmt: skip


@pytest.mark.parametrize("side", few([1, -1], 1))
def test_a_rib_within_a_core_is_told_on_its_templates_and_drawn_on_the_plan(side) -> None:
    model = ribbed(side, 40.0, 410.0)
    hand = "right" if side > 0 else "left"
    rows = made("540 mm", side, inside=inside_parts(model), skin=0.0)
    (found,) = [rib for row in rows for rib in row.within]
    assert (found.name, found.low, found.high) == ("rib_a_1", 38.0, 42.0)
    assert rows[0].within
    shop = Cores(kerf="1.2 mm")
    for end in (0, 1):
        notes = template_notes(rows[0], end, shop)
        assert "rib_a_1 stands in this core, BL 38 to 42 mm: cut the foam there." in notes
    drawing = core_plan(rows, hand, shop).drawing
    (line,) = [path for path in drawing.paths if path.name == "rib_a_1"]
    box = model.parts["rib_a_1"]
    low, high = kernel_box(box).low, kernel_box(box).high
    seen = [sorted(values) for values in zip(*line.points, strict=True)]
    assert (seen[0][0], seen[0][-1]) == pytest.approx((low[1], high[1]), abs=1e-3)
    # Aft is down on the plan; the leading edge is round, so that its box is a little longer.
    assert (-seen[1][-1], -seen[1][0]) == pytest.approx((low[0], high[0]), abs=0.5)
    assert "rib_a_1" in [label.text for label in drawing.labels]
    assert clashes(drawing) == ()


def test_the_number_of_a_core_stands_beside_a_rib_in_its_middle() -> None:
    rows = made("540 mm", -1, inside=inside_parts(ribbed(-1, 204.0, 410.0)), skin=0.0)
    drawing = core_plan(rows, "left", Cores(kerf="1.2 mm")).drawing
    (line,) = [path for path in drawing.paths if path.name == "rib_a_1"]
    (number,) = [
        label for label in drawing.labels if label.text == "1" and label.anchor == "middle"
    ]
    across = [x for x, _ in line.points]
    assert (min(across), max(across)) == pytest.approx((-206.0, -202.0))
    low, _, high, _ = text_box(number)
    assert high < min(across) or low > max(across)


def test_a_rib_that_leaves_a_blank_too_long_is_passed_over() -> None:
    model = ribbed(1, 570.0)
    assert [row.ribs for row in made("540 mm", inside=inside_parts(model))] == [("", "")] * 2


def parted_at(side: int, at: float) -> Model:
    """Return two ribs of 4 mm, 1 mm apart about where the outer wing comes off."""
    model = ribbed(side, at - 2.5, at + 2.5)
    along = (0.0, float(side), 0.0)
    hand = "right" if side > 0 else "left"
    plane = Plane((0.0, side * at, 0.0), along)
    model.pin_joints = (
        PinJoint(
            "main", hand, "wing", 1.0, plane, along, (1.0, 0.0, 0.0), 1.0, 6.0, 20.0, 60.0, 2.5
        ),
    )
    return model


@pytest.mark.parametrize("side", few([1, -1], 1))
def test_cores_part_at_the_outsides_of_the_ribs_where_the_outer_wing_comes_off(side) -> None:
    """Ribs of 4 mm stand 1 mm apart about BL 302.5; no core lies in either, nor between them."""
    model = parted_at(side, 302.5)
    inside = inside_parts(model)
    assert all(part.at_joint for part in inside)
    rows = made(None, side, inside=inside, skin=0.0)
    assert [row.span for row in rows] == [
        pytest.approx(span, abs=1e-4) for span in ((0.0, 298.0), (307.0, SPAN))
    ]
    assert gaps(wing(), model, rows, (0.0, SPAN), side) == []
    assert [row.span[1] for row in made("400 mm", side, inside=inside)].count(
        pytest.approx(298.0, abs=1e-4)
    ) == 1
    told = template_notes(rows[0], 1, Cores(kerf="1.2 mm"))
    assert any("joint of the outer wing stands against the foam" in words for words in told)


@pytest.mark.parametrize("side", few([1, -1], 1))
@pytest.mark.parametrize(
    ("at", "span", "block"),
    [(80.0, (84.5, SPAN), (0.0, 75.5)), (SPAN - 60.0, (0.0, SPAN - 64.5), (SPAN - 55.5, SPAN))],
)
def test_beside_a_joint_near_an_end_of_a_panel_there_is_no_core_and_it_is_told(
    side, at, span, block
) -> None:
    model = parted_at(side, at)
    rows = made(None, side, inside=inside_parts(model), skin=0.0)
    assert [row.span for row in rows] == [pytest.approx(span, abs=1e-4)]
    (gap,) = gaps(wing(), model, rows, (0.0, SPAN), side)
    assert (gap.low, gap.high) == pytest.approx(block, abs=1e-4)
    (row,) = gap_findings([gap], [], False)
    assert row.verdict == "warn"
    assert "where a short end beside the joint of the outer wing stands" in row.what
    assert "fill the gap by hand" in str(row.as_dict())
    said = [words for end in (0, 1) for words in template_notes(rows[0], end, Cores(kerf="1 mm"))]
    assert sum("joint of the outer wing stands against the foam." in words for words in said) == 1


def test_an_end_just_long_enough_is_a_core() -> None:
    rows = made(None, inside=inside_parts(parted_at(1, SHORTEST + 4.6)))
    assert rows[0].span == pytest.approx((0.0, SHORTEST + 0.1), abs=1e-4)
    assert not any(row.blocks for row in rows)


def test_a_panel_that_a_joint_leaves_nothing_of_is_refused() -> None:
    ends = RibPlace("", 0.0, 0.0), RibPlace("", 190.0, 190.0)
    with pytest.raises(GeometryError, match=r"panel 3: .*91.0 mm are left.*move the joint"):
        without_short_ends(3, *ends, [RibPlace("j", 90.0, 99.0)])


def test_a_panel_without_a_bow_is_one_piece() -> None:
    (piece,) = made(None)
    assert piece.name == "panel1_right"
    assert piece.span == (0.0, SPAN)


@pytest.mark.parametrize("side", few([1, -1], 1))
def test_pieces_follow_one_another_and_each_blank_fits_the_bow(side) -> None:
    rows = made("400 mm", side)
    # 900 mm of span can't be had from two blocks of 400 mm.
    assert len(rows) == 3
    hand = "right" if side > 0 else "left"
    assert [row.name for row in rows] == [f"panel1_{hand}_{n}" for n in (1, 2, 3)]
    for row, span in zip(rows, [(0, 300), (300, 600), (600, 900)], strict=True):
        assert row.span == pytest.approx(span)
    assert all(row.blank.size[0] <= 400.0 for row in rows)
    for inner, outer in zip(rows, rows[1:], strict=False):
        assert inner.ends[1] is outer.ends[0]
        assert inner.guides[1] is outer.guides[0]


def test_the_pieces_together_are_the_panel() -> None:
    (whole,), rows = made(None), made("320 mm")
    assert sum(row.blank.core for row in rows) == pytest.approx(whole.blank.core, rel=1e-4)
    assert sum(row.blank.leading for row in rows) == pytest.approx(whole.blank.leading)


def test_as_many_pieces_as_the_other_hand_has() -> None:
    shop = Cores(kerf="1.2 mm", bow="1000 mm")
    rows = pieces(wing(), skins(-1), (0.0, SPAN), (), shop, 0.45, least=2)
    assert [row.name for row in rows] == ["panel1_left_1", "panel1_left_2"]


def test_an_end_that_stands_askew_counts() -> None:
    (whole,) = made(None)
    length = whole.blank.size[0]
    assert len(made(f"{length + 0.01:.3f} mm")) == 1
    # The panel itself is 900 mm long, and its block longer.
    assert length > SPAN
    assert len(made(f"{length - 0.01:.3f} mm")) == 2


def test_a_template_where_something_was_cut_out_is_made_all_the_same() -> None:
    assert len(made("500 mm", away=((440.0, 460.0),))) == 2


def test_a_bow_that_is_too_short_for_any_core_is_refused() -> None:
    # Nothing shorter than 100 mm is cut, and such a core needs a block longer than that.
    short = Cores(kerf="1.2 mm").model_copy(update={"bow": 102.0})
    with pytest.raises(GeometryError, match="the bow takes 102 mm"):
        pieces(wing(), skins(1), (0.0, SPAN), (), short, 0.45)

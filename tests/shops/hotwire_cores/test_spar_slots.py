"""Slots for webs in a plain tapered wing: what is left and what the web takes make up the whole."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import shapely
from few_cases import few
from shops.hotwire_cores.core_wing import KERF, SKIN, SPAN, skins, wing

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.model import Model
from geomgen.kernel.solids.booleans import cut
from geomgen.kernel.solids.properties import volume
from geomgen.parameters.records.shops import Cores
from geomgen.shops.hotwire_cores.package import Asked, _core
from geomgen.shops.hotwire_cores.pieces import pieces
from geomgen.shops.hotwire_cores.spar_slots import ending_within, slot_findings, slots_of, taken_out
from geomgen.shops.layout_lines import inside_parts, laid_along

NAME = "spar_main_web"
FORE, THICK = 250.0, 6.0
SHOP = Cores(kerf=f"{KERF} mm", spar_slots=True)


def web(side, out=SPAN, thick=THICK):
    y = sorted((-side * 50.0, side * (out + 50.0)))
    return box((FORE, y[0], 0.0), (FORE + thick, y[1], 200.0))


def inside(solid):
    return inside_parts(Model(parts={NAME: solid}, families={NAME: "spar"}))


@cache
def whole(side, skin):
    (piece,) = pieces(wing(), skins(side), (0.0, SPAN), (), SHOP, skin)
    return piece


def cored(side, solid, skin=SKIN, shop=SHOP):
    return _core(whole(side, skin), Asked(shop, skin, 1, None), [], inside(solid))


def laid(piece, solid):
    """Return what a web takes up at both templates of a core that is not drawn."""
    return [laid_along(inside(solid), end.buttock_line, shapely.Polygon(end.ring()))
            for end in piece.ends]  # fmt: skip


@cache
def drawn(side):
    return cored(side, web(side))


def findings(core, solid):
    drawings = (core.cut.root, core.cut.tip)
    return slot_findings(core.piece, core.slots, core.lost, drawings, inside(solid), SHOP)


@pytest.mark.parametrize("side", few([1, -1], 1))
def test_what_the_slot_takes_is_what_the_web_takes_up_of_the_wing(side):
    """By the kernel's own cut of the wing, which knows nothing of templates."""
    piece = whole(side, 0.0)
    slots = slots_of(piece, laid(piece, web(side)))
    y = sorted((0.0, side * SPAN))
    own = box((FORE, y[0], 0.0), (FORE + THICK, y[1], 200.0))
    held = volume(wing()).value - volume(cut(wing(), [own], "wing", "web")).value
    assert taken_out(piece, slots, SHOP) == pytest.approx(held, rel=1e-3)


@pytest.mark.parametrize("side", few([1, -1], 1))
def test_the_wire_passes_half_a_kerf_inside_of_both_faces(side):
    core = drawn(side)
    for drawing, end, hand in ((core.cut.root, 0, side), (core.cut.tip, 1, -side)):
        (path,) = [one for one in drawing.paths if one.name == NAME]
        assert (path.layer, path.closed) == ("CAP", True)
        x = hand * np.array([point[0] for point in path.points])
        nose = core.piece.ends[end].nose
        turn = np.radians(core.piece.ends[end].angle)
        y = np.array([point[1] for point in path.points])
        aft = nose[0] + np.cos(turn) * x + np.sin(turn) * y
        assert sorted(aft) == pytest.approx(
            2 * [FORE + KERF / 2] + 2 * [FORE + THICK - KERF / 2], abs=1e-3
        )
        # It goes out past the template above and below.
        middle = shapely.LineString([(hand * x.mean(), -500.0), (hand * x.mean(), 500.0)])
        _, low, _, high = middle.intersection(shapely.Polygon(drawing.paths[0].dense(0.01))).bounds
        assert y.max() > high + 1.0
        assert y.min() < low - 1.0
        assert any("SPAR MAIN WEB - CUT THROUGH" in label.text for label in drawing.labels)
        assert any("part the core" in note for note in drawing.notes)
    (check,) = findings(core, web(side))
    assert (check.verdict, check.measured) == ("pass", pytest.approx(0.0, abs=2e-3))


def test_a_slot_that_was_drawn_aside_or_a_spar_that_bends_is_found():
    core = drawn(-1)
    (path,) = [one for one in core.cut.tip.paths if one.name == NAME]
    aside = replace(path, points=tuple((x + 1.0, y) for x, y in path.points))
    paths = tuple(aside if one is path else one for one in core.cut.tip.paths)
    moved = replace(core, cut=replace(core.cut, tip=replace(core.cut.tip, paths=paths)))
    (check,) = findings(moved, web(-1))
    assert check.verdict == "fail"
    assert check.measured == pytest.approx(1.0, abs=0.01)
    assert check.where == "tip"
    # Another web than the one that the templates were made for: 2 mm thicker.
    (check,) = findings(core, web(-1, thick=THICK + 2.0))
    assert check.measured == pytest.approx(2.0, abs=0.01)


def test_a_web_that_ends_within_the_core_has_no_slot_and_is_said():
    short = web(-1, out=400.0)
    piece = whole(-1, SKIN)
    both = laid(piece, short)
    assert slots_of(piece, both) == []
    lost = ending_within(piece, both, inside(short))
    (check,) = slot_findings(piece, (), lost, (), inside(short), SHOP)
    assert (check.id, check.verdict) == (f"core.slot.panel1_left.{NAME}", "warn")
    assert "no slot for it" in check.what


@pytest.mark.parametrize("side", few([1, -1], 1))
def test_a_web_that_begins_and_ends_between_the_templates_is_said(side):
    """Neither template cuts it: nothing else would tell that its slot is missing."""
    piece = whole(side, SKIN)
    low, high = sorted((side * 300.0, side * 600.0))
    short = box((FORE, low, 0.0), (FORE + THICK, high, 200.0))
    both = laid(piece, short)
    assert slots_of(piece, both) == []
    assert ending_within(piece, both, inside(short)) == [NAME]
    # One over the same stretch of span in the tail is none of the wing's.
    tail = box((FORE + 3000.0, low, 0.0), (FORE + 3000.0 + THICK, high, 200.0))
    assert ending_within(piece, laid(piece, tail), inside(tail)) == []


@pytest.mark.parametrize("name", ["spar_main_web_outer_right", "spar_box_web_fore_outer_left"])
def test_the_web_outside_of_a_joint_of_the_wing_has_its_slot(name):
    piece = whole(-1, SKIN)
    parts = inside_parts(Model(parts={name: web(-1)}, families={name: "spar"}))
    both = [laid_along(parts, end.buttock_line, shapely.Polygon(end.ring()))
            for end in piece.ends]  # fmt: skip
    assert [pair[0].name for pair in slots_of(piece, both)] == [name]


def test_the_caps_of_a_spar_whose_own_name_ends_in_web_get_no_slot():
    piece, solid = whole(-1, SKIN), web(-1)
    names = {"spar_rear_web_cap_upper": [], "spar_rear_web_web_left": ["spar_rear_web_web_left"]}
    for name, due in names.items():
        parts = inside_parts(Model(parts={name: solid}, families={name: "spar"}))
        both = [laid_along(parts, end.buttock_line, shapely.Polygon(end.ring()))
                for end in piece.ends]  # fmt: skip
        assert [pair[0].name for pair in slots_of(piece, both)] == due
        assert ending_within(piece, both, parts) == []


@pytest.mark.long
def test_without_the_key_the_web_is_a_line_as_before():
    core = cored(-1, web(-1), shop=Cores(kerf=f"{KERF} mm"))
    (path,) = [one for one in core.cut.root.paths if one.name == NAME]
    assert (core.slots, core.lost, path.layer) == ((), (), "REF")


def test_a_web_no_thicker_than_the_kerf_or_without_flat_faces_is_refused():
    with pytest.raises(GeometryError, match="no thicker than the wire's kerf") as error:
        cored(-1, web(-1, thick=1.0))
    assert "handoff.cores.kerf" in error.value.look_at
    pin = cylinder((FORE, -1050.0, 60.0), (0.0, 1.0, 0.0), 8.0, 1100.0)
    with pytest.raises(GeometryError, match="no two faces"):
        cored(-1, pin)

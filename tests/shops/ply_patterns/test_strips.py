"""Caps and stringers: sizes by place, lengths, what is bought and its price, by hand."""

import math

import pytest
from framed_pods import model_of, pod_of, stringer
from spar_wings import BENT, CHORD, HALF, planned

from geomgen.errors import ParameterError
from geomgen.kernel.model import Model
from geomgen.kernel.solids.properties import volume
from geomgen.pages.parts_list import total_rows
from geomgen.pages.totals import totals
from geomgen.parameters.records.masses import PartMass
from geomgen.parameters.records.shops import Handoff
from geomgen.parameters.records.stock import StockPrice
from geomgen.shapes.wing_structure.inner_room import room_of
from geomgen.shapes.wing_structure.spars import spars
from geomgen.shops.bent_parts import bent_parts
from geomgen.shops.ply_patterns.package import ply_package
from geomgen.shops.ply_patterns.prices import own_prices, unused
from geomgen.shops.ply_patterns.strip_part import strip_part
from geomgen.shops.ply_patterns.strips import Strip, cap_strips, cap_tables

TAPER = [
    {"at": "0 mm", "width": "60 mm", "cap_height": "14 mm"},
    {"at": "1800 mm", "width": "40 mm", "cap_height": "8 mm"},
]
PRICES = [
    {"stock": "spruce strip, 60 x 14 mm", "price": "7.5 shells"},
    {"stock": "oak", "price": "1 shells"},
]


@pytest.fixture(scope="module")
def capped():
    spar = {"kind": "caps and web", "end": "1800 mm", "width": None, "cap_height": None}
    p = planned(BENT, [{**spar, "stations": TAPER}])
    p = p.model_copy(
        update={
            "handoff": Handoff.model_validate({"ply": {}, "prices": PRICES}),
            "mass": (PartMass.model_validate({"part": "spar", "material": "spruce"}),),
        }
    )
    made = spars(p)
    return p, Model(
        parts={piece.name: piece.solid for piece in made},
        families={piece.name: piece.family for piece in made},
    )


def test_caps_taper_as_the_file_says(capped):
    p, model = capped
    (rows,) = cap_tables(p, model).values()
    assert [row.at for row in rows] == [0.0, 500.0, 1000.0, 1500.0, 1800.0]
    for row in rows:
        share = min(max(row.at, 0.5), 1799.5) / 1800.0
        for wide, high in row.sizes.values():
            assert wide == pytest.approx(60.0 - 20.0 * share, abs=0.01)
            assert high == pytest.approx(14.0 - 6.0 * share, abs=0.01)


def test_the_length_of_a_cap_is_that_of_its_line(capped):
    """Panels rise by 4 and 9 deg, the outer one is swept by 15 deg."""
    p, model = capped
    tables = cap_tables(p, model)
    strips = cap_strips(p, model, tables)
    upper, lower = (
        [one for one in strips if one.part == f"spar_main_cap_{side}"]
        for side in ("upper", "lower")
    )
    inner = room_of(p, "wing").places[1]
    rise, sweep = math.tan(math.radians(9)), math.tan(math.radians(15))
    outer = (1800.0 - inner) * math.hypot(1.0, rise, sweep)
    line = 2 * (inner / math.cos(math.radians(4)) + outer)
    # The aerofoil is thinner where the washout is larger: a cap is a little longer than the line.
    both = sum(one.length for one in (*upper, *lower)) / 2
    assert both == pytest.approx(line, rel=1e-3)
    assert upper[0].stock == "spruce strip, 60 x 14 mm"
    # From tip to tip: outer left, inner left, inner right, outer right.
    lengths = [(a.length + b.length) / 2 for a, b in zip(upper, lower, strict=True)]
    half = inner / math.cos(math.radians(4))
    assert lengths == pytest.approx([outer, half, half, outer], rel=2e-3)


def test_a_bent_cap_is_listed_by_its_straight_parts_with_the_bends(capped):
    """Panels rise by 4 and 9 deg, the outer one is swept by 15. Source: trigonometry (DERIVED).

    The washout thins the outer panel, which bends upper and lower cap unlike; their mean is the
    wing's own bend.
    """
    p, model = capped
    strips = cap_strips(p, model, cap_tables(p, model))
    bends = {}
    for side in ("upper", "lower"):
        solid = model.parts[f"spar_main_cap_{side}"]
        bends[side] = bent_parts(solid, 1)
    inner = room_of(p, "wing").places[1]
    pairs = list(zip(bends["upper"], bends["lower"], strict=True))
    # The spar stands 5 % of the chord behind the quarter, about which the washout of 6 deg turns.
    turned = 0.05 * CHORD * math.sin(math.radians(6)) / (HALF - inner)
    outer = math.degrees(math.atan(math.tan(math.radians(9)) + turned)) - 4.0
    up = [(a.across + b.across) / 2 for a, b in pairs]
    assert up == pytest.approx([outer, 8.0, outer, 0.0], abs=0.01)
    aft = [(a.aft + b.aft) / 2 for a, b in pairs]
    assert aft == pytest.approx([15.0, 0.0, 15.0, 0.0], abs=0.05)
    assert [a.end[1] for a, _ in pairs] == pytest.approx([-inner, 0.0, inner, 1800.0], abs=1e-3)
    upper = [one for one in strips if one.part == "spar_main_cap_upper"]
    assert [one.name for one in upper] == [
        f"spar_main_cap_upper, part {n} of 4" for n in (1, 2, 3, 4)
    ]
    assert f"bent {bends['upper'][1].across:.2f} deg up" in upper[1].note
    assert "BL 0.0" in upper[1].note
    assert "to part 3" in upper[1].note
    assert "aft" in upper[2].note
    assert "bent" not in upper[3].note
    assert sum(one.volume for one in upper) == pytest.approx(
        volume(model.parts["spar_main_cap_upper"]).value, rel=1e-9
    )
    assert upper[0].item().name == "spar_main_cap_upper strip, part 1 of 4"


def test_a_straight_cap_is_one_strip():
    p = planned(spars=[{"kind": "caps and web", "end": "1800 mm"}])
    made = Model(parts={piece.name: piece.solid for piece in spars(p)})
    strips = cap_strips(p, made, cap_tables(p, made))
    assert [(one.name, one.of) for one in strips] == [
        ("spar_main_cap_upper", 1), ("spar_main_cap_lower", 1)
    ]  # fmt: skip
    assert strips[0].length == pytest.approx(3600.0, abs=1e-3)


def test_rows_to_cut_to_buy_and_their_price(capped):
    p, model = capped
    sheets, items = strip_part(p, model, p.handoff.ply)
    (sheet,) = sheets
    texts = [label.text for label in sheet.drawing.labels]
    assert texts[:2] == ["CAPS OF SPAR MAIN BY BL", "BL [mm]"]
    assert "GEOMETRY, NOT STRENGTH" in sheet.drawing.notes[0]
    cut = [item for item in items if item.kind == "part"]
    (bought,) = [item for item in items if item.kind == "buy"]
    metres = sum(item.size[0] for item in cut) / 1e3
    assert bought.size[0] / 1e3 == pytest.approx(1.1 * metres)
    assert bought.cost == (pytest.approx(1.1 * metres * 7.5), "shells")
    (total,) = totals(items, [])
    assert total.length == pytest.approx(1e3 * metres)
    assert total.cost == f"{1.1 * metres * 7.5:.2f} shells"
    (row,) = total_rows([total])
    assert f"{metres:.2f} m as cut" in row[11]
    assert "own prices" in row[11]
    (warned,) = unused(p, items)
    assert (warned.verdict, warned.where) == ("warn", "oak")
    assert own_prices(p)["oak"].amount == 1.0


@pytest.mark.parametrize("inch", [1 / 16, 3 / 32, 1 / 8, 3 / 16, 1 / 4, 3 / 8, 5 / 8, 3 / 4, 7 / 8])
def test_strips_of_one_size_are_one_stock_however_they_were_measured(inch):
    sides = (25.4 * inch + off for off in (-1e-6, 0.0, 1e-6))
    strips = [Strip("a", "", "spruce", (side, side), 1.0, 1.0, None) for side in sides]
    assert len({strip.stock for strip in strips}) == 1


def test_stringers_are_strips():
    p = pod_of(stringer())
    p = p.model_copy(update={"handoff": Handoff.model_validate({"ply": {}})})
    package = ply_package(p, model_of(p))
    cut = [item for item in package.items if item.kind == "part"]
    assert [item.hand for item in cut] == ["right", "left"]
    # Straight along a pod that does not taper, from station 500 to 1500 mm.
    assert [item.size[0] for item in cut] == pytest.approx([1000.0, 1000.0], abs=0.5)
    assert cut[0].material == "spruce strip, 20 x 12 mm"


@pytest.mark.parametrize("price", ["12", "12,5 shells", "-3 shells", "shells", "$12.50"])
def test_a_price_without_money_is_refused(price):
    with pytest.raises((ParameterError, ValueError), match=r"not a price(?s:.*)41\.50 dollars"):
        StockPrice.model_validate({"stock": "a", "price": price})

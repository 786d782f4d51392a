"""Sums over a parts list, against sums by hand."""

import pytest

from geomgen.pages.totals import ClothLayer, totals
from geomgen.shops.product import Item

FOAM = "foam, 32 kg/m³, hot-wire"
CORES = [
    Item("a", "wing", "left", FOAM, volume=1.0e8, mass=3.2, laminate_area=2.0e6, stock=1.5e8),
    Item("b", "wing", "right", FOAM, volume=1.0e8, mass=3.2, laminate_area=2.0e6, stock=1.5e8),
]
STACK = [
    Item("slab", "pod", "", "foam", count=2, volume=4.0e7, mass=1.28),
    Item("sheets", "pod", "", "foam", volume=9.0e7, mass=2.88, kind="buy"),
    Item("whole", "pod", "", "foam", volume=3.9e7, mass=1.25, kind="sum"),
]
# 200 g/m2 of glass, 0.167 kg/m2 of resin in each of two plies.
GLASS = ClothLayer("glass twill", 2, 0.2, 0.167)


def test_foam_counts_parts_once_and_what_is_to_buy_apart():
    (foam,) = totals([*CORES, *STACK], [])
    assert foam.what == "foam"
    assert foam.pieces == 4
    assert foam.volume == pytest.approx(2.4e8)
    assert foam.mass == pytest.approx(3.2 + 3.2 + 1.28)
    assert foam.stock == pytest.approx(1.5e8 + 1.5e8 + 9.0e7)


def test_cloth_and_resin_follow_from_the_area():
    _, cloth, resin = totals(CORES, [GLASS])
    assert cloth.what == "cloth: glass twill, 200 g/m²"
    # Two plies on 4 m2.
    assert cloth.area == pytest.approx(8.0e6)
    assert cloth.mass == pytest.approx(1.6)
    assert resin.mass == pytest.approx(4.0 * 2 * 0.167)


def test_the_sum_of_cloth_names_the_parts_it_is_of():
    pod = Item("skin", "pod", "", "laminate", laminate_area=3.0e6)
    unknown = Item("core", "fin", "", "foam")
    _, cloth, resin = totals([*CORES, pod, unknown], [GLASS])
    said = "skin of wing and pod: nothing for any other part, for overlap or for waste"
    assert cloth.note == f"2 plies on 7.00 m²; {said}"
    assert resin.note == said
    alone = totals(CORES, [GLASS])[1]
    assert "skin of wing alone: nothing for any other part" in alone.note


def test_one_ply_is_told_as_one():
    _, cloth, _ = totals(CORES, [ClothLayer("glass twill", 1, 0.2, 0.167)])
    assert cloth.note.startswith("1 ply on 4.00 m²; ")


def test_a_part_without_a_density_is_told():
    board = [
        Item("p", "pod", "", "board", volume=1.0e8),
        Item("q", "pod", "", "board", volume=1.0e8, mass=2.0),
    ]
    (made,) = totals(board, [GLASS])
    assert (made.volume, made.mass, made.stock) == (2.0e8, 2.0, None)
    assert made.note.startswith("mass without 1 of them")


def test_sheet_is_summed_up_by_its_area_too():
    # 0.38 m2 of 0.5 mm.
    blank = Item("b", "firewall", "", "steel sheet, 0.500 mm", (700.0, 600.0, 0.5), volume=1.9e5)
    (made,) = totals([blank], [])
    assert made.what == "steel sheet"
    assert made.area == pytest.approx(0.38e6)
    assert made.stock is None

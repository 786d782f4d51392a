"""Pieces against the stock that a builder has: boxes of known size."""

import pytest

from geomgen.parameters.records.stock import Stock
from geomgen.shops.product import Item, Package
from geomgen.shops.stock import over, stock_findings, within_stock

ROUTER = {"length": "1200 mm", "width": "600 mm", "height": "300 mm"}


def item(name, *size, material="plug block", kind="part"):
    return Item(name, "pod", "", material, size, kind=kind)


def found(p, shop, *pieces, **stock):
    handoff = p.handoff.model_copy(update={"stock": Stock.model_validate(stock)})
    changed = p.model_copy(update={"handoff": handoff})
    return {c.id: c for c in stock_findings(changed, Package(shop, items=pieces))}


def test_without_stock_nothing_is_asked(saltmarsh):
    assert stock_findings(saltmarsh, Package("mould_maker", items=(item("a", 1, 2, 3),))) == []
    assert found(saltmarsh, "sheet_shop", item("a", 1, 2, 3), router=ROUTER) == {}


def test_a_piece_that_fits_turned_round_passes_and_one_too_high_fails_with_its_size(saltmarsh):
    fits = item("plug_1", 290.0, 1190.0, 590.0)
    (check,) = found(saltmarsh, "mould_maker", fits, router=ROUTER).values()
    assert (check.id, check.verdict) == ("stock.fit.router.mould_maker", "pass")
    assert check.measured == pytest.approx(-10.0)
    high = item("plug_2", 1000.0, 310.0, 320.0)
    (check,) = found(saltmarsh, "mould_maker", fits, high, router=ROUTER).values()
    assert (check.verdict, check.measured) == ("fail", pytest.approx(10.0))
    assert "plug_2, 1000 x 320 x 310" in check.where
    assert "plug_1" not in check.where


def test_what_is_not_named_is_counted_behind_the_unit(saltmarsh):
    high = [item(f"plug_{n}", 1000.0, 400.0, 400.0 - n) for n in range(8)]
    (check,) = found(saltmarsh, "mould_maker", *high, router=ROUTER).values()
    assert check.where.endswith("plug_5, 1000 x 400 x 395 mm; and 2 more")


def test_flange_boards_are_held_against_the_board_and_not_the_router(saltmarsh):
    flange = item("flange", 1500.0, 700.0, 12.0, material="flange board")
    checks = found(
        saltmarsh, "mould_maker", flange,
        router=ROUTER, board={"length": "1250 mm", "width": "900 mm"},
    )  # fmt: skip
    assert set(checks) == {"stock.fit.board.mould_maker"}
    (check,) = checks.values()
    assert (check.verdict, check.measured) == ("warn", pytest.approx(250.0))


def test_cores_against_block_and_bow_and_everything_against_the_car(saltmarsh):
    core = item("core_1", 1300.0, 500.0, 200.0)
    stock = {
        "foam_block": {"length": "2 m", "width": "600 mm", "height": "150 mm"},
        "wire_bow": "1.25 m",
        "car": {"length": "1.8 m", "width": "1 m", "height": "800 mm"},
    }
    checks = found(saltmarsh, "wing_cores", core, **stock)
    assert {c.id.split(".")[2]: (c.verdict, round(c.measured, 6)) for c in checks.values()} == {
        "foam_block": ("fail", 50.0),
        "wire_bow": ("fail", 50.0),
        "car": ("pass", -500.0),
    }
    bought = item("sheets", 5000.0, 2000.0, 50.0, kind="buy")
    assert found(saltmarsh, "foam_stations", bought, **stock) == {}


def test_a_side_may_not_count_twice():
    assert over((500.0, 500.0, 10.0), (600.0, 400.0, 100.0)) == 100.0


def test_the_noise_of_a_box_makes_no_piece_too_large():
    """The kernel's boxes are 1e-7 mm wider on each side than what lies in them."""
    assert over((1200.0 + 2e-7, 600.0, 300.0), (1200.0, 600.0, 300.0)) == 0.0
    assert over((1200.001, 600.0, 300.0), (1200.0, 600.0, 300.0)) == pytest.approx(0.001)


def test_cores_and_plugs_are_cut_to_the_shortest_that_stock_and_file_take(saltmarsh):
    block = {"length": "600 mm", "width": "1 m", "height": "200 mm"}
    h = saltmarsh.handoff

    def cut(bow=None, longest=None, **stock):
        handoff = h.model_copy(
            update={
                "cores": h.cores.model_copy(update={"bow": bow}),
                "moulds": (h.moulds[0].model_copy(update={"machine_length": longest}),),
                "stock": Stock.model_validate(stock),
            }
        )
        there = within_stock(saltmarsh.model_copy(update={"handoff": handoff})).handoff
        return there.cores.bow, there.moulds[0].machine_length

    assert within_stock(saltmarsh) is saltmarsh
    assert cut(car=ROUTER) == (None, None)
    assert cut(wire_bow="1.25 m", foam_block=block, router=ROUTER) == (1000.0, 1200.0)
    assert cut(700.0, 1300.0, wire_bow="1.25 m", router=ROUTER) == (700.0, 1200.0)


def test_a_short_core_that_is_broader_than_the_bow_is_long_fits_it(saltmarsh):
    """The wire lies along the span: how deep the chord is does not matter to it."""
    (check,) = found(
        saltmarsh, "wing_cores", item("core", 400.0, 1300.0, 200.0), wire_bow="600 mm"
    ).values()
    assert (check.verdict, check.measured) == ("pass", pytest.approx(-200.0))

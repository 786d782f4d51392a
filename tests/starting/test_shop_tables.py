import pytest
from covering_choices import every_value

from geomgen.shops.core_notices import core_notices
from geomgen.starting.choices import SCOOPS, SHOPS


@pytest.mark.parametrize("shops", every_value(SHOPS))
def test_a_table_for_each_shop_that_was_chosen_and_no_other(fresh, shops) -> None:
    h = fresh(shops=shops).handoff
    if shops == "none":
        assert h is None
        return
    tables = {"moulds": bool(h.moulds), "foam": h.foam, "cores": h.cores, "sheet": h.sheet}
    assert {name for name, table in tables.items() if table} == set(shops.split(","))
    assert (h.laminate is None) == (shops == "sheet")


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_wings_foam_has_one_density(fresh, units) -> None:
    p = fresh(units=units, shops="cores")
    (wing,) = (row for row in p.mass if row.part == "wing")
    assert wing.density == p.handoff.cores.density
    assert core_notices(p) == ()


@pytest.mark.parametrize("scoops", every_value(SCOOPS))
def test_a_mould_for_each_scoop(fresh, scoops) -> None:
    parts = {mould.part for mould in fresh(scoops=scoops, shops="moulds").handoff.moulds}
    own = set() if scoops == "none" else {f"scoop_{s}" for s in scoops.split(",")}
    assert parts == {"pod", "tail_fairing", "wing_tip"} | own


def test_paper_and_foam_as_they_are_sold(fresh) -> None:
    metric, imperial = (fresh(units=units).handoff for units in ("metric", "imperial"))
    assert (metric.paper.size, imperial.paper.size) == ("A4", "Letter")
    assert imperial.foam.sheet_length == pytest.approx(4 * 304.8)

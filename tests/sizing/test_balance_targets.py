"""Targets of mass and fuel: what is said of a tank that the file puts where none may be."""

import pytest

from geomgen.sizing.targets import targets


def notices(p):
    return [n for t in targets(p) if t.id == "fuel.volume" for n in t.notices if "aft of" in n]


@pytest.mark.parametrize(("off", "told"), [("- 1 in", 0), ("+ 1 in", 1)])
def test_fuel_aft_of_the_firewall_is_told(variant, off, told) -> None:
    place = f"tanks.main.station=firewall {off}"
    assert len(notices(variant(place, config="hayfield"))) == told


def test_it_is_aft_of_a_firewall_that_leans_where_the_sheet_is_at_its_height(variant) -> None:
    """10 in below the thrust line a sheet that leans by 10 deg, top aft, stands 1.76 in ahead."""
    p = variant("tanks.main.station=firewall - 1 in", "firewall.tilt=10 deg", config="hayfield")
    low = p.tanks[0].model_copy(update={"waterline": p.propeller.waterline - 254.0})
    high = p.tanks[0].model_copy(update={"waterline": p.propeller.waterline})
    assert len(notices(p.model_copy(update={"tanks": (low,)}))) == 1
    assert notices(p.model_copy(update={"tanks": (high,)})) == []

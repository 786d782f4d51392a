"""Sheets and fittings that 14 CFR 23.1191(h) accepts without a fire test, and sheet masses.

Sources: 14 CFR 23.1191(h), thicknesses in inches (PUBLISHED); mass of a sheet is volume times
density with handbook densities (DERIVED).
"""

import pytest

from geomgen.parameters.records.engine_bay import DENSITY
from geomgen.sizing.formulas import firewall

# Material and least thickness [in]; PUBLISHED.
LIST = {
    "stainless steel": 0.015,
    "mild steel": 0.018,
    "terne plate": 0.018,
    "monel": 0.018,
    "titanium": 0.016,
}


@pytest.mark.parametrize(("material", "inches"), LIST.items())
def test_least_thickness_published(material, inches):
    assert firewall.least_thickness(material) == pytest.approx(inches * 25.4, abs=1e-9)


def test_list_is_complete_published():
    assert set(firewall.permitted_materials()) == set(LIST)


@pytest.mark.parametrize("material", ["aluminium", "Aluminium", "plywood", ""])
def test_what_is_not_on_the_list_has_no_thickness_published(material):
    assert firewall.least_thickness(material) is None
    assert material not in firewall.permitted_materials()


@pytest.mark.parametrize(
    ("metal", "accepted"),
    [
        ("steel", True),
        ("stainless steel", True),
        ("brass", True),
        ("copper", True),
        ("titanium", False),
        ("aluminium", False),
    ],
)
def test_fittings_of_steel_or_copper_alloy_published(metal, accepted):
    assert (metal in firewall.permitted_fittings()) is accepted


@pytest.mark.parametrize(
    ("material", "thickness", "per_square_metre"),
    [("stainless steel", 0.381, 3.048), ("titanium", 0.4064, 1.800)],
)
def test_sheet_mass_derived(material, thickness, per_square_metre):
    mass = firewall.solid_mass(1e6 * thickness, DENSITY[material])
    assert mass == pytest.approx(per_square_metre, abs=5e-4)

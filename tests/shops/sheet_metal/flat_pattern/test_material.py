"""Metals and thicknesses against 14 CFR 23.1191(h) (PUBLISHED, given in inches)."""

import pytest

from geomgen.parameters.records.engine_bay import Firewall, Penetration
from geomgen.shops.sheet_metal.flat_pattern.material import fittings_finding, material_finding

# Millimetres of the inches that the rule prints, worked out by hand.
LEAST = {
    "stainless steel": 0.381,
    "mild steel": 0.4572,
    "terne plate": 0.4572,
    "monel": 0.4572,
    "titanium": 0.4064,
}


def sheet(material, *fittings):
    holes = tuple(
        Penetration.model_construct(
            use=f"line {i}", buttock_line=0, waterline=0, diameter=10, fitting=fitting
        )
        for i, fitting in enumerate(fittings)
    )
    return Firewall.model_construct(material=material, penetrations=holes)


@pytest.mark.parametrize(("material", "least"), LEAST.items())
def test_least_thickness_of_each_metal(material, least) -> None:
    assert material_finding(sheet(material), least + 1e-6).verdict == "pass"
    thin = material_finding(sheet(material), least - 1e-3)
    assert thin.verdict == "fail"
    assert f"{least:.3f}" in thin.note
    assert "23.1191(h)" in thin.source


@pytest.mark.parametrize("thickness", [0.4, 6.0])
def test_aluminium_is_refused_at_any_thickness(thickness) -> None:
    finding = material_finding(sheet("aluminium"), thickness)
    assert finding.verdict == "fail"
    assert "0.381" in finding.note


def test_fittings_have_to_be_steel_or_copper_alloy() -> None:
    assert fittings_finding(sheet("titanium")) is None
    good = fittings_finding(sheet("titanium", "steel", "stainless steel", "brass", "copper"))
    assert good is not None
    assert good.verdict == "pass"
    bad = fittings_finding(sheet("titanium", "steel", "aluminium"))
    assert bad is not None
    assert (bad.verdict, bad.measured) == ("fail", 1.0)
    assert "line 1 (aluminium)" in bad.note

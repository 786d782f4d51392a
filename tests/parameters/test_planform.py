"""Places on the wing against closed forms. Status: DERIVED."""

from math import radians, tan

import pytest

from geomgen.parameters.planform import hull_end, wing_at


def test_root_tip_and_half_way(saltmarsh):
    p = saltmarsh("wing.sections.2.sweep=10 deg", "wing.sections.2.dihedral=3 deg")
    root = wing_at(p.wing, 0.0)
    assert (root.leading_edge, root.waterline, root.chord) == (1280.0, 1330.0, 1200.0)
    inner = wing_at(p.wing, 700.0)
    assert (inner.leading_edge, inner.waterline, inner.chord) == (1280.0, 1330.0, 1200.0)
    tip = wing_at(p.wing, 4500.0)
    assert tip.chord == 900.0
    assert tip.leading_edge == pytest.approx(1280 + 300 + 3200 * tan(radians(10)) - 225)
    assert tip.waterline == pytest.approx(1330 + 3200 * tan(radians(3)))
    half = wing_at(p.wing, 2900.0)
    assert half.chord == pytest.approx(1050.0)
    assert half.leading_edge == pytest.approx((1280 + tip.leading_edge) / 2)


def test_agrees_with_the_solid_wing(saltmarsh):
    """Independent: the builder of sections, at no incidence."""
    from geomgen.shapes.lifting import wing_sections

    p = saltmarsh("wing.incidence=0 deg", "wing.sections.2.sweep=15 deg")
    for section, row in zip(wing_sections(p, p.wing), p.wing.sections, strict=True):
        place = wing_at(p.wing, row.buttock_line)
        nose = (place.leading_edge, row.buttock_line, place.waterline)
        assert section.nose == pytest.approx(nose)
        assert section.chord == pytest.approx(place.chord)


def test_fairing_counts_unless_narrower_than_the_hub(saltmarsh):
    assert hull_end(saltmarsh()) == 3010.0
    assert hull_end(saltmarsh("propeller.hub_diameter=170 mm")) == 3000.0

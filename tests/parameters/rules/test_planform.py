"""The wing's trailing edge against closed forms. Status: DERIVED."""

from math import cos, radians, tan

import pytest

from geomgen.parameters.rules.planform import hull_end, trailing_edge_at


def test_root_inner_panel_tip_and_half_way(saltmarsh):
    """The root turns about its leading edge: its edge stands a chord times the cosine aft of it."""
    p = saltmarsh("wing.sections.2.sweep=10 deg", "wing.sections.2.washout=-1 deg")
    root = 1280 + 1200 * cos(radians(2))
    for at in (0.0, 700.0, 1300.0):
        assert trailing_edge_at(p.wing, at) == pytest.approx((root, 1200.0), abs=1e-9)
    quarter = 1280 + 300 * cos(radians(2)) + 3200 * tan(radians(10))
    tip = quarter + 675 * cos(radians(3))
    assert trailing_edge_at(p.wing, 4500.0) == pytest.approx((tip, 900.0), abs=1e-9)
    assert trailing_edge_at(p.wing, 2900.0) == pytest.approx(((root + tip) / 2, 1050.0), abs=1e-9)
    assert trailing_edge_at(p.wing, 4700.0) == pytest.approx((tip, 900.0), abs=1e-9)


def test_fairing_counts_unless_narrower_than_the_hub(saltmarsh):
    assert hull_end(saltmarsh()) == 3010.0
    assert hull_end(saltmarsh("propeller.hub_diameter=170 mm")) == 3000.0

"""The swept ring and the place of the blades."""

import math

import pytest

from geomgen.kernel.solids.distance import extreme
from geomgen.kernel.solids.properties import volume
from geomgen.shapes.lifting import trailing_edge_at
from geomgen.shapes.propeller import blade_plane, prop_disc, spinner, thrust_line


def test_blade_plane_behind_the_trailing_edge(variant) -> None:
    """So many local chords behind the edge, at the centre or at a buttock line."""
    p = variant("propeller.behind_trailing_edge=0.52", "propeller.behind_at=400 mm")
    edge, chord = trailing_edge_at(p, 400.0)
    assert chord == pytest.approx(1200.0)
    assert blade_plane(p) == pytest.approx(edge + 0.52 * 1200.0)


def test_swept_volume_has_shake_flex_and_pitch(variant) -> None:
    """A ring whose half depth grows from root to tip: volume by Pappus (DERIVED)."""
    p = variant()
    q = p.propeller
    inner, outer = p.spinner.diameter / 2 + 1.0, q.diameter / 2 + q.mount_travel_radial
    root = q.blade_depth / 2 + q.mount_travel_axial
    solid = prop_disc(p).solid
    # Depth along the radius: root + flex (r - inner) / (outer - inner), twice, times 2 pi r.
    span = outer - inner
    due = (
        4
        * math.pi
        * (
            root * (outer**2 - inner**2) / 2
            + q.flex / span * ((outer**3 - inner**3) / 3 - inner * (outer**2 - inner**2) / 2)
        )
    )
    assert volume(solid).value == pytest.approx(due, rel=1e-9)
    at = thrust_line(p).origin
    assert extreme(solid, (0, 0, 1))[0] == pytest.approx(at[2] + outer, abs=1e-6)
    assert extreme(solid, (1, 0, 0))[0] == pytest.approx(at[0] + root + q.flex, abs=1e-6)


def test_spinner_is_half_a_spheroid(variant, monkeypatch) -> None:
    """2/3 pi a b^2 (solid geometry, DERIVED), within 6e-4 with nine stations; less with more."""
    import geomgen.shapes.propeller as propeller

    p = variant()
    due = 2 / 3 * math.pi * (p.spinner.diameter / 2) ** 2 * p.spinner.length
    coarse = abs(volume(spinner(p).solid).value / due - 1)
    monkeypatch.setattr(propeller, "SPINNER_STATIONS", 17)
    fine = abs(volume(spinner(p).solid).value / due - 1)
    assert coarse < 6e-4
    assert fine < coarse / 3

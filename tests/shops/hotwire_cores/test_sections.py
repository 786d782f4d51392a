import numpy as np
import pytest
import shapely
from shops.hotwire_cores.core_wing import ROOT, SPAN, TIP, WASHOUT, skins, wing

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.solids.booleans import cut
from geomgen.kernel.solids.properties import area
from geomgen.shops.hotwire_cores.sections import clean_ends, cut_away, panel, proved

# Area of a four-digit section with its open edge [t c^2], integral of NACA Report 460's equation.
AREA = 0.685083


@pytest.fixture(scope="module")
def pierced():
    """Return the wing with a bore of 80 mm fore and aft through the right panel, at BL 300 mm."""
    bore = cylinder((400.0, 300.0, 60.0), (1.0, 0.0, 0.0), 40.0, 500.0)
    return cut(wing(), [bore], "wing", "bore")


@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize(("y", "chord"), [(0.0, ROOT), (SPAN, TIP)])
def test_area_of_the_section_is_the_closed_form(side, y, chord) -> None:
    section = skins(side).section(y)
    assert section.buttock_line == pytest.approx(side * y)
    found = shapely.Polygon(section.ring()).area
    assert found == pytest.approx(AREA * 0.12 * chord**2, rel=2e-4)
    assert section.chord == pytest.approx(chord, rel=1e-6)


def test_washout_is_measured_on_the_solid() -> None:
    s = skins(1)
    assert s.section(0.0).angle - s.section(SPAN).angle == pytest.approx(WASHOUT, abs=1e-6)
    assert s.section(SPAN).angle == pytest.approx(1.0 - WASHOUT, abs=1e-6)


@pytest.mark.parametrize("side", [1, -1])
def test_normals_look_outward(side) -> None:
    section = skins(side).section(300.0)
    middle = shapely.Polygon(section.ring())
    for run in (section.upper, section.lower):
        out = (run.points + 0.2 * run.normals)[5::40][:, [0, 2]]
        inside = (run.points - 0.2 * run.normals)[5::40][:, [0, 2]]
        assert not shapely.contains_xy(middle, *out.T).any()
        assert shapely.contains_xy(middle, *inside.T).all()


def test_surface_of_the_panels_is_the_solids_less_its_ends() -> None:
    both = sum(skins(side).area(0.0, SPAN) for side in (1, -1))
    ends = 2 * AREA * 0.12 * TIP**2
    assert both == pytest.approx(area(wing()).value - ends, rel=1e-5)


def test_surface_of_two_halves_is_that_of_the_whole() -> None:
    s = skins(1)
    halves = s.area(0.0, 400.0) + s.area(400.0, SPAN)
    assert halves == pytest.approx(s.area(0.0, SPAN), rel=1e-7)


def test_what_is_cut_away_is_found_by_its_faces(pierced) -> None:
    right, left = (panel(pierced, 1, side, 0.0, SPAN) for side in (1, -1))
    (span,) = cut_away(pierced, right)
    assert span == pytest.approx((260.0, 340.0), abs=1.0)
    assert cut_away(pierced, left) == []
    assert cut_away(wing(), skins(1)) == []


def test_a_section_through_a_bore_is_refused_and_one_beside_it_proved(pierced) -> None:
    right = panel(pierced, 1, 1, 0.0, SPAN)
    with pytest.raises(GeometryError, match="not the one between its skins"):
        proved(pierced, right, 300.0)
    assert proved(pierced, right, 400.0) < 1e-4


def test_templates_move_to_the_next_clean_section() -> None:
    whole = skins(1)
    assert clean_ends(whole, [(260.0, 340.0)]) == (0.0, SPAN)
    assert clean_ends(whole, [(0.0, 120.0)]) == (122.0, SPAN)
    assert clean_ends(whole, [(0.0, 120.0), (880.0, SPAN)]) == (122.0, 878.0)
    with pytest.raises(GeometryError, match="no clean section"):
        clean_ends(whole, [(0.0, SPAN)])


def test_a_bore_through_the_tip_moves_the_tip_template_inward() -> None:
    bore = cylinder((450.0, 885.0, 76.0), (1.0, 0.0, 0.0), 30.0, 500.0)
    holed = cut(wing(), [bore], "wing", "bore")
    right = panel(holed, 1, 1, 0.0, SPAN)
    low, high = clean_ends(right, cut_away(holed, right))
    assert (low, high) == pytest.approx((0.0, 885.0 - 30.0 - 2.0), abs=0.5)
    assert proved(holed, right, high) < 1e-4


def test_a_panel_that_is_not_there_is_refused() -> None:
    with pytest.raises(GeometryError, match="0 skins"):
        panel(wing(), 1, 1, 0.0, 700.0)


def test_left_is_the_mirror_of_right() -> None:
    a, b = skins(1).section(500.0), skins(-1).section(500.0)
    gap = a.upper.points - b.upper.points * np.array([1.0, -1.0, 1.0])
    assert np.abs(gap).max() < 1e-9

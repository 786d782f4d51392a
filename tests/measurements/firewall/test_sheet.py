"""Firewalls in a round hull: closed forms of circle and ellipse (DERIVED)."""

import math

import pytest
from few_cases import few
from OCP.TopoDS import TopoDS_Shape

from geomgen.kernel.brep.primitives import box, cylinder, moved, tilted
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Opening, Passage, Plane
from geomgen.kernel.solids.booleans import common, cut
from geomgen.measurements.firewall.sheet import firewall

X = (1.0, 0.0, 0.0)
MIDDLE = (500.0, 0.0, 800.0)
HULL, SHEET = 300.0, 0.4


def round_hull(inner: float = HULL) -> TopoDS_Shape:
    rod, hole = (cylinder((0, 0, 800), X, r, 1000.0) for r in (inner + 4.0, inner))
    return cut(rod, [hole], "pod", "inside")


def round_sheet(radius: float, thickness: float = SHEET) -> TopoDS_Shape:
    return cylinder((500.0 - thickness / 2, 0, 800), X, radius, thickness)


def leaning_sheet(radius: float, lean: float) -> TopoDS_Shape:
    """Return a flat plate that leans, cut to a cylinder along x."""
    plate = box((500.0 - SHEET / 2, -900, -100), (500.0 + SHEET / 2, 900, 1700))
    rod = cylinder((0, 0, 800), X, radius, 1000.0)
    return common(tilted(plate, MIDDLE, lean), rod, "firewall", "outline")[0]


def model(hull: TopoDS_Shape, sheet: TopoDS_Shape, lean: float = 0.0) -> Model:
    turn = math.radians(lean)
    plane = Plane(MIDDLE, (math.cos(turn), 0.0, -math.sin(turn)))
    parts = {"pod": hull, "firewall": sheet}
    return Model(
        parts=parts,
        families={n: n for n in parts},
        firewall_plane=plane,
        firewall_seed=MIDDLE,
    )


def measured(m: Model) -> dict:
    return {f.id: f for f in firewall(m)}


@pytest.mark.parametrize("short", [0.2, 5.0])
def test_a_sheet_that_is_too_small_shows_in_gap_and_fill(short: float) -> None:
    found = measured(model(round_hull(), round_sheet(HULL - short)))
    assert found["firewall.edge_gap"].value == pytest.approx(short, abs=1e-6)
    assert found["firewall.fill"].value == pytest.approx(((HULL - short) / HULL) ** 2, rel=1e-7)
    assert found["firewall.area"].value == pytest.approx(math.pi * (HULL - short) ** 2, rel=1e-7)
    assert found["firewall.clear_section"].value == pytest.approx(math.pi * HULL**2, rel=1e-7)
    a, b = found["firewall.edge_gap"].points
    assert math.dist(a, b) == pytest.approx(short, abs=1e-5)


@pytest.mark.parametrize("off", [2.0, 4.0])
def test_a_sheet_off_its_place_is_measured_at_the_widest_slit(off: float) -> None:
    sheet = cylinder((499.8, 0, 800.0 - off), X, HULL - 5.0, SHEET)
    found = measured(model(round_hull(), sheet))["firewall.edge_gap"]
    assert found.value == pytest.approx(5.0 + off, abs=2e-2)
    assert found.points[0][2] == pytest.approx(800.0 + HULL - 5.0 - off, abs=2.0)


@pytest.mark.parametrize("lean", [4.0, 20.0])
def test_a_leaning_sheet_is_measured_in_its_own_plane(lean: float) -> None:
    """Both outlines are ellipses there: the slit is widest at the top, 5 / cos(lean)."""
    found = measured(model(round_hull(), leaning_sheet(HULL - 5.0, lean), lean))
    across = math.cos(math.radians(lean))
    assert found["firewall.area"].value == pytest.approx(math.pi * 295.0**2 / across, rel=1e-6)
    assert found["firewall.fill"].value == pytest.approx((295.0 / 300.0) ** 2, rel=1e-6)
    assert found["firewall.edge_gap"].value == pytest.approx(5.0 / across, abs=2e-3)
    assert found["firewall.thickness"].value == pytest.approx(SHEET, abs=1e-6)


def test_holes_count_as_openings_and_against_the_fill() -> None:
    drills = [cylinder((490, y, 900), X, r, 20.0) for y, r in ((100.0, 12.0), (-80.0, 8.0))]
    drilled = cut(round_sheet(295.0), drills, "firewall", "holes")
    found = measured(model(round_hull(), drilled))
    holes = math.pi * (12.0**2 + 8.0**2)
    assert found["firewall.opening_area"].value == pytest.approx(holes, rel=1e-5)
    assert found["firewall.area"].value == pytest.approx(math.pi * 295.0**2 - holes, rel=1e-7)
    fill = (295.0**2 - 12.0**2 - 8.0**2) / 300.0**2
    assert found["firewall.fill"].value == pytest.approx(fill, rel=1e-6)


def test_a_bite_out_of_the_edge_is_a_slit() -> None:
    """A square bite of 30 mm: its inner corners are farthest from the hull."""
    bite = box((490, -15, 800.0 + 265.0), (510, 15, 1200))
    bitten = cut(round_sheet(299.8), [bite], "firewall", "bite")
    found = measured(model(round_hull(), bitten))["firewall.edge_gap"]
    assert found.value == pytest.approx(HULL - 265.0, abs=0.5)


@pytest.mark.parametrize("thickness", [0.381, 0.5, 3.0])
def test_thickness_and_volume(thickness: float) -> None:
    found = measured(model(round_hull(), round_sheet(299.8, thickness)))
    assert found["firewall.thickness"].value == pytest.approx(thickness, abs=1e-6)
    assert found["firewall.volume"].value == pytest.approx(math.pi * 299.8**2 * thickness, rel=1e-7)


def test_a_hole_where_the_seed_stands_does_not_hide_the_sheet() -> None:
    drilled = cut(round_sheet(299.8), [cylinder((490, 0, 800), X, 30.0, 20.0)], "firewall", "hole")
    found = measured(model(round_hull(), drilled))
    assert found["firewall.thickness"].value == pytest.approx(SHEET, abs=1e-6)
    assert found["firewall.opening_area"].value == pytest.approx(math.pi * 900.0, rel=1e-5)


def test_a_hull_that_is_open_there_is_reported() -> None:
    slot = box((450, -5, 1000), (550, 5, 1200))
    opened = cut(round_hull(), [slot], "pod", "slot")
    found = measured(model(opened, round_sheet(299.8)))["firewall.fill"]
    assert (found.broken, found.value) == (True, None)
    assert found.note


def test_scoops_that_cross_an_open_hulls_plane_are_named() -> None:
    slot = box((450, -5, 1000), (550, 5, 1200))
    m = model(cut(round_hull(), [slot], "pod", "slot"), round_sheet(299.8))

    def scoop(name: str, start: float, end: float) -> Passage:
        seed = (start, 0.0, 1110.0)
        return Passage(name, Opening(name, Plane(seed, X), seed, 50.0), (), (end, 0.0, 1050.0))

    m.passages = [scoop("scoop_top", 440.0, 560.0), scoop("scoop_aft", 540.0, 600.0)]
    found = measured(m)
    for name in ("firewall.fill", "firewall.edge_gap"):
        assert found[name].broken
        assert "scoop_top" in found[name].note
        assert "scoop_aft" not in found[name].note


def test_a_sheet_that_stands_elsewhere_is_reported() -> None:
    sheet = cylinder((600, 0, 800), X, 299.8, SHEET)
    found = measured(model(round_hull(), sheet))
    assert found["firewall.area"].value is None
    assert found["firewall.area"].broken
    assert found["firewall.edge_gap"].value is None


@pytest.mark.parametrize("off", few([3.0, 0.0]))
def test_with_meshes_the_same_is_found(bodies, off: float) -> None:
    """A leaning sheet with a hole, told from meshes; closed forms, and the kernel's cuts."""
    lean = 8.0
    sheet = cut(leaning_sheet(295.0, lean), [cylinder((400, 40, 700), X, 20.0, 200.0)], "f", "hole")
    turn = math.radians(lean)
    sheet = moved(sheet, (off * math.sin(turn), 0.0, off * math.cos(turn)))
    m = model(round_hull(), sheet, lean)
    found = {f.id: f for f in firewall(m, bodies(m.parts))}
    slow = measured(m)
    assert list(found) == list(slow)
    for id_, record in slow.items():
        assert found[id_].value == pytest.approx(record.value, rel=1e-8, abs=1e-3), id_
        assert found[id_].error_bound <= record.error_bound
    assert "every millimetre" in found["firewall.edge_gap"].method
    across = math.cos(math.radians(lean))
    assert found["firewall.clear_section"].value == pytest.approx(
        math.pi * HULL**2 / across, rel=1e-9
    )
    if off == 0.0:
        assert found["firewall.edge_gap"].value == pytest.approx(5.0 / across, abs=1e-6)
        due = math.pi * (295.0**2 - 20.0**2) / across
        assert found["firewall.area"].value == pytest.approx(due, rel=1e-9)


def test_a_sheet_that_touches_the_hull_is_left_to_the_kernel_and_an_open_hull_told(bodies) -> None:
    slot = box((450, -5, 1000), (550, 5, 1200))
    opened = cut(round_hull(), [slot], "pod", "slot")
    m = model(opened, round_sheet(299.8))
    found = {f.id: f for f in firewall(m, bodies(m.parts))}["firewall.fill"]
    assert (found.broken, found.value) == (True, None)


def test_an_even_slit_is_not_overrated() -> None:
    """0.3 mm all round, narrower than the places on the hull are apart (closed form)."""
    found = measured(model(round_hull(), round_sheet(299.7)))["firewall.edge_gap"]
    assert found.value == pytest.approx(0.3, abs=1e-6)


def test_without_a_firewall_nothing_is_measured() -> None:
    assert firewall(Model(parts={"pod": round_hull()}, families={"pod": "pod"})) == []

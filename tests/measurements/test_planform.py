"""Planforms of plain wings: what joints cut away is drawn straight on, hidden ends don't count."""

import pytest
from meshed_bodies import body
from reference.test_wing_area import flat_wing, trapezoid

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.solids.booleans import cut_pieces
from geomgen.kernel.solids.properties import bounding_box
from geomgen.measurements.planform import CUTS, TAILPLANE, WING, planform, planform_record

GAP = 0.3


def boom(y, x, radius=50.0, z=0.0, grown=0.0):
    """Return a round boom along the machine from a station on; `grown` for its knife."""
    return cylinder((x - grown, y, z), (1.0, 0.0, 0.0), radius + grown, 4000.0)


def cut(wing, *knives):
    return cut_pieces(wing, list(knives), "wing", "joint")


def test_a_notch_at_a_boom_does_not_take_from_the_chord() -> None:
    """The booms swallow the trailing edge: in closed form the planform is the uncut one."""
    booms = {f"boom_{y:g}": boom(y, 700.0) for y in (-900.0, 900.0)}
    (wing,) = cut(trapezoid(), *(boom(y, 700.0, grown=GAP) for y in (-900.0, 900.0)))
    found = planform({"wing": body(wing)}, {n: body(b) for n, b in booms.items()}, GAP)
    assert found.area == pytest.approx(9.6e6, rel=1e-5)
    assert found.mean_aerodynamic_chord == pytest.approx(1225.0, rel=1e-5)
    assert found.bridged == pytest.approx(200.0, abs=4 * 8000.0 / CUTS)
    assert found.hidden == 0.0
    alone = planform({"wing": body(wing)}, {})
    assert alone.area < 9.6e6 - 2 * 50.0 * 300.0


def test_halves_at_a_pod_are_one_wing_through_it() -> None:
    """Between the halves the edges run on straight, as the area of a wing is counted."""
    pod = box((-500.0, -300.0, -400.0), (2500.0, 300.0, 400.0))
    knife = box((-500.0 - GAP, -300.0 - GAP, -400.0), (2500.0, 300.0 + GAP, 400.0))
    swept = [(-4000.0, 800.0, 1000.0), (0.0, 0.0, 1000.0), (4000.0, 800.0, 1000.0)]
    halves = cut(flat_wing(swept), knife)
    parts = {n: body(s) for n, s in zip(("wing_right", "wing_left"), halves, strict=True)}
    found = planform(parts, {"pod": body(pod)}, GAP)
    assert found.area == pytest.approx(8000.0 * 1000.0, rel=1e-6)
    assert found.span == pytest.approx(8000.0, abs=1e-3)
    assert found.bridged == pytest.approx(600.0, abs=3 * 8000.0 / CUTS)
    # The point of the sweep is cut off straight at the halves' inner ends.
    edge = 2 * (0.2 * 4000.0**2 / 2 + 0.2 * 300.0**2 / 2) / 8000.0
    assert found.leading_edge_station == pytest.approx(edge, abs=0.2)


def test_ends_within_booms_do_not_count() -> None:
    """Round booms hollow out the ends: the last chord that is whole is at the booms' inner side."""
    tail = flat_wing([(-700.0, 0.0, 500.0), (700.0, 0.0, 500.0)])
    knives = [boom(y, -500.0, grown=GAP) for y in (-700.0, 700.0)]
    (middle,) = [s for s in cut(tail, *knives) if bounding_box(s).size[1] > 1000.0]
    booms = {f"boom_{y:g}": body(boom(y, -500.0)) for y in (-700.0, 700.0)}
    found = planform({"tailplane": body(middle)}, booms, GAP)
    step = bounding_box(middle).size[1] / CUTS
    assert 1300.0 - 2 * GAP - 4 * step <= found.span <= 1300.0 - 2 * GAP + 1e-6
    assert found.area == pytest.approx(found.span * 500.0, rel=1e-6)
    assert found.hidden > 0.0
    record = planform_record(TAILPLANE, {"tailplane": body(middle)}, booms, GAP)
    assert abs(record.value - (1300.0 - 2 * GAP) * 500.0) <= record.error_bound


def test_sweep_and_dihedral_are_those_of_straight_lines() -> None:
    rows = [(-2000.0, 300.0, 800.0), (0.0, 0.0, 1200.0), (2000.0, 300.0, 800.0)]
    found = planform({"wing": body(flat_wing(rows))}, {})
    assert found.quarter_chord_sweep == pytest.approx(5.7106, abs=1e-3)  # atan 200 / 2000
    assert found.half_chord_sweep == pytest.approx(2.8624, abs=1e-3)  # atan 100 / 2000
    assert found.dihedral == pytest.approx(0.0, abs=1e-6)


def test_the_record_has_all_figures_and_its_place() -> None:
    record = planform_record(WING, {"wing": body(trapezoid(height=200.0))}, {}, 0.0)
    assert (record.id, record.unit, record.part) == ("wing.mean_aerodynamic_chord", "mm", "wing")
    by_name = dict(record.further)
    assert record.value == by_name["mean_aerodynamic_chord"]
    assert by_name["quarter_waterline"] == pytest.approx(200.0, abs=1e-6)
    assert record.points == ((by_name["quarter_station"], 0.0, by_name["quarter_waterline"]),)
    assert abs(record.value - 1225.0) <= record.error_bound


def test_a_wing_whose_edges_are_all_cut_is_not_measured() -> None:
    wing, round_it = trapezoid(), box((-50.0, -4100.0, -100.0), (1550.0, 4100.0, 100.0))
    cover = cut(round_it, box((0.02, -4000.0, -90.0), (1499.98, 4000.0, 90.0)))[0]
    record = planform_record(WING, {"wing": body(wing)}, {"pod": body(cover)}, 400.0)
    assert record.value is None
    assert "no two cuts" in record.note


def test_a_half_that_lacks_its_other_half_is_not_measured() -> None:
    """Half the area with half the span would pass for a small wing."""
    half = flat_wing([(0.0, 0.0, 1500.0), (4000.0, 150.0, 900.0)])
    record = planform_record(WING, {"wing_right": body(half)}, {}, 0.0)
    assert record.value is None
    assert "left and right differ" in record.note

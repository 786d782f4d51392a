"""What must hold of any neutral point, and what is refused or doubted."""

from dataclasses import replace

import pytest
from balanced_shapes import pod, spindle, tail, wing
from hypothesis import given
from hypothesis import strategies as st

from geomgen.balance.stability.neutral_point import SPREADS, neutral_point

BREADTHS, _ = spindle(3000.0, 620.0)
edges = st.floats(3500.0, 9000.0)


def machine(d=0.0, scale=1.0, nose=0.0, edge=5000.0, height=-150.0):
    """Return the measurements of a machine that stands by d further aft, `scale` times as large."""
    k = scale
    return [
        wing(8000.0 * k, 1500.0 * k, 900.0 * k, edge=1300.0 * k + d),
        tail(2400.0 * k, 600.0 * k, edge=edge * k + d, height=height * k),
        pod((0.0 - nose) * k + d, 3000.0 * k + d, [b * k for b in BREADTHS], -500.0 * k),
    ]


def found(measurements):
    point, why = neutral_point(measurements)
    assert point is not None, why
    return point


@given(st.floats(-5000.0, 5000.0))
def test_the_whole_machine_moved_moves_it_as_far(d) -> None:
    here, there = found(machine()), found(machine(d))
    assert there.station - here.station == pytest.approx(d, abs=1e-6)
    assert there.band == pytest.approx([b + d for b in here.band], abs=1e-6)
    assert there.static_margin(1500.0 + d).value == pytest.approx(
        here.static_margin(1500.0).value, abs=1e-9
    )


@given(st.floats(0.05, 20.0))
def test_a_model_to_scale_has_it_at_the_same_share_of_the_chord(scale) -> None:
    full, model = found(machine()), found(machine(scale=scale))
    assert model.in_chords(model.station) == pytest.approx(full.in_chords(full.station))
    assert model.downwash == pytest.approx(full.downwash)
    assert model.tail_volume == pytest.approx(full.tail_volume)


@given(edges, st.floats(10.0, 1000.0))
def test_a_tail_further_aft_moves_it_aft(edge, more) -> None:
    assert found(machine(edge=edge + more)).station > found(machine(edge=edge)).station


@given(st.floats(10.0, 2000.0))
def test_a_longer_nose_moves_it_forward(more) -> None:
    assert found(machine(nose=more)).station < found(machine()).station


def test_without_a_tail_it_lies_further_forward_and_that_is_said() -> None:
    with_tail, without = found(machine()), found([m for m in machine() if "tail" not in m.id])
    assert without.station < with_tail.station
    assert (without.downwash, without.tail_volume) == (None, None)
    assert any(doubt.startswith("no tailplane") for doubt in without.doubts)
    assert with_tail.doubts == ()


def test_the_parts_moves_add_up_and_the_band_holds_the_point() -> None:
    point = found(machine())
    assert point.leading_edge + sum(c.moves for c in point.contributions) == pytest.approx(
        point.station
    )
    assert [c.part for c in point.contributions] == ["wing", "tailplane", "pod"]
    low, high = point.band
    assert low < point.station < high
    # Each reason by itself moves it less than all together, and no less than their largest.
    downs, ups = ([moved[i] for moved in point.spreads] for i in (1, 2))
    assert point.station - low >= -min(downs)
    assert high - point.station >= max(ups)
    assert len(point.spreads) == len(SPREADS)


def test_the_margin_is_counted_from_the_centre_aft() -> None:
    point = found(machine())
    margin = point.static_margin(point.station - 0.1 * point.chord)
    assert margin.value == pytest.approx(0.1)
    assert margin.low < 0.1 < margin.high
    assert point.static_margin(point.station + 10.0).value < 0.0


@pytest.mark.parametrize("gone", ["wing.mean_aerodynamic_chord", "pod.breadths"])
def test_what_was_not_measured_is_no_nought(gone) -> None:
    point, why = neutral_point(m for m in machine() if m.id != gone)
    assert point is None
    assert gone in why


@pytest.mark.parametrize("number", [0, 1, 2])
def test_what_could_not_be_measured_gives_no_estimate(number) -> None:
    """Least of all a tail: the rest would pass for a machine without one."""
    rows = machine()
    rows[number] = replace(rows[number], value=None, note="its mesh is open", further=())
    point, why = neutral_point(rows)
    assert point is None
    assert "its mesh is open" in why


@pytest.mark.parametrize("value", [float("nan"), float("inf"), None])
def test_a_figure_that_is_none_gives_no_estimate(value) -> None:
    rows = machine()
    further = dict(rows[1].further)
    del further["area"]
    if value is not None:
        further["area"] = value
    rows[1] = replace(rows[1], further=tuple(further.items()))
    point, why = neutral_point(rows)
    assert point is None
    assert "area" in why


@pytest.mark.parametrize(
    ("rows", "word"),
    [
        ([wing(1800.0, 1500.0, 1500.0), tail(), pod()], "aspect ratio"),
        ([wing(sweep=2000.0), tail(), pod()], "swept"),
        ([wing(), tail(5000.0, 1000.0), pod()], "second wing"),
        ([wing(), tail(dihedral=-40.0), pod()], "V of"),
        ([wing(bridged=3000.0), tail(), pod()], "cut away"),
    ],
)
def test_what_lies_outside_of_the_method_is_said(rows, word) -> None:
    assert any(word in doubt for doubt in found(rows).doubts)


def test_a_v_tail_counts_for_less_than_a_level_one_of_the_same_plan() -> None:
    level, v = (found([wing(), tail(dihedral=d), pod()]) for d in (0.0, 40.0))
    assert v.station < level.station


def test_what_is_left_out_is_always_said() -> None:
    said = " ".join(found(machine()).left_out)
    for word in ("propeller", "stick free", "fins"):
        assert word in said

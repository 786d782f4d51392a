"""The pod's skin in the air: lines of pressure against a closed form, mouths, where air leaves."""

from dataclasses import replace

import numpy as np
import pytest
from falling_surfaces import START, falling_surface
from plain_machines import RIM, SCOOP, about, climb, ellipsoid

from geomgen.errors import GeometryError
from geomgen.measurements.outside_air.skin import (
    LINES,
    SkinLine,
    alone,
    leaves_at,
    lines,
    rim_pressure,
    surface,
)
from geomgen.measurements.outside_air.states import solved_machine

LONG, WIDE, SPEED = 1500.0, 350.0, 25.0
CALM = climb(thrust=0.0, through=0.0)


@pytest.fixture(scope="module")
def spheroid():
    """A prolate spheroid alone and the flow straight at it."""
    machine = about(
        meshes={"pod": ellipsoid((LONG, WIDE, WIDE))},
        **{"families": {"pod": "pod"}, "mouths": [], "open_behind": False, "disc": None},
    )
    made = solved_machine(machine, 1.0)
    return made.outside, made.flow(CALM, 0.0)


@pytest.fixture(scope="module")
def scooped():
    """A pod that is open behind with a scoop each side, no wing."""
    return solved_machine(about(winged=False), 0.8)


def closed_form(x):
    """Return pressure coefficients along a prolate spheroid: Lamb, Hydrodynamics, art. 105, 114.

    The speed is (1 + k) times the tangent's share along the axis.
    """
    e = np.sqrt(1 - (WIDE / LONG) ** 2)
    alpha = 2 * (1 - e**2) / e**3 * (0.5 * np.log((1 + e) / (1 - e)) - e)
    k = alpha / (2 - alpha)
    slope = -(WIDE**2) * x / LONG**2 / (WIDE * np.sqrt(1 - (x / LONG) ** 2))
    return 1 - (1 + k) ** 2 / (1 + slope**2)


def test_pressure_along_crown_side_and_keel_is_the_closed_form(spheroid):
    found = {line.name: line for line in lines(*spheroid)}
    assert tuple(found) == LINES
    for line in found.values():
        middle = np.abs(line.stations) < 0.9 * LONG
        assert middle.sum() > 20
        due = closed_form(line.stations[middle])
        assert line.pressures[middle] == pytest.approx(due, abs=0.025)
        assert (np.diff(line.stations) > 0).all()
    assert (found["crown"].waterlines > 0).all()
    assert (found["keel"].waterlines < 0).all()
    assert np.abs(found["side"].waterlines).max() < 60.0


def test_all_of_a_pod_alone_is_skin_and_closed_behind_it_has_no_rim(spheroid):
    assert alone(spheroid[0]).all()
    assert rim_pressure(*spheroid) is None


def test_skin_beside_a_scoop_and_the_drawn_tail_are_left_out(scooped):
    shown, told = scooped.outside, alone(scooped.outside)
    assert not told[shown.drawn].any()
    assert not told[~shown.panels.of("pod")].any()
    at = shown.panels.centres[told]
    near = (at[:, 0] > SCOOP[0][0]) & (at[:, 0] < SCOOP[1][0]) & (np.abs(at[:, 2]) < 60.0)
    assert not (near & (at[:, 1] > 200.0)).any()


def test_pressure_outside_the_exit_is_that_of_the_last_skin(scooped):
    """The rim's pressure lies between those of the crown's last places, over half the square."""
    flow = scooped.flow(CALM, 0.0)
    found = rim_pressure(scooped.outside, flow) / (0.5 * SPEED**2)
    ends = np.concatenate([line.pressures[-3:] for line in lines(scooped.outside, flow)])
    assert ends.min() - 0.02 < found < ends.max() + 0.02
    panels, stations = scooped.outside.panels, np.unique(scooped.outside.grids["pod"][:, 0, 0])
    first = stations[stations < RIM][-3]
    rows = panels.of("pod") & (panels.centres[:, 0] > first) & (panels.centres[:, 0] < RIM)
    due = np.average(flow.coefficients()[rows], weights=panels.areas[rows])
    assert found == pytest.approx(due, abs=1e-9)


def test_rim_without_skin_ahead_of_it_is_refused(scooped):
    shown = scooped.outside
    buried = replace(shown, drawn=np.ones(len(shown.panels), dtype=bool))
    with pytest.raises(GeometryError, match="no skin of the pod is left"):
        rim_pressure(buried, scooped.flow(CALM, 0.0))


def test_surface_has_both_sides(scooped):
    over = surface(scooped.outside, scooped.flow(CALM, 0.0))
    half = len(over.points) // 2
    other = np.array([1.0, -1.0, 1.0])
    assert over.points[half:] == pytest.approx(over.points[:half] * other)
    assert over.speeds[half:] == pytest.approx(over.speeds[:half] * other)
    assert np.einsum("nd,nd->n", over.points * [0, 1, 1], over.normals)[:half].min() > -1.0


def test_panels_that_other_parts_cut_do_not_count_at_the_rim(scooped):
    """Doubtful speeds are passed over for those beside them."""
    flow = scooped.flow(CALM, 0.0)
    spots = scooped.outside.panels.spots
    last = scooped.outside.panels.of("pod") & ~scooped.outside.drawn & (spots[:, 0] > RIM - 30.0)
    doubtful, wild = flow.doubtful.copy(), flow.velocity.copy()
    odd = int(np.flatnonzero(last)[0])
    doubtful[odd] = True
    wild[odd] *= 5.0
    cut = replace(flow, doubtful=doubtful, velocity=wild)
    rims = [rim_pressure(scooped.outside, each) for each in (flow, cut)]
    assert rims[0] == pytest.approx(rims[1], abs=0.05 * 0.5 * SPEED**2)


def plate_line(end=900.0):
    stations = START + np.arange(100.0, end, 100.0)
    return SkinLine("keel", stations, 0 * stations, 0 * stations)


def test_where_the_air_leaves_is_a_station():
    known, at, words = leaves_at(falling_surface(8e-4), plate_line(), 25.0, START + 50.0)
    assert known
    assert 300.0 < at - START < 900.0
    assert words
    known, at, _ = leaves_at(falling_surface(0.0), plate_line(), 25.0, None)
    assert (known, at) == (True, None)


def test_steeper_pressure_makes_it_leave_earlier():
    found = [
        leaves_at(falling_surface(r), plate_line(), 25.0, START + 50.0)[1] for r in (7e-4, 9e-4)
    ]
    assert found[1] < found[0]


def test_line_that_cannot_be_followed_is_not_told():
    """To stay on the skin and not to be known are two things."""
    known, at, words = leaves_at(falling_surface(0.0), plate_line(150.0), 0.0, None)
    assert (known, at) == (False, None)
    assert words.startswith("not told: ")
    empty = SkinLine("keel", *(np.zeros(0),) * 3)
    assert leaves_at(falling_surface(0.0), empty, 25.0, None) == (
        False,
        None,
        "not told: the line is too short",
    )

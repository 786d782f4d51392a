"""Wrong ways of the cooling air, each with its true least area in closed form.

How a machine can overheat although mouth, passage and rim have their areas:

- something stands ahead of the mouth: seen as far as twice the half diagonal of its window;
- something in the bay leaves too little between passage and fan: seen;
- the bay is narrower ahead of the rim than at it, or something stands close behind it: seen;
- the propeller's hub stands close behind the rim and there is no spinner: seen;
- two mouths whose ways meet in a place that is too narrow for both: seen (test_airway_shared);
- what the engine's own fins and baffles let through, the fan's shroud, screens: NOT SEEN;
- a part that takes a little of the way, where a plane across the stream tells what it leaves: seen;
- a joint of the hull that lies just where the grid looks, as ahead of a rim piece: not narrow;
- what takes less than the grid can tell where the least surface is no plane, as round a plate's
  edge (the bound that stands beside the figure): NOT SEEN.
"""

import math
from dataclasses import replace

import pytest
from airway_bodies import AFT, MOUTH, RIM, THROAT, WALL, WIDE, figures, machine, passage, pod

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box, cylinder, ring
from geomgen.kernel.plain import Axis, Plane
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.cooling_air.way_grid import grid_of
from geomgen.measurements.cooling_air.whole_way import bay_stations, exit_space, inlet_space
from geomgen.measurements.survey.whole import survey


def is_seen(found, true: float, planes: float) -> None:
    """The figure is the true one within its bound, and no longer the planes'."""
    assert found.value == pytest.approx(true, abs=found.error_bound)
    assert found.value < planes - found.error_bound
    assert not found.broken


def test_a_free_way_keeps_the_figure_of_the_planes():
    model, meshes = machine((), None, None, {})
    found = {m.id: m for m in survey(model, meshes)}
    assert found["inlet.way.scoop_a"].value == pytest.approx(THROAT, rel=1e-6)
    assert found["exit.way"].value == pytest.approx(RIM, rel=1e-6)
    assert "nowhere else narrower by more than" in found["exit.way"].method
    assert "is not seen" in found["exit.way"].note


@pytest.mark.parametrize("gap", [8.0, pytest.param(12.0, marks=pytest.mark.long)])
def test_a_plate_ahead_of_the_mouth_leaves_the_gap_round_its_rim(gap):
    plate = box((-gap - 5, -80, -70), (-gap, 80, 70))
    found = figures(wing=plate, only="scoop")
    is_seen(found["inlet.way.scoop_a"], 2 * sum(MOUTH) * gap, THROAT)
    assert "wing" in found["inlet.way.scoop_a"].note


@pytest.mark.long
def test_a_wheel_that_covers_half_of_the_mouth():
    half = box((-12, 0, -80), (-1, 120, 80))
    is_seen(
        figures(wheel_main=half, only="scoop")["inlet.way.scoop_a"],
        0.5 * THROAT + 2 * 90 * 1,
        THROAT,
    )


@pytest.mark.long
def test_a_firewall_between_passage_and_fan_with_too_small_a_hole():
    inner = WIDE - WALL
    sheet = box((150, -inner, -inner), (155, inner, inner))
    holed = cut(sheet, [box((140, -30, -25), (160, 30, 25))], "sheet", "bench")
    is_seen(figures(frame=holed, only="scoop")["inlet.way.scoop_a"], 60 * 50, THROAT)


@pytest.mark.parametrize("high", [76.0, pytest.param(70.0, marks=pytest.mark.long)])
def test_a_hole_that_is_a_little_too_small_is_told_to_the_plane(high):
    plate = cut(
        box((150.0, -199.0, -199.0), (153.0, 199.0, 199.0)),
        [box((149.0, -50.0, -high / 2), (154.0, 50.0, high / 2))],
        "plate",
        "bench",
    )
    way = figures(only="scoop_a", plate=plate)["inlet.way.scoop_a"]
    assert way.value == pytest.approx(100.0 * high, abs=way.error_bound)
    assert way.error_bound < 1.0
    assert "narrowed by plate" in way.note
    assert not way.broken


def test_a_firewall_without_a_hole_shuts_the_way():
    inner = WIDE - WALL
    found = figures(
        frame=box((150, -inner - 1, -inner - 1), (155, inner + 1, inner + 1)), only="scoop"
    )
    assert found["inlet.way.scoop_a"].broken
    assert "there would be one without" in found["inlet.way.scoop_a"].note
    assert found["inlet.way.scoop_a"].value in (None, 0.0)


def test_a_way_without_a_fan_ends_in_the_bay():
    stop = box((20, -45, -60), (25, 60, 60))
    found = figures([passage(fan=False)], wing=stop, only="scoop")["inlet.way.scoop_a"]
    assert found.broken or found.value < THROAT - found.error_bound


@pytest.mark.long
def test_one_of_two_mouths_is_in_the_lee():
    both = [passage("scoop_a", -80.0), passage("scoop_b", 80.0)]
    plate = box((-14, 10, -70), (-9, 150, 70))
    found = figures(both, hull=pod(((-80.0, 0.0), (80.0, 0.0))), wing=plate, only="scoop")
    assert found["inlet.way.scoop_a"].value == pytest.approx(
        THROAT, abs=found["inlet.way.scoop_a"].error_bound
    )
    is_seen(found["inlet.way.scoop_b"], 2 * sum(MOUTH) * 9, THROAT)
    each = [way for id_, way in found.items() if id_.startswith("inlet.way.")]
    assert len(each) == 2
    assert all("each mouth by itself" in way.method for way in each)
    assert found["inlet.way"].value == sum(way.value for way in each)
    alone = figures(only="scoop")["inlet.way.scoop_a"]
    assert "each mouth" not in alone.method


def test_a_body_that_is_thickest_ahead_of_the_rim():
    inner, room = WIDE - WALL, 20.0
    core = box((500, room - inner, room - inner), (560, inner - room, inner - room))
    found = figures(tail_fairing=core, only="exit")
    is_seen(found["exit.way"], RIM - (2 * (inner - room)) ** 2, RIM)


def test_a_spinner_close_behind_the_rim():
    found = figures(spinner=box((825, -230, -230), (845, 230, 230)), only="exit")
    is_seen(found["exit.way"], 4 * 2 * (WIDE - WALL) * 25, RIM)


def test_a_wing_through_the_bay_behind_the_engine():
    inner = WIDE - WALL
    low = box((600, -400, -inner - 1), (700, 400, 0.0))
    high = box((600, -400, 40.0), (700, 400, inner + 1))
    found = figures(
        wing_a=low, wing_b=high, families={"wing_a": "wing", "wing_b": "wing"}, only="exit"
    )
    is_seen(found["exit.way"], 2 * inner * 40, RIM)


def test_the_hub_counts_where_there_is_no_spinner():
    disc = ring(Axis((0, 0, 0), AFT), 815.0, 900.0, 230.0, 700.0)
    found = figures(prop_disc=disc, only="exit")
    assert found["exit.way"].value < RIM - found["exit.way"].error_bound
    assert "hub" in found["exit.way"].note


@pytest.mark.parametrize("radius", [150.0, pytest.param(60.0, marks=pytest.mark.long)])
def test_a_hub_that_reaches_into_the_rim_is_told_to_the_plane(radius):
    """A ring of a square less a circle, in closed form: the hub is none of the parts."""
    disc = ring(Axis((0, 0, 0), AFT), 700.0, 900.0, radius, 190.0)
    way = figures(prop_disc=disc, only="exit")["exit.way"]
    assert way.value == pytest.approx(RIM - math.pi * radius**2, rel=2e-3)
    assert "narrowed by pod and the hub" in way.note
    assert "is not seen" in way.note


@pytest.mark.long
def test_what_the_engine_fills_is_not_the_way_behind_it():
    engine = cylinder((100.0, 0.0, 0.0), AFT, 185.0, 300.0)
    found = figures(engine=engine, only="exit")["exit.way"]
    assert found.value == pytest.approx(RIM, abs=found.error_bound)


def test_a_way_round_the_engine_is_found():
    """The fan looks away from the mouth; the straight way to it leads through the engine."""
    engine = box((150, -100, -100), (295, 100, 100))
    fan = Plane((300.0, 0.0, 0.0), (-1.0, 0.0, 0.0))
    back = replace(passage(), fan=fan)
    found = figures([back], engine=engine, only="scoop")["inlet.way.scoop_a"]
    assert found.value == pytest.approx(THROAT, abs=found.error_bound)


JOINT = 0.3


def parted(*stations: float, whole=None) -> dict:
    """Return the hull in pieces, the middles of the joints across it at some stations [mm]."""
    whole, pieces, ends = whole or pod(), [], (-9.0, *sorted(stations), 900.0)
    for low, high in zip(ends[:-1], ends[1:], strict=True):
        knives = [
            box((-99, -300, -300), (low + JOINT / 2, 300, 300)),
            box((high - JOINT / 2, -300, -300), (999, 300, 300)),
        ]
        pieces.append(cut(whole, knives, "pod", "bench"))
    return {"hull": pieces[0], **{f"exit_{k}": each for k, each in enumerate(pieces[1:])}}


def on_layers(space, *stations: float) -> list[float]:
    """Return the stations nearest to some at which a layer of cells has its middles [mm].

    The first in the grid that is looked at first, the next in the one of half the cells' size.
    """
    found = []
    for again, station in enumerate(stations):
        middles = grid_of(space, again).middles()[0].ravel()
        found.append(float(middles[abs(middles - station).argmin()]))
    return found


def space_of_exit():
    model, _ = machine((), None, None, {})
    bay = bay_stations(model.passages, model.exits)
    return exit_space(model.exits, (), bay, [loose_box(pod())])


@pytest.mark.parametrize(
    "off", [0.0, *(pytest.param(off, marks=pytest.mark.long) for off in (0.14, 3.0))]
)
def test_joints_ahead_of_the_rim_take_nothing_of_the_way(off):
    """All of a layer of cells has its middles in a joint, or none; the way is the same."""
    stations = [at + off for at in on_layers(space_of_exit(), 600.0, 500.0)]
    way = figures(only="exit", **parted(*stations))["exit.way"]
    assert not way.broken
    assert way.value == pytest.approx(RIM, abs=way.error_bound)


@pytest.mark.long
def test_joints_ahead_of_the_fan_take_nothing_of_the_ways():
    both = [passage("scoop_a", -80.0), passage("scoop_b", 80.0)]
    whole = pod(((-80.0, 0.0), (80.0, 0.0)))
    space = inlet_space(both[0], [loose_box(whole)])
    stations = on_layers(space, 150.0, 200.0)
    found = figures(both, only="scoop", **parted(*stations, whole=whole))
    for name in ("inlet.way.scoop_a", "inlet.way.scoop_b"):
        assert not found[name].broken
        assert found[name].value == pytest.approx(THROAT, abs=found[name].error_bound)
    assert not found["inlet.way"].broken
    assert found["inlet.way"].value == sum(found[f"inlet.way.scoop_{k}"].value for k in "ab")


def test_a_joint_does_not_hide_what_stands_there():
    """A plate just behind a joint, with a hole that is too small, narrows the way as without."""
    first, second = on_layers(space_of_exit(), 600.0, 500.0)
    inner = WIDE - WALL
    plate = cut(
        box((first + 1, -inner, -inner), (first + 5, inner, inner)),
        [box((first, -120, -110), (first + 9, 120, 110))],
        "plate",
        "bench",
    )
    is_seen(figures(only="exit", plate=plate, **parted(first, second))["exit.way"], 240 * 220, RIM)

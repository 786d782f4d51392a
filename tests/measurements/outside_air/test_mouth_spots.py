"""Places for a mouth: distances, turn and canopy by hand, of plain bodies."""

from dataclasses import replace

import numpy as np
import pytest
from plain_machines import HALF_LONG, about, box, climb

from geomgen.kernel.plain import Glass, Plane
from geomgen.measurements.outside_air.mouth_spots import (
    EACH,
    Surroundings,
    mouth_spots,
    said_of_spots,
)
from geomgen.measurements.outside_air.states import solved_machine

FAN = Plane((900.0, 0.0, 0.0), (1.0, 0.0, 0.0))
BOOM = box((-1000.0, 800.0, -50.0), (1400.0, 900.0, 50.0))


@pytest.fixture(scope="module")
def spots():
    machine = solved_machine(about(scoops=False, winged=False, disc=None), 0.5)
    state = climb(lift=0.0, thrust=0.0)
    flows = {"climb": (state.speed, machine.flow(state, 0.0))}
    around = Surroundings(
        {"boom_right": BOOM}, {"boom_right": "boom"}, FAN, Glass(-1200.0, -200.0, 0.0, 100.0)
    )
    return mouth_spots(machine, flows, around, None)


def test_each_line_is_looked_at_evenly(spots):
    for line in ("crown", "side", "keel"):
        stations = [spot["at"][0] for spot in spots if spot["line"] == line]
        assert len(stations) == EACH
        assert stations == sorted(stations)


def test_the_canopy_is_what_lies_above_the_sills(spots):
    """A sill from waterline 0 at STA -1200 up to 100 at STA -200."""
    for spot in spots:
        x, _, z = spot["at"]
        assert spot["glass"] == (-1200.0 <= x <= -200.0 and z >= 0.1 * (x + 1200.0))
    assert {spot["line"] for spot in spots if spot["glass"]} >= {"crown"}


def test_a_boom_is_as_far_off_as_a_box_says(spots):
    low, high = np.array((-1000.0, 800.0, -50.0)), np.array((1400.0, 900.0, 50.0))
    for spot in spots:
        at = np.array(spot["at"])
        off = np.linalg.norm(at - np.clip(at, low, high))
        assert spot["near"] == {"boom_right": pytest.approx(off, abs=1e-6)}


def test_turn_and_way_are_straight_to_the_fan(spots):
    """At the side amidships the air runs along the pod: the turn is twice that of the way."""
    side = [spot for spot in spots if spot["line"] == "side"]
    middle = min(side, key=lambda spot: abs(spot["at"][0]))
    way = np.array(FAN.origin) - middle["at"]
    slope = np.degrees(np.arccos(way[0] / np.linalg.norm(way)))
    assert middle["way"] == pytest.approx(np.linalg.norm(way))
    assert middle["turn"] == pytest.approx(2 * slope, abs=4.0)


def test_a_mirrored_pair_of_lines_finds_the_same(spots):
    """A body of revolution without attack: crown and keel are alike."""
    crown, keel = ([s for s in spots if s["line"] == line] for line in ("crown", "keel"))
    for one, other in zip(crown, keel, strict=True):
        told = [each["states"]["climb"] for each in (one, other)]
        assert told[0]["pressure"] == pytest.approx(told[1]["pressure"], abs=0.01)


def test_the_slow_layer_is_told_or_why_not(spots):
    told = [spot["states"]["climb"] for spot in spots]
    assert all(("thick" in row) != ("why" in row) for row in told)
    thick = [(s["at"][0], s["states"]["climb"]["thick"]) for s in spots
             if s["line"] == "crown" and "thick" in s["states"]["climb"]]  # fmt: skip
    assert [x for _, x in sorted(thick)] == sorted(x for _, x in thick)
    assert len(thick) > EACH // 2


def test_what_is_said_has_every_figure_and_no_limit(spots):
    found = list(said_of_spots(spots, "m"))
    assert len(found) == len(spots)
    for one, spot in zip(found, spots, strict=True):
        assert one.id.startswith(f"air.spot.{spot['line']}.")
        assert one.points == (tuple(spot["at"]),)
        assert dict(one.further)["near boom_right"] == spot["near"]["boom_right"]
        assert ("climb: " in one.note) == ("why" in spot["states"]["climb"])
    assert -HALF_LONG < found[0].value < HALF_LONG


def test_without_a_fan_nothing_is_told_of_the_way():
    machine = solved_machine(about(scoops=False, winged=False, disc=None), 0.4)
    flows = {"climb": (25.0, machine.flow(replace(climb(), thrust=0.0), 0.0))}
    found = mouth_spots(machine, flows, Surroundings({}, {}, None, None), None)
    assert found
    assert not any("turn" in spot or spot["glass"] or spot["near"] for spot in found)

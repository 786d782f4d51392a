"""The map of panels: what there is of them, nothing hidden, nothing that was not solved."""

import numpy as np
import pytest
from plain_machines import RIM, SCOOP, about, climb

from geomgen.measurements.outside_air.panel_map import (
    MOUTH,
    UNSURE,
    coefficients,
    mapped,
    said_of_panels,
)
from geomgen.measurements.outside_air.states import solved_machine

SIDE = "scoop_a_right"


@pytest.fixture(scope="module")
def solved():
    machine = solved_machine(about(winged=False), 0.6)
    flow = machine.flow(climb(), 2.0)
    return machine, flow, mapped(machine.outside, flow.doubtful)


def pieces(body):
    points = np.reshape(body["points"], (-1, 3))
    return points[np.reshape(body["pieces"], (-1, 4))]


def test_the_map_has_the_area_of_what_air_flows_about(solved):
    """All panels but the tail that stands for the air that leaves."""
    machine, _, found = solved
    panels, drawn = machine.outside.panels, machine.outside.drawn
    assert drawn.any()
    for name, body in found.items():
        own = pieces(body)
        area = 0.5 * np.linalg.norm(np.cross(own[:, 2] - own[:, 0], own[:, 3] - own[:, 1]), axis=1)
        assert area.sum() == pytest.approx(panels.areas[panels.of(name) & ~drawn].sum(), rel=1e-4)
    assert pieces(found["pod"])[..., 0].max() == pytest.approx(RIM, abs=1.0)


def test_nothing_of_the_pod_is_drawn_inside_the_scoop(solved):
    low, high = (np.array(corner) for corner in SCOOP)
    middles = pieces(solved[2]["pod"]).mean(axis=1)
    deep = ((middles > low + 40.0) & (middles < high - 40.0)).all(axis=1)
    assert not deep.any()


def test_mouths_and_what_is_cut_short_are_marked(solved):
    machine, flow, found = solved
    scoop = found["scoop_a_right"]
    through = machine.outside.mouths["scoop_a_right"]
    kinds, owner = np.array(scoop["kinds"]), np.array(scoop["panels"])
    assert ((kinds == MOUTH) == through[owner]).all()
    pod = found["pod"]
    unsure = np.array(pod["kinds"]) == UNSURE
    assert (unsure == flow.doubtful[pod["panels"]]).all()
    assert 0 < unsure.sum() < len(unsure) / 2


def test_pressures_are_those_that_were_solved(solved):
    _, flow, found = solved
    told = coefficients(flow)
    assert told == pytest.approx(flow.coefficients(), abs=6e-5)
    answer = {"map": found, "pressures": {"climb": told}}
    (record,) = said_of_panels(answer, "m")
    rows = dict(record.rows)
    assert rows["climb pod"] == tuple(told[panel] for panel in found["pod"]["panels"])
    assert record.value == sum(len(body["kinds"]) for body in found.values())


def test_a_scoop_without_its_other_is_on_its_own_side_alone(solved):
    machine, flow, both = solved
    for lone, left, sides in (((), (), [1, 1]), ((SIDE,), (), [1, 0]), ((SIDE,), (SIDE,), [0, 1])):
        found = mapped(machine.outside, flow.doubtful, lone, left)
        assert found[SIDE]["sides"] == sides
        assert found["pod"]["sides"] == both["pod"]["sides"] == [1, 1]


def test_no_state_that_flies_has_no_map(solved):
    assert list(said_of_panels({"map": solved[2], "pressures": {}}, "m")) == []
    assert list(said_of_panels({}, "m")) == []

"""What closes a pod's opening: panels, breadths and the pilot's room see the whole outside."""

from dataclasses import replace
from functools import cache
from types import SimpleNamespace

import numpy as np
import pytest
from canopied_tubes import (
    AXIS,
    GAP,
    LEVEL,
    RADIUS,
    THICK,
    WALL,
    glazing,
    lines,
    outer_net,
    pod,
    rest,
    shell_above,
)
from meshed_bodies import body

from geomgen.air.paneling.machine import outside
from geomgen.kernel.interference.glazed_skin import skin_body
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Limb
from geomgen.measurements.pilot.cabin import room_in_pod
from geomgen.measurements.pilot.questions import rooms
from geomgen.measurements.pod_breadths import pod_breadths
from geomgen.measurements.question import Given
from geomgen.shapes.assembly.canopy import glazed_skin


def skin(edge=LEVEL):
    ends = {"fore_station": edge.fore, "aft_station": edge.aft}
    sills = {"fore_sill": edge.fore_sill, "aft_sill": edge.aft_sill}
    table = SimpleNamespace(built_as="opening", **ends, **sills)
    return glazed_skin(SimpleNamespace(canopy=table), lines())


@cache
def bodies():
    return {"whole": body(pod().solid), "pod": body(rest().solid), "skin": skin_body(skin())}


def test_it_is_the_wall_that_was_cut_out():
    found = skin_body(skin())
    # Its inside is drawn through 48 points a quadrant: a chord's bow too far in, 0.04 of 5 mm.
    assert found.hull.volume() == pytest.approx(shell_above(LEVEL, WALL), rel=8e-3)
    off = np.hypot(found.mesh.vertices[:, 1], found.mesh.vertices[:, 2] - AXIS)
    assert {round(float(r), 1) for r in off} == {RADIUS, RADIUS - WALL}
    # Sides of a circle bow by the square of their length over eight radii.
    net = outer_net(skin())
    side = np.linalg.norm(np.diff(net, axis=1), axis=-1).max()
    assert found.deviation == pytest.approx(side**2 / 8 / RADIUS, rel=0.05)


def panels(*names):
    meshes = {name: bodies()[name].mesh for name in names}
    families = {"whole": "pod", "pod": "pod", "skin": "canopy"}
    return outside(meshes, families, [], False, 0.3).grids["pod"]


def test_panels_see_the_whole_outside():
    whole = panels("whole")
    assert np.abs(panels("pod", "skin") - whole).max() < 1.0
    # Without it the opening is bridged from sill to sill.
    assert np.abs(panels("pod") - whole).max() > 50.0


def test_breadths_do_too():
    whole = dict(pod_breadths({"pod": bodies()["whole"]}).further)
    found = dict(pod_breadths({n: bodies()[n] for n in ("pod", "skin")}).further)
    for key, value in whole.items():
        assert found[key] == pytest.approx(value, abs=0.5)


@pytest.mark.parametrize(("height", "room"), [(150.0, 45.0), (250.0, -55.0)])
def test_under_an_opening_the_room_ends_at_the_skin_that_was_there(height, room):
    head = Limb("head", (700.0, 0.0, AXIS + height), (700.0, 0.0, AXIS + height), 100.0, 100.0)
    closed = room_in_pod(head, [bodies()["pod"], bodies()["skin"]])
    assert closed.gap == pytest.approx(room, abs=0.6)
    assert closed.gap == pytest.approx(room_in_pod(head, [bodies()["whole"]]).gap, abs=0.6)


@pytest.mark.parametrize("x", [LEVEL.fore + GAP / 2, 700.0])
def test_a_head_in_the_plane_of_the_joint_is_in_the_cabin(x):
    """Rays across pass up through the joint there: the room is the canopy's all the same."""
    limb = Limb("head", (x, 0.0, 1000.0), (x, 0.0, 1000.0), 100.0, 100.0)
    parts = {"pod": rest(), "canopy": glazing()}
    model = Model(families={n: n for n in parts}, pilot=(limb,), glazed_skin=skin())
    given = {"pod": bodies()["pod"], "canopy": replace(body(glazing().solid), deviation=0.7)}
    asked = next(rooms(model, dict.fromkeys(parts)))
    found = asked.ask(Given({}, given))
    assert found["gap"] == pytest.approx(RADIUS - THICK - 200.0, abs=2.2)
    assert found["bound"] > 0.7

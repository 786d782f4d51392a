"""Rays from the pilot's eye contradict a figure of sight that is wrong, and no other.

Source: closed forms.
"""

from math import atan2, degrees
from types import SimpleNamespace

import pytest
from seated_pilots import boxed
from strangers.sighting import seen_otherwise

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.meshing.proven import meshed
from geomgen.shapes.assembly.pilot_places import eye


@pytest.fixture(scope="module")
def meshes():
    pod = boxed((100.0, -300.0, 300.0), (1800.0, 300.0, 1250.0))
    wing = box((800.0, -4000.0, 1500.0), (1200.0, 4000.0, 1560.0))
    return {name: meshed(solid, 0.1) for name, solid in (("pod", pod), ("wing", wing))}


def said(p, meshes, **figures):
    checks = [
        SimpleNamespace(id=f"sight.{name}", measured=value, error_bound=0.02)
        for name, value in figures.items()
    ]
    return list(seen_otherwise(p, meshes, checks))


def sill(p):
    share = (eye(p)[0] - p.canopy.fore_station) / (p.canopy.aft_station - p.canopy.fore_station)
    return p.canopy.fore_sill + share * (p.canopy.aft_sill - p.canopy.fore_sill)


def test_of_the_side(saltmarsh, meshes):
    due = degrees(atan2(eye(saltmarsh)[2] - sill(saltmarsh), 305.0))
    assert said(saltmarsh, meshes, side=due) == []
    assert "just above" in said(saltmarsh, meshes, side=due + 0.5)[0]
    assert "just below" in said(saltmarsh, meshes, side=due - 0.5)[0]


def test_glass_that_is_a_part_does_not_bar(saltmarsh, meshes):
    due = degrees(atan2(eye(saltmarsh)[2] - sill(saltmarsh), 305.0))
    glass = meshed(boxed((200.0, -310.0, 300.0), (1700.0, 310.0, 1260.0)), 0.1)
    assert said(saltmarsh, {**meshes, "canopy": glass}, side=due) == []
    assert said(saltmarsh, {**meshes, "screen": glass}, side=due)


def test_of_the_turn(saltmarsh, meshes):
    """Told freer than the wing's tip allows; the nose of this pod is all glass or low."""
    glass = saltmarsh.canopy.model_copy(update={"fore_station": 50.0})
    p = saltmarsh.model_copy(update={"canopy": glass})
    due = degrees(atan2(1500.0 - eye(p)[2], 4000.0))
    assert said(p, meshes, into_turn=due) == []
    assert said(p, meshes, into_turn=0.0) == []
    assert "into_turn" in said(p, meshes, into_turn=due + 5.0)[0]


def test_without_a_pilot_nothing_is_said(saltmarsh, meshes):
    p = saltmarsh.model_copy(update={"pilot": None})
    assert said(p, meshes, side=0.0, into_turn=80.0) == []

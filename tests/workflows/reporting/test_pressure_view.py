"""Pressures in the 3D view, read back from the viewer's own numbers: a sphere by its closed form.

Source: potential flow about a sphere, 1 - 9/4 sin^2 (Lamb, Hydrodynamics, art. 96: MEMORY).
"""

import base64
from dataclasses import replace

import numpy as np
import plotly.graph_objects as graph
import pytest
from plain_machines import mesh_of
from pressed_bodies import RADIUS, exact, machine, sphere

from geomgen.pages.measured_scene import viewed
from geomgen.pages.scene import PageScene, ScenePart
from geomgen.workflows.reporting.pressure_view import (
    painted,
    pressed_bodies,
    state_words,
    with_pressures,
)

TRIANGLE = mesh_of([[0.0, 0, 0], [1, 0, 0], [0, 1, 0]], [[0, 1, 2]])
PART = ScenePart("pod", TRIANGLE.vertices, TRIANGLE.triangles, (0.5, 0.5, 0.5))


def unpacked(packed):
    return np.frombuffer(base64.b64decode(packed["bdata"]), "<" + packed["dtype"])


@pytest.fixture(scope="module")
def ball():
    found, families = sphere()
    return viewed(with_pressures(PageScene((PART,)), found, families), (), {})


def told_by(trace):
    points = np.stack([unpacked(trace[axis]) for axis in "xyz"], axis=1)
    corners = np.stack([unpacked(trace[axis]) for axis in "ijk"], axis=1)
    return points, corners, unpacked(trace["intensity"])


def test_a_sphere_has_the_pressures_of_its_closed_form(ball):
    """Both triangles of a panel share its diagonal; its middle is that of their four corners."""
    (trace,) = [t for t in ball["traces"] if "intensity" in t]
    points, corners, values = told_by(trace)
    second = {(i, j): at for at, (i, j, _) in enumerate(corners.tolist())}
    errors = []
    for at, (i, j, k) in enumerate(corners.tolist()):
        other = second.get((i, k))
        if other is not None and other != at and values[other] == values[at]:
            middle = points[[i, j, k, corners[other][2]]].mean(axis=0)
            errors.append(values[at] - exact(middle))
    assert len(errors) > 300
    assert np.sqrt(np.mean(np.square(errors))) < 0.02
    assert np.abs(errors).max() < 0.06


def test_it_is_the_whole_sphere_and_both_sides_are_alike(ball):
    (trace,) = [t for t in ball["traces"] if "intensity" in t]
    points, corners, values = told_by(trace)
    assert np.linalg.norm(points, axis=1).max() == pytest.approx(RADIUS, rel=2e-3)
    middles = points[corners].mean(axis=1)
    right, left = (
        sorted(zip(*np.round(np.c_[middles[of] * (1, side, 1), values[of]], 3).T, strict=True))
        for of, side in ((middles[:, 1] > 0, 1), (middles[:, 1] < 0, -1))
    )
    assert np.allclose(right, left, atol=2e-3)


def test_the_viewer_takes_the_traces_and_they_are_hidden_at_first(ball):
    for trace in ball["traces"]:
        graph.Figure(data=[{k: v for k, v in trace.items()}])
        if "pressed" in trace["meta"]:
            assert trace["visible"] is False
            assert trace["meta"]["parts"] == ["pod"]
    assert ball["pressure"]["states"] == [{"name": "climb", "speed": 20.0}]
    assert ball["pressure"]["felt"] == ["pod"]


def test_without_pressures_the_view_says_nothing_of_them():
    bare = with_pressures(PageScene((PART,)), None, {})
    assert "pressure" not in viewed(bare, (), {})


def test_a_mirrored_machine_has_the_mirrored_pressures():
    one, other = (pressed_bodies(*machine(turned)) for turned in (False, True))
    for a, b in zip(one, other, strict=True):
        assert a.name == b.name
        assert len(a.triangles) == pytest.approx(len(b.triangles), abs=0.03 * len(a.triangles))
        seen = [
            sorted(
                v for v, kind in zip(body.pressures["climb"], body.kinds, strict=True) if not kind
            )
            for body in (a, b)
        ]
        assert bool(seen[0]) == bool(seen[1])
        if not seen[0]:
            continue
        quarters = [np.percentile(values, [10, 25, 50, 75, 90]) for values in seen]
        assert quarters[0] == pytest.approx(quarters[1], abs=0.02)


def test_parts_are_felt_as_their_bodies_and_booms_as_none():
    found, families = machine()
    bodies = {body.name: body for body in pressed_bodies(found, {**families, "boom_left": "boom"})}
    assert bodies["scoop_a_right"].parts == ("scoop_a_left", "scoop_a_right")
    assert bodies["pod"].parts == ("pod",)
    glazed = pressed_bodies(found, {**families, "canopy": "canopy"})
    assert {body.name: body.parts for body in glazed}["pod"] == ("canopy", "pod")
    assert not any("boom_left" in body.parts for body in bodies.values())
    shown = painted(tuple(bodies.values()), "climb")
    assert len(shown.corners) == len(shown.colours)


@pytest.mark.parametrize(("sides", "side"), [((True, False), 1), ((False, True), -1)])
def test_a_scoop_on_one_side_is_shown_there_alone(sides, side):
    found, families = machine()
    lone = [replace(b, sides=sides) for b in found.bodies if "scoop" in b.name]
    (shown,) = pressed_bodies(replace(found, bodies=tuple(lone)), families)
    across = shown.points[shown.triangles].mean(axis=1)[:, 1]
    assert set(np.sign(across)) == {side}
    assert len(shown.kinds) == len(shown.triangles) == len(shown.pressures["climb"])


def test_words_have_the_speed_in_both_units():
    assert state_words("level", 30.0).endswith("level flight, 30.0 m/s (58 kt)")

"""Scoops on one side: told from the meshes, and the half that is drawn against the whole."""

from dataclasses import replace

import numpy as np
import pytest
from air_bodies import body
from plain_machines import SCOOP, box, ellipsoid, mirrored, mouth, pod

from geomgen.air.paneling.one_sided import OTHER, one_sided
from geomgen.air.paneling.unfelt import coefficient, disturbance
from geomgen.air.potential.grids import closed
from geomgen.air.potential.onsets import AFT
from geomgen.air.potential.panels import together
from geomgen.air.potential.solution import solved
from geomgen.errors import GeometryError

RIGHT, LEFT = "scoop_a_right", "scoop_a_left"
ON_RIGHT, ON_LEFT = box(*SCOOP), mirrored(box(*SCOOP))


def told(**scoops):
    mouths = [replace(mouth("left" if n == LEFT else "right"), name=n) for n in scoops]
    return one_sided({"pod": pod(), **scoops}, list(scoops), mouths)


def test_pair_and_scoop_on_the_plane_are_left_as_they_are():
    pair = told(**{RIGHT: ON_RIGHT, LEFT: ON_LEFT})
    assert (pair.lone, pair.left) == ((), ())
    assert pair.meshes[LEFT] is ON_LEFT
    centred = told(scoop_b=box((0.0, -80.0, 300.0), (300.0, 80.0, 420.0)))
    assert centred.lone == ()


def test_scoop_on_one_side_is_told_and_one_on_the_left_is_drawn_on_the_right():
    assert told(scoop_a=ON_RIGHT).lone == ("scoop_a",)
    found = told(**{LEFT: ON_LEFT})
    assert (found.lone, found.left) == ((LEFT,), (LEFT,))
    low, high = (np.sort(found.meshes[LEFT].vertices, axis=0)[k] for k in (0, -1))
    assert (low.tolist(), high.tolist()) == (list(SCOOP[0]), list(SCOOP[1]))
    assert found.mouths[0].plane.origin == mouth("right").plane.origin
    corners = found.meshes[LEFT].vertices[found.meshes[LEFT].triangles]
    out = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    middle = 0.5 * (np.array(SCOOP[0]) + np.array(SCOOP[1]))
    assert (np.einsum("nd,nd->n", out, corners.mean(axis=1) - middle) > 0).all()


def test_two_of_different_places_are_both_drawn_and_two_in_one_are_refused():
    higher = mirrored(box((100.0, 300.0, 200.0), (450.0, 440.0, 300.0)))
    assert told(scoop_a=ON_RIGHT, scoop_b=higher).lone == ("scoop_a", "scoop_b")
    longer = mirrored(box((100.0, 300.0, -80.0), (600.0, 440.0, 80.0)))
    with pytest.raises(GeometryError, match="not the mirror image of scoop_b"):
        told(scoop_a=ON_RIGHT, scoop_b=longer)


def test_half_that_is_drawn_is_off_by_no_more_than_the_bound():
    """A lump on one side of a pod, solved whole; its pressures ahead of the lump by both ways."""
    axes, at = (200.0, 90.0, 110.0), (-200.0, 470.0, 0.0)
    pods = (1500.0, 350.0, 350.0)
    halves = [body(24, 16, pods, name="pod"), body(16, 12, axes, at, whole=True, name="lump")]
    half = closed(together([halves[0], replace(halves[1], mirrored=True)]))
    whole = closed(together([body(24, 32, pods, whole=True, name="pod"), halves[1]]))
    flows = [solved(each, [AFT]).flow({"aft": 1.0}) for each in (half, whole)]
    spots = [flow.panels.spots[flow.panels.of("pod")] for flow in flows]
    found = [flow.coefficients()[flow.panels.of("pod")] for flow in flows]
    near = np.array([int(np.linalg.norm(spots[1] - s, axis=1).argmin()) for s in spots[0]])
    ahead = (np.abs(spots[0][:, 0]) < 900.0) & (spots[0][:, 1] > 100.0)
    mesh = ellipsoid(axes, at)
    other = mesh.vertices[mesh.triangles][:, ::-1] * OTHER
    moved = disturbance(other, spots[0], np.array([1.0, 0.0, 0.0]))
    bound = coefficient(flows[0].speed[flows[0].panels.of("pod")], moved)
    off = np.abs(found[0] - found[1][near])
    assert np.linalg.norm(spots[0] - spots[1][near], axis=1)[ahead].max() < 1.0
    assert off[ahead].max() > 1e-4
    assert (off[ahead] <= bound[ahead] + 2e-3).all()

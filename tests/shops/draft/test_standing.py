"""A scoop on a round body: areas that a pull can't release against closed forms, within 1 %."""

from dataclasses import replace
from math import asin, sqrt

import numpy as np
import pytest
from OCP.TopoDS import TopoDS_Solid

from geomgen.arrays import Floats
from geomgen.kernel.brep.primitives import box, cylinder, mirrored
from geomgen.kernel.solids.booleans import cut
from geomgen.shops.draft.cells import Cells, body_of
from geomgen.shops.draft.standing import seated, standing

RIGHT, LEFT = (0.0, 1.0, 0.0), (0.0, -1.0, 0.0)
RADIUS, GAP, SEAT = 200.0, 0.3, 0.8
HALF, ROOF = 75.0, 255.0


def right(cells: Cells) -> Floats:
    return cells.corners[..., 1]


def left(cells: Cells) -> Floats:
    return -cells.corners[..., 1]


def hull() -> TopoDS_Solid:
    return cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), RADIUS, 600.0)


def bump() -> TopoDS_Solid:
    knife = cylinder((-10.0, 0.0, 0.0), (1.0, 0.0, 0.0), RADIUS + GAP, 620.0)
    return cut(box((100.0, 100.0, -80.0), (300.0, 260.0, 80.0)), [knife], "bump", "seat")


def scoop() -> TopoDS_Solid:
    """The bump, open forward: walls of 5 mm, 297 mm aft of the datum the back."""
    air = box((90.0, 90.0, -HALF), (297.0, ROOF, HALF))
    return cut(bump(), [air], "scoop", "mouth")


def test_the_mouth_of_a_scoop() -> None:
    found = standing(body_of(hull(), "hull"), body_of(scoop(), "scoop"), RIGHT, SEAT, right)
    edge = sqrt((RADIUS + GAP) ** 2 - HALF**2)
    arc = asin(HALF / (RADIUS + GAP))
    under = HALF * edge + (RADIUS + GAP) ** 2 * arc
    length = 197.0
    inside = length * 2 * HALF + 2 * length * (ROOF - edge) + (2 * HALF * ROOF - under)
    assert found.on_scoop == pytest.approx(inside, rel=0.01)
    skin = length * 2 * RADIUS * asin(HALF / RADIUS)
    assert found.on_body == pytest.approx(skin, rel=0.01)
    assert found.at is not None
    assert found.at.box.low == pytest.approx((100.0, edge, -HALF), abs=1.0)
    assert found.at.box.high == pytest.approx((297.0, ROOF, HALF), abs=1.0)


def test_a_fairing_without_a_mouth_releases() -> None:
    found = standing(body_of(hull(), "hull"), body_of(bump(), "bump"), RIGHT, SEAT, right)
    assert found.area < 1.0


def test_a_fairing_that_stands_off_does_not_release() -> None:
    """Its seat 20 mm off the skin is not a seat."""
    knife = cylinder((-10.0, 0.0, 0.0), (1.0, 0.0, 0.0), RADIUS + 20.0, 620.0)
    off = cut(box((100.0, 100.0, -80.0), (300.0, 260.0, 80.0)), [knife], "bump", "seat")
    found = standing(body_of(hull(), "hull"), body_of(off, "bump"), RIGHT, SEAT, right)
    assert found.on_body == pytest.approx(200.0 * 2 * RADIUS * asin(80.0 / RADIUS), rel=0.01)


def test_the_other_half_does_not_see_it() -> None:
    body, one = body_of(hull(), "hull"), body_of(scoop(), "scoop")
    assert standing(body, one, LEFT, SEAT, left).area == 0.0
    other = standing(body, body_of(mirrored(scoop()), "scoop"), LEFT, SEAT, left)
    assert other.area == pytest.approx(standing(body, one, RIGHT, SEAT, right).area, rel=1e-3)


@pytest.mark.filterwarnings("error")
def test_cells_that_meet_nothing_are_not_seated() -> None:
    """A cell that looks past the body, square to its pull, is told of without a sound."""
    aside = body_of(box((0.0, 500.0, 0.0), (50.0, 550.0, 50.0)), "box").cells
    body = body_of(box((0.0, 0.0, 0.0), (50.0, 50.0, 50.0)), "box")
    for pull in ((1.0, 0.0, 0.0), (0.0, 0.0, 1.0)):
        assert not seated(aside, body, np.array(pull), SEAT).any()


@pytest.mark.filterwarnings("error")
def test_a_mesh_that_ends_in_a_triangle_without_area_is_no_matter() -> None:
    """What a ray meets nothing of must not be worked out on the mesh's last triangle."""
    body = body_of(box((0.0, 0.0, 0.0), (50.0, 50.0, 50.0)), "box")
    flat = np.concatenate([body.mesh.triangles, [[0, 0, 0]]])
    body = replace(body, mesh=replace(body.mesh, triangles=flat))
    aside = body_of(box((0.0, 500.0, 0.0), (50.0, 550.0, 50.0)), "box").cells
    assert not seated(aside, body, np.array((0.0, 0.0, 1.0)), SEAT).any()

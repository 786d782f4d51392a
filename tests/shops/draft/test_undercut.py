"""Draft and undercut areas against closed forms, each within 1 %."""

from math import cos, pi, radians, sin, tan

import numpy as np
import pytest
from few_cases import few
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCone, BRepPrimAPI_MakeSphere
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

from geomgen.kernel.brep.primitives import box, tilted
from geomgen.kernel.solids.booleans import cut, fuse
from geomgen.shops.draft.cells import body_of
from geomgen.shops.draft.undercut import draft_of

UP = (0.0, 0.0, 1.0)
RIGHT = (0.0, 1.0, 0.0)


def along(direction: tuple[float, float, float]) -> gp_Ax2:
    return gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*direction))


@pytest.mark.parametrize("wanted", [1.0, 3.0, 10.0])
@pytest.mark.parametrize("pull", [UP, RIGHT])
def test_half_a_sphere(wanted: float, pull: tuple[float, float, float]) -> None:
    """The zone of a sphere: 2 pi R^2 sin d lies below the draft d (closed form)."""
    radius = 100.0
    half = BRepPrimAPI_MakeSphere(along(pull), radius, 0.0, pi / 2, 2 * pi).Solid()
    found = draft_of(half, pull, wanted)
    assert found.total == pytest.approx(2 * pi * radius**2, rel=0.01)
    assert found.below == pytest.approx(2 * pi * radius**2 * sin(radians(wanted)), rel=0.01)
    assert found.undercut == 0.0


def test_a_whole_sphere_limited_to_one_side() -> None:
    """A split through faces: the same zone, and the other half is all undercut."""
    radius = 8.0
    ball = body_of(BRepPrimAPI_MakeSphere(radius).Solid())
    half = draft_of(ball, RIGHT, 5.0, lambda cells: cells.corners[..., 1])
    assert half.total == pytest.approx(2 * pi * radius**2, rel=0.01)
    assert half.below == pytest.approx(2 * pi * radius**2 * sin(radians(5.0)), rel=0.01)
    assert half.undercut < 1e-3 * half.total
    whole = draft_of(ball, RIGHT, 5.0)
    assert whole.undercut == pytest.approx(2 * pi * radius**2, rel=0.01)


@pytest.mark.parametrize(
    ("angle", "share"), few([(2.0, 1.0), (2.9, 1.0), (3.1, 0.0), (5.0, 0.0)], 1, 2, rows=True)
)
def test_a_cone_of_known_draft(angle: float, share: float) -> None:
    """Lateral area pi (r1 + r2) h / cos a (closed form), all of it or nothing below 3 deg."""
    height, low = 200.0, 80.0
    high = low - height * tan(radians(angle))
    cone = BRepPrimAPI_MakeCone(along(UP), low, high, height).Solid()
    lateral = pi * (low + high) * height / cos(radians(angle))
    found = draft_of(cone, UP, 3.0)
    assert found.total == pytest.approx(lateral + pi * high**2, rel=0.01)
    assert found.below == pytest.approx(share * lateral, rel=0.01)
    assert found.undercut == 0.0


def test_a_cone_upside_down_is_undercut() -> None:
    cone = BRepPrimAPI_MakeCone(along(UP), 15.0, 18.0, 30.0).Solid()
    lateral = pi * 33.0 * np.hypot(30.0, 3.0)
    assert draft_of(cone, UP, 3.0).undercut == pytest.approx(lateral, rel=0.01)


def test_a_slot_in_the_side() -> None:
    """Roof, floor and back of a slot 30 deep, 10 high, 80 long: 80 (30 + 30 + 10) (closed form)."""
    block = box((0.0, 0.0, 0.0), (100.0, 80.0, 60.0))
    slotted = cut(block, [box((70.0, -5.0, 20.0), (105.0, 85.0, 30.0))], "block", "slot")
    assert draft_of(block, UP, 3.0).undercut == 0.0
    found = draft_of(slotted, UP, 3.0)
    assert found.undercut == pytest.approx(80 * 70.0, rel=0.01)
    assert found.undercut_at is not None
    assert found.undercut_at.area == pytest.approx(80 * 70.0, rel=0.01)
    # Centroid of two planes with their middle at 85 and one at 70 (closed form).
    assert found.undercut_at.centroid == pytest.approx((85 - 15 / 7, 40.0, 25.0), abs=0.1)
    assert found.undercut_at.box.size == pytest.approx((30.0, 80.0, 10.0), abs=0.1)
    # The walls stand upright: below any draft, but for the slot's mouth; the split's face is not.
    assert found.below == pytest.approx(2 * (6000 - 300) + 80 * 60 + 80 * 50, rel=0.01)


def test_shadow_on_a_surface_that_faces_the_pull() -> None:
    """A shelf over part of a large floor: floor in its shadow and its underside, 2 x 37 x 41."""
    base = box((0.0, 0.0, 0.0), (200.0, 200.0, 20.0))
    post = box((0.0, 50.0, 20.0), (10.0, 91.0, 60.0))
    shelf = box((10.0, 50.0, 50.0), (47.0, 91.0, 60.0))
    found = draft_of(fuse([base, fuse([post, shelf], "shelf", "join")], "shelf", "join"), UP, 3.0)
    back = 41.0 * 30.0
    assert found.undercut == pytest.approx(2 * 37 * 41 + back, rel=0.01)


def test_two_undercuts_are_two_regions() -> None:
    block = box((0.0, 0.0, 0.0), (300.0, 80.0, 60.0))
    knives = [
        box((270.0, -5.0, 20.0), (305.0, 85.0, 30.0)),
        box((-5.0, -5.0, 20.0), (20.0, 85.0, 30.0)),
    ]
    found = draft_of(cut(block, knives, "block", "slots"), UP, 3.0)
    assert found.undercut == pytest.approx(80 * (70.0 + 50.0), rel=0.01)
    assert found.undercut_at is not None
    assert found.undercut_at.area == pytest.approx(80 * 70.0, rel=0.01)
    assert found.undercut_at.centroid[0] > 250.0


def test_a_tilted_block_is_caught() -> None:
    """Turned by 4 deg, one wall leans over: undercut; the split's face no longer is one."""
    found = draft_of(
        tilted(box((0.0, 0.0, 0.0), (100.0, 80.0, 60.0)), (0.0, 0.0, 0.0), 4.0), UP, 3.0
    )
    assert found.undercut == pytest.approx(80 * 60 + 80 * 100, rel=0.01)

"""Bodies, skins and joints that masses are worked out of, against closed forms (DERIVED)."""

from math import pi

import numpy as np
import pytest
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCone,
    BRepPrimAPI_MakeSphere,
    BRepPrimAPI_MakeTorus,
)
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.meshes.touching import touching
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.solids.moments import body_moments, skin_moments

TIGHT = 1e-6


def test_a_cone_has_its_centre_at_a_quarter_of_its_height():
    found = body_moments(BRepPrimAPI_MakeCone(50.0, 0.0, 200.0).Shape())
    assert found.size == pytest.approx(pi * 50.0**2 * 200.0 / 3, rel=TIGHT)
    assert found.centre[2] == pytest.approx(50.0, rel=TIGHT)
    # 3/80 m h^2 about the centre, along the axis; 3/20 m r^2 each way across it.
    assert found.spread[2] == pytest.approx(3 / 80 * found.size * 200.0**2, rel=TIGHT)
    assert found.spread[0] == pytest.approx(3 / 20 * found.size * 50.0**2, rel=TIGHT)


def test_a_half_ball_has_its_centre_at_three_eighths_of_its_radius():
    frame = gp_Ax2(gp_Pnt(10.0, -20.0, 30.0), gp_Dir(0, 0, 1))
    found = body_moments(BRepPrimAPI_MakeSphere(frame, 80.0, 0.0, pi / 2).Shape())
    assert found.centre == pytest.approx((10.0, -20.0, 30.0 + 3 / 8 * 80.0), rel=TIGHT)


def test_a_half_shell_has_its_centre_at_half_its_radius():
    """Thin half sphere: 1/2 R; the flat face of the solid is taken off again."""
    found = skin_moments(BRepPrimAPI_MakeSphere(gp_Ax2(), 80.0, 0.0, pi / 2).Shape())
    flat = pi * 80.0**2
    shell = (found.size * found.centre[2] - 0.0) / (found.size - flat)
    assert found.size - flat == pytest.approx(2 * pi * 80.0**2, rel=TIGHT)
    assert shell == pytest.approx(40.0, rel=TIGHT)


def test_a_torus_and_its_skin():
    """V 59.217626, S 118.435253 for R 3, r 1; inertia m (R^2 + 3/4 r^2) about its axis."""
    shape = BRepPrimAPI_MakeTorus(3.0, 1.0).Shape()
    body, skin = body_moments(shape), skin_moments(shape)
    assert body.size == pytest.approx(59.217626, abs=1e-5)
    assert skin.size == pytest.approx(118.435253, abs=1e-5)
    assert body.spread[0] + body.spread[1] == pytest.approx(body.size * (9.0 + 0.75), rel=TIGHT)


def test_products_of_inertia_of_a_box_turned_in_plan():
    """A box a by b turned by 30 deg: Sxy = V (a^2 - b^2) / 12 sin cos."""
    turn = np.radians(30.0)
    frame = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1), gp_Dir(np.cos(turn), np.sin(turn), 0))
    found = body_moments(BRepPrimAPI_MakeBox(frame, 300.0, 100.0, 50.0).Shape())
    wanted = found.size * (300.0**2 - 100.0**2) / 12 * np.sin(turn) * np.cos(turn)
    assert found.spread[3] == pytest.approx(wanted, rel=TIGHT)


def test_the_skin_in_a_joint_is_what_the_other_part_covers():
    """A box of 100 by 60 standing on a plate with a gap of 0.3 mm: one of its faces."""
    own = mesh(box((0, 0, 0.3), (100, 60, 400)), 0.1)
    plate = mesh(box((-500, -500, -10), (500, 500, 0)), 0.1)
    found = touching(own.corners, [MeshSearch(plate.corners)], [0.8])
    # A seam of half a millimetre up its sides is within reach, too.
    seam = 2 * (100 + 60) * 0.5
    assert found.area == pytest.approx(6000.0 + seam, abs=found.error)
    # Half of what lies within some two millimetres of the edge of the reach, all round.
    assert found.error < (100 + 60) * 2 * 4
    assert found.centre[:2] == pytest.approx((50.0, 30.0), abs=1.0)


def test_the_end_of_a_bar_in_a_socket():
    """A round bar 40 across, 50 deep in a hole with 0.3 mm all round: side and end of that bit."""
    bar = mesh(cylinder((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), 20.0, 300.0), 0.02)
    wall = mesh(cylinder((0.0, 0.0, -0.3), (0.0, 0.0, 1.0), 20.3, 50.3), 0.02)
    found = touching(bar.corners, [MeshSearch(wall.corners)], [0.8])
    assert found.area == pytest.approx(2 * pi * 20.0 * 50.0 + pi * 20.0**2, rel=0.05)


def test_parts_that_are_apart_share_no_joint():
    one, other = mesh(box((0, 0, 0), (9, 9, 9)), 0.1), mesh(box((0, 0, 20), (9, 9, 29)), 0.1)
    assert touching(one.corners, [MeshSearch(other.corners)], [0.8]).area == 0.0

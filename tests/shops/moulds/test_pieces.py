"""Pieces and their joint dowels, against closed forms."""

from math import pi

import pytest
from shops.moulds.plain_moulds import (
    LENGTH,
    LONG,
    RADIUS,
    cylinder_pod,
    spheroid_pod,
    spheroid_slice,
    with_mould,
)
from shops.moulds.test_bodies import plain_wing, tip

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.solids.properties import bounding_box, volume
from geomgen.shops.moulds.pieces import bored, depth_of, pieces, stations
from geomgen.shops.moulds.split import halves

HOLE = pi / 4 * 8.0**2 * 24.0


def test_equal_stations_within_the_machine():
    assert stations(0.0, 900.0, None) == []
    assert stations(0.0, 900.0, 900.0) == []
    assert stations(-2.0, 898.0, 899.0) == pytest.approx([448.0])


@pytest.mark.parametrize("split", ["centre plane", "maximum breadth"])
def test_pieces_of_a_cylinder_lose_their_dowel_holes(saltmarsh, split):
    p, mould = with_mould(cylinder_pod(saltmarsh), machine_length=300.0, split=split)
    third = pi / 2 * RADIUS**2 * LENGTH / 3
    found = pieces(p, mould, 0.0, halves(p, mould, 0.0)[0])
    assert depth_of(mould) == 24.0
    assert [piece.holes for piece in found] == [2, 4, 2]
    for piece in found:
        wanted = third - piece.holes * HOLE
        assert volume(piece.solid).value == pytest.approx(wanted, rel=1e-8)
        assert bounding_box(piece.solid).size[0] == pytest.approx(piece.end - piece.start)
        assert piece.end - piece.start <= 300.0


def test_pieces_of_a_spheroid(saltmarsh):
    p, mould = with_mould(spheroid_pod(saltmarsh), machine_length=400.0)
    fore, aft = pieces(p, mould, 0.0, halves(p, mould, 0.0)[1])
    wanted = spheroid_slice(0.0, LONG) / 2 - 2 * HOLE
    assert volume(fore.solid).value == pytest.approx(wanted, rel=1e-4)
    assert volume(aft.solid).value == pytest.approx(wanted, rel=1e-4)


def test_holes_of_a_joint_face_each_other_and_stand_unlike(saltmarsh):
    p, mould = with_mould(cylinder_pod(saltmarsh), machine_length=500.0)
    half = halves(p, mould, 0.0)[0]
    fore, aft = pieces(p, mould, 0.0, half)
    # Whatever the two have lost lies within the holes' depth on each side of the joint.
    plain = volume(half.solid).value / 2
    middle = LENGTH / 2
    drawn = []
    for piece, a, b in ((fore, middle - 24.0, middle), (aft, middle, middle + 24.0)):
        band = volume(piece.solid).value
        assert plain - band == pytest.approx(2 * HOLE, rel=1e-5)
        drawn.append(_hole_axes(piece.solid, a, b))
    assert drawn[0] == drawn[1]
    (low, high) = sorted(z for _, z in drawn[0])
    assert abs(low + high) > 5.0


def _hole_axes(solid, a, b):
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.GeomAbs import GeomAbs_Cylinder

    from geomgen.kernel.brep.faces import faces_of

    found = set()
    for face in faces_of(solid):
        surface = BRepAdaptor_Surface(face)
        if surface.GetType() == GeomAbs_Cylinder:
            at = surface.Cylinder().Axis().Location()
            assert a - 30 <= at.X() <= b + 30
            found.add((round(at.Y(), 6), round(at.Z(), 6)))
    assert len(found) == 2
    return found


def test_a_long_wing_tip_is_sawn(saltmarsh):
    p, mould = tip(plain_wing(saltmarsh), machine_length=600.0, dowel_diameter=4.0)
    half = halves(p, mould, 0.0)[0]
    found = pieces(p, mould, 0.0, half)
    lost = 4 * pi / 4 * 4.0**2 * 12.0
    total = sum(volume(piece.solid).value for piece in found)
    assert len(found) == 2
    assert total == pytest.approx(volume(half.solid).value - lost, rel=1e-8)


def test_a_joint_without_room_for_dowels_is_refused(saltmarsh):
    p, mould = with_mould(cylinder_pod(saltmarsh), machine_length=500.0, dowel_diameter=30.0)
    with pytest.raises(GeometryError, match="no room") as error:
        pieces(p, mould, 0.0, halves(p, mould, 0.0)[0])
    assert "handoff.moulds.0.dowel_diameter" in error.value.look_at


def test_a_hole_that_breaks_out_is_caught(saltmarsh):
    _, mould = with_mould(saltmarsh)
    block = box((0.0, 0.0, 0.0), (100.0, 50.0, 50.0))
    good = cylinder((-1.0, 25.0, 25.0), (1.0, 0.0, 0.0), 4.0, 25.0)
    out = cylinder((-1.0, 2.0, 25.0), (1.0, 0.0, 0.0), 4.0, 25.0)
    assert volume(bored(block, [good], mould)).value == pytest.approx(250000.0 - HOLE, rel=1e-9)
    with pytest.raises(GeometryError, match="break out"):
        bored(block, [out], mould)

"""Pieces and their joint dowels, against closed forms."""

from itertools import combinations
from math import acos, inf, pi, sqrt

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
from geomgen.parameters.records.stock import Stock
from geomgen.shops.moulds.pieces import bored, depth_of, pieces, stations
from geomgen.shops.moulds.split import halves
from geomgen.shops.stock import over, within_stock

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


def on_router(p, length, width, height):
    """Return the parameters and the mould of a builder whose router has so much room."""
    room = {"length": length, "width": width, "height": height}
    stock = Stock.model_validate({"router": {key: f"{side} mm" for key, side in room.items()}})
    handoff = p.handoff.model_copy(update={"stock": stock})
    p = within_stock(p.model_copy(update={"handoff": handoff}))
    return p, p.handoff.moulds[0]


def segment(h):
    """Return the area of what a chord `h` off the middle cuts off a circle (closed form)."""
    return RADIUS**2 * acos(h / RADIUS) - h * sqrt(RADIUS**2 - h**2)


@pytest.fixture(scope="module")
def broad(saltmarsh):
    """Return both halves of a cylinder on a router that takes neither its breadth nor height."""
    p, mould = on_router(with_mould(cylinder_pod(saltmarsh))[0], 800, 130, 60)
    return [pieces(p, mould, 0.0, half) for half in halves(p, mould, 0.0)]


def test_what_is_too_broad_for_the_router_is_cut_across_and_up(broad):
    for half, sign in zip(broad, (1.0, -1.0), strict=True):
        assert all(over(bounding_box(q.solid).size, (800.0, 130.0, 60.0)) <= 0 for q in half)
        whole = [volume(q.solid).value + q.holes * HOLE for q in half]
        assert sum(whole) == pytest.approx(pi / 2 * RADIUS**2 * LENGTH, rel=1e-7)
        # Two breadths of half a radius, the inner one 200 mm high: from the centre plane outward.
        inner, outer = whole[:2], whole[2:]
        assert sum(outer) == pytest.approx(segment(RADIUS / 2) * LENGTH, rel=1e-6)
        assert inner == pytest.approx([sum(inner) / 2] * 2, rel=1e-6)
        spans = [tuple(sorted(sign * y for y in q.cuts[1])) for q in half]
        assert spans[:2] == [(-inf, pytest.approx(50.0, abs=1e-5))] * 2
        assert {q.cuts[0] for q in half} == {(-inf, inf)}


def test_every_joint_across_and_up_has_two_dowels_that_meet_and_are_clear_of_others(broad):
    for half in broad:
        mouths = [{axis[0]: axis[1] for axis in q.dowels} for q in half]
        shared = [len(set(a) & set(b)) for a, b in combinations(mouths, 2)]
        assert set(shared) <= {0, 2}
        assert sum(shared) == sum(q.holes for q in half) / 2
        assert sum(shared) / 2 >= len(half) - 1
        for a, b in combinations(mouths, 2):
            for at in set(a) & set(b):
                ends = [tuple(end[at]) for end in (a, b)]
                middle = tuple((x + y) / 2 for x, y in zip(*ends, strict=True))
                assert middle == pytest.approx(at)
        for piece in half:
            for one, other in combinations(piece.dowels, 2):
                assert _apart(one, other) > 8.0


def _apart(one, other):
    at = [[tuple(a + (b - a) * k / 40 for a, b in zip(*axis, strict=True)) for k in range(41)]
          for axis in (one, other)]  # fmt: skip
    return min(sum((a - b) ** 2 for a, b in zip(p, q, strict=True)) ** 0.5
               for p in at[0] for q in at[1])  # fmt: skip


def test_a_router_with_room_leaves_a_half_as_it_is(saltmarsh):
    p, mould = on_router(with_mould(cylinder_pod(saltmarsh))[0], 800, 210, 101)
    (piece,) = pieces(p, mould, 0.0, halves(p, mould, 0.0)[0])
    assert (piece.holes, piece.cuts) == (0, ((-inf, inf),) * 3)


def test_pieces_without_room_for_dowels_are_refused_with_their_place(saltmarsh):
    p, _ = with_mould(cylinder_pod(saltmarsh), dowel_diameter=28.0)
    p, mould = on_router(p, 800, 130, 60)
    with pytest.raises(GeometryError, match="has no joint with room") as error:
        pieces(p, mould, 0.0, halves(p, mould, 0.0)[0])
    assert error.value.look_at == ["handoff.moulds.0.dowel_diameter", "handoff.stock.router"]

"""Points inside and outside, by three ways that do not share their faults."""

import numpy as np
import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeTorus
from OCP.TopAbs import TopAbs_IN, TopAbs_OUT

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.lofting.ducts import DuctFrame, Rounded, skin_through
from geomgen.kernel.lofting.sewing import free_edges_at, plane_face, sew, wire_of
from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.probing import Classifier

# A slim S-shaped duct across which the kernel classes a point on the skin as inside.
TURN = 0.5**0.5
FRAME = DuctFrame((0.0, 750.0), (TURN, TURN), (-TURN, TURN))
ON_SKIN: Vec3 = (1396.624546755772, 156.2897183874589, 976.5753406755215)


def duct():
    share = np.linspace(0.0, 1.0, 9)
    start, end, run, height = 284.63336875013147, 172.78810255050627, 205.1257028589843, 15.4220163
    dive = (end - start) * 6 * share * (1 - share) / run
    one = np.ones_like(share)
    rows = Rounded(
        1368.5490115058823 + run * share,
        start + (end - start) * share**2 * (3 - 2 * share),
        54.29369529926101 * one,
        height / 2 * np.sqrt(1 + dive**2),
        5.467468189721125 * one,
    )
    faces = skin_through(rows, FRAME, share)
    caps = [
        plane_face(float(x), wire_of(free_edges_at(tuple(faces), float(x))))
        for x in (rows.x[0], rows.x[-1])
    ]
    return sew([*faces, *caps], "duct")


def test_a_point_on_a_slim_duct_is_neither_in_nor_out() -> None:
    seen = Classifier(duct())
    assert not seen.surely_inside(ON_SKIN)
    assert not seen.surely_outside(ON_SKIN)


@pytest.mark.parametrize(("off", "inside"), [(-2.0, True), (-0.1, True), (0.1, False)])
def test_off_the_skin_it_is_told(off, inside) -> None:
    seen = Classifier(box((0, 0, 0), (100, 50, 20)))
    point = (30.0, 20.0, 20.0 + off)
    assert (seen.surely_inside(point), seen.surely_outside(point)) == (inside, not inside)


def test_rays_tell_the_hole_of_a_ring() -> None:
    seen = Classifier(BRepPrimAPI_MakeTorus(30.0, 10.0).Shape())
    assert seen.surely_outside((0.0, 0.0, 0.0))
    assert seen.surely_inside((0.0, 30.0, 1.0))


@pytest.mark.parametrize(
    ("word", "point"), [(TopAbs_OUT, (0.0, 30.0, 1.0)), (TopAbs_IN, (0.0, 0.0, 0.0))]
)
def test_rays_that_deny_the_kernels_word_count_more_and_nothing_is_sure(monkeypatch, word, point):
    """It was seen to say "outside" of a point in the middle of an exit's wall."""
    monkeypatch.setattr(Classifier, "_state", lambda self, point: word)
    seen = Classifier(BRepPrimAPI_MakeTorus(30.0, 10.0).Shape())
    assert seen.is_inside(point) is (word == TopAbs_OUT)
    assert seen.is_outside(point) is (word == TopAbs_IN)
    assert not seen.surely_inside(point)
    assert not seen.surely_outside(point)

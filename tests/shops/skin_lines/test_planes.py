"""Planes of flat sheets from their solids; what is no sheet has none."""

from dataclasses import replace

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import box, cylinder, tilted
from geomgen.kernel.model import Model
from geomgen.kernel.plain import FlatSheet, Glass, Plane
from geomgen.shops.skin_lines.planes import OPENING, canopy_planes, crossing, sheet_planes

SHEET = box((1000.0, -250.0, 0.0), (1004.0, 250.0, 700.0))


def model(**solids):
    return Model(
        parts={name: solid for name, (_, solid) in solids.items()},
        families={name: family for name, (family, _) in solids.items()},
    )


def test_a_leaning_sheet_has_its_front_and_its_aft_face():
    leaning = tilted(SHEET, (1000.0, 0.0, 0.0), 10.0)
    (front, aft), without = sheet_planes(model(firewall=("firewall", leaning)))
    assert without == ()
    assert (front.name, aft.name) == ("firewall, front face", "firewall, aft face")
    assert abs(front.frame.normal[0]) == pytest.approx(np.cos(np.radians(10.0)))
    apart = aft.frame.height(front.frame.origin)
    assert abs(float(apart[0])) == pytest.approx(4.0, abs=1e-6)
    assert front.frame.height([(1000.0, 77.0, 0.0)]) == pytest.approx(0.0, abs=1e-9)


def test_a_rib_has_an_inboard_and_an_outboard_face_on_both_sides():
    for side, low in ((1.0, 500.0), (-1.0, -504.0)):
        rib = box((200.0, low, 0.0), (900.0, low + 4.0, 90.0))
        (inner, outer), _ = sheet_planes(model(rib=("rib", rib)))
        assert inner.name == "rib, inboard face"
        assert inner.frame.origin[1] == pytest.approx(500.0 * side)
        assert outer.frame.origin[1] == pytest.approx(504.0 * side)


def test_what_is_no_flat_sheet_has_no_plane():
    block = box((0.0, 0.0, 0.0), (100.0, 100.0, 80.0))
    tube = cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 20.0, 900.0)
    strip = box((0.0, 0.0, 0.0), (900.0, 20.0, 4.0))
    found, without = sheet_planes(
        model(a=("frame", block), spar=("spar", tube), s=("stringer", strip), w=("wheel", SHEET))
    )
    assert found == []
    assert without == ("a", "spar", "s")


def test_planes_end_where_the_next_one_begins():
    fore, aft, sill = canopy_planes(Glass(100.0, 250.0, 20.0, 60.0))
    assert {plane.kind for plane in (fore, aft, sill)} == {OPENING}
    assert (fore.within[2][0], aft.within[2][0], sill.within[0]) == (20.0, 60.0, (100.0, 250.0))
    assert sill.frame.height([(175.0, 33.0, 40.0)]) == pytest.approx(0.0, abs=1e-9)
    assert crossing([fore, sill], (300.0, 0.0, 0.0), (400.0, 90.0, 90.0)) == [fore]


@pytest.mark.parametrize("lean", [0.0, 10.0])
def test_lines_of_a_half_frame_end_with_its_straight_ends(lean):
    """On each face at the waterline where the cut, square to the sheet, meets it."""
    slope = np.radians(lean)
    solid = tilted(SHEET, (1000.0, 0.0, 0.0), lean)
    normal, up = (np.cos(slope), 0.0, -np.sin(slope)), (np.sin(slope), 0.0, np.cos(slope))
    top = (1000.0 + 700.0 * np.sin(slope), 0.0, 700.0 * np.cos(slope))
    plane = Plane((1000.0, 0.0, 0.0), normal)
    whole = model(f=("frame", solid))
    half = replace(whole, sheets={"f": FlatSheet(plane, up, 4.0, ends=(Plane(top, up),))})
    (front, aft), _ = sheet_planes(half)
    (loose, _), _ = sheet_planes(whole)
    assert loose.within[2][1] > 740.0
    assert front.within[2][1] == pytest.approx(700.0 * np.cos(slope), abs=1e-3)
    assert aft.within[2][1] == pytest.approx(700.0 * np.cos(slope) - 4.0 * np.sin(slope), abs=1e-3)
    assert front.within[2][0] == loose.within[2][0]

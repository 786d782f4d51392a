"""Ribs: where they stand, their pieces, their planes; and refusals that name them."""

import numpy as np
import pytest
import shapely
from spar_wings import planned

from geomgen.errors import GeometryError
from geomgen.kernel.solids.properties import bounding_box
from geomgen.shapes.wing_structure.inner_room import room_of
from geomgen.shapes.wing_structure.published import inner_sheets
from geomgen.shapes.wing_structure.ribs import places_of, rib_pieces, ribs
from geomgen.shapes.wing_structure.spars import CAUTION, spars

TUBE = {"kind": "tube", "cap_height": None, "width": "50 mm", "web": "2 mm"}


def pieces(ribs_, spars=()):
    p = planned(spars=spars, ribs=[ribs_])
    return rib_pieces(p, p.ribs[0])


def test_a_pitch_is_the_largest_distance():
    p = planned(ribs=[{"at": ["100 mm"], "pitch": "300 mm", "start": "1000 mm", "end": "2000 mm"}])
    found = places_of(p, p.ribs[0], room_of(p, "wing"))
    assert found == pytest.approx([100, 1000, 1250, 1500, 1750, 2000])


def test_beside_the_boom_on_both_sides():
    p = planned(ribs=[{"at": [], "beside_boom": True, "boom_gap": "7 mm"}])
    found = places_of(p, p.ribs[0], room_of(p, "wing"))
    assert found == pytest.approx([780 - 50 - 7 - 2, 780 + 50 + 7 + 2])


def test_a_rib_beside_the_boom_stands_for_one_of_a_pitch_that_would_run_into_it():
    row = {"at": [], "beside_boom": True, "boom_gap": "7 mm"}
    p = planned(ribs=[{**row, "pitch": "419 mm", "start": "2 mm", "end": "1678 mm"}])
    found = places_of(p, p.ribs[0], room_of(p, "wing"))
    # Of 2, 421, 840, 1259, 1678 mm the third stands 1 mm beside the boom's outer one.
    assert found == pytest.approx([2, 421, 721, 839, 1259, 1678])


@pytest.mark.parametrize(
    ("changed", "spars", "names"),
    [
        ({}, [], ["rib_a_1_right"]),
        ({}, [{}], ["rib_a_1_nose_right", "rib_a_1_tail_right"]),
        ({"pieces": "nose"}, [{}], ["rib_a_1_nose_right"]),
        ({"pieces": "tail"}, [{}], ["rib_a_1_tail_right"]),
        ({"at": ["0 mm"]}, [{}], ["rib_a_1_nose", "rib_a_1_tail"]),
        ({}, [TUBE], ["rib_a_1_right"]),
        ({"at": ["4100 mm"]}, [{}], ["rib_a_1_right"]),
        (
            {},
            [{}, {"name": "rear", "chord_share": 0.65}],
            ["rib_a_1_nose_right", "rib_a_1_middle_1_right", "rib_a_1_tail_right"],
        ),
    ],
)
def test_what_a_rib_falls_into(changed, spars, names):
    assert [piece.name for piece in pieces(changed, spars)] == names


def test_holes_leave_their_web():
    (piece,) = pieces({"hole_web": "18 mm", "least_hole": "30 mm"}, [TUBE])
    outline = piece.shape.outline
    assert len(outline.interiors) == 1
    rims = [shapely.Point(x, u).buffer(r, quad_segs=64) for x, u, r in piece.shape.holes]
    assert len(rims) > 3
    for i, rim in enumerate(rims):
        assert outline.boundary.distance(rim) > 18.0 - 0.1
        assert all(rim.distance(other) > 18.0 - 0.1 for other in rims[:i])


def test_plane_and_thickness_are_those_of_the_solid():
    p = planned(ribs=[{}, {"name": "f", "of": "fin", "at": ["300 mm"]}])
    solids = {piece.name: piece.solid for piece in ribs(p)}
    flat = inner_sheets(p)
    assert list(flat) == list(solids)
    for name, one in flat.items():
        axis = int(np.argmax(np.abs(one.plane.normal)))
        box = bounding_box(solids[name])
        start = one.plane.origin[axis]
        ends = sorted([start, start + one.thickness * one.plane.normal[axis]])
        assert (box.low[axis], box.high[axis]) == pytest.approx(tuple(ends), abs=1e-6)
        for i in {0, 1, 2} - {axis}:
            assert box.low[i] < one.plane.origin[i] < box.high[i]


def test_one_note_says_that_they_are_no_strength():
    rib, spar = {"of": "fin", "at": ["300 mm", "400 mm"]}, {"of": "fin", "end": "500 mm"}
    alone, both = planned(ribs=[rib]), planned(spars=[spar], ribs=[rib])
    assert [note for piece in ribs(alone) for note in piece.notes] == [CAUTION]
    pieces_of_both = [*spars(both), *ribs(both)]
    assert [note for piece in pieces_of_both for note in piece.notes] == [CAUTION]


@pytest.mark.parametrize(
    ("changed", "word"),
    [
        ({"at": ["4499 mm"]}, "has room for it"),
        ({"skin": "20 mm", "of": "fin", "at": ["300 mm"], "least_depth": "60 mm"}, "nothing is"),
        ({"pieces": "nose"}, "nothing is left"),
    ],
)
def test_no_room_is_said_of_the_rib(changed, word):
    with pytest.raises(GeometryError, match=word) as refused:
        ribs(planned(ribs=[changed]))
    assert refused.value.part.startswith("rib_a")
    assert refused.value.look_at == ["ribs.a"]


def test_a_spar_that_its_ribs_can_not_be_notched_for_is_named_as_the_spar():
    with pytest.raises(GeometryError, match="it runs from") as refused:
        pieces({}, [{"end": "4600 mm"}])
    assert refused.value.part == "spar_main"
    assert refused.value.look_at == ["spars.main.start", "spars.main.end"]

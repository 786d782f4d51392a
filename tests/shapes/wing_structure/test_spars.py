"""Spars: pieces by kind, one piece through the centre plane, refusals that name them."""

import pytest
from spar_wings import BENT, PLAIN, bodies, planned

from geomgen.errors import GeometryError
from geomgen.kernel.interference.meeting import meeting
from geomgen.shapes.wing_structure.spars import spars

TUBE = {"kind": "tube", "cap_height": None, "width": "50 mm", "web": "2 mm"}
TAPER = [{"at": "0 mm", "width": "60 mm", "cap_height": "12 mm"},
         {"at": "4000 mm", "width": "30 mm", "cap_height": "5 mm"}]  # fmt: skip


def names(**changed):
    return [piece.name.removeprefix("spar_main_") for piece in spars(planned(spars=[changed]))]


def test_pieces_by_kind():
    caps = ["cap_upper", "cap_lower"]
    assert names() == [*caps, "web_fore", "web_aft"]
    assert names(kind="C") == [*caps, "web_fore"]
    assert names(kind="C", web_side="aft") == [*caps, "web_aft"]
    assert names(kind="caps and web") == [*caps, "web"]
    assert names(**TUBE) == ["tube"]
    hands = names(kind="caps and web", start="100 mm")
    assert hands == [f"{x}_{y}" for x in (*caps, "web") for y in ("right", "left")]


@pytest.mark.long
@pytest.mark.parametrize("kind", ["box", "C", "caps and web"])
def test_pieces_touch_and_share_no_space(kind):
    """Also where taper and twist bend the faces of the caps."""
    one = {"kind": kind, "width": None, "cap_height": None, "stations": TAPER, "start": "200 mm"}
    made = bodies([p for p in spars(planned(BENT, [one])) if p.name.endswith("right")])
    pairs = [(a, b) for a in made for b in made if a < b]
    assert [(a, b) for a, b in pairs if meeting(made[a], made[b]) is not None] == []


@pytest.mark.parametrize(
    ("overrides", "changed", "word"),
    [
        (PLAIN, {"end": "4600 mm"}, "runs from"),
        (PLAIN, {"chord_share": 0.93}, "left between the skins"),
        (PLAIN, {**TUBE, "width": "200 mm"}, "its diameter"),
        (BENT, TUBE, "a tube is straight"),
    ],
)
def test_no_room_is_said_of_the_spar(overrides, changed, word):
    with pytest.raises(GeometryError, match=word) as refused:
        spars(planned(overrides, [changed]))
    assert refused.value.part == "spar_main"

"""Rules of spars and ribs: what is refused, and by which key."""

import pytest
from spar_wings import planned, spar

from geomgen.parameters.records.structure.wing import KINDS, pieces_of
from geomgen.parameters.rules.masses import spars_and_ribs
from geomgen.parameters.rules.structure.wing import wing_structure_clashes

TUBE = {"kind": "tube", "cap_height": None}
TWO = [{"at": at, "width": "60 mm", "cap_height": "9 mm"} for at in ("0 mm", "900 mm")]


def refused(spars=({},), ribs=()):
    found = wing_structure_clashes(planned(spars=spars, ribs=ribs))
    return [".".join(map(str, clash.path)) for clash in found]


@pytest.mark.parametrize(
    "changed",
    [
        {},
        {"chord_share": None, "station_start": "1500 mm", "station_end": "1600 mm"},
        {**TUBE, "width": "50 mm"},
        {"width": None, "cap_height": None, "stations": TWO},
        {"kind": "C", "web_side": "aft"},
    ],
)
def test_sound_spars(changed):
    assert refused([changed]) == []


@pytest.mark.parametrize(
    ("changed", "key"),
    [
        ({"chord_share": None}, "spars.0"),
        ({"station_start": "1500 mm"}, "spars.0"),
        ({"chord_share": None, "station_end": "1500 mm"}, "spars.0"),
        ({"start": "4100 mm"}, "spars.0.end"),
        ({"start": "-1 mm"}, "spars.0.start"),
        ({"end": "9 m"}, "spars.0.end"),
        ({"of": "fin", "start": "0 mm", "end": "3 m"}, "spars.0.end"),
        ({"kind": "tube"}, "spars.0"),
        ({**TUBE, "width": None}, "spars.0.width"),
        ({**TUBE, "web": "30 mm"}, "spars.0.web"),
        ({"width": None}, "spars.0"),
        ({"stations": TWO}, "spars.0"),
        ({"width": None, "cap_height": None, "stations": TWO[::-1]}, "spars.0.stations"),
        ({"width": None, "cap_height": None, "stations": TWO[:1]}, "spars.0.stations"),
        ({"web": "29 mm"}, "spars.0.web"),
        ({"kind": "caps and web", "width": "20 mm", "web": "25 mm"}, "spars.0.web"),
    ],
)
def test_spars_that_are_refused(changed, key):
    assert refused([changed]) == [key]


@pytest.mark.parametrize(
    ("changed", "key"),
    [
        ({"at": []}, "ribs.0"),
        ({"pitch": "300 mm"}, "ribs.0"),
        ({"pitch": "300 mm", "start": "900 mm", "end": "300 mm"}, "ribs.0.end"),
        ({"pitch": "20 mm", "start": "0 mm", "end": "4000 mm"}, "ribs.0.pitch"),
        ({"of": "fin", "beside_boom": True}, "ribs.0.beside_boom"),
        ({"at": ["1 mm"] * 61}, "ribs.0.at"),
        ({"at": ["1 m", "9 m"]}, "ribs.0.at.1"),
        ({"at": ["-300 mm"]}, "ribs.0.at.0"),
        ({"pitch": "300 mm", "start": "-300 mm", "end": "900 mm"}, "ribs.0.start"),
        ({"of": "tailplane", "pitch": "300 mm", "start": "0 mm", "end": "4 m"}, "ribs.0.end"),
    ],
)
def test_ribs_that_are_refused(changed, key):
    assert refused(ribs=[changed]) == [key]


def test_rows_that_make_hundreds_of_ribs_are_refused_once():
    rows = [{"name": f"r{i}", "at": ["1 m"] * 60} for i in range(5)]
    assert refused(ribs=rows[:3]) == []
    assert refused(ribs=rows) == ["ribs.3"]


def test_what_they_stand_in_must_be_there_and_names_apart():
    p = planned(spars=[{"of": "fin"}, {"name": "main_2"}], ribs=[{"of": "tailplane"}])
    bare = p.model_copy(update={"fins": None, "tailplane": None})
    found = [".".join(map(str, clash.path)) for clash in wing_structure_clashes(bare)]
    assert found == ["spars.0.of", "spars.1.name", "ribs.0.of"]


@pytest.mark.parametrize("kind", KINDS)
def test_every_piece_may_be_weighed(kind):
    one = {**TUBE, "width": "50 mm"} if kind == "tube" else {"kind": kind}
    names = spars_and_ribs(planned(spars=[one], ribs=[{}]))
    assert set(names) == {
        "spar", "spar_main", "rib", "rib_a", *(f"spar_main_{x}" for x in pieces_of(spar(**one))),
    }  # fmt: skip

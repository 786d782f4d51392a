"""Rules of fittings, controls and access: each refusal names the key, and says what would do."""

import pytest
from framed_pods import frame, pod_of

from geomgen.parameters.records.structure.attachments import (
    BoltedFitting,
    ControlRoom,
    HandAccess,
)
from geomgen.parameters.rules.structure.attachments import attachment_clashes

PLATE = {
    "name": "a", "use": "belt", "on": "frame_one", "side": "aft", "buttock_line": "100 mm",
    "waterline": "800 mm", "width": "80 mm", "height": "60 mm", "thickness": "4 mm",
    "bolts": {"diameter": "6 mm", "pitch": "40 mm"},
}  # fmt: skip
HERE = {"station": "1 m", "waterline": "800 mm"}


def clashes(*rows, controls=None, access=()):
    p = pod_of(frame()).model_copy(
        update={
            "fittings": tuple(BoltedFitting.model_validate({**PLATE, **row}) for row in rows),
            "controls": controls and ControlRoom.model_validate(controls),
            "access": tuple(HandAccess.model_validate(row) for row in access),
            "fins": None,
        }
    )
    return attachment_clashes(p)


def test_rows_that_are_in_order_have_no_clash():
    assert clashes({}, {"name": "b", "on": None, "station": "1 m", "side": "above"}) == []


@pytest.mark.parametrize(
    ("row", "key", "words"),
    [
        ({"on": "frame_two"}, "on", "no such sheet"),
        ({"on": None}, "station", "where the foot"),
        ({"station": "1 m"}, "station", "where the foot"),
        ({"side": "above"}, "side", "a fore and an aft face"),
        ({"tilt": "3 deg"}, "tilt", "follows from the sheet"),
        ({"sweep": "3 deg"}, "sweep", "follows from the sheet"),
        ({"inside": "wing"}, "inside", "stand in the pod"),
        ({"inside": "fin", "on": None, "station": "1 m"}, "inside", "no fin"),
        ({"mirrored": True, "buttock_line": "0 mm"}, "mirrored", "has no mirror"),
    ],
)
def test_what_can_not_be(row, key, words):
    (clash,) = clashes(row)
    assert clash.path == ("fittings", 0, key)
    assert words in clash.problem


@pytest.mark.parametrize(
    ("bolts", "key", "words"),
    [
        ({}, "pitch", "stand apart"),
        ({"pitch": "5 mm"}, "pitch", "run into each other"),
        ({"pitch": "74 mm", "rows": 1}, "pitch", "out of its width"),
        ({"pitch": "40 mm", "row_pitch": "54 mm"}, "row_pitch", "out of its height"),
    ],
)
def test_bolts_that_have_no_place(bolts, key, words):
    (clash,) = clashes({"bolts": {"diameter": "6 mm", **bolts}})
    assert clash.path == ("fittings", 0, "bolts", key)
    assert words in clash.problem


def test_one_name_each():
    run = {"name": "x", "diameter": "5 mm", "points": [HERE, {**HERE, "station": "2 m"}]}
    box = {"name": "x", **HERE, "length": "9 mm", "width": "9 mm", "height": "9 mm"}
    (same,) = clashes({}, {})
    assert same.path == ("fittings", 1, "name")
    (same,) = clashes(controls={"runs": [run], "boxes": [box]})
    assert same.path == ("controls", "runs", 0, "name")


def test_ways_that_lead_nowhere():
    run = {"name": "x", "diameter": "5 mm", "points": [HERE, HERE]}
    (same,) = clashes(controls={"runs": [run]})
    assert same.path == ("controls", "runs", 0, "points", 1, "station")
    (same,) = clashes(access=[{"name": "x", "start": HERE, "end": HERE}])
    assert same.path == ("access", 0, "end", "station")
    (gone,) = clashes(access=[{"name": "x", "start": HERE, "end": {**HERE, "station": "2 m"},
                               "through": "frame_none"}])  # fmt: skip
    assert gone.path == ("access", 0, "through")


def test_a_fitting_stands_on_one_of_two_side_pieces_by_its_name():
    halves = frame(width="40 mm", top="950 mm", bottom="650 mm")
    rows = [BoltedFitting.model_validate({**PLATE, "on": on}) for on in ("frame_one_left",)]
    p = pod_of(halves).model_copy(update={"fittings": tuple(rows), "fins": None})
    assert attachment_clashes(p) == []
    whole = [BoltedFitting.model_validate(PLATE)]
    (clash,) = attachment_clashes(p.model_copy(update={"fittings": tuple(whole)}))
    assert "frame_one_right, frame_one_left" in clash.allowed

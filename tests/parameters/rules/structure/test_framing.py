"""Rules of frames and stringers: each refusal names the row, and says what would do."""

import pytest
from framed_pods import frame, pod_of, stringer

from geomgen.parameters.rules.structure.framing import framing_clashes


def test_rows_that_are_in_order_have_no_clash():
    assert framing_clashes(pod_of(frame(), stringer())) == []


@pytest.mark.parametrize(
    ("rows", "path", "words"),
    [
        ((frame(station="1998 mm"),), ("frames", 0, "station"), "is not inside the pod"),
        ((frame(station="1 mm"),), ("frames", 0, "station"), "is not inside the pod"),
        ((frame(), frame()), ("frames", 1, "name"), "the name is taken"),
        ((frame(), frame(name="one_left")), ("frames", 1, "name"), "a left or right part"),
        (
            (stringer(), stringer(name="strip_right")),
            ("stringers", 1, "name"),
            "left or right part",
        ),
        ((stringer(girth=0.5),), ("stringers", 0, "girth"), "where the stringer strip lies"),
        ((stringer(waterline=None),), ("stringers", 0, "waterline"), "where the stringer strip"),
        ((stringer(end="400 mm"),), ("stringers", 0, "end"), "ends before it starts"),
        ((stringer(end="2.2 m"),), ("stringers", 0, "end"), "leaves the pod"),
        (
            (stringer(waterline=None, girth=0.0),),
            ("stringers", 0, "mirrored"),
            "lies in the centre plane",
        ),
    ],
)
def test_what_can_not_be(rows, path, words):
    (clash,) = framing_clashes(pod_of(*rows))
    assert clash.path == path
    assert words in clash.problem


def test_a_frame_in_the_firewall_is_refused():
    p = pod_of()
    at = f"{p.firewall.station - 3} mm"
    (clash,) = framing_clashes(pod_of(frame(station=at)))
    assert "stands in the firewall" in clash.problem
    assert framing_clashes(pod_of(frame(station=f"{p.firewall.station - 6} mm"))) == []


@pytest.mark.parametrize(
    ("opening", "key", "words"),
    [
        ({}, "width", "has no size"),
        ({"width": "9 mm"}, "height", "has no size"),
        ({"diameter": "9 mm", "width": "9 mm"}, "diameter", "round and a rectangle at once"),
        ({"width": "9 mm", "height": "8 mm", "corner_radius": "5 mm"}, "corner_radius", "half"),
        ({"diameter": "9 mm", "mirrored": True}, "mirrored", "no mirror"),
    ],
)
def test_an_opening_has_one_shape(opening, key, words):
    row = frame({"use": "tank", "waterline": "800 mm", **opening})
    (clash,) = framing_clashes(pod_of(row))
    assert clash.path == ("frames", 0, "openings", 0, key)
    assert words in clash.problem


@pytest.mark.parametrize(
    ("fields", "key", "words"),
    [
        ({"top": "700 mm", "under": "wing"}, "top", "is given twice"),
        ({"bottom": "700 mm", "over": "wing"}, "bottom", "is given twice"),
        ({"top": "700 mm", "bottom": "700 mm"}, "top", "nothing of the frame one is left"),
        ({"under": "wing", "over": "wing"}, "over", "under and over the wing"),
        ({"under": "canopy"}, "under", "no canopy"),
    ],
)
def test_a_half_frame_ends_once_above_and_once_below(fields, key, words):
    p = pod_of(frame(**fields)).model_copy(update={"canopy": None})
    (clash,) = framing_clashes(p)
    assert clash.path == ("frames", 0, key)
    assert words in clash.problem


def test_half_frames_in_order_have_no_clash():
    rows = ({"top": "700 mm"}, {"over": "wing"}, {"under": "canopy", "bottom": "500 mm"})
    for i, row in enumerate(rows):
        assert framing_clashes(pod_of(frame(name=f"f{i}", **row))) == []

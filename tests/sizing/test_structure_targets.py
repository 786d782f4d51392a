"""Frames, notches, fittings are judged where there are any, missed where the file has them."""

import pytest
from framed_pods import example, frame, pod_of, stringer

from geomgen.measurements.record import Measurement
from geomgen.parameters.records.structure.attachments import BoltedFitting
from geomgen.sizing.structure_targets import ATTACHMENTS, FRAMES
from geomgen.verdicts.judge import judged


def asked(p):
    return {target.id: target for one in FRAMES for target in one.targets(p)}


def fit(value):
    return Measurement("frame.fit.frame_one", "frame_one", "", value, "mm", "", 0.0)


def test_a_file_with_frames_must_have_them_measured():
    assert asked(example())["frame.fit.*"].if_any
    assert not asked(pod_of(frame()))["frame.fit.*"].if_any


def test_a_gap_that_departs_by_more_than_a_bond_takes_fails():
    target = asked(pod_of(frame()))["frame.fit.*"]
    assert judged(fit(0.05), target).verdict == "pass"
    assert judged(fit(0.5), target).verdict == "fail"
    assert judged(fit(None), target).verdict == "not_measured"


@pytest.mark.parametrize(
    ("figure", "value", "unit", "verdict"),
    [
        ("on_structure", 0.3, "mm", "pass"),
        ("on_structure", 5.3, "mm", "fail"),
        ("on_structure", -2.0, "mm", "fail"),
        ("backed", 0.99, "1", "pass"),
        ("backed", 0.5, "1", "fail"),
        ("edge_distance", 2.5, "1", "pass"),
        ("edge_distance", 1.6, "1", "warn"),
        ("edge_distance", 0.0, "1", "fail"),
        ("edge_distance", None, "1", "not_measured"),
    ],
)
def test_a_fitting_is_judged_by_its_own_gap_share_and_bolts(figure, value, unit, verdict):
    row = BoltedFitting.model_validate({
        "name": "a", "use": "belt", "on": "firewall", "side": "aft", "waterline": "1 m",
        "buttock_line": "90 mm", "mirrored": True, "width": "60 mm", "height": "60 mm",
        "thickness": "3 mm", "gap": "0.2 mm", "bolts": {"diameter": "6 mm", "pitch": "30 mm"},
    })  # fmt: skip
    p = pod_of().model_copy(update={"fittings": (row,)})
    found = {target.id: target for one in ATTACHMENTS for target in one.targets(p)}
    assert len(found) == 6
    for hand in ("right", "left"):
        id_ = f"structure.{figure}.a_{hand}"
        measured = Measurement(id_, f"fitting_a_{hand}", "", value, unit, "", 1e-3)
        assert judged(measured, found[id_]).verdict == verdict


def test_sheets_off_their_planes_and_stringers_off_the_skin_fail():
    found, bare = asked(pod_of(frame(), stringer())), asked(example())
    for id_, sound, wrong in (("frame.sheet", 0.001, 0.5), ("stringer.fit", 0.05, 1.0)):
        target = found[f"{id_}.*"]
        assert (target.if_any, bare[f"{id_}.*"].if_any) == (False, True)
        for value, verdict in ((sound, "pass"), (wrong, "fail"), (None, "not_measured")):
            one = Measurement(f"{id_}.a", "a", "", value, "mm", "", 0.0)
            assert judged(one, target).verdict == verdict

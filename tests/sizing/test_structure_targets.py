"""Frames and notches are judged where there are any, and missed where the file has them."""

from framed_pods import example, frame, pod_of, stringer

from geomgen.measurements.record import Measurement
from geomgen.sizing.structure_targets import FRAMES
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


def test_sheets_off_their_planes_and_stringers_off_the_skin_fail():
    found, bare = asked(pod_of(frame(), stringer())), asked(example())
    for id_, sound, wrong in (("frame.sheet", 0.001, 0.5), ("stringer.fit", 0.05, 1.0)):
        target = found[f"{id_}.*"]
        assert (target.if_any, bare[f"{id_}.*"].if_any) == (False, True)
        for value, verdict in ((sound, "pass"), (wrong, "fail"), (None, "not_measured")):
            one = Measurement(f"{id_}.a", "a", "", value, "mm", "", 0.0)
            assert judged(one, target).verdict == verdict

"""Rules of how the parts are put together: each refusal names the key, and says what would do."""

import pytest
from framed_pods import frame, pod_of

from geomgen.parameters.records.structure.assembly import Assembly
from geomgen.parameters.rules.structure.assembly import assembly_clashes


def clashes(**table):
    plan = Assembly.model_validate(table)
    return assembly_clashes(pod_of(frame()).model_copy(update={"assembly": plan}))


def test_a_plan_in_order_has_no_clash():
    assert clashes() == []
    assert clashes(order=["frame_one", "pod", "wing"], built_in_place=["boom_left"]) == []
    assert clashes(pod_split="waterline", split_waterline="800 mm") == []
    assert assembly_clashes(pod_of(frame())) == []


@pytest.mark.parametrize(
    ("table", "path", "words"),
    [
        ({"order": ["frame_two"]}, ("order", 0), "no such part"),
        ({"built_in_place": ["wing", "stringer"]}, ("built_in_place", 1), "no such part"),
        ({"order": ["wing", "pod", "wing"]}, ("order", 2), "named twice"),
        ({"pod_split": "waterline"}, ("split_waterline",), "pod_split is waterline"),
        ({"split_waterline": "800 mm"}, ("split_waterline",), "pod_split is centre plane"),
        (
            {"pod_split": "waterline", "split_waterline": "1300 mm"},
            ("split_waterline",),
            "misses the pod",
        ),
    ],
)
def test_a_plan_that_does_not_go_together_is_refused(table, path, words):
    (clash,) = clashes(**table)
    assert clash.path == ("assembly", *path)
    assert words in clash.problem
    assert clash.allowed

"""The record of a comparison: same only when nothing differs and nothing is in doubt."""

import json
from dataclasses import replace

import pytest

from geomgen.comparison.cut_parts import CutPart
from geomgen.comparison.parameter_changes import ParameterChange
from geomgen.comparison.shape_changes import PartChange
from geomgen.workflows.comparing.result import ComparisonResult, SideInfo

SIDE = SideInfo("a.toml", "a", "A", "A", "0" * 64, "out/a", False, True)
NOTHING = ComparisonResult(
    SIDE, SIDE, (), (), (PartChange("pod", "same"),), (CutPart("x", "", "pod", "", "", "right"),),
    False, (), (), None, 1.0,
)  # fmt: skip


def test_nothing_differs():
    assert NOTHING.same
    assert NOTHING.answer.startswith("nothing differs")
    assert [table.rows for table in NOTHING.tables()] == [(), (), (), ()]


@pytest.mark.parametrize(
    "more",
    [
        {"parameters": (ParameterChange("pod.wall", "4 mm", "3 mm"),)},
        {"parts": (PartChange("pod", "moved", 1.0),)},
        {"parts": (PartChange("pod", "not told apart", 0.0, 0.2),)},
        {"cut": (CutPart("x", "", "pod", "", "", "in doubt"),)},
        {"cut": (CutPart("x", "", "pod", "", "", "new"),)},
        {"findings": ("pod_mm.stl: it was changed after it was verified",)},
    ],
)
def test_any_difference_or_doubt_is_not_the_same(more):
    assert not replace(NOTHING, **more).same


def test_it_is_plain_values():
    content = json.loads(json.dumps(NOTHING.as_dict(), allow_nan=False))
    assert content["handoff"]["products"][0]["fate"] == "right"
    assert content["former"]["label"] == "a.toml"

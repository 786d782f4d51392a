"""What a builder hands over has to survive the way from its process to the page's."""

import pickle

import pytest

from geomgen.verdicts.check import Check, Limits
from geomgen.watching.live_page.state_results import CaptionedDrawing, DrawnState, Judged, Modelled

CHECK = Check(
    "gap", "pod", "a gap", 5.0, "mm", Limits("at least 4.00 mm", 4.0), "at least", 1.0, "pass",
    points=((0.0, 0.0, 0.0), (5.0, 0.0, 0.0)),
)  # fmt: skip


@pytest.mark.parametrize(
    "made",
    [
        Judged((CHECK,), 0.25, 3, 40, ("a notice",)),
        Modelled('{"traces":[]}'),
        DrawnState((CaptionedDrawing("Three-view, scale 1:50 on A3", "<svg>ä</svg>"),)),
    ],
    ids=["judged", "modelled", "drawn"],
)
def test_it_is_the_same_on_the_other_side(made):
    assert pickle.loads(pickle.dumps(made)) == made

"""What is said of a frame on its pattern: the lines that it is set up by stand at round places."""

import pytest
from framed_pods import frame, model_of, pod_of

from geomgen.drafting.own_lengths import lengths_on_paper, told
from geomgen.shops.ply_patterns.frame_words import frame_words
from geomgen.shops.ply_patterns.outline import pattern


@pytest.mark.parametrize(("inches", "step"), [(False, 100.0), (True, 101.6)])
def test_a_marked_waterline_is_round_as_the_builder_counts(inches, step):
    """Broken before: of a file in inches as well it stood at a round figure of millimetres."""
    p = pod_of(frame())
    model = model_of(p)
    made = pattern("frame_one", model.parts["frame_one"], model.sheets["frame_one"])
    with lengths_on_paper(inches):
        marks = {mark.words: mark for mark in frame_words(p, "frame_one", made).marks}
        (level,) = (text for text in marks if text.startswith("WL "))
        steps = float(level.removeprefix("WL ")) / step
        assert steps == pytest.approx(round(steps), abs=1e-9)
        shown = told(level)
    mark = marks[level]
    assert mark.start[2] == pytest.approx(float(level.removeprefix("WL ")))
    first = shown.removeprefix("WL ").split()[0]
    assert float(first) % (4 if inches else 100) == 0.0

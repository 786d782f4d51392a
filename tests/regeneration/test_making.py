"""What one regeneration hands on of parts as they were before they were cut."""

from types import SimpleNamespace

import pytest

from geomgen.files.places import plain
from geomgen.kernel.brep.primitives import cylinder, revolved
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis
from geomgen.regeneration.making import MadeModel

SOLIDS = {
    "cut": cylinder((0.0, 0.0, 800.0), (1.0, 0.0, 0.0), 280.0, 1000.0),
    "whole": revolved(
        [(0.0, 0.0), (400.0, 300.0), (1000.0, 200.0), (1000.0, 0.0)],
        Axis((0.0, 0.0, 800.0), (1.0, 0.0, 0.0)),
    ),
}


def test_the_uncut_breadth_is_measured_on_the_uncut_solid() -> None:
    """A cone's widest ring of radius 300 mm; the part that is left is 560 mm broad."""
    rows = [{"name": "pod", "family": "pod", "colour": [0, 0, 0], "solid": "cut", "notes": []}]
    outcome = MadeModel(rows, {}, plain(Model()), [], {"pod": "whole"})
    left, right = outcome.model(SimpleNamespace(solid=SOLIDS.__getitem__)).uncut["pod"]
    assert (left[1], right[1]) == pytest.approx((-300.0, 300.0), abs=1e-6)
    assert left[0] == pytest.approx(400.0, abs=1e-3)

"""Words of the ply schedule: which way the fibre runs, from which axis."""

import pytest
from shops.sheet_metal.trays import CONFIG

from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.shops.laminate import schedule, skin_note

TURNED = "handoff.laminate.plies.0.fibre_angle=45 deg"


def test_direction_is_said_for_each_part() -> None:
    laminate = load(CONFIG, [TURNED]).handoff.laminate
    assert schedule(laminate, "wing")[0].endswith("fibre +45 deg from the span")
    assert schedule(laminate, "wing_tip") == schedule(laminate, "wing")
    assert schedule(laminate, "pod")[0].endswith("fibre +45 deg from fore and aft")
    assert "mirrored on the left" in skin_note(laminate, "pod")


def test_left_out_it_lies_along_the_axis() -> None:
    laminate = load(CONFIG).handoff.laminate
    assert laminate.plies[0].fibre_angle == 0.0
    assert schedule(laminate, "wing")[0].endswith("fibre along the span")
    assert "mirrored" not in skin_note(laminate, "wing")


@pytest.mark.parametrize("angle", ["91 deg", "45"])
def test_direction_that_is_none_is_refused(angle) -> None:
    with pytest.raises(ParameterError, match="fibre_angle"):
        load(CONFIG, [f"handoff.laminate.plies.0.fibre_angle={angle}"])

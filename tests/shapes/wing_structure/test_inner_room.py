"""The room under a skin where the panel rises: the skin counts square to the surface."""

from math import cos, radians

import numpy as np
import pytest
from spar_wings import PLAIN, planned

from geomgen.shapes.wing_structure.inner_room import FIT, room_of

SKIN = 2.0


@pytest.mark.parametrize("degrees", [0.0, 12.0])
def test_a_skin_stands_thicker_in_a_section_of_a_panel_that_rises(degrees):
    """Where a section is deepest its skin is level fore and aft: upright it is 1 / cos as thick."""
    p = planned((*PLAIN, f"wing.sections.1.dihedral={degrees} deg"))
    room, s = room_of(p, "wing"), (p.wing.sections[0].buttock_line + 600.0)
    thick = (SKIN + FIT) / cos(radians(degrees))
    outline, inset = room.outline(s), room.inset(s, SKIN)
    for end in (np.min, np.max):
        assert abs(end(outline[:, 1]) - end(inset[:, 1])) == pytest.approx(thick, abs=2e-3)
    x = outline[outline[:, 1].argmax(), :1]
    low, high = room.heights(s, x)
    under, over = room.under(s, x, SKIN)
    assert (under - low, high - over) == (
        pytest.approx([thick], abs=2e-3), pytest.approx([thick], abs=2e-3),
    )  # fmt: skip

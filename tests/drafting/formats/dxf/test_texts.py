"""Texts of a DXF come back as they were."""

from dataclasses import replace

import ezdxf
import pytest

from geomgen.drafting.faults import text_fault
from geomgen.drafting.formats.dxf.texts import NEAR, add_text, read_text
from geomgen.drafting.record import Label

LABEL = Label((3.0, 4.0), "WL 820", 2.5, 30.0, "end", "DIM")


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_round_trip(anchor):
    label = replace(LABEL, anchor=anchor)
    space = ezdxf.new("R2010").modelspace()
    add_text(space, label)
    assert read_text(space[0]).anchor == anchor
    assert text_fault([read_text(space[0])], [label], NEAR) == ""

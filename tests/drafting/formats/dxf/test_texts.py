"""Texts of a DXF come back as they were."""

from dataclasses import replace

import ezdxf
import pytest

from geomgen.drafting.formats.dxf.texts import add_text, read_text, same_text
from geomgen.drafting.record import Label

LABEL = Label((3.0, 4.0), "WL 820", 2.5, 30.0, "end", "DIM")


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_round_trip(anchor):
    label = replace(LABEL, anchor=anchor)
    space = ezdxf.new("R2010").modelspace()
    add_text(space, label)
    assert same_text(read_text(space[0]), label)


@pytest.mark.parametrize(
    "other",
    [{"text": "WL 830"}, {"at": (3.0, 4.1)}, {"height": 2.6}, {"angle": 31.0},
     {"anchor": "start"}, {"layer": "TEXT"}],
)  # fmt: skip
def test_another_text_is_another(other):
    assert not same_text(replace(LABEL, **other), LABEL)
    assert same_text(replace(LABEL, angle=390.0), LABEL)

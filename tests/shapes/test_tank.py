"""Tanks as solids: their outside, their wall and their room, against closed forms."""

from math import pi
from pathlib import Path

import pytest

from geomgen.kernel.solids.properties import bounding_box, volume
from geomgen.kernel.solids.validity import validity
from geomgen.parameters import load
from geomgen.parameters.records.masses import TankShape
from geomgen.shapes.tank import tanks

FILE = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"


def made(**shape):
    p = load(FILE)
    own = TankShape.model_validate({"station": "1600 mm", "waterline": "620 mm", **shape})
    tank = p.tanks[0].model_copy(update={"shape": own})
    return tanks(p.model_copy(update={"tanks": (tank,)}))[0]


def test_the_tank_of_the_example():
    (piece,) = tanks(load(FILE))
    assert (piece.name, piece.family) == ("tank_main", "tank")
    box = bounding_box(piece.solid)
    assert box.low == pytest.approx((1476.0, -180.0, 507.5))
    assert box.high == pytest.approx((1724.0, 180.0, 732.5))
    wall = 248.0 * 360.0 * 225.0 - 245.0 * 357.0 * 222.0
    assert volume(piece.solid).value == pytest.approx(wall)
    found = validity(piece.solid)
    assert (found.solids, found.shells, found.problems) == (1, 2, ())


@pytest.mark.parametrize("axis", ["x", "y", "z", None])
def test_a_cylinder_lies_along_its_axis(axis):
    more = {"axis": axis} if axis else {}
    piece = made(
        kind="cylinder", length="400 mm", diameter="260 mm", wall="2 mm", buttock_line="40 mm",
        **more,
    )  # fmt: skip
    box = bounding_box(piece.solid)
    sides = [high - low for low, high in zip(box.low, box.high, strict=True)]
    assert sides == pytest.approx([400.0 if axis_ == (axis or "x") else 260.0 for axis_ in "xyz"])
    middle = [(high + low) / 2 for low, high in zip(box.low, box.high, strict=True)]
    assert middle == pytest.approx([1600.0, 40.0, 620.0])
    wall = pi * (130.0**2 * 400.0 - 128.0**2 * 396.0)
    assert volume(piece.solid).value == pytest.approx(wall)


def test_a_file_without_shapes_has_none():
    p = load(FILE)
    assert tanks(p.model_copy(update={"tanks": ()})) == []

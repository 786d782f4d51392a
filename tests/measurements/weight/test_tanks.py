"""The room inside tanks, surveyed as `check` does it, against closed forms."""

from math import pi
from pathlib import Path

import pytest
from surveyed_models import meshes_of, model_of

from geomgen.kernel.brep.primitives import box
from geomgen.measurements.survey.whole import survey
from geomgen.parameters import load
from geomgen.shapes.tank import tanks

FILE = Path(__file__).parents[3] / "configs" / "saltmarsh.toml"


def room_of(solid):
    model = model_of({"tank_main": solid})
    found = {m.id: m for m in survey(model, meshes_of(model))}
    return found["tank.room.tank_main"]


def shaped(**shape):
    p = load(FILE)
    made = p.tanks[0].shape.model_validate({"station": "1600 mm", "waterline": "620 mm", **shape})
    tank = p.tanks[0].model_copy(update={"shape": made})
    (piece,) = tanks(p.model_copy(update={"tanks": (tank,)}))
    return piece.solid


def test_the_room_of_a_box_is_its_sides_less_two_walls():
    solid = shaped(kind="box", length="248 mm", width="360 mm", height="225 mm", wall="1.5 mm")
    room = room_of(solid)
    assert room.value == pytest.approx(245.0 * 357.0 * 222.0)
    assert room.points[0] == pytest.approx((1600.0, 0.0, 620.0))


@pytest.mark.parametrize("axis", ["x", "y", "z"])
def test_the_room_of_a_cylinder_and_its_middle(axis):
    solid = shaped(
        kind="cylinder", length="400 mm", diameter="260 mm", axis=axis, wall="5 mm",
        buttock_line="30 mm",
    )  # fmt: skip
    room = room_of(solid)
    assert room.value == pytest.approx(pi * 125.0**2 * 390.0)
    assert room.points[0] == pytest.approx((1600.0, 30.0, 620.0))


def test_a_full_block_has_no_room():
    """A tank that was built without its room: not measured, never its outside."""
    room = room_of(box((0.0, 0.0, 0.0), (100.0, 100.0, 100.0)))
    assert room.value is None
    assert "no closed rooms" in room.note

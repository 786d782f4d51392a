"""Room round the engine: every part counts that does not move with it (DERIVED).

Ways to be wrong while `engine.clearance` passes, and what holds each:
- a wing, pylon, boom, wheel or tail too near is not looked at: one bench a family;
- a part is left out that nobody said is fixed to the engine, or stays in though it is;
- the points told belong to another place than the distance: checked in every bench, also where
  the kernel's own distance is refused;
- one side only, leaning, off centre, mirrored, two engines, none, a part inside the engine.
Not seen: hoses, mounts, baffles and whatever else is not drawn; how far the engine shakes.
"""

import math

import pytest
from few_cases import few
from surveyed_models import model_of, surveyed

from geomgen.kernel.brep.primitives import box, cylinder, mirrored, turned
from geomgen.kernel.solids.distance import Closest
from geomgen.measurements.fit import engine_fit
from geomgen.measurements.fit.questions import ROOMS

X = (1.0, 0.0, 0.0)
ID = "engine.clearance"
ENGINE = box((300, -100, -100), (600, 100, 100))
FAR = box((0, -900, -900), (900, 900, -880))


def room(parts, **more):
    found = surveyed(model_of({"pod": FAR, **parts}, **more), 0.1, ROOMS)[ID]
    assert math.dist(*found.points) == pytest.approx(abs(found.value), abs=found.error_bound + 1e-6)
    return found


@pytest.mark.parametrize(
    "name",
    ["wing", "pylon", "boom_left", "tailplane", "fin_right", "wheel_main", "exit", "tail_fairing"],
)
@pytest.mark.parametrize("side", few([1, -1]))
def test_two_millimetres_to_any_part_are_two_millimetres(name, side) -> None:
    near = box((350, 102, -50), (500, 150, 50))
    found = room({"engine": ENGINE, name: near if side > 0 else mirrored(near)})
    assert found.value == pytest.approx(2.0, abs=1e-5)
    assert name in found.part
    assert found.points[1][1] == pytest.approx(side * 102.0, abs=1e-4)


def test_what_the_file_fixes_to_the_engine_is_not_counted_and_said() -> None:
    parts = {
        "engine": ENGINE,
        "exit": box((602, -50, -50), (650, 50, 50)),
        "wing": box((300, -100, 130), (600, 100, 150)),
    }
    found = room(parts, on_engine=("exit",))
    assert found.value == pytest.approx(30.0, abs=1e-5)
    assert "not counted, fixed to the engine: exit" in found.note
    assert room(parts).value == pytest.approx(2.0, abs=1e-5)


def test_what_turns_on_its_shaft_is_not_counted() -> None:
    parts = {
        "engine": ENGINE,
        "spinner": cylinder((601, 0, 0), X, 40.0, 90.0),
        "prop_disc": cylinder((605, 0, 0), X, 600.0, 50.0),
        "fin": box((640, 110, -20), (700, 120, 20)),
    }
    assert room(parts).value == pytest.approx(math.hypot(40.0, 10.0), abs=1e-5)


def test_a_leaning_part_off_centre() -> None:
    """A rod of 30 whose axis passes 200 from the edge of the box, at 45 deg: 170 from it."""
    away = 100.0 + 200.0 / math.sqrt(2.0)
    pylon = turned(cylinder((-40, 0, 0), X, 30.0, 80.0), X, 33.0, (450, away, away))
    found = room({"engine": ENGINE, "pylon": pylon})
    assert found.value == pytest.approx(170.0, abs=1e-4)


def test_two_engines_are_neighbours_of_each_other() -> None:
    found = room({"engine_left": ENGINE, "engine_right": box((300, 107, -100), (600, 300, 100))})
    assert found.value == pytest.approx(7.0, abs=1e-5)


def test_none_is_not_measured() -> None:
    assert ID not in surveyed(model_of({"pod": FAR}))


def test_a_part_inside_the_engine_is_negative_by_its_depth() -> None:
    """A cube of 20 with its near face 10 below the skin: its far face 30."""
    found = room({"engine": ENGINE, "fin": box((400, 70, -10), (420, 90, 10))})
    assert found.value == pytest.approx(-30.0, abs=0.3)


def test_where_the_kernel_is_refused_the_points_are_the_meshes(monkeypatch) -> None:
    """A kernel that answers 300 mm beside the place is not believed, neither its points."""
    wrong = Closest(302.0, (0.0, 0.0, 0.0), (302.0, 0.0, 0.0))
    monkeypatch.setattr(engine_fit, "closest", lambda a, b: wrong)
    found = room({"engine": ENGINE, "wing": cylinder((450, -300, 142), (0, 1, 0), 40.0, 600.0)})
    assert found.value == pytest.approx(2.0, abs=found.error_bound)
    assert found.points[0][2] == pytest.approx(100.0, abs=1e-3)
    assert found.points[0][0] == pytest.approx(450.0, abs=5.0)


def test_points_that_are_not_the_distance_apart_are_not_believed(monkeypatch) -> None:
    wrong = Closest(2.0, (0.0, 0.0, 0.0), (300.0, 0.0, 0.0))
    monkeypatch.setattr(engine_fit, "closest", lambda a, b: wrong)
    found = room({"engine": ENGINE, "wing": box((350, 102, -50), (500, 150, 50))})
    assert found.value == pytest.approx(2.0, abs=1e-3)

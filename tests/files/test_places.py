"""The places to measure at: the same after a trip over the disk."""

import inspect
import json
from dataclasses import fields

import pytest

from geomgen.errors import FileWriteError
from geomgen.files.places import NAME, model_from, plain, read_places, write_places
from geomgen.kernel.model import Model
from geomgen.kernel.plain import (
    AssemblyPlan,
    BoltedPlate,
    FlatSheet,
    FlightState,
    GlazedSkin,
    HandWay,
    KeptFree,
    Limb,
    PinJoint,
    Plane,
    TankRoom,
)
from geomgen.shapes.assembly.pilot_places import eye, glass, limbs


def test_round_trip_changes_nothing(saltmarsh_model, tmp_path):
    write_places(tmp_path, saltmarsh_model)
    model, names = read_places(tmp_path)
    assert names == tuple(saltmarsh_model.parts)
    model.parts = dict(saltmarsh_model.parts)
    assert plain(model) == plain(saltmarsh_model)
    assert model == saltmarsh_model
    assert (model.on_engine, model.joint_gap) == (("tail_fairing",), 0.3)
    assert {("wing", "boom", 0.3), ("scoop_cheek", "pod", 0.3)} <= set(model.joint_gaps)
    assert model.passages == saltmarsh_model.passages
    assert model.grounds == saltmarsh_model.grounds


def test_fittings_and_what_stays_free_go_to_the_disk_and_back(tmp_path):
    plane = Plane((1.0, 2.0, 1 / 3), (1.0, 0.0, 0.0))
    rod = Limb("r", (0.0, 0.0, 1 / 3), (9.0, 0.0, 0.0), 2.0, 2.0)
    model = Model(
        bolted={"fitting_a": BoltedPlate(plane, (0.0, 0.0, 1.0), 4.0, 1 / 3)},
        kept_free=(
            KeptFree("stick", box=((0.0, 0.0, 0.0), (1.0, 1.0, 1 / 3))),
            KeptFree("rudder", rods=(rod,), through=("pod", "boom")),
        ),
        hand_ways=(HandWay("cock", (0.0, 0.0, 0.0), (1.0, 0.0, 1 / 3), "firewall"),),
    )
    write_places(tmp_path, model)
    read = read_places(tmp_path)[0]
    assert (read.bolted, read.kept_free) == (model.bolted, model.kept_free)
    assert read.hand_ways == model.hand_ways


def test_assembly_and_room_of_tanks_go_to_the_disk_and_back(tmp_path):
    plane = Plane((0.0, 0.0, 1 / 3), (0.0, 0.0, 1.0))
    model = Model(
        assembly=AssemblyPlan(plane, ("firewall", "tank"), ("stringer",)),
        tank_rooms={"tank_main": TankRoom(1 / 3, ("pod",), "above", ("wing", "pylon"))},
    )
    write_places(tmp_path, model)
    read = read_places(tmp_path)[0]
    assert (read.assembly, read.tank_rooms) == (model.assembly, model.tank_rooms)


def test_nothing_of_a_model_is_left_behind():
    """What is not written is not measured: questions are asked of the model as read back."""
    written, read = inspect.getsource(plain), inspect.getsource(model_from)
    own = {field.name for field in fields(Model)} - {"parts"}
    assert {name for name in own if f'"{name}"' not in written or f"{name}=" not in read} == set()


def test_notices_go_to_the_disk_and_back(tmp_path):
    model = Model(notices=("wing: the joint with the pod makes 2 parts of it", "pylon: a crumb"))
    write_places(tmp_path, model)
    assert read_places(tmp_path)[0].notices == model.notices


def test_uncut_breadths_go_to_the_disk_and_back(tmp_path):
    model = Model(uncut={"pod": ((400.0, -300.0, 800.0), (400.0, 1 / 3 + 300.0, 800.0))})
    write_places(tmp_path, model)
    assert read_places(tmp_path)[0].uncut == model.uncut


def test_joints_of_the_outer_wing_go_to_the_disk_and_back(tmp_path):
    plane = Plane((1.0, 2.0, 1 / 3), (0.0, 1.0, 0.0))
    ways = (0.0, 1.0, 1 / 3), (1.0, 0.0, 1 / 3)
    model = Model(
        pin_joints=(
            PinJoint(
                "main", "right", "wing", 1 / 3, plane, *ways, 1 / 7, 1 / 9, 1 / 11, 1 / 13, 1 / 15
            ),
        )
    )
    write_places(tmp_path, model)
    assert read_places(tmp_path)[0].pin_joints == model.pin_joints


def test_the_skin_over_an_opening_goes_to_the_disk_and_back(tmp_path):
    rows = tuple(tuple((x, y, 1 / 3) for y in (0.0, 40.0)) for x in (250.0, 1440.0))
    model = Model(glazed_skin=GlazedSkin(rows, rows[::-1]))
    write_places(tmp_path, model)
    assert read_places(tmp_path)[0] == model
    write_places(tmp_path, Model())
    assert read_places(tmp_path)[0].glazed_skin is None


def test_the_pilot_goes_to_the_disk_and_back(tmp_path, variant):
    p = variant()
    others = {" of the 5th woman": (1100.0, 0.0, 900.0)}
    model = Model(pilot=limbs(p), eye=eye(p), other_eyes=others, glass=glass(p), climb_pitch=1 / 3)
    write_places(tmp_path, model)
    found = read_places(tmp_path)[0]
    assert found.climb_pitch == 1 / 3
    assert (found.pilot, found.eye, found.glass) == (model.pilot, model.eye, model.glass)
    assert found.other_eyes == others
    assert len(found.pilot) > 15
    write_places(tmp_path, Model())
    assert read_places(tmp_path)[0].pilot == []


def test_states_of_flight_and_the_step_in_the_skin_go_to_the_disk_and_back(tmp_path):
    climb = FlightState("climb", 25.0, 1 / 3, 480.0, 1.225, 0.2)
    model = Model(flights=(climb, FlightState("standing", 0.0, 0.0, 700.0, 1.1)), trip=900.0)
    write_places(tmp_path, model)
    found = read_places(tmp_path)[0]
    assert (found.flights, found.trip) == (model.flights, 900.0)
    assert found == model
    write_places(tmp_path, Model())
    assert (read_places(tmp_path)[0].flights, read_places(tmp_path)[0].trip) == ((), None)


@pytest.mark.parametrize(
    "damage",
    [{"flights": [{"name": "climb"}]}, {"flights": [{"swirl": 1}]}, {"trip": "aft"}],
)
def test_damaged_states_of_flight_are_refused(tmp_path, damage):
    path = write_places(tmp_path, Model())
    path.write_text(json.dumps(json.loads(path.read_bytes()) | damage))
    with pytest.raises(FileWriteError, match=NAME):
        read_places(tmp_path)


def test_same_model_gives_same_bytes(saltmarsh_model, tmp_path):
    first = write_places(tmp_path, saltmarsh_model).read_bytes()
    assert write_places(tmp_path, saltmarsh_model).read_bytes() == first


@pytest.mark.parametrize("damage", ["missing", "cut", "other", "short vector"])
def test_damaged_file_is_refused(saltmarsh_model, tmp_path, damage):
    path = write_places(tmp_path, saltmarsh_model)
    content = json.loads(path.read_bytes())
    if damage == "missing":
        path.unlink()
    elif damage == "cut":
        path.write_bytes(path.read_bytes()[:100])
    elif damage == "other":
        path.write_text("[]")
    else:
        content["firewall_seed"] = [1.0, 2.0]
        path.write_text(json.dumps(content))
    with pytest.raises(FileWriteError, match=NAME):
        read_places(tmp_path)


def test_straight_ends_of_a_sheet_go_to_the_disk_and_back(tmp_path):
    plane = Plane((1.0, 0.0, 2.0), (1.0, 0.0, 0.0))
    end = Plane((1.0, 0.0, 9.0), (0.0, 0.0, 1.0))
    model = Model(sheets={"frame_floor": FlatSheet(plane, (0.0, 0.0, 1.0), 6.0, ends=(end,))})
    write_places(tmp_path, model)
    assert read_places(tmp_path)[0].sheets == model.sheets

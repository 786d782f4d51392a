"""What each line weighs, by hand."""

import pytest
from framed_pods import frame, pod_of, stringer
from joined_spars import jointed
from weighed_machines import machine, solid

from geomgen.balance.masses.entries import (
    at_level,
    entries,
    names_of,
    of_parts,
    row_of,
    worked_out,
)
from geomgen.balance.masses.solid_figures import solids_measured
from geomgen.parameters.records.masses import MassItem, PartMass, Tank
from geomgen.parameters.records.pilot import Canopy
from geomgen.parameters.records.structure.attachments import BoltedFitting

AT = (1000.0, 0.0, 800.0)


def figures(**more):
    return solids_measured([solid("pod", 2e9, AT, **more)])["pod"]


def row(**more):
    return PartMass.model_validate({"part": "pod", **more})


def test_a_full_body_is_volume_times_density():
    body, how, source = worked_out(machine(), row(material="spruce"), figures())
    assert body.mass == pytest.approx(2.0 * 430.0)
    assert body.centre == AT
    assert "from memory" in source
    assert how


def test_a_density_of_ones_own_goes_before_the_usual_one():
    made = row(material="spruce", density="400 kg/m^3", source="my plank")
    body, _, source = worked_out(machine(), made, figures())
    assert body.mass == pytest.approx(800.0)
    assert source == "my plank"


def test_plates_and_pins_of_a_joint_are_weighed_by_their_own_table():
    p = jointed({"pin_material": "titanium"}).model_copy(update={"mass": (), "items": ()})
    names = (
        ("joint_plate_main_inner_1_left", "joint_plate"),
        ("joint_pin_main_1_right", "joint_pin"),
    )
    measured = solids_measured([solid(n, 1e6, AT, family=family) for n, family in names])
    found = {one.name: (one.body.mass, one.source) for one in of_parts(p, measured)}  # fmt: skip
    assert found == {
        "joint_plate_main_inner_1_left": (pytest.approx(7.85), "spars.0.wing_joint.material"),
        "joint_pin_main_1_right": (pytest.approx(4.43), "spars.0.wing_joint.pin_material"),
    }
    own = p.model_copy(update={"mass": (row(part="joint_plate_main", density="8000 kg/m^3"),)})
    (plate,) = [one for one in of_parts(own, measured) if one.name == names[0][0]]
    assert plate.body.mass == pytest.approx(8.0)


def test_a_tube_is_its_skin_times_wall_and_density():
    made = figures(area=3e6, joint=1e6)
    body, _, _ = worked_out(machine(), row(material="steel", wall="1 mm"), made)
    assert body.mass == pytest.approx(3.0 * 0.001 * 7850.0)


def test_a_skin_lies_on_all_but_the_joints():
    body, _, _ = worked_out(machine(), row(skin="500 g/m^2"), figures(area=3e6, joint=1e6))
    assert body.mass == pytest.approx(2.0 * 0.5)


def test_a_laminate_takes_its_thickness_out_of_the_core():
    """Two plies of 200 g/m2 at 0.35 (REFERENCES: 0.223 mm each) on a core of 60 kg/m3."""
    resin = 0.2 / 2560.0 * 0.65 / 0.35 * 1150.0
    thick = 2 * 0.2 / (2560.0 * 0.35)
    body, how, _ = worked_out(
        machine(), row(material="PVC foam 60", laminate=True), figures(area=5e6)
    )
    assert body.mass == pytest.approx(60.0 * (2.0 - 5.0 * thick) + 5.0 * 2 * (0.2 + resin))
    assert "laminate" in how


def test_scales_go_before_the_sum_which_stands_beside():
    p = machine()
    p = p.model_copy(update={"mass": (row(material="spruce", weighed="3.42 kg"),), "items": ()})
    found = {line.name: line for line in entries(p, {"pod": figures()})}
    assert found["pod"].body.mass == pytest.approx(3.42)
    assert found["pod"].worked_out == pytest.approx(860.0)
    assert found["pod"].band == pytest.approx(0.005 * 3.42)


def test_pounds_are_no_kilograms():
    item = MassItem.model_validate(
        {"name": "a", "group": "systems", "mass": "10 lb", "station": "1 m", "waterline": "0 mm"}
    )
    p = machine().model_copy(update={"mass": (), "items": (item,), "tanks": ()})
    assert entries(p, {})[0].body.mass == pytest.approx(4.5359237)


def test_a_mirrored_item_stands_on_both_sides():
    rows = [line for line in entries(machine(), measured()) if line.name.startswith("clamp")]
    assert [line.name for line in rows] == [
        "clamp and fittings of the main leg, right",
        "clamp and fittings of the main leg, left",
    ]
    assert rows[0].body.centre[1] == -rows[1].body.centre[1] == 160.0


def measured():
    names = ("engine", "pylon")
    return solids_measured([solid(name, 1e6, (2000.0, 0.0, 900.0)) for name in names])


def test_an_item_in_the_centre_of_a_part_moves_with_it():
    lines = {line.name: line for line in entries(machine(), measured())}
    assert lines["engine with reduction gear and fan"].body.centre == (2000.0, 0.0, 900.0)


def test_safety_devices_are_left_out_of_a_rules_empty_mass():
    lines = {line.name: line for line in entries(machine(), measured())}
    assert lines["parachute"].empty
    assert not lines["parachute"].limited


def one(name, family=None, volume=1e6):
    return solids_measured([solid(name, volume, AT, area=1e6, family=family)])[name]


@pytest.mark.parametrize(
    ("part", "family", "name"),
    [
        ("wing_outer_left", "wing", "wing"),
        ("boom_aft_right", "boom", "boom_right"),
        ("ventral_fin_right", "fin", "fin"),
        ("tail_fairing", "tail_fairing", "tail_fairing"),
    ],
)
def test_a_part_goes_by_its_own_name_its_pair_or_its_family(part, family, name):
    assert names_of(one(part, family))[0] == part
    assert name in names_of(one(part, family))


def test_the_name_of_a_part_goes_before_that_of_its_family():
    rows = (row(part="boom", material="spruce"), row(part="boom_left", weighed="2 kg"))
    p = machine().model_copy(update={"mass": rows})
    assert row_of(p, one("boom_left")) is rows[1]
    assert row_of(p, one("boom_right")) is rows[0]
    assert row_of(p, one("pod")) is None


@pytest.mark.parametrize(
    ("part", "names", "family", "masses"),
    [
        ("wing", ("wing_right", "wing_left"), "wing", (17.5, 17.5)),
        ("boom", ("boom_fore_right", "boom_aft_right", "boom_left"), "boom", (17.5, 17.5, 35.0)),
        ("boom_right", ("boom_fore_right", "boom_aft_right"), "boom", (17.5, 17.5)),
    ],
)
def test_what_was_weighed_in_one_piece_is_shared_by_its_pieces(part, names, family, masses):
    p = machine().model_copy(update={"mass": (row(part=part, weighed="35 kg"),), "items": ()})
    pieces = {name: one(name, family) for name in names}
    lines = entries(p, pieces)
    assert [line.body.mass for line in lines if line.name in names] == pytest.approx(list(masses))


def test_the_last_fuel_lies_where_it_is_said():
    tank = Tank.model_validate(
        {
            **{"name": "a", "usable": "10 l", "station": "1 m", "waterline": "600 mm"},
            **{"low_station": "1.1 m", "low_waterline": "500 mm"},
        }
    )
    assert at_level(tank, 0.0) == (1100.0, 0.0, 500.0)
    assert at_level(tank, 0.5) == (1050.0, 0.0, 550.0)
    assert at_level(tank, 1.0) == (1000.0, 0.0, 600.0)


def test_glazing_weighs_by_its_own_material_until_a_row_says_otherwise():
    glazed = {"canopy": Canopy.model_validate({**ENDS, "material": "polycarbonate"})}
    p = machine().model_copy(update={**glazed, "mass": (), "items": ()})
    known = solids_measured([solid("canopy", 3e6, AT)])
    (line,) = (each for each in entries(p, known) if each.name == "canopy")
    assert line.body.mass == pytest.approx(3e-3 * 1200.0)
    own = PartMass.model_validate({"part": "canopy", "weighed": "4.1 kg"})
    every = entries(p.model_copy(update={"mass": (own,)}), known)
    (line,) = (each for each in every if each.name == "canopy")
    assert line.body.mass == pytest.approx(4.1)


ENDS = {
    "fore_station": "0.2 m",
    "aft_station": "1.4 m",
    "fore_sill": "0.8 m",
    "aft_sill": "0.9 m",
    "built_as": "glazing",
    "thickness": "3 mm",
}


def test_a_fitting_weighs_what_its_table_says_and_nothing_in_a_weighed_wing():
    """Two litres of steel at 7850 kg/m3; bolted into a wing that was weighed it is in that."""
    table = {
        "name": "lug", "use": "boom", "side": "aft", "station": "1 m", "waterline": "800 mm",
        "width": "80 mm", "height": "60 mm", "thickness": "4 mm", "inside": "wing",
        "bolts": {"diameter": "6 mm", "pitch": "30 mm"},
    }  # fmt: skip
    p = pod_of().model_copy(update={"mass": (), "items": (), "tanks": ()})
    p = p.model_copy(update={"fittings": (BoltedFitting.model_validate(table),)})
    pieces = {name: one(name, name.split("_")[0]) for name in ("wing", "fitting_lug")}
    (line,) = entries(p, pieces)
    assert line.body.mass == pytest.approx(7850.0 * pieces["fitting_lug"].volume.mass)
    assert line.source == "fittings.0.density"
    weighed = p.model_copy(update={"mass": (row(part="wing", weighed="30 kg"),)})
    assert [line.name for line in entries(weighed, pieces)] == ["wing"]


def test_frames_and_stringers_weigh_what_their_own_tables_say():
    """Two litres of birch ply at 680 kg/m3, of spruce at 430; a row of [[mass]] goes before."""
    p = pod_of(frame(), stringer(density="500 kg/m^3"))
    p = p.model_copy(update={"mass": (), "items": (), "tanks": ()})
    names = ("frame_one", "stringer_strip_right", "stringer_strip_left")
    pieces = {name: one(name, name.split("_")[0]) for name in names}
    found = {line.name: line for line in entries(p, pieces)}
    volumes = [pieces[name].volume.mass for name in names]
    assert [found[name].body.mass for name in names] == pytest.approx(
        [v * density for v, density in zip(volumes, (680.0, 500.0, 500.0), strict=True)]
    )
    assert found["frame_one"].source == "frames.0.density"
    weighed = p.model_copy(update={"mass": (row(part="frame_one", weighed="0.9 kg"),)})
    again = {line.name: line for line in entries(weighed, pieces)}
    assert again["frame_one"].body.mass == pytest.approx(0.9)


def test_what_an_item_includes_is_not_counted_beside_it():
    p = pod_of(frame(), stringer(density="500 kg/m^3"))
    item = MassItem.model_validate({
        "name": "frames and floor", "group": "structure", "mass": "7.5 kg",
        "station": "1 m", "waterline": "0.5 m", "includes": ["frame"],
    })  # fmt: skip
    p = p.model_copy(update={"mass": (), "items": (item,), "tanks": ()})
    names = ("frame_one", "stringer_strip_right", "stringer_strip_left")
    pieces = {name: one(name, name.split("_")[0]) for name in names}
    assert [line.name for line in entries(p, pieces)] == [*names[1:], "frames and floor"]

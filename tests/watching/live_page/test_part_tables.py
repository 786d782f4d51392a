"""From the parts of whole machines to the tables of their numbers."""

import re
from functools import cache

import pytest
from watched_aircraft import CONFIGS

from geomgen.parameters.editing.field_list import fields_of
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.parameters.reading.loading import records_of
from geomgen.watching.live_page.part_tables import part_rules, within


def tables_of(part, rules):
    return next((rule["tables"] for rule in rules if re.search(rule["part"], part)), [])


# What the builds of the examples are made of.
SALTMARSH = [
    "pod",
    "exit",
    "tail_fairing",
    "scoop_cheek_right",
    "scoop_cheek_left",
    "firewall",
    "wing",
    "boom_right",
    "boom_left",
    "tailplane",
    "fin_right",
    "fin_left",
    "pylon",
    "engine",
    "tank_main",
    "prop_disc",
    "spinner",
    "wheel_main_right",
    "wheel_main_left",
    "wheel_nose",
    "leg_main_right",
    "leg_main_left",
    "leg_nose",
]
CUT = ["wing_outer_left", "boom_fore_right", "ventral_fin_left"]


@pytest.fixture(scope="module")
def rows():
    return rows_of("saltmarsh")


@cache
def rows_of(name):
    file = CONFIGS / f"{name}.toml"
    tables, origins = read_with_bases(file)
    p = records_of(tables, origins, file.parent)
    return [field.as_dict() for field in fields_of(p, tables, origins)]


def test_every_part_leads_to_numbers_that_are_there(rows):
    rules, tables = part_rules(rows), {row["table"] for row in rows}
    for part in (*SALTMARSH, *CUT):
        found = tables_of(part, rules)
        assert found, part
        assert any(within(table, found[0]) for table in tables), part


@pytest.mark.parametrize(
    ("part", "tables"),
    [
        ("wheel_main_left", ["gear.wheels.0"]),
        ("wheel_nose", ["gear.wheels.1"]),
        ("leg_nose", ["gear.wheels.1.leg"]),
        ("tank_main", ["tanks.0"]),
        ("fin_right", ["fins"]),
        ("something", []),
    ],
)
def test_an_item_of_a_list_has_its_own(rows, part, tables):
    assert tables_of(part, part_rules(rows)) == tables


def test_control_places_know_where_they_stand(rows):
    at = {row["key"]: row["mm"] for row in rows}
    assert (at["firewall.station"], at["pod.nose"], at["flight.climb_speed"]) == (
        1800.0,
        None,
        None,
    )


def test_frames_and_their_side_pieces_lead_to_their_row():
    rows = [{"key": "frames.1.name", "table": "frames.1", "written": "side"}]
    for part in ("frame_side", "frame_side_right", "frame_side_left"):
        assert tables_of(part, part_rules(rows)) == ["frames.1"]
    assert tables_of("frame_sidelong", part_rules(rows)) == []


@pytest.mark.parametrize(
    ("part", "tables"),
    [
        ("spar_main_cap_upper_outer_right", ["spars.0"]),
        ("spar_tailplane_web_fore", ["spars.1"]),
        ("joint_plate_main_packing_outer_1_left", ["spars.0.wing_joint"]),
        ("joint_pin_main_4_left", ["spars.0.wing_joint"]),
        ("rib_boom_2_nose_left", ["ribs.0"]),
        ("wing_outer_right", ["wing"]),
        ("frame_knee", ["frames.1"]),
        ("canopy", ["canopy", "pod"]),
    ],
)
def test_what_stands_inside_leads_to_its_row(part, tables):
    assert tables_of(part, part_rules(rows_of("framed"))) == tables


def test_of_two_spars_whose_names_begin_alike_each_leads_to_its_own():
    names = {"spars.0.name": "main", "spars.1.name": "main_2"}
    rows = [{"key": k, "table": k[:7], "written": name} for k, name in names.items()]
    found = [tables_of(f"spar_{name}_web", part_rules(rows)) for name in ("main", "main_2")]
    assert found == [["spars.0"], ["spars.1"]]

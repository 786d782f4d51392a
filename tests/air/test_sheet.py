"""The sheet of the air: what stands in it, within 80 columns."""

import re
from dataclasses import replace

import pytest
from aired_machines import machine, measured

from geomgen.air.gathering import machine_air
from geomgen.air.record import NeutralBeside
from geomgen.air.sheet import air_blocks
from geomgen.documents.record import Table
from geomgen.documents.screen import lines_of


def text_of(air, width=80):
    return "\n".join(line for line, _ in lines_of(air_blocks(air), width))


def flat(air):
    return re.sub(r"\s+", " ", text_of(air))


@pytest.fixture(scope="module")
def air():
    return machine_air(machine(), measured(), NeutralBeside(1630.0, 19.0, 1625.0, (1600.0, 1650.0)))


def test_it_keeps_to_eighty_columns(air):
    assert max(map(len, text_of(air).splitlines())) <= 80


def test_it_begins_with_the_caution_and_ends_with_what_is_not_seen(air):
    text = flat(air)
    assert text.index("no measurement: tuft the pod") < text.index("STATE")
    assert text.index("Not seen: swirl") > text.index("STA 1900 mm on the crown")


def test_a_state_has_both_units(air):
    """23.15 m/s are 45 kt (1 kt = 1852/3600 m/s), 570 N are 128 lbf."""
    assert re.search(r"climb +23\.[12] +45 +4\.0 +0\.3 +570 +128\n", text_of(air))
    assert re.search(r"standing +0\.0 +0 +- +- +900 +202\n", text_of(air))


def test_a_mouth_has_its_share_and_its_layer(air):
    row = r"level +0\.10 +0\.95 +0\.90 +0\.81 +0\.95 +12\.0 +0\.47 +6\.0 +30\.0 +20% +7\n"
    assert re.search(row, text_of(air))
    title = "scoop_cheek, right and left alike: 60 mm (2.4 in) high, 1.0 mm off the skin; "
    assert f"{title}turn of its passage: 110 deg" in flat(air)


def test_a_layer_that_is_not_told_is_not_a_number():
    air = machine_air(machine(), measured(layer=False))
    assert re.search(r"climb +0\.10 +0\.95 +not told +- +- +not told", text_of(air))


@pytest.mark.parametrize(("station", "word"), [(1630.0, "inside"), (1580.0, "outside")])
def test_the_neutral_points_stand_side_by_side(air, station, word):
    beside = replace(air, neutral=replace(air.neutral, station=station))
    assert f"is {word} that, {station - 1625:+.0f} mm off" in flat(beside)


def test_without_masses_it_says_that_nothing_stands_beside():
    lone = NeutralBeside(1630.0, 19.0, why="the file describes no masses")
    text = flat(machine_air(machine(), measured(), lone))
    assert "The mass sheet has none beside it: the file describes no masses." in text


def test_places_stand_in_order_with_what_they_fail_by(air):
    """Station, waterline, way in both units (1 in = 25.4 mm), the layer over the mouth's height."""
    text = text_of(air, 100)
    height = air.wanted.height
    share = f"{4.0 / height:.0%}"
    assert re.search(
        rf"1 side +1200 +720 +1000 +-0\.10 +4\.0 +{share} +[01]\.\d\d +35 +nothing", text
    )
    assert re.search(r"2 crown +600 .* on the canopy\n", text)
    assert re.search(r"1 side +47\.2 +28\.3 +39\.4 +0\.16\n", text)
    assert "1 of 2 pass" in flat(air)


def test_no_figure_is_broken_at_eighty_columns(air):
    words = set(text_of(air).split())
    for table in (block for block in air_blocks(air) if isinstance(block, Table)):
        for row in table.rows:
            assert all(set(row.cells[at].split()) <= words for at in table.numbers)
            assert all(" " in row.cells[at] or row.cells[at] in words for at in table.numbers)


def test_a_file_without_mouths_looks_for_no_place():
    p = machine().model_copy(update={"scoops": ()})
    assert "Places for a mouth" not in flat(machine_air(p, measured()))

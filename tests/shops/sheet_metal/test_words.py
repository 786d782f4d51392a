"""SheetWords and tables of the sheet shop's drawings."""

import math
from functools import cache

import pytest
from shops.sheet_metal.example_sheet import model_of
from shops.sheet_metal.trays import CONFIG

from geomgen.parameters import load
from geomgen.shops.sheet_metal.package import sheet_package

LEANING = ("firewall.tilt=10 deg",)
FORWARD = (
    "firewall.flange_direction=forward",
    "handoff.sheet.cut_tolerance=0.1 mm",
    "handoff.sheet.bend_tolerance=1 deg",
)


@cache
def page(*overrides):
    p = load(CONFIG, list(overrides))
    made = sheet_package(p, model_of(p)).sheets[1]
    return p, [label.text for label in made.drawing.labels], made.drawing.notes


def test_holes_of_a_leaning_firewall_are_given_in_its_own_plane() -> None:
    """Closed form: a waterline's difference over the cosine of the lean; the thrust line is Y 0."""
    p, words, notes = page(*LEANING)
    wires = next(hole for hole in p.firewall.penetrations if hole.use == "wiring")
    row = words.index("wiring")
    y = float(words[row - 2])
    rise = (wires.waterline - p.propeller.waterline) / math.cos(math.radians(10.0))
    assert float(words[row - 3]) == wires.buttock_line
    assert y == pytest.approx(rise, abs=0.05)
    assert y > wires.waterline - p.propeller.waterline + 2.0
    assert "top leans AFT 10 deg" in words
    assert any("top leans AFT 10 deg" in note for note in notes)


@pytest.mark.parametrize(
    ("said", "words"),
    [(LEANING, "aft: bend UP, towards you"), (FORWARD, "forward: bend DOWN, away from you")],
    ids=["aft", "forward"],
)
def test_way_of_the_bend_is_said(said, words) -> None:
    assert words in page(*said)[1]


def test_notes_give_the_tolerances_that_are_asked_for() -> None:
    _, _, notes = page(*FORWARD)
    assert any("cut and holes +-0.1 mm; bends +1 -0 deg" in note for note in notes)

"""The text of a new parameter file: every key with its value, its meaning and what is left out."""

from textwrap import fill
from typing import Any

from geomgen.parameters.editing.writing import toml_of
from geomgen.parameters.records.aircraft import Parameters
from geomgen.starting import (
    bay_tables,
    body_tables,
    gear_tables,
    lifting_tables,
    mass_tables,
    pilot_tables,
    shop_tables,
)
from geomgen.starting.choices import AircraftChoices
from geomgen.starting.figures import Writer
from geomgen.starting.proportions import RULES, Proportions

OURS = "own choice"
AXES = (
    "Axes: stations (STA) aft of the datum at the nose, buttock lines (BL) right-hand positive, "
    "waterlines (WL) up. Every value that has a dimension carries its unit."
)
UNFLOWN = (
    "The dimensions go together, but nobody has flown them: strength and stability are for you to "
    "work out. A geometry aid, not an airworthiness approval: local codes and licensed practice "
    "come first."
)
GUESSED = (
    "Masses are our own estimates: weigh each thing of yours and write it over them. Measure "
    "yourself for [pilot]."
)
THROUGH = "The wing ends ahead of the firewall; its spars pass behind the seat."
LEFT_OUT = "A key or table behind a # may be written too; it is left out here."


def fresh_text(choices: AircraftChoices) -> str:
    """Return the whole text of a new file; it loads, whatever was chosen."""
    chosen = "; ".join(f"{name} {value}" for name, value in choices.words().items())
    words = [
        [f"{choices.title}: a parameter file to start from. Every dimension is yours to change."],
        [f"Chosen: {chosen}."],
        [],
        [
            AXES,
            UNFLOWN,
            *([GUESSED] if choices.described else []),
            *([THROUGH] if choices.through else []),
            LEFT_OUT,
        ],
    ]
    lines = [line for part in words for line in fill(" ".join(part), 98).split("\n")]
    head = "\n".join(f"# {line}".rstrip() for line in lines)
    return f"{head}\n\n{toml_of(fresh_tables(choices), guide=True)}"


def fresh_tables(choices: AircraftChoices) -> dict[str, Any]:
    """Return the tables of a new file, in the units that were chosen."""
    return Writer(choices.units).table(Parameters, _plain(choices))


def _plain(choices: AircraftChoices) -> dict[str, Any]:
    q = Proportions(choices)
    angle = {"metric": "first angle", "imperial": "third angle"}[choices.units]
    return {
        "name": choices.name,
        "title": choices.title,
        "rules": {
            "clearances": RULES[choices.units],
            "duct_turn": {"value": 140.0, "source": OURS},
            "firewall_mass": {"value": 1.5, "source": OURS},
            **mass_tables.limits(q),
        },
        "flight": {"climb_speed": q.climb_speed, "level_speed": q.level_speed},
        "powerplant": {"power": q.power, "rpm": q.rpm},
        "pod": body_tables.pod(q),
        "exit": body_tables.exit_rim(q),
        "booms": body_tables.booms(q),
        "wing": lifting_tables.wing(q),
        "tailplane": lifting_tables.tailplane(q),
        "fins": lifting_tables.fins(q),
        "pylon": lifting_tables.pylon(q),
        "firewall": bay_tables.firewall(q),
        "scoops": bay_tables.scoops(q),
        "engine": bay_tables.engine(),
        "propeller": bay_tables.propeller(q),
        "spinner": bay_tables.spinner(q),
        "gear": gear_tables.gear(q),
        "joints": lifting_tables.joints(q),
        "drawings": {"projection": angle},
        "handoff": shop_tables.handoff(q),
        "pilot": pilot_tables.pilot(q),
        "canopy": pilot_tables.canopy(q),
        "mass": mass_tables.mass(q),
        "items": mass_tables.items(q),
        "tanks": mass_tables.tanks(q),
        "loads": mass_tables.loads(q),
    }

"""The dimensions of the aircraft that a new file describes: one consistent set [mm, deg, kg, W].

A light single-seater of some 9 m span with two cylinders behind the pilot. Everything else in the
file follows from these and from what was chosen. The proportions are our own choice.
"""

from dataclasses import dataclass
from functools import cached_property

from geomgen.parameters.records.conditions import CLEARANCES
from geomgen.starting.choices import AircraftChoices

KNOT = 1852 / 3600
RULES = {"metric": "CS 22.925", "imperial": "14 CFR 23.925"}
# What is left above a rule's clearance to the ground.
SPARE = 40.0
# Waterline of the wing's leading edge at the root.
WING_WATERLINE = {
    "low": 640.0,
    "mid": 800.0,
    "shoulder": 1060.0,
    "pylon": 1370.0,
    "parasol": 1640.0,
}
LEADING_EDGE = {"through": 980.0, "over": 1500.0}


@dataclass(frozen=True)
class Proportions:
    """The set of dimensions, and what of it depends on what was chosen."""

    choices: AircraftChoices

    power = 22_000.0
    rpm = 2500.0
    climb_speed = 50 * KNOT
    level_speed = 62 * KNOT

    pod_length = 3400.0
    wall = 4.0
    gap = 0.3
    thrust_line = 900.0
    firewall = 2230.0
    rim = 3300.0

    diameter = 1240.0
    blade_depth = 56.0
    flex = 13.0
    shake = 5.0
    hub = 140.0

    chord = 1100.0
    tip_chord = 850.0
    half_span = 4500.0
    incidence = 2.0

    boom_end = 4900.0
    tail_chord = 540.0
    fin_height = 700.0
    fin_chord = 640.0
    fin_tip = 500.0
    fin_sweep = 12.0

    rotation = 8.0
    take_off_pitch = 5.0
    strut = 60.0

    @property
    def leading_edge(self) -> float:
        """Station of the wing's leading edge [mm]; one through the pod is ahead of the firewall."""
        return LEADING_EDGE["through" if self.choices.through else "over"]

    @property
    def wing_waterline(self) -> float:
        """Waterline of the wing's leading edge at the root [mm]."""
        return WING_WATERLINE[self.choices.wing]

    @property
    def trailing_edge(self) -> float:
        """Station of the wing's trailing edge at the root [mm]."""
        return self.leading_edge + self.chord

    @property
    def blades(self) -> float:
        """Station of the blade plane [mm], behind the pod's end by what flexes and shakes."""
        return self.pod_length + 95.0

    @property
    def boom_line(self) -> float:
        """Buttock line of the booms [mm], outside the blade tips."""
        return self.diameter / 2 + 170.0

    @cached_property
    def boom_tail(self) -> float:
        """Waterline of the booms' aft ends [mm], nearer to the thrust line than the wing.

        Booms that carry tailwheels run down to them.
        """
        sink = 100.0 if self.choices.gear == "tailwheel" else 0.0
        return round(0.75 * self.wing_waterline + 0.25 * self.thrust_line, -1) - sink

    @property
    def ground_rule(self) -> float:
        """Clearance of the blades to the ground that the rule set asks for [mm]."""
        return CLEARANCES[RULES[self.choices.units]][self.choices.gear][0]

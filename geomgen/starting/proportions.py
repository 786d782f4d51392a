"""The dimensions of the aircraft that a new file describes: one consistent set [mm, deg, kg, W].

A light single-seater of some 9 m span with two cylinders behind the pilot. Everything else in the
file follows from these and from what was chosen. The proportions are our own choice.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from geomgen.parameters.records.conditions import CLEARANCES
from geomgen.starting.choices import AircraftChoices

KNOT = 1852 / 3600
RULES = {"metric": "CS 22.925", "imperial": "14 CFR 23.925"}
POD_LENGTH = 3400.0
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
LEADING_EDGE = {"through": 1640.0, "over": 1450.0}
# A wing through the pod leaves no room for the pilot in it: all behind him stands so much further
# aft, and the tail less.
STRETCH, TAIL_STRETCH = 650.0, 400.0
# From the boom to the end of the centre panel.
SHARED = 520.0


# Pylon: how far behind the wing's leading edge, and its chord, in chords of the wing.
PYLON = (0.16, 0.54)
ON_PYLON = ("pylon", "parasol")


class WingStation(NamedTuple):
    """Buttock line, chord and leading edge's station of a section of the wing [mm]."""

    out: float
    chord: float
    edge: float


@dataclass(frozen=True)
class Proportions:
    """The set of dimensions, and what of it depends on what was chosen."""

    choices: AircraftChoices

    power = 22_000.0
    rpm = 2500.0
    climb_speed = 50 * KNOT
    level_speed = 62 * KNOT

    wall = 4.0
    gap = 0.3
    thrust_line = 900.0

    diameter = 1240.0
    blade_depth = 56.0
    flex = 13.0
    shake = 5.0
    hub = 140.0

    chord = 1100.0
    tip_chord = 850.0
    half_span = 4500.0
    incidence = 2.0

    tail_chord = 540.0
    fin_height = 700.0
    fin_chord = 640.0
    fin_tip = 500.0
    fin_sweep = 12.0

    seat_station = 1020.0
    seat_waterline = 458.0

    rotation = 8.0
    take_off_pitch = 5.0
    strut = 60.0

    @property
    def stretch(self) -> float:
        """How much longer the pod is behind the pilot [mm], for a wing that runs through it."""
        return STRETCH if self.choices.through else 0.0

    @property
    def pod_length(self) -> float:
        """Length of the pod [mm]."""
        return POD_LENGTH + self.stretch

    @property
    def firewall(self) -> float:
        """Station of the firewall [mm]."""
        return 2230.0 + self.stretch

    @property
    def rim(self) -> float:
        """Station of the exit's rim [mm]."""
        return 3300.0 + self.stretch

    @property
    def boom_end(self) -> float:
        """Station of the booms' aft ends [mm]."""
        return 4900.0 + (TAIL_STRETCH if self.choices.through else 0.0)

    @property
    def leading_edge(self) -> float:
        """Station of the wing's leading edge [mm]; one through the pod ends at the firewall."""
        return LEADING_EDGE["through" if self.choices.through else "over"]

    @property
    def panel(self) -> float:
        """Buttock line where the wing's centre panel ends [mm]."""
        return self.boom_line + SHARED

    @property
    def wing_waterline(self) -> float:
        """Waterline of the wing's leading edge at the root [mm]."""
        return WING_WATERLINE[self.choices.wing]

    @property
    def wing_sections(self) -> tuple[WingStation, ...]:
        """The sections of the wing [mm], their quarter points in one line."""
        tip = self.leading_edge + (self.chord - self.tip_chord) / 4
        return (
            WingStation(0.0, self.chord, self.leading_edge),
            WingStation(self.panel, self.chord, self.leading_edge),
            WingStation(self.half_span, self.tip_chord, tip),
        )

    @cached_property
    def mean_chord(self) -> float:
        """Mean aerodynamic chord of the wing [mm]."""
        return self._mean(lambda chord, _: chord)

    @cached_property
    def mean_edge(self) -> float:
        """Station of that chord's leading edge [mm]."""
        return self._mean(lambda _, edge: edge)

    def _mean(self, value: Callable[[float, float], float]) -> float:
        """Return the mean over the wing's area of a value of chord and leading edge [mm].

        Simpson's rule is exact for trapezoids.
        """
        area = total = 0.0
        for inner, outer in pairwise(self.wing_sections):
            chord, edge = (inner.chord + outer.chord) / 2, (inner.edge + outer.edge) / 2
            points = ((inner.chord, inner.edge, 1), (chord, edge, 4), (outer.chord, outer.edge, 1))
            for own, ahead, weight in points:
                share = weight / 6 * (outer.out - inner.out) * own
                area += share
                total += share * value(own, ahead)
        return total / area

    @property
    def pylon_chord(self) -> float:
        """Chord of the pylon under the wing [mm], nought without one."""
        return PYLON[1] * self.chord if self.choices.wing in ON_PYLON else 0.0

    @property
    def tank_station(self) -> float:
        """Station of the tank [mm], behind the seat."""
        return self.seat_station + 580.0 + 0.4 * self.stretch

    @property
    def tank_waterline(self) -> float:
        """Waterline of the full tank's centre [mm], over a low wing and under any other."""
        return 850.0 if self.choices.wing == "low" else 610.0

    @property
    def laminated(self) -> bool:
        """Whether the file describes the laminate of the skins, for the shops that need it."""
        return bool(set(self.choices.shops) - {"sheet"})

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

"""Records of what is asked of the design: rules with their thresholds, flight, cooling, output."""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.values.centre_limit import CentreLimit, CentreLimitReader
from geomgen.parameters.values.quantities import (
    OneOf,
    Record,
    SourcedLimit,
    Threshold,
    Within,
    stated,
)

# Limits of empty mass and fuel: of a rule set, or the builder's own.
PART_103 = "14 CFR 103.1(e)"
WEIGHTS = ("none", PART_103)
# What the static margin counts from: the estimate from the planforms, or the computed air's.
ESTIMATED, BY_AIR = "estimate", "air"
RULE_SETS = ("14 CFR 23.925", "CS 22.925")
PRACTICE, OWN = "common practice", "own choice"
# Radial, axial, ground with a nosewheel, ground with tailwheels [mm], with their place in the text.
# 14 CFR 23.925 before Amdt 23-64 counts in inches, CS 22.925 in millimetres: 25 is not 25.4.
CLEARANCES: dict[str, dict[str, tuple[float, str]]] = {
    "14 CFR 23.925": {
        "radial_clearance": (25.4, "14 CFR 23.925(d)(1), before Amdt 23-64: 1 in"),
        "axial_clearance": (12.7, "14 CFR 23.925(d)(2), before Amdt 23-64: 1/2 in"),
        "tricycle": (177.8, "14 CFR 23.925(a), before Amdt 23-64: 7 in, nosewheel"),
        "tailwheel": (228.6, "14 CFR 23.925(a), before Amdt 23-64: 9 in, tailwheel"),
    },
    "CS 22.925": {
        "radial_clearance": (25.0, "CS 22.925, powered sailplanes: 25 mm"),
        "axial_clearance": (13.0, "CS 22.925, powered sailplanes: 13 mm"),
        "tricycle": (180.0, "CS 22.925, powered sailplanes: 180 mm, nosewheel"),
        "tailwheel": (230.0, "CS 22.925, powered sailplanes: 230 mm, tailwheel"),
    },
}
Clearance = SourcedLimit("length", "0 mm", "2 m")
Share = SourcedLimit("fraction", "0.01", "3")
Weight = SourcedLimit("mass", "1 kg", "3000 kg")
Lean = SourcedLimit("angle", "0 deg", "90 deg")
Room = SourcedLimit("length", "0 mm", "300 mm")


def default(value: str | float, source: str = PRACTICE) -> dict[str, str | float]:
    """Return a default threshold, a share [1] or text with its unit, with its source said."""
    return {"value": value, "source": source}


class Rules(Record):
    """The yardsticks: a rule set, and each threshold with its source."""

    clearances: Annotated[str, OneOf(RULE_SETS)] = stated(
        "14 CFR 23.925", "rule set that the clearance defaults come from"
    )
    radial_clearance: Annotated[Threshold, Clearance] | None = stated(
        None, "least clearance of the blade tips to structure; from the rule set"
    )
    axial_clearance: Annotated[Threshold, Clearance] | None = stated(
        None, "least axial clearance of the blades to structure; from the rule set"
    )
    ground_clearance: Annotated[Threshold, Clearance] | None = stated(
        None, "least clearance of the blade tips to the ground; from rule set and gear"
    )
    structure_clearance: Annotated[Threshold, Clearance] | None = stated(
        None, "least clearance of hull, booms and tail to the ground; positive when left out"
    )
    bank_angle: Annotated[Threshold, Lean] = stated(
        default("5 deg", OWN),
        "least bank over a main wheel with a flat tyre before a part touches the ground",
    )
    trailing_edge_gap: Annotated[Threshold, Share] = stated(
        default(0.10), "least gap of blades to trailing edge, share of local chord"
    )
    tip_mach: Annotated[Threshold, SourcedLimit("fraction", "0.2", "1")] = stated(
        default(0.70), "largest Mach number of the blade tips"
    )
    exit_to_inlet: Annotated[Threshold, Share] = stated(
        default(0.8), "exit area as a ratio of the inlet area"
    )
    exit_to_inlet_band: Annotated[Threshold, SourcedLimit("fraction", "0", "1")] = stated(
        default(0.25, OWN), "how far the measured ratio may be off that, as a fraction"
    )
    engine_clearance: Annotated[Threshold, Clearance] = stated(
        default("25 mm"), "least room between engine and anything round it"
    )
    duct_turn: Annotated[Threshold, SourcedLimit("angle", "0 deg", "180 deg")] = stated(
        default("120 deg", OWN), "largest turn of the air between mouth and fan face"
    )
    throat_to_mouth: Annotated[Threshold, Share] = stated(
        default(0.95, OWN), "least area along the passage as a ratio of the mouth's"
    )
    firewall_gap: Annotated[Threshold, SourcedLimit("length", "0 mm", "50 mm")] = stated(
        default("0.5 mm", OWN), "largest gap between firewall and skin that a sealant fills"
    )
    firewall_mass: Annotated[Threshold, SourcedLimit("mass", "1 g", "100 kg")] | None = stated(
        None, "largest mass of the firewall; not judged when left out"
    )
    firewall_area: Annotated[Threshold, SourcedLimit("area", "1 cm^2", "10 m^2")] | None = stated(
        None, "area that the firewall should have; not judged when left out"
    )
    firewall_area_band: Annotated[Threshold, SourcedLimit("fraction", "0.001", "1")] = stated(
        default(0.02, OWN), "how far that area may be off, as a fraction"
    )
    interference: Annotated[Threshold, SourcedLimit("length", "0 mm", "20 mm")] = stated(
        default("0 mm", OWN), "depth to which parts may run into each other"
    )
    weights: Annotated[str, OneOf(WEIGHTS)] = stated(
        "none", "rule set that the limits of empty mass and fuel come from; none for your own"
    )
    empty_mass: Annotated[Threshold, Weight] | None = stated(
        None, "largest empty mass, safety devices left out; from the rule set"
    )
    gross_mass: Annotated[Threshold, Weight] | None = stated(
        None, "largest mass of any loading; not judged when left out"
    )
    fuel_volume: Annotated[Threshold, SourcedLimit("volume", "0.1 l", "500 l")] | None = stated(
        None, "largest volume of all fuel; from the rule set"
    )
    forward_limit: Annotated[CentreLimit, CentreLimitReader()] | None = stated(
        None, "most forward centre of gravity; not judged when left out"
    )
    aft_limit: Annotated[CentreLimit, CentreLimitReader()] | None = stated(
        None, "most aft centre of gravity; not judged when left out"
    )
    neutral_point: Annotated[str, OneOf((ESTIMATED, BY_AIR))] = stated(
        ESTIMATED,
        "neutral point that static margins count from: the mass sheet's estimate, or that of the "
        "computed air, with [air]",
    )
    lateral_limit: Annotated[Threshold, SourcedLimit("length", "0 mm", "1 m")] = stated(
        default("25 mm", OWN), "how far the centre of gravity may lie off the centre plane"
    )
    nose_load_least: Annotated[Threshold, SourcedLimit("fraction", "0", "1")] = stated(
        default(0.08), "least share of the mass on the nose wheel, standing"
    )
    nose_load_most: Annotated[Threshold, SourcedLimit("fraction", "0", "1")] = stated(
        default(0.15), "largest share of the mass on the nose wheel, standing"
    )
    overturn_angle: Annotated[Threshold, Lean] = stated(
        default("63 deg"), "largest overturn angle: from the ground, at the axis over two wheels"
    )
    tip_back_angle: Annotated[Threshold, Lean] = stated(
        default("15 deg"), "least angle from the upright at the mains to the centre of gravity"
    )
    mains_ahead_least: Annotated[Threshold, Lean] = stated(
        default("16 deg"), "with a tailwheel, least angle of the mains ahead of the centre"
    )
    mains_ahead_most: Annotated[Threshold, Lean] = stated(
        default("25 deg"), "with a tailwheel, largest angle of the mains ahead of the centre"
    )
    tail_down_angle: Annotated[Threshold, Lean] | None = stated(
        None,
        "with a tailwheel, pitch of the waterlines standing on all wheels that is wished for: the "
        "angle of attack of the stall, against the waterlines, to land on all wheels; not judged "
        "when left out",
    )
    tail_down_angle_band: Annotated[Threshold, Lean] = stated(
        default("2 deg", OWN), "how far that pitch may be off, both ways"
    )
    head_room: Annotated[Threshold, Room] = stated(
        default("25 mm", OWN), "least room round the pilot's head with its helmet"
    )
    shoulder_room: Annotated[Threshold, Room] = stated(
        default("15 mm", OWN), "least room round shoulders and arms, beyond pilot.room"
    )
    seat_room: Annotated[Threshold, Room] = stated(
        default("0 mm", OWN), "least room round trunk, hips and thighs, beyond pilot.room"
    )
    knee_room: Annotated[Threshold, Room] = stated(
        default("20 mm", OWN), "least room round knees and shanks, beyond pilot.room"
    )
    foot_room: Annotated[Threshold, Room] = stated(
        default("10 mm", OWN), "least room round the feet, beyond pilot.room"
    )
    room_behind: Annotated[Threshold, Room] = stated(
        default("50 mm", OWN), "least room from head and back to firewall and engine"
    )
    reach_to_propeller: Annotated[Threshold, Room] = stated(
        default("100 mm", OWN), "least room from the pilot's stretched arms to the swept volume"
    )
    sight_over_nose: Annotated[Threshold, SourcedLimit("angle", "-10 deg", "45 deg")] = stated(
        default("5 deg", OWN), "least angle below the horizon that is seen over the nose"
    )
    inlet_pressure: Annotated[Threshold, SourcedLimit("fraction", "0", "1")] = stated(
        default(0.6, OWN), "least share of the ram pressure that a mouth catches, with [air]"
    )
    slow_layer: Annotated[Threshold, SourcedLimit("fraction", "0", "5")] = stated(
        default(0.5, OWN), "thickest slow layer before a mouth as a share of its height, with [air]"
    )
    sight_side: Annotated[Threshold, SourcedLimit("angle", "-10 deg", "80 deg")] | None = stated(
        None, "least angle below the horizon seen to either side; not judged when left out"
    )
    sight_up: Annotated[Threshold, SourcedLimit("angle", "0 deg", "80 deg")] | None = stated(
        None, "least angle above the horizon seen straight ahead; not judged when left out"
    )
    sight_into_turn: Annotated[Threshold, SourcedLimit("angle", "0 deg", "80 deg")] | None = stated(
        None, "least bank up to which the horizon is seen into a turn; not judged when left out"
    )
    flat_wrap: Annotated[Threshold, SourcedLimit("fraction", "0", "0.2")] | None = stated(
        None, "largest strain of the canopy when bent from flat sheet; not judged when left out"
    )


class Flight(Record):
    """The flight conditions that size cooling and tip speed."""

    climb_speed: Annotated[float, Within("speed", "5 m/s", "150 m/s")] = Field(
        description="speed of the climb that the cooling is sized for"
    )
    climb_speed_band: Annotated[float, Within("speed", "0 m/s", "20 m/s")] = stated(
        "4 kt", "how far off that speed may be, both ways"
    )
    climb_pitch: Annotated[float, Within("angle", "-5 deg", "30 deg")] | None = stated(
        None, "nose-up pitch of the waterlines in that climb, for the sight over the nose"
    )
    level_speed: Annotated[float, Within("speed", "5 m/s", "200 m/s")] = Field(
        description="speed of level flight at full power"
    )
    sound_speed: Annotated[float, Within("speed", "250 m/s", "380 m/s")] = stated(
        "340.29 m/s", "speed of sound"
    )
    air_density: Annotated[float, Within("density", "0.3 kg/m^3", "1.6 kg/m^3")] = stated(
        "1.225 kg/m^3", "density of the air"
    )


class Cooling(Record):
    """What the second estimate of the exit is worked from: heat and pressure."""

    heat_fraction: Annotated[float, Within("fraction", "0.05", "3")] = stated(
        0.6,
        "heat to the cooling air as a fraction of the shaft power; the default is our own choice",
    )
    air_rise: Annotated[float, Within("temperature", "5 K", "200 K")] = stated(
        "60 K", "how much the cooling air heats up; the default is our own choice"
    )
    recovery: Annotated[float, Within("fraction", "0", "1")] = stated(
        0.7,
        "pressure recovered at the inlet, as a pressure coefficient; the default is our own choice",
    )
    baffle_drop: Annotated[float, Within("pressure", "0 Pa", "5000 Pa")] = stated(
        "200 Pa", "pressure lost through fins and baffles; the default is our own choice"
    )
    exit_pressure: Annotated[float, Within("fraction", "-2", "1")] = stated(
        -0.1, "pressure coefficient at the exit; the default is our own choice"
    )
    spread: Annotated[float, Within("fraction", "0", "0.9")] = stated(
        0.2, "how far the exit area needed by engine heat and pressure may be off, as a fraction"
    )


class Powerplant(Record):
    """What the engine gives to the propeller."""

    power: Annotated[float, Within("power", "500 W", "300 kW")] = Field(
        description="shaft power in the climb"
    )
    rpm: Annotated[float, Within("rotation", "300 rpm", "10000 rpm")] = Field(
        description="propeller rpm, after the reduction drive"
    )


class Output(Record):
    """How fine the meshes are."""

    mesh_tolerance: Annotated[float, Within("length", "0.01 mm", "5 mm")] = stated(
        "0.1 mm", "largest distance of the mesh from the solid"
    )

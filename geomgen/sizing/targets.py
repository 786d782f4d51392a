"""All targets of a parameter file, and how measured figures are turned into what they judge."""

from geomgen import units
from geomgen.parameters.records import Parameters
from geomgen.sizing import clearances, firewall, limits, propeller
from geomgen.sizing.air_targets import air_targets
from geomgen.sizing.firewall_targets import firewall_targets
from geomgen.sizing.limits import limit
from geomgen.sizing.target import Conversion, Target

# Least share of a section that should bear on a joint [1]: own choice.
SEAT = 0.5


def targets(p: Parameters) -> tuple[Target, ...]:
    """Return every target that the file asks for, in the order of the report."""
    return (
        *propeller_targets(p),
        *firewall_targets(p),
        *air_targets(p),
        *assembly_targets(p),
    )


def propeller_targets(p: Parameters) -> tuple[Target, ...]:
    """Return the targets of the propeller: clearances, gap to the trailing edge, tip speed."""
    radial, axial = limits.radial_clearance(p), limits.axial_clearance(p)
    return (
        Target(
            "prop.radial_clearance",
            "blade tips to structure, radially",
            "at least",
            "mm",
            low=radial.value,
            formula="rules.radial_clearance, shake included in the swept volume",
            source=radial.source,
            notices=radial.notices,
        ),
        Target(
            "prop.axial_clearance",
            "blades to fixed parts, along the shaft",
            "at least",
            "mm",
            low=axial.value,
            formula="rules.axial_clearance, flex and shake included in the swept volume",
            source=axial.source,
            notices=axial.notices,
        ),
        _edge_gap(p),
        *_ground(p),
        _tip_mach(p),
    )


def _edge_gap(p: Parameters) -> Target:
    own = limit(p.rules.trailing_edge_gap)
    return Target(
        "prop.trailing_edge_gap",
        "blades to the trailing edge ahead, in local chords",
        "at least",
        "chord",
        low=own.value,
        formula="rules.trailing_edge_gap",
        inputs=(("local chord", f"{local_chord(p):.1f} mm at BL {p.propeller.behind_at:g} mm"),),
        source=own.source,
    )


def local_chord(p: Parameters) -> float:
    """Return the wing's chord [mm] at the buttock line that the propeller's place counts from."""
    rows = [(section.buttock_line, section.chord) for section in p.wing.sections]
    return propeller.chord_at(rows, p.propeller.behind_at)


def _ground(p: Parameters) -> tuple[Target, ...]:
    own, rule_set = limits.ground_clearance(p), p.rules.clearances
    absent = () if p.gear else ("the file has no [gear]: no ground to measure to",)
    three_point = p.gear is not None and p.gear.layout == "tailwheel"
    layout = p.gear.layout if p.gear else "none"
    rows = (
        ("static", "gear statically deflected", own),
        (
            "tail_down",
            "on all three wheels" if three_point else "at the largest pitch",
            own if three_point else limits.Limit(0.0, clearances.PITCHED[rule_set]),
        ),
        (
            "flat_tyre.*",
            "tyre flat, strut bottomed",
            limits.Limit(0.0, clearances.FLAT[rule_set]),
        ),
    )
    return tuple(
        Target(
            f"prop.ground_clearance.{key}",
            f"blade tips to the ground, {what}",
            "at least" if least.value else "more than",
            "mm",
            low=least.value,
            formula="rules.ground_clearance" if least.value else "positive clearance",
            inputs=(("gear", layout),),
            source=least.source,
            severity="warn" if absent else "fail",
            notices=least.notices + absent,
        )
        for key, what, least in rows
    )


def _tip_mach(p: Parameters) -> Target:
    own = limit(p.rules.tip_mach)
    mach = drawn_tip_mach(p, p.propeller.diameter)
    notices: tuple[str, ...] = ()
    if mach > own.value:
        notices = (f"the propeller as drawn reaches Mach {mach:.3f}, more than {own.value:g}",)
    return Target(
        "prop.tip_mach",
        "Mach number of the blade tips",
        "at most",
        "Mach",
        high=own.value,
        formula="sqrt((pi D n)^2 + V^2) / a at level speed",
        inputs=(
            ("diameter as drawn", units.both(p.propeller.diameter, "length")),
            ("rotation", units.both(p.powerplant.rpm, "rotation")),
            ("level speed", units.both(p.flight.level_speed, "speed")),
            ("speed of sound", units.both(p.flight.sound_speed, "speed")),
            ("as drawn", f"Mach {mach:.4f}"),
        ),
        source=own.source,
        notices=notices,
    )


def drawn_tip_mach(p: Parameters, diameter: float) -> float:
    """Return the Mach number [1] of the tips of a diameter [mm] at the file's level speed."""
    return propeller.tip_mach(
        diameter, p.powerplant.rpm, p.flight.level_speed, p.flight.sound_speed
    )


def assembly_targets(p: Parameters) -> tuple[Target, ...]:
    """Return the targets of the whole: room round the engine, interference, mesh."""
    room, depth = limit(p.rules.engine_clearance), limit(p.rules.interference)
    absent = () if p.engine else ("the file has no [engine]: nothing to measure",)
    return (
        Target(
            "engine.clearance.*",
            "room between engine and what stands round it",
            "at least",
            "mm",
            low=room.value,
            formula="rules.engine_clearance",
            source=room.source,
            severity="warn" if absent else "fail",
            notices=absent,
        ),
        Target(
            "parts.interference.*",
            "parts that run into each other, a depth is negative",
            "at least",
            "mm",
            low=-depth.value if depth.value else 0.0,
            formula="no deeper than rules.interference",
            source=depth.source,
        ),
        Target(
            "parts.attached.*",
            "parts from which no chain of joints leads to the pod",
            "at most",
            "1",
            high=0.0,
            formula="every part is joined; one that the engine carries stands in "
            "engine.fixed_parts",
            source="own choice: a part that nothing holds can't be built",
        ),
        Target(
            "parts.seat.*",
            "share of a part's section that its best joint bears on",
            "at least",
            "1",
            low=SEAT,
            formula="half of the section",
            source="own choice",
            severity="warn",
        ),
        Target(
            "mesh.deviation.*",
            "distance between mesh and solid, both ways",
            "at most",
            "mm",
            high=p.output.chord_tolerance,
            formula="output.chord_tolerance",
            source="output.chord_tolerance of the parameter file",
        ),
    )


def conversions(p: Parameters) -> tuple[Conversion, ...]:
    """Return how a measured radius and volume become Mach number and mass."""
    density = p.firewall.density
    return (
        Conversion(
            "prop.tip_radius",
            "mm",
            "prop.tip_mach",
            "Mach number of the blade tips",
            "Mach",
            lambda radius: drawn_tip_mach(p, 2 * radius),
            f"from the measured tip radius at {p.powerplant.rpm:g} rpm and "
            f"{p.flight.level_speed:.2f} m/s",
        ),
        Conversion(
            "exit.way",
            "mm2",
            "exit.area_by_heat",
            "least area of the exit, against what heat and pressure ask for",
            "mm2",
            lambda area: area,
            "",
        ),
        Conversion(
            "firewall.volume",
            "mm3",
            "firewall.mass",
            "mass of the firewall",
            "kg",
            lambda volume: firewall.solid_mass(volume, density),
            f"measured volume x {density:g} kg/m^3",
        ),
    )

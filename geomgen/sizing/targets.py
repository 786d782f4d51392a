"""All targets of a parameter file, and how measured figures are turned into what they judge."""

from geomgen.parameters.records.aircraft import Parameters
from geomgen.sizing import firewall
from geomgen.sizing.air_targets import air_targets
from geomgen.sizing.firewall_targets import firewall_targets
from geomgen.sizing.limits import limit
from geomgen.sizing.propeller_targets import drawn_tip_mach, propeller_targets
from geomgen.sizing.shaft import shaft_advice
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
            "depth to which parts run into each other, as a negative figure",
            "at least",
            "mm",
            low=-depth.value if depth.value else 0.0,
            formula="no deeper than rules.interference",
            source=depth.source,
            advice=shaft_advice(p),
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
            high=p.output.mesh_tolerance,
            formula="output.mesh_tolerance",
            source="output.mesh_tolerance of the parameter file",
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
            lambda radius: drawn_tip_mach(p, 2 * (radius - p.propeller.mount_travel_radial)),
            f"from the measured tip radius less propeller.mount_travel_radial, at "
            f"{p.powerplant.rpm:g} rpm and {p.flight.level_speed:.2f} m/s",
        ),
        Conversion(
            "exit.way",
            "mm2",
            "exit.area_by_heat",
            "least area of the exit, against that needed by engine heat and pressure",
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

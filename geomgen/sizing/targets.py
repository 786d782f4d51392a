"""All targets of a parameter file, and how measured figures are turned into what they judge."""

from typing import TYPE_CHECKING

from geomgen.sizing.air_targets import AIR
from geomgen.sizing.assembly_targets import ASSEMBLY, PUT_TOGETHER
from geomgen.sizing.balance_targets import WEIGHTS
from geomgen.sizing.exit_targets import EXIT
from geomgen.sizing.firewall_targets import FIREWALL
from geomgen.sizing.joint_targets import WING_JOINTS
from geomgen.sizing.outside_air_targets import OUTSIDE_AIR
from geomgen.sizing.pilot_targets import PILOT_CHECKS
from geomgen.sizing.propeller_targets import PROPELLER
from geomgen.sizing.standing_targets import STANDS
from geomgen.sizing.structure_targets import ATTACHMENTS, FRAMES, WING_STRUCTURE
from geomgen.sizing.target import Conversion, Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters

DECLARED = (
    *(*PROPELLER, *FIREWALL, *AIR, *EXIT, *ASSEMBLY, *FRAMES),
    *(*PILOT_CHECKS, *WEIGHTS, *STANDS, *OUTSIDE_AIR, *WING_STRUCTURE, *ATTACHMENTS),
    *(*PUT_TOGETHER, *WING_JOINTS),
)


def targets(p: "Parameters") -> tuple[Target, ...]:
    """Return every target that the file asks for, in the order of the report."""
    return tuple(target for target in _every(p) if target.severity != "info")


def figures(p: "Parameters") -> tuple[Target, ...]:
    """Return the targets, and behind them the figures that are only to be read."""
    return (*targets(p), *(target for target in _every(p) if target.severity == "info"))


def _every(p: "Parameters") -> list[Target]:
    return [target for one in DECLARED for target in one.targets(p)]


def conversions(p: "Parameters") -> tuple[Conversion, ...]:
    """Return how measured figures become others: a radius a Mach number, a volume a mass."""
    return tuple(one.conversion(p) for one in DECLARED if one.conversion)

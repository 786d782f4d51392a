"""The checks of a machine: what was measured and what follows from it, judged by its targets."""

from collections.abc import Sequence

from geomgen.air.through import cooling_figures
from geomgen.balance.figures import balanced
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters
from geomgen.sizing.targets import conversions, figures
from geomgen.verdicts.check import Check
from geomgen.verdicts.conversions import converted
from geomgen.verdicts.judge import judge


def checks_of(p: Parameters, measurements: Sequence[Measurement]) -> tuple[Check, ...]:
    """Return every check of a file from the measurements of its solids [units of each]."""
    worked_out = [*balanced(p, measurements), *cooling_figures(p, measurements)]
    every = converted(worked_out, conversions(p))
    return tuple(judge(every, figures(p)))

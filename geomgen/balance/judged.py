"""The checks of a machine: what was measured and what follows from it, judged by its targets."""

from collections.abc import Sequence

from geomgen.balance.figures import balanced
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters
from geomgen.sizing.targets import conversions, figures
from geomgen.verdicts.check import Check
from geomgen.verdicts.conversions import converted
from geomgen.verdicts.judge import judge


def checks_of(p: Parameters, measurements: Sequence[Measurement]) -> tuple[Check, ...]:
    """Return every check of a file from the measurements of its solids [units of each]."""
    every = converted(balanced(p, measurements), conversions(p))
    return tuple(judge(every, figures(p)))

"""The checks of a machine: what was measured and what follows from it, judged by its targets."""

from collections.abc import Sequence
from dataclasses import replace

from geomgen.air.through import cooling_figures
from geomgen.balance.figures import balanced, figures_of
from geomgen.balance.state import BalanceState
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters
from geomgen.sizing.targets import conversions, figures
from geomgen.verdicts.check import Check
from geomgen.verdicts.conversions import converted
from geomgen.verdicts.first import FirstCheck, first_judged
from geomgen.verdicts.judge import judge

# What is judged over all loadings, by the beginning of the ids.
OF_A_LOADING = ("mass.gross", "balance.", "gear.")


def checks_of(p: Parameters, measurements: Sequence[Measurement]) -> tuple[Check, ...]:
    """Return every check of a file from the measurements of its solids [units of each]."""
    worked_out = [*balanced(p, measurements), *cooling_figures(p, measurements)]
    every = converted(worked_out, conversions(p))
    return tuple(judge(every, figures(p)))


def first_checks_of(
    p: Parameters, measurements: Sequence[Measurement], whole: bool = True
) -> tuple[FirstCheck, ...]:
    """Return every check of a file from first answers [units of each], and which are final.

    From those that are not `whole` no cooling air is worked out: it takes what is there.
    """
    worked_out = balanced(p, measurements, first=True)
    worked_out += cooling_figures(p, measurements) if whole else []
    return first_judged(converted(worked_out, conversions(p)), figures(p))


def standing_checks_of(
    p: Parameters, measurements: Sequence[Measurement]
) -> tuple[FirstCheck, ...]:
    """Return every check from exact measurements of which some are missing [units of each].

    Final is what was measured.
    """
    found = judge(converted(balanced(p, measurements), conversions(p)), figures(p))
    return tuple(FirstCheck(c, c.verdict != "not_measured", exact=True) for c in found)


def loading_checks(
    p: Parameters, state: BalanceState, measurements: Sequence[Measurement]
) -> dict[str, tuple[Check, ...]]:
    """Return by the name of each loading what is judged of it alone [units of each].

    The heaviest of one loading is itself, and so are the most forward and the most aft. A loading
    that the file calls as one of the extremes stands with it.
    """
    limits, found = figures(p), dict[str, tuple[Check, ...]]()
    for one in state.every:
        own = converted(figures_of(p, replace(state, every=(one,)), measurements), conversions(p))
        ids = {m.id for m in own if m.id.startswith(OF_A_LOADING) and not m.id.endswith(".empty")}
        checks = judge([m for m in own if m.id in ids], limits)
        own_checks = tuple(check for check in checks if check.id in ids)
        found[one.name] = found.get(one.name, ()) + own_checks
    return found

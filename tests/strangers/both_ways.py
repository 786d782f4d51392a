"""First answers about an aircraft beside the exact ones: what strayed, and how wide bounds are."""

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from statistics import median
from typing import Any

from geomgen.parameters.records.aircraft import Parameters
from geomgen.verdicts.check import Check
from geomgen.verdicts.first import FirstCheck, strayed

# Errors smaller than this share of a figure's bound or than this are none [unit of the figure].
NONE = 1e-9
FIGURES, FINAL, WAITS = "figures", "final", "waits"


def both_ways(p: Parameters) -> dict[str, Any]:
    """Ask both ways in this process and return what an outcome says of it."""
    from geomgen.regeneration.first import first_answers
    from geomgen.regeneration.regenerating import regenerate

    exact = regenerate(p, None, jobs=1)
    first = first_answers(p, None, jobs=1)
    return beside(first.checks, exact.checks, first.why)


def beside(first: Sequence[FirstCheck], exact: Sequence[Check], why: str = "") -> dict[str, Any]:
    """Return what an outcome says of first answers beside exact ones; `why` there are none.

    Unclear where there are none.
    """
    astray = [one.words for one in strayed(first, exact)]
    counts = Counter(WAITS if one.waits else FINAL for one in first if one.check.binding)
    wide = ratios_of(first, exact)
    counts[FIGURES] = len(wide)
    found = {"outcome": "wrong" if astray else "unclear" if why else "built"}
    found["message"] = "\n".join(astray) or why
    return {**found, "checks": dict(counts), "ratios": wide}


def ratios_of(first: Sequence[FirstCheck], exact: Sequence[Check]) -> dict[str, float | None]:
    """Return of each figure known both ways its bound over its error, by id; None where exact."""
    known = {check.id: check.measured for check in exact}
    found: dict[str, float | None] = {}
    for one in first:
        told, bound = one.check.measured, one.check.error_bound
        true = known.get(one.check.id)
        if told is None or bound is None or true is None:
            continue
        off = abs(told - true)
        found[one.check.id] = bound / off if off > NONE else None
    return found


def widths(rows: Iterable[Mapping[str, float | None]]) -> str:
    """Return how wide bounds are beside errors, of each kind of figure: how many, middle, widest.

    >>> print(widths([{"gap.pod": 3.0}, {"gap.wing": 9.0, "area": None}, {"gap.pod": 4.0}]))
    bound over error: 3 of 4 figures off by anything; 4.0 in the middle, 3.0 to 9.0
      gap: 3, 4.0 in the middle, 3.0 to 9.0
    """
    kinds: dict[str, list[float]] = {}
    every = 0
    for row in rows:
        every += len(row)
        for id_, ratio in row.items():
            if ratio is not None:
                kinds.setdefault(re.split(r"\.(?=[^.]*$)", id_)[0], []).append(ratio)
    off = [ratio for many in kinds.values() for ratio in many]
    if not off:
        return f"bound over error: none of {every} figures off by anything"
    lines = [f"bound over error: {len(off)} of {every} figures off by anything; {_spread(off)}"]
    for kind in sorted(kinds, key=lambda name: -median(kinds[name])):
        lines.append(f"  {kind}: {len(kinds[kind])}, {_spread(kinds[kind])}")
    return "\n".join(lines)


def _spread(ratios: Sequence[float]) -> str:
    return f"{median(ratios):.1f} in the middle, {min(ratios):.1f} to {max(ratios):.1f}"

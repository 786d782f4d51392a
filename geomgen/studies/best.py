"""The best compromises: variants that no other equals in all figures and betters in one."""

import math
from collections.abc import Mapping, Sequence
from typing import Literal

from geomgen.errors import ParameterError

Sense = Literal["low", "high"]
BEST = "--best"
FORM = "id=low or id=high, with commas between, such as firewall.mass=low,inlet.area=high"


def non_dominated(
    values: Sequence[Sequence[float | None]], senses: Sequence[Sense]
) -> tuple[bool, ...]:
    """Say of each row whether no other is at least as good in all columns and better in one.

    `values` is rows by columns [any unit], `senses` says for each column whether low or high is
    good. Rows with a missing or infinite figure can't be compared: they are never among the best.
    Rows that are equal are best together.

    >>> non_dominated([(1.0, 5.0), (2.0, 6.0), (2.0, 5.0), (None, 9.0)], ["low", "high"])
    (True, True, False, False)
    """
    import numpy as np

    if not senses or not len(values):
        return (False,) * len(values)
    signs = np.array([1.0 if sense == "low" else -1.0 for sense in senses])
    table = np.array([[math.nan if v is None else v for v in row] for row in values]) * signs
    best = np.zeros(len(table), dtype=bool)
    known = np.flatnonzero(np.isfinite(table).all(axis=1))
    # Whatever beats a row stands before it in this order, and something unbeaten beats it too.
    front = np.empty((0, table.shape[1]))
    for i in known[np.lexsort(table[known].T[::-1])]:
        beaten = (front <= table[i]).all(axis=1) & (front < table[i]).any(axis=1)
        if not beaten.any():
            best[i] = True
            front = np.vstack([front, table[i]])
    return tuple(bool(flag) for flag in best)


def sense_of(comparison: str) -> Sense | None:
    """Return which way is good under a limit; None where neither is.

    >>> sense_of("at most"), sense_of("at least"), sense_of("between")
    ('low', 'high', None)
    """
    ways: Mapping[str, Sense] = {"at most": "low", "at least": "high", "more than": "high"}
    return ways.get(comparison)


def senses_of(text: str) -> dict[str, Sense]:
    """Return the figures that `--best` names, and which way is good; ParameterError otherwise.

    >>> senses_of("firewall.mass=low, inlet.area=high")
    {'firewall.mass': 'low', 'inlet.area': 'high'}
    """
    found: dict[str, Sense] = {}
    for part in filter(None, (piece.strip() for piece in text.split(","))):
        name, _, word = (piece.strip() for piece in part.partition("="))
        if not name or word not in ("low", "high"):
            raise ParameterError("not a figure and a way", file=BEST, written=part, allowed=FORM)
        if name in found:
            raise ParameterError("named twice", file=BEST, key=name, written=text)
        found[name] = "low" if word == "low" else "high"
    return found

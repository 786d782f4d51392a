"""The best compromises: variants that no other equals in all figures and betters in one."""

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Literal

from geomgen.errors import ParameterError

if TYPE_CHECKING:
    from geomgen.arrays import Bools, Floats, Ints

    Table = tuple[Floats, Floats]

Sense = Literal["low", "high"]
BEST = "--best"
# So few rows, or pairs of rows, are compared one by one: own choice, by time.
FEW, PAIRS = 8, 4096
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
    known = np.isfinite(table).all(axis=1)
    rows = table[known], np.zeros_like(table[known])
    best[known] = ~beaten(rows, rows)
    return tuple(bool(flag) for flag in best)


def beaten(rows: "Table", by: "Table") -> "Bools":
    """Say of each row whether one of `by` is surely as good in all columns and better in one.

    Both are (values, bounds), rows by columns [any unit], low is good; nan is never as good. What
    follows a row's value exactly lies within both bounds; of what is no coarser than those of `by`
    the value tells as much. Two values within both bounds can't be told apart.

    >>> import numpy as np
    >>> rows = np.array([[2.0], [1.3], [1.0]]), np.full((3, 1), 0.2)
    >>> [bool(flag) for flag in beaten(rows, (np.array([[1.0]]), np.array([[0.1]])))]
    [True, False, False]
    """
    import numpy as np

    (values, bounds), found = rows, np.zeros(len(rows[0]), dtype=bool)

    def look(own: "Ints", by: "Table") -> None:
        """Look at some rows: at the corners of their box first, then at either half of them."""
        value, bound = values[own], bounds[own]
        some = _beats(by, value.max(axis=0), bound.min(axis=0))
        by = by[0][some], by[1][some]
        if _beats(by, value.min(axis=0), bound.max(axis=0)).any():
            found[own] = True
        elif len(own) <= FEW or len(own) * len(by[0]) <= PAIRS:
            found[own] = _beats(by, value[:, None], bound[:, None]).any(axis=1)
        else:
            column = np.argmax(np.ptp(value, axis=0) / spread)
            order = own[np.argsort(value[:, column], kind="stable")]
            look(order[: len(order) // 2], by)
            look(order[len(order) // 2 :], by)

    told = np.flatnonzero(~np.isnan(values).any(axis=1))
    if len(told):
        spread = np.maximum(np.ptp(values[told], axis=0), 1e-300)
        look(told, by)
    return found


def _beats(by: "Table", values: "Floats", bounds: "Floats") -> "Bools":
    """Say of each of `by` whether it beats rows; it beats no less where these are worse by all."""
    import numpy as np

    value, bound = by
    coarser = np.maximum(0.0, bounds - bound)
    as_good = value <= values - coarser + 2.0 * bound
    better = value < values - bounds - 2.0 * bound
    return np.asarray(as_good.all(axis=-1) & better.any(axis=-1))


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

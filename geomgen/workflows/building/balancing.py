"""Mass, centre and standing of one aircraft: what `balance` does."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.errors import ParameterError
from geomgen.parameters import Parameters, load
from geomgen.parameters.reading.own_units import counts_in_inches
from geomgen.regeneration.store import Store
from geomgen.verdicts.check import Check
from geomgen.workflows.building.build import Progress

if TYPE_CHECKING:
    from geomgen.balance.state import BalanceState
    from geomgen.documents.record import Block
    from geomgen.measurements.record import Measurement

# The checks that belong on the sheet, by the beginning of their ids.
OURS = ("mass.", "balance.", "fuel.", "tank.", "gear.")


@dataclass(frozen=True)
class BalanceResult:
    """The masses of an aircraft with every loading, and the checks of them and of standing."""

    parameters: Parameters
    state: "BalanceState"
    checks: tuple[Check, ...]

    @property
    def inches(self) -> bool:
        """Say whether the file counts in inches."""
        return counts_in_inches(self.parameters)

    def blocks(self) -> "list[Block]":
        """Return the mass and balance sheet."""
        from geomgen.balance.sheet import balance_heading

        return [balance_heading(self.parameters.title), *sheet_of(self.parameters, self.state)]

    def as_dict(self) -> dict[str, Any]:
        """Return all figures as plain values, in kg, mm and kg mm2."""
        from geomgen.balance.plain import plain

        return {**plain(self.state), "checks": [check.as_dict() for check in self.checks]}


def balance(
    path: str | Path,
    overrides: Sequence[str] = (),
    progress: Progress | None = None,
    store: Store | None = None,
) -> BalanceResult:
    """Make the solids, measure them, work out mass and centre of every loading.

    ParameterError where the file says nothing of what things weigh.
    """
    from geomgen.regeneration.regenerating import regenerate

    p = load(path, overrides)
    if not (p.mass or p.items):
        raise ParameterError(
            "nothing says what anything weighs", file=str(path), key="mass", written="nothing",
            allowed="[[mass]] for parts, [[items]] for what has no solid",
            advice="geomgen new shows the tables; configs/saltmarsh.toml has them filled in",
        )  # fmt: skip
    state = regenerate(p, store, progress or (lambda _: None))
    return balance_result(p, state.measured, state.checks)


def balance_result(
    p: Parameters, measured: "Sequence[Measurement]", checks: Sequence[Check]
) -> BalanceResult:
    """Return the masses of what was measured; the file has to describe some."""
    from geomgen.balance.state import balance_state

    state = balance_state(p, measured)
    assert state is not None
    return BalanceResult(p, state, tuple(c for c in checks if c.id.startswith(OURS)))


def sheet_of(p: Parameters, state: "BalanceState", stored: bool = False) -> "list[Block]":
    """Return the tables and words of a mass and balance sheet; `stored` as in `mass_blocks`."""
    from geomgen.balance.sheet import mass_blocks
    from geomgen.balance.shifts import shifts

    if not state.loaded:
        return mass_blocks(state, [], None, stored)
    aft = max(state.loaded, key=lambda one: one.body.centre[0])
    nose = p.pod.stations[0].station
    if p.loads and p.loads.ballast_station is not None:
        nose = p.loads.ballast_station
    return mass_blocks(state, shifts(state, aft.body, nose), aft, stored)

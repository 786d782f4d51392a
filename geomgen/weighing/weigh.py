"""`weigh`: what the scales said goes into the parameter file; what that does to mass and centre."""

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.balance.judged import loading_checks
from geomgen.balance.masses.to_weigh import scale_pieces
from geomgen.balance.plain import plain
from geomgen.balance.state import BalanceState, balance_state
from geomgen.comparison.figure_changes import FigureChange, figure_changes
from geomgen.errors import FileWriteError, ParameterError
from geomgen.parameters import Parameters, load
from geomgen.parameters.file_text.source_text import LARGEST, decoded, read_bytes
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.verdicts.check import Check
from geomgen.watching.writing import FileWriter
from geomgen.weighing.changes import FileChange, changed_text, file_changes
from geomgen.weighing.compared import ScaleDifference, difference
from geomgen.weighing.reading import ScaleReading, listed_readings, typed_readings
from geomgen.weighing.target import ScaleTarget, targets_of
from geomgen.workflows.building.balancing import OURS

if TYPE_CHECKING:
    from geomgen.regeneration.regenerating import Regenerated
    from geomgen.regeneration.store import Store

Progress = Callable[[str], None]


@dataclass(frozen=True)
class WeighedState:
    """A machine's masses at one time: its sums, all its checks, and those of each loading alone."""

    balance: BalanceState | None
    checks: tuple[Check, ...]
    loadings: dict[str, tuple[Check, ...]]


@dataclass(frozen=True)
class WeighResult:
    """What was written into which file, how the scales differ, the machine before and after.

    `changed` says whether the file's text is another now; `blank` are names of a list of which
    nothing was filled in.
    """

    file: Path
    changes: tuple[FileChange, ...]
    changed: bool
    differences: tuple[ScaleDifference, ...]
    former: WeighedState
    new: WeighedState
    blank: tuple[str, ...] = ()

    @property
    def checks(self) -> tuple[Check, ...]:
        """The checks of masses and standing as they are now."""
        return tuple(check for check in self.new.checks if check.id.startswith(OURS))

    @property
    def figures(self) -> tuple[FigureChange, ...]:
        """What became of each of those checks."""
        former = [check for check in self.former.checks if check.id.startswith(OURS)]
        return figure_changes(former, self.checks)

    def as_dict(self) -> dict[str, Any]:
        """Return plain values for JSON [kg, mm]."""
        return {
            "file": str(self.file),
            "changed": self.changed,
            "written": [{"key": c.key, "value": c.value} for c in self.changes],
            "scales": [one.as_dict() for one in self.differences],
            "not_filled_in": list(self.blank),
            "former": _plain(self.former),
            "new": _plain(self.new),
            "figures": [change.as_dict() for change in self.figures],
        }


def _plain(state: WeighedState) -> dict[str, Any] | None:
    if state.balance is None:
        return None
    whole = plain(state.balance)
    for row in whole["loadings"]:
        row["checks"] = [check.as_dict() for check in state.loadings[row["name"]]]
    return whole


def readings_of(
    texts: Sequence[str], list_: str | Path | None
) -> tuple[list[ScaleReading], list[str]]:
    """Return all readings of a command line and of a list, and what the list left blank.

    ParameterError where there are none.
    """
    listed, blank = listed_readings(Path(list_)) if list_ is not None else ([], [])
    readings = [*listed, *typed_readings(texts)]
    if not readings:
        raise ParameterError(
            "nothing was weighed", written="nothing",
            allowed='parts with their masses, as in "pod=9.2 kg", or a list of them',
            advice="geomgen weigh --help",
        )  # fmt: skip
    return readings, blank


def weigh(
    path: str | Path,
    texts: Sequence[str],
    source: str,
    list_: str | Path | None = None,
    progress: Progress | None = None,
    store: "Store | None" = None,
) -> WeighResult:
    """Write masses into a parameter file and work out what they do to the whole machine.

    All is refused, with a ParameterError, before anything is built; the file is written whole, once
    the machine as it was could be built and measured. FileWriteError when it can't be.
    """
    from geomgen.regeneration.regenerating import regenerate

    file, say = Path(path), progress or (lambda _: None)
    p = load(file)
    readings, blank = readings_of(texts, list_)
    targets = targets_of(p, readings)
    changes = _planned(file, p, targets, source)
    former = regenerate(p, store, say)
    pieces = scale_pieces(p, former.measured)
    differences = [difference(p, pieces, target) for target in targets]

    def changed(text: str, known: Mapping[str, Any]) -> str:
        # Built for minutes: whoever saved the file meanwhile may have moved its rows.
        nonlocal changes
        now, tables = load(file), known["inherited"]
        changes = file_changes(now, tables, targets_of(now, readings), source)
        return changed_text(text, changes, tables, known["file"])

    done = FileWriter(file).write(changed)
    new = load(file)
    after = regenerate(new, store, say) if done is not None else former
    return WeighResult(
        file,
        tuple(changes),
        done is not None,
        tuple(differences),
        _state(p, former),
        _state(new, after),
        tuple(blank),
    )


def _planned(
    file: Path, p: Parameters, targets: Sequence[ScaleTarget], source: str
) -> list[FileChange]:
    """Return what is to be written, tried on the text as it is; the file must be writable."""
    tables, _ = read_with_bases(file)
    changes = file_changes(p, tables, targets, source)
    text = decoded(read_bytes(file, LARGEST, "a parameter file"), file)
    changed_text(text, changes, tables, file.name)
    if not os.access(os.path.realpath(file), os.W_OK):
        raise FileWriteError(
            "the file is read-only", path=file.name, advice="allow writing to it first"
        )
    return changes


def _state(p: Parameters, made: "Regenerated") -> WeighedState:
    state = balance_state(p, made.measured)
    loadings = {} if state is None else loading_checks(p, state, made.measured)
    return WeighedState(state, tuple(made.checks), loadings)

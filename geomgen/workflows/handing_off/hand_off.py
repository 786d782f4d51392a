"""The hand-off: the set, measured again as it stands on the disk, and a folder for each shop."""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.errors import GeometryError, ParameterError
from geomgen.parameters import Parameters, load
from geomgen.parameters.reading.key_location import lines_told, stand_of
from geomgen.parameters.reading.own_units import counts_in_inches
from geomgen.regeneration.regenerating import bodies
from geomgen.regeneration.store import Store
from geomgen.sizing.targets import targets
from geomgen.verdicts.check import Check
from geomgen.workflows.building.build import CheckResult, entries_of, surveyed, written_parts
from geomgen.workflows.building.gone import gone
from geomgen.workflows.handing_off.kept_report import keep_report
from geomgen.workflows.handing_off.measured_set import MeasuredSet
from geomgen.workflows.handing_off.release import reason_of_release, write_reason

if TYPE_CHECKING:
    from geomgen.kernel.model import Model
    from geomgen.measurements.record import Measurement
    from geomgen.shops.product import Item
    from geomgen.workflows.handing_off.shop_files import ShopFiles

Progress = Callable[[str], None]


@dataclass(frozen=True)
class HandoffResult(CheckResult):
    """The outcome of a hand-off; refused: nothing was written. `reason`: released all the same."""

    findings: "tuple[Check, ...]" = ()
    items: "tuple[Item, ...]" = ()
    refused: bool = False
    reason: str = ""


class _RefusedError(Exception):
    """Leaves the fresh folder behind unused; never seen outside."""


def handoff(
    path: str | Path,
    overrides: Sequence[str] = (),
    out: str | Path = "out",
    progress: Progress | None = None,
    reason: str | None = None,
    store: Store | None = None,
) -> HandoffResult:
    """Build the set, measure its files as read back, write each shop's folder and the sheet.

    When a check fails nothing is written and the result is `refused`, unless `reason` says why the
    set is released all the same. ParameterError when the file asks for no hand-off or for one that
    its parameters rule out, or when the reason is blank or too long.
    """
    from geomgen.files.output_set import check_place, output_set

    started = time.perf_counter()
    asked = "" if reason is None else reason_of_release(reason)
    p = load(path, overrides)
    _asked(p, Path(path))
    check_place(Path(out), p.name)
    _refused_beforehand(p)
    say = progress or (lambda _: None)
    work = _Work(p, asked, say, store)
    refused = False
    try:
        with lines_told(p), output_set(Path(out), p.name, say) as fresh:
            work.fill(fresh)
            why = keep_report(Path(out) / p.name, fresh, work.reason)
            work.notices += gone(Path(out) / p.name, fresh, path, why)
    except _RefusedError:
        refused = True
    return HandoffResult(
        Path(out) / p.name,
        work.checks,
        targets(p),
        time.perf_counter() - started,
        work.notices,
        work.findings,
        work.items,
        refused,
        work.reason,
        inches=counts_in_inches(p),
    )


def fill(
    fresh: Path,
    p: Parameters,
    reason: str,
    say: Progress,
    store: Store | None,
    seen: MeasuredSet | None = None,
) -> None:
    """Hand a set off into an empty folder to be compared, whatever its checks say.

    `reason` is printed where one fails; without one nothing is. Files of the very bytes of those
    that were `seen`, measured by the same parameters, are not measured once more.
    """
    _Work(p, reason, say, store, gated=False, seen=seen).fill(fresh)


def asks(p: Parameters) -> bool:
    """Say whether a parameter file asks for files for a shop."""
    h = p.handoff
    return h is not None and bool(h.moulds or h.foam or h.cores or h.sheet or h.ply)


def _asked(p: Parameters, file: Path) -> None:
    if not asks(p):
        raise ParameterError(
            "the file asks for no hand-off",
            file=file,
            key="handoff",
            allowed="handoff.moulds, handoff.foam, handoff.cores, handoff.sheet, handoff.ply",
            advice="add a [handoff.sheet] table, or another; geomgen new FILE writes all of them",
        )


def _refused_beforehand(p: Parameters) -> None:
    """Refuse at once what needs no solid to be told."""
    from geomgen.workflows.handing_off.beforehand import refuse_beforehand

    try:
        refuse_beforehand(p)
    except GeometryError as error:
        first, *others = [stand for key in error.look_at if (stand := stand_of(p, key))]
        raise ParameterError(
            f"{error.part}: {error.problem}",
            file=first.file,
            line=first.line,
            key=first.key,
            advice="check " + ", ".join(stand.words for stand in (first, *others)),
        ) from error


class _Work:
    """One run: what it has found so far."""

    def __init__(
        self,
        p: Parameters,
        reason: str,
        say: Progress,
        store: Store | None,
        gated: bool = True,
        seen: MeasuredSet | None = None,
    ) -> None:
        self.p, self.reason, self.say, self.store, self.gated = p, reason, say, store, gated
        self.seen = seen
        self.checks: tuple[Check, ...] = ()
        self.findings: tuple[Check, ...] = ()
        self.items: tuple[Item, ...] = ()
        self.notices: tuple[str, ...] = ()

    def fill(self, fresh: Path) -> None:
        """Fill the fresh folder, or raise _RefusedError."""
        from geomgen.files.places import write_places
        from geomgen.shops.core_notices import core_notices
        from geomgen.shops.skin_notices import skin_notices
        from geomgen.workflows.handing_off.sheets import write_sheets
        from geomgen.workflows.handing_off.shop_files import write_shops

        state = bodies(self.p, self.store, self.say)
        told = (*state.model.notices, *skin_notices(self.p), *core_notices(self.p))
        built = replace(state.model, notices=told)
        self.notices = built.notices
        written = written_parts(fresh, self.p, built, self.say, state.meshes)
        entries = entries_of(self.p, written)
        write_places(fresh, built)
        model, self.checks, measured = self._measured(fresh, list(built.parts), entries)
        self._gate()
        # A reason is printed only where something failed: the shops' own findings come last.
        shown = self.reason if self._failed() else ""
        shops = write_shops(fresh, self.p, model, shown, self.say)
        self._take(shops)
        self._gate()
        if self.reason and self._failed() and not shown:
            shops = write_shops(fresh, self.p, model, self.reason, self.say)
        self.reason = self.reason if self._failed() else ""
        entries += [entry for shop in shops for entry in shop.entries]
        if self.reason:
            write_reason(fresh, entries, self.reason)
        self.say("sheets and lists")
        write_sheets(
            fresh,
            self.p,
            built,
            self.checks,
            self.findings,
            self.items,
            entries,
            self.reason,
            measured,
        )

    def _measured(
        self, fresh: Path, parts: list[str], entries: list[dict[str, Any]]
    ) -> "tuple[Model, tuple[Check, ...], Sequence[Measurement]]":
        """Return the model as its files have it, its checks, what was measured on it."""
        from geomgen.files.set_reading import read_set

        seen = self.seen
        if seen is not None and seen.is_of(fresh, parts, self.p.output.mesh_tolerance):
            return seen.model, seen.checks, seen.measured
        self.say("files read back")
        model, meshes = read_set(fresh, entries)
        return model, *surveyed(self.p, model, meshes, self.say)

    def _take(self, shops: "Sequence[ShopFiles]") -> None:
        self.findings = tuple(finding for shop in shops for finding in shop.findings)
        self.items = tuple(item for shop in shops for item in shop.items)

    def _failed(self) -> bool:
        from geomgen.pages.gate_sheet import failures

        return bool(failures(self.checks, self.findings))

    def _gate(self) -> None:
        if self.gated and self._failed() and not self.reason:
            raise _RefusedError

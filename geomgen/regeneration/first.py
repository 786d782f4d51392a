"""First answers: skins cut by meshes and measured on them, sooner than solids can be cut.

The same steps and the same questions as in `regenerating.py`; what meshes do not tell is left out,
and what is coarse says so by its bound.
"""

import json
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from math import inf
from pathlib import Path
from typing import TYPE_CHECKING

from geomgen.errors import FileWriteError
from geomgen.parameters import Parameters, as_toml
from geomgen.parameters.reading.key_location import lines_told
from geomgen.regeneration.asking import Asking
from geomgen.regeneration.cache import FULL, GONE, BuildCache
from geomgen.regeneration.making import MadeModel, Making, notices_of
from geomgen.regeneration.standing import standing
from geomgen.regeneration.store import Store
from geomgen.regeneration.worker_jobs import RegenerationWorker, Rows
from geomgen.verdicts.check import Check
from geomgen.verdicts.first import FirstCheck, strayed
from geomgen.verdicts.outcome import near_limit

if TYPE_CHECKING:
    from geomgen.kernel.mesh import Mesh
    from geomgen.kernel.model import Model
    from geomgen.measurements.record import Measurement

# Skins are cut and measured on meshes within this [mm]: own choice, between time and bounds.
TOLERANCE = 0.1
JOBS = 2
# What is known so far is told so often [s] at most, and takes no more of the time than this share.
EVERY, SHARE = 0.2, 0.1
# First answers that the exact ones do not bear out are written down here, a row each.
LOG = "first_answers.log"


@dataclass(frozen=True)
class FirstShape:
    """The parts of a state by their meshes, whole bodies as well as those that meshes were cut to.

    `hashes` of the meshes by part: the same hash is the same to the last bit.
    """

    model: "Model"
    hashes: dict[str, str]
    _worker: RegenerationWorker = field(repr=False, compare=False)

    def mesh(self, part: str) -> "Mesh":
        """Return a part's mesh; FileWriteError when it was deleted meanwhile."""
        from geomgen.kernel.mesh_part import part_from

        body = self._worker.cache.body(self.hashes[part])
        cut = part_from(body)
        return self._worker.mesh(self.hashes[part]).mesh if cut is None else cut.mesh


@dataclass(frozen=True)
class FirstAnswers:
    """What meshes tell of a state: checks, the figures behind them, what took how long [s].

    `why` says why nothing could be told, where that is so; `shape` is there if the parts are. Those
    that are not `whole` are on their way, and more follows. `told_by` is the subject of each
    figure.
    """

    checks: tuple[FirstCheck, ...]
    measured: "tuple[Measurement, ...]"
    notices: tuple[str, ...]
    seconds: float
    made: int
    kept: int
    why: str = ""
    shape: FirstShape | None = None
    whole: bool = True
    told_by: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class StateBefore:
    """What the state before leaves to the next: the rows of its steps, its checks.

    `told_by` is the subject of each of its figures.
    """

    rows: Mapping[str, Rows]
    checks: tuple[Check, ...]
    told_by: Mapping[str, int] = field(default_factory=dict)

    @property
    def urgent(self) -> set[int]:
        """The subjects of figures that failed, or had little to spare."""
        near = [check.id for check in self.checks if near_limit(check)]
        return {self.told_by[id_] for id_ in near if id_ in self.told_by}


def first_answers(
    p: Parameters,
    store: Store | None = None,
    progress: Callable[[str], None] | None = None,
    jobs: int = JOBS,
) -> FirstAnswers:
    """Return what meshes tell of the state that parameters describe.

    GeometryError when a part can't be built, as far as that shows before skins are cut.
    """
    *_, last = first_steps(p, store, progress, jobs, every=inf)
    return last


def first_steps(
    p: Parameters,
    store: Store | None = None,
    progress: Callable[[str], None] | None = None,
    jobs: int = JOBS,
    before: StateBefore | None = None,
    every: float = EVERY,
) -> Iterator[FirstAnswers]:
    """Yield what `first_answers` returns, and before it what is known so far, `every` so often [s].

    With the state `before` exact figures of what the change leaves alone come first of all.
    """
    from geomgen.kernel.mesh_part import UnsettledError

    run = _FirstRun(p, store, progress or (lambda _: None), jobs, before)
    with lines_told(p):
        try:
            for _ in run.steps():
                if run.fresh and time.perf_counter() >= run.told + max(every, run.rest):
                    yield from run.news()
        except UnsettledError as error:
            run.why = error.problem
        except FileWriteError as error:
            if error.problem not in (GONE, FULL):
                raise
            run.why = error.problem
        last = run.whole()
    yield last


class _FirstRun:
    """First answers on their way: `steps` makes and asks, `so_far` says what is known."""

    def __init__(
        self,
        p: Parameters,
        store: Store | None,
        say: Callable[[str], None],
        jobs: int,
        before: StateBefore | None,
    ) -> None:
        self.started = time.perf_counter()
        self.told, self.rest, self.why, self.fresh = -inf, 0.0, "", False
        self._known: list[Measurement] = []
        self._p, self._store, self._before = p, store, before
        self._making = Making(p, BuildCache(store), say, jobs, TOLERANCE)
        self._asking: Asking | None = None
        self._outcome: MadeModel | None = None
        self._standing: dict[str, FirstCheck] | None = None

    def steps(self) -> Iterator[None]:
        """Make what is missing, then ask; `fresh` tells whether more is known than was told."""
        self._making.start()
        for _ in self._making.steps():
            self._stand()
            yield
        self._stand()
        self._outcome = self._making.made()
        urgent = self._before.urgent if self._before else ()
        self._asking = Asking(self._making, self._outcome, urgent)
        for _ in self._asking.steps():
            self.fresh = True
            yield

    def whole(self) -> FirstAnswers:
        """Return all that was found."""
        measured = self._asking.records if self._asking is not None else []
        return self.so_far(measured, whole=True)

    def news(self) -> Iterator[FirstAnswers]:
        """Yield what is known so far, if it is more than was told last."""
        began = time.perf_counter()
        measured = self._asking.so_far() if self._asking is not None else []
        if measured != self._known or self._asking is None:
            self._known = measured
            yield self.so_far(measured)
        self.told, self.fresh = time.perf_counter(), False
        self.rest = (self.told - began) / SHARE

    def so_far(self, measured: "list[Measurement]", whole: bool = False) -> FirstAnswers:
        """Return what is known: exactly of what nothing can move, of all else by meshes."""
        from geomgen.balance.judged import first_checks_of

        asking, outcome, making = self._asking, self._outcome, self._making
        checks = first_checks_of(self._p, measured, whole)
        exact = dict(self._standing or {})
        every = [exact.pop(one.check.id, one) for one in checks]
        shape = FirstShape(outcome.bare(), outcome.meshes, making.worker) if outcome else None
        seconds = time.perf_counter() - self.started
        return FirstAnswers(
            (*every, *exact.values()),
            tuple(measured),
            notices_of(outcome.parts) if outcome else (),
            seconds,
            making.cache.made,
            making.cache.kept,
            self.why,
            shape,
            whole,
            asking.told_by if asking is not None else {},
        )

    def _stand(self) -> None:
        """Look once, as soon as the places to measure at are known, for what stands as it did."""
        if self._before is None or self._standing is not None or not self._making.places:
            return
        from geomgen.balance.judged import standing_checks_of

        found = standing_checks_of(self._p, standing(self._p, self._store, self._before.rows))
        self._standing = {one.check.id: one for one in found if one.final}
        self.fresh = bool(self._standing)


def logged(
    out: Path, p: Parameters, first: Sequence[FirstCheck], exact: Sequence[Check]
) -> tuple[str, ...]:
    """Return a notice of each first answer that the exact one does not bear out.

    It is logged in the output folder, with the parameters; where that can't be written, it is said.
    """
    found = strayed(first, exact)
    if found:
        row = {"strayed": [asdict(each) for each in found], "parameters": as_toml(p)}
        with suppress(OSError), (out / LOG).open("a", encoding="utf-8") as log:
            log.write(json.dumps(row) + "\n")
    return tuple(each.words for each in found)

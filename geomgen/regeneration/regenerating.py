"""One aircraft from parameters to verdict, with all that did not change taken from the store."""

import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, TypeVar

from geomgen.errors import FileWriteError
from geomgen.parameters import Parameters
from geomgen.parameters.reading.key_location import lines_told
from geomgen.regeneration.asking import Asking
from geomgen.regeneration.cache import FULL, GONE, BuildCache
from geomgen.regeneration.making import MadeModel, Making, notices_of
from geomgen.regeneration.store import Store
from geomgen.regeneration.worker_jobs import RegenerationWorker, Rows
from geomgen.verdicts.check import Check

if TYPE_CHECKING:
    from geomgen.kernel.meshing.proven import Meshed
    from geomgen.kernel.model import Model
    from geomgen.measurements.record import Measurement

Progress = Callable[[str], None]
Found = TypeVar("Found")
JOBS = 2
TRIES = 3


@dataclass(frozen=True)
class Bodies:
    """The solids of an aircraft and their proven meshes; both are read when they are asked for.

    `made` counts the solids, meshes and answers that were made now, `kept` those that were not.
    `seconds` is how long it took [s].
    """

    parameters: Parameters
    seconds: float
    made: int
    kept: int
    _worker: RegenerationWorker = field(repr=False, compare=False)
    _outcome: MadeModel = field(repr=False, compare=False)
    _jobs: int = field(default=JOBS, repr=False, compare=False)

    @property
    def fingerprints(self) -> dict[str, tuple[str, str]]:
        """The hashes of each part's solid and mesh: the same hash is the same to the last bit."""
        meshes = self._outcome.meshes
        return {row["name"]: (row["solid"], meshes[row["name"]]) for row in self._outcome.parts}

    @property
    def by_step(self) -> dict[str, Rows]:
        """The rows of each step that makes parts as they stand."""
        return self._outcome.by_step

    @property
    def notices(self) -> tuple[str, ...]:
        """What a builder has to know of how the parts came about."""
        return notices_of(self._outcome.parts)

    @cached_property
    def model(self) -> "Model":
        """The solids with the plain geometry beside them."""
        return self._read(lambda worker, outcome: outcome.model(worker))

    @cached_property
    def meshes(self) -> "dict[str, Meshed]":
        """The proven mesh of each part."""
        return self._read(
            lambda worker, outcome: {n: worker.mesh(mesh) for n, mesh in outcome.meshes.items()}
        )

    def _read(self, read: Callable[[RegenerationWorker, MadeModel], Found]) -> Found:
        """Read kept bodies; where one went away or proves damaged, all is made once more."""
        try:
            return read(self._worker, self._outcome)
        except FileWriteError as error:
            if error.problem != GONE:
                raise
        worker, outcome = _made(self.parameters, None, None, self._jobs, measured=False)
        return read(worker, outcome)


@dataclass(frozen=True)
class Regenerated(Bodies):
    """A state of the aircraft: its bodies and its checks."""

    checks: tuple[Check, ...] = ()

    @property
    def measured(self) -> "list[Measurement]":
        """All that was measured of its solids, before anything was judged."""
        return self._outcome.measured

    @property
    def passed(self) -> bool:
        """Say whether every check that was due was measured and none failed."""
        return bool(self.checks) and not any(check.stops for check in self.checks)


def bodies(
    p: Parameters, store: Store | None = None, progress: Progress | None = None, jobs: int = JOBS
) -> Bodies:
    """Return solids and meshes without measuring anything; as `regenerate` otherwise."""
    started = time.perf_counter()
    worker, outcome = _made(p, store, progress, jobs, measured=False)
    seconds = time.perf_counter() - started
    return Bodies(p, seconds, worker.cache.made, worker.cache.kept, worker, outcome, jobs)


def regenerate(
    p: Parameters,
    store: Store | None = None,
    progress: Progress | None = None,
    jobs: int = JOBS,
) -> Regenerated:
    """Return the state that parameters describe; GeometryError when a part can't be built.

    What a store holds of the same is taken from it, and what is made is kept there; what comes out
    is the same to the last bit with and without one.
    """
    started = time.perf_counter()
    worker, outcome = _made(p, store, progress, jobs, measured=True)
    # With it numpy is loaded, which a refused file need not wait for.
    from geomgen.balance.judged import checks_of

    checks = checks_of(p, outcome.measured)
    seconds = time.perf_counter() - started
    return Regenerated(
        p, seconds, worker.cache.made, worker.cache.kept, worker, outcome, jobs, checks
    )


def _made(
    p: Parameters, store: Store | None, progress: Progress | None, jobs: int, measured: bool
) -> tuple[RegenerationWorker, MadeModel]:
    """Make what is missing; once more where an entry went away or proved damaged on the way.

    A store that fails all the same, or is full, is done without.
    """
    with lines_told(p):
        return _made_or_again(p, store, progress or (lambda _: None), jobs, measured)


def _made_or_again(
    p: Parameters, store: Store | None, say: Progress, jobs: int, measured: bool
) -> tuple[RegenerationWorker, MadeModel]:
    for tried in range(TRIES - 1):
        making = Making(p, BuildCache(store, careful=tried > 0), say, jobs)
        try:
            return making.worker, _run(making, measured)
        except FileWriteError as error:
            if error.problem not in (GONE, FULL):
                raise
            if error.problem == FULL:
                break
    making = Making(p, BuildCache(None), say, jobs)
    return making.worker, _run(making, measured)


def _run(making: Making, measured: bool) -> MadeModel:
    outcome = making.run()
    return replace(outcome, measured=Asking(making, outcome).measured()) if measured else outcome

"""First answers: skins cut by meshes and measured on them, sooner than solids can be cut.

The same steps and the same questions as in `regenerating.py`; what meshes do not tell is left out,
and what is coarse says so by its bound.
"""

import json
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from geomgen.errors import FileWriteError
from geomgen.parameters import Parameters, as_toml
from geomgen.parameters.reading.key_location import lines_told
from geomgen.regeneration.asking import Asking
from geomgen.regeneration.cache import FULL, GONE, BuildCache
from geomgen.regeneration.making import Making, notices_of
from geomgen.regeneration.store import Store
from geomgen.regeneration.worker_jobs import RegenerationWorker
from geomgen.verdicts.check import Check
from geomgen.verdicts.first import FirstCheck, strayed

if TYPE_CHECKING:
    from geomgen.kernel.mesh import Mesh
    from geomgen.kernel.model import Model
    from geomgen.measurements.record import Measurement

# Skins are cut and measured on meshes within this [mm]: own choice, between time and bounds.
TOLERANCE = 0.1
JOBS = 2
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

    `why` says why nothing could be told, where that is so; `shape` is there if the parts are.
    """

    checks: tuple[FirstCheck, ...]
    measured: "tuple[Measurement, ...]"
    notices: tuple[str, ...]
    seconds: float
    made: int
    kept: int
    why: str = ""
    shape: FirstShape | None = None


def first_answers(
    p: Parameters,
    store: Store | None = None,
    progress: Callable[[str], None] | None = None,
    jobs: int = JOBS,
) -> FirstAnswers:
    """Return what meshes tell of the state that parameters describe.

    GeometryError when a part can't be built, as far as that shows before skins are cut.
    """
    from geomgen.balance.judged import first_checks_of
    from geomgen.kernel.mesh_part import UnsettledError

    started = time.perf_counter()
    making, why = Making(p, BuildCache(store), progress or (lambda _: None), jobs, TOLERANCE), ""
    measured: list[Measurement] = []
    notices: tuple[str, ...] = ()
    shape: FirstShape | None = None
    with lines_told(p):
        try:
            outcome = making.run()
            shape = FirstShape(outcome.bare(), outcome.meshes, making.worker)
            measured = Asking(making, outcome).measured()
            notices = notices_of(outcome.parts)
        except UnsettledError as error:
            why = error.problem
        except FileWriteError as error:
            if error.problem not in (GONE, FULL):
                raise
            why = error.problem
        checks = first_checks_of(p, measured)
    seconds = time.perf_counter() - started
    counts = making.cache.made, making.cache.kept
    return FirstAnswers(checks, tuple(measured), notices, seconds, *counts, why, shape)


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

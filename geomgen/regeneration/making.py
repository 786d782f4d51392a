"""The jobs of one regeneration, in the order of what builds on what: solids, meshes, answers."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from geomgen.measurements.record import Measurement
from geomgen.parameters import Parameters
from geomgen.regeneration import fingerprints
from geomgen.regeneration.cache import BuildCache
from geomgen.regeneration.worker_jobs import RegenerationWorker, Rows, ready

if TYPE_CHECKING:
    from geomgen.kernel.model import Model
    from geomgen.kernel.plain import Vec3
    from geomgen.processes.worker_pool import WorkerPool
    from geomgen.shapes.assembly.steps import BuildStep

PLACES = "places"
# A mesh takes about as long as its solid has bytes for; seconds a byte.
PER_BYTE = 1e-5


@dataclass(frozen=True)
class MadeModel:
    """Rows about the parts, the hash of each part's mesh, the plain geometry, the figures.

    `uncut` are the hashes of parts' solids before others were cut out of them, where that was so;
    `by_step` the rows of each step that makes parts as they stand.
    """

    parts: Rows
    meshes: dict[str, str]
    places: dict[str, Any]
    measured: list[Measurement]
    uncut: dict[str, str] = field(default_factory=dict)
    by_step: dict[str, Rows] = field(default_factory=dict)

    def bare(self) -> "Model":
        """Return the model with its plain geometry, names, families, notices; no solids."""
        return bare(self.places, self.parts)

    def model(self, worker: RegenerationWorker) -> "Model":
        """Return the whole model, of fresh solids."""
        from geomgen.kernel.solids.breadth import broadest

        solids = {row["name"]: worker.solid(row["solid"]) for row in self.parts}
        ends = {name: broadest(worker.solid(solid)) for name, solid in self.uncut.items()}
        return replace(self.bare(), parts=solids, uncut=ends)


def bare(places: dict[str, Any], parts: Rows) -> "Model":
    """Return a model with plain geometry, names, families, colours and notices, without solids."""
    from geomgen.files.places import model_from

    return replace(
        model_from(places),
        families={row["name"]: row["family"] for row in parts},
        colours={row["name"]: tuple(row["colour"]) for row in parts},
        notices=notices_of(parts),
    )


def notices_of(parts: Rows) -> tuple[str, ...]:
    """Return what a builder has to know of how parts came about."""
    return tuple(note for row in parts for note in row["notes"])


class Making:
    """One regeneration on its way; `run` does it.

    For first answers skins are cut by meshes, within `first` [mm], and meshed no more finely.
    """

    def __init__(
        self,
        p: Parameters,
        cache: BuildCache,
        say: Callable[[str], None],
        jobs: int,
        first: float | None = None,
    ) -> None:
        self.p, self.cache, self.say, self.jobs, self.first = p, cache, say, jobs, first
        self.worker = RegenerationWorker(p, cache, first)
        self.rows: dict[str, Rows] = {}
        self.meshes: dict[str, str] = {}
        self.off: dict[str, tuple[float, float, float, Vec3]] = {}
        self.places: dict[str, Any] = {}
        self._pool: WorkerPool | None = None

    def run(self) -> MadeModel:
        """Make what is missing, measure nothing; GeometryError when something can't be."""
        self.start()
        for _ in self.steps():
            pass
        return self.made()

    def start(self) -> None:
        """Take what is known; the jobs for the rest are ready then."""
        self._start_places()
        for step in self.worker.steps.values():
            if not step.needs:
                self._start_step(step)

    def made(self) -> MadeModel:
        """Return what was made; all jobs must be done."""
        parts = self.parts()
        meshes = {row["name"]: self.meshes[row["name"]] for row in parts}
        by_step = {s.name: self.rows[s.name] for s in self.worker.steps.values() if s.last}
        return MadeModel(parts, meshes, self.places, [], self._uncut(), by_step)

    def pool(self) -> "WorkerPool":
        """Return the processes that work; they start when there is something to do."""
        if self._pool is None:
            from geomgen.processes.worker_pool import WorkerPool

            ready()
            self._pool = WorkerPool(self.worker.work, self.jobs)
        return self._pool

    def steps(self) -> Iterator[None]:
        """Do all jobs that are ready and those that follow from them; yield with each answer."""
        if self._pool is not None:
            yield from self._pool.steps(self.say)

    def parts(self) -> Rows:
        """Return the rows of all parts, in the order in which they are listed."""
        return [row for s in self.worker.steps.values() if s.last for row in self.rows[s.name]]

    def _uncut(self) -> dict[str, str]:
        from geomgen.shapes.assembly.steps import uncut

        known = uncut(list(self.worker.steps.values()))
        return {part: self.rows[name][0]["solid"] for part, name in known.items()}

    def _start_places(self) -> None:
        found = self.cache.known(PLACES, [], self.p)
        if found is not None:
            self.places = found
            return

        def done(answer: Any) -> None:
            reads, self.places = answer
            self.cache.learn(PLACES, [], reads, self.places)

        self.pool().add("places to measure at", 9.0, lambda: ("places",), done)

    def _start_step(self, step: "BuildStep") -> None:
        given = {need: self.rows[need] for need in step.needs}
        key = f"first {step.key}" if self.first is not None and step.cuts else step.key
        found = self.cache.known(key, given, self.p)
        if found is not None:
            self._step_done(step, found)
            return

        def done(answer: Any) -> None:
            reads, rows = answer
            self.cache.learn(key, given, reads, rows)
            self._step_done(step, rows)

        self.pool().add(step.words, step.weight, lambda: ("step", step.name, given), done)

    def _step_done(self, step: "BuildStep", rows: Rows) -> None:
        self.rows[step.name] = rows
        for other in self.worker.steps.values():
            if step.name in other.needs and all(need in self.rows for need in other.needs):
                self._start_step(other)
        if step.last:
            for row in rows:
                self._start_mesh(row)

    def _start_mesh(self, row: dict[str, Any]) -> None:
        name, tolerance = row["name"], self.p.output.mesh_tolerance
        if row["first"]:
            self.meshes[name] = row["solid"]
            return
        tolerance = max(tolerance, self.first or 0.0)
        key = fingerprints.of("mesh", fingerprints.of_program(), row["solid"], tolerance)
        found = self.cache.facts(key)
        if found is not None and self.cache.has(found["mesh"]):
            self.cache.kept += 1
            self._mesh_done(name, found)
            return

        def done(facts: Any) -> None:
            self.cache.made += 1
            self.cache.keep_facts(key, facts)
            self._mesh_done(name, facts)

        weight = PER_BYTE * row["bytes"]
        message = ("mesh", name, row["solid"], tolerance)
        self.pool().add(f"mesh of {name}", weight, lambda: message, done)

    def _mesh_done(self, name: str, facts: dict[str, Any]) -> None:
        largest, there, back, (x, y, z) = facts["off"]
        self.meshes[name] = facts["mesh"]
        self.off[name] = (largest, there, back, (x, y, z))

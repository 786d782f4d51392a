"""What a process of the pool does: makes a step's pieces, a mesh, an answer, out of kept bodies."""

import gc
from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cache, lru_cache, partial
from importlib import import_module
from typing import TYPE_CHECKING, Any, cast

from geomgen.errors import FaultError, GeometryError
from geomgen.parameters import Parameters
from geomgen.regeneration import fingerprints
from geomgen.regeneration.cache import BuildCache
from geomgen.regeneration.reads import Reads, viewed

if TYPE_CHECKING:
    from OCP.TopoDS import TopoDS_Shape

    from geomgen.kernel.brep.boxes import Box
    from geomgen.kernel.interference.meeting import Body
    from geomgen.kernel.mesh_part import Shell
    from geomgen.kernel.meshing.proven import Meshed
    from geomgen.kernel.model import Model
    from geomgen.measurements.question import MeasurementQuestion
    from geomgen.shapes.piece import NamedSolid

Rows = list[dict[str, Any]]
# So many meshes and bodies are kept in a process, and in those that it forks: those of a machine
# with all that stands inside of it.
BODIES = 256
# A question of so many parts most likely looks at how they stand to each other.
FEW = 6
_bodies: "dict[tuple[str, str, bool], Body]" = {}
TOOLS = (
    "manifold3d",
    "geomgen.files.places",
    "geomgen.kernel.meshes.mesh_bytes",
    "geomgen.kernel.meshing.proven",
    "geomgen.kernel.interference.kept_body",
    "geomgen.kernel.brep.shape_bytes",
    "geomgen.kernel.trimming.cutting",
    "geomgen.measurements.survey.questions",
    "geomgen.shapes.booms",
    "geomgen.shapes.engine",
    "geomgen.shapes.firewall",
    "geomgen.shapes.framing.frames",
    "geomgen.shapes.framing.stringers",
    "geomgen.shapes.gear",
    "geomgen.shapes.assembly.canopy_part",
    "geomgen.shapes.assembly.cutters",
    "geomgen.shapes.assembly.joint_advice",
    "geomgen.shapes.assembly.joints",
    "geomgen.shapes.assembly.skin_parting",
    "geomgen.shapes.lifting",
    "geomgen.shapes.assembly.places",
    "geomgen.shapes.propeller",
    "geomgen.shapes.tank",
    "geomgen.shapes.scoop",
)


@cache
def ready() -> None:
    """Import what jobs use: processes that are forked afterwards need not, each one again.

    What imports leave behind stays for good; to look through it for rubbish while it grows took a
    fifth of their time, and each forked process would do so once more.
    """
    looks = gc.isenabled()
    gc.disable()
    try:
        for name in TOOLS:
            import_module(name)
        gc.freeze()
    finally:
        if looks:
            gc.enable()


def _with_model(
    p: Parameters,
    cache: BuildCache,
    first: float | None,
    about: "tuple[Model, Mapping[str, Box]] | None",
) -> "RegenerationWorker":
    made = RegenerationWorker(p, cache, first)
    made.about = about
    return made


def _solid(cache: BuildCache, digest: str) -> Any:
    from geomgen.kernel.brep.shape_bytes import solid_from

    return solid_from(cache.body(digest))


class RegenerationWorker:
    """Does the jobs of one regeneration; it can be sent to another process.

    `about` are the bare model and the loose boxes of its parts, once there are questions to ask.
    For first answers skins are cut by meshes, within `first` [mm].
    """

    def __init__(self, p: Parameters, cache: BuildCache, first: float | None = None) -> None:
        from geomgen.shapes.assembly.steps import steps

        self.p = p
        self.cache = cache
        self.first = first
        self.steps = {step.name: step for step in steps(p)}
        self.mesh = lru_cache(maxsize=BODIES)(self._mesh)
        self.about: tuple[Model, Mapping[str, Box]] | None = None
        self._questions: dict[str, MeasurementQuestion] = {}

    def __reduce__(self) -> tuple[Any, ...]:
        return _with_model, (self.p, self.cache, self.first, self.about)

    @property
    def questions(self) -> "dict[str, MeasurementQuestion]":
        """All questions about the model, by name."""
        if not self._questions and self.about is not None:
            from geomgen.measurements.question import by_name
            from geomgen.measurements.survey.questions import questions

            self._questions = by_name(questions(*self.about))
        return self._questions

    def work(self, message: tuple[Any, ...]) -> Any:
        """Do one job: its kind, and what belongs to it."""
        kind, *rest = message
        return getattr(self, f"do_{kind}")(*rest)

    def do_places(self) -> tuple[Reads, dict[str, Any]]:
        """Return the plain geometry beside the solids, and what was read for it."""
        from geomgen.files.places import plain
        from geomgen.shapes.assembly.places import places

        reads = Reads()
        return reads, plain(places(cast(Parameters, viewed(self.p, reads))))

    def do_step(self, name: str, given: Mapping[str, Rows]) -> tuple[Reads, Rows]:
        """Make a step; return what it read and rows about its pieces, whose bodies are kept."""
        reads = Reads()
        pieces = {need: [self.piece(row) for row in rows] for need, rows in given.items()}
        view = cast(Parameters, viewed(self.p, reads))
        return reads, [self._row(piece) for piece in self._made(name, view, pieces)]

    def _made(
        self, name: str, view: Parameters, pieces: "Mapping[str, Sequence[NamedSolid]]"
    ) -> "list[NamedSolid]":
        """Make a step; by meshes for a first answer, but for what these do not settle."""
        from geomgen.kernel.mesh_part import ExactDueError, MeshPart, UnsettledError
        from geomgen.kernel.trimming.cutting import by_meshes
        from geomgen.shapes.assembly.steps import made

        step = self.steps[name]
        if self.first is None or not step.cuts:
            return made(step, view, pieces)
        try:
            with by_meshes(self.first, self.shell):
                return made(step, view, pieces)
        except (GeometryError, ExactDueError, FaultError) as error:
            if any(isinstance(each.solid, MeshPart) for some in pieces.values() for each in some):
                raise UnsettledError(str(error), part=name, step=step.words) from error
            return made(step, view, pieces)

    def shell(self, shape: "TopoDS_Shape", tolerance: float, part: str) -> "Shell":
        """Return a shape's mesh within a tolerance [mm]; a body that was cut before has its own."""
        from geomgen.kernel.brep.shape_bytes import shape_bytes
        from geomgen.kernel.mesh_part import shell_from
        from geomgen.kernel.trimming.mesh_cut import shell_of

        digest = fingerprints.of_bytes(shape_bytes(shape))
        key = fingerprints.of("shell", fingerprints.of_program(), digest, tolerance)
        found = self.cache.store.get(key)
        if found is not None:
            return shell_from(found)
        made = shell_of(shape, tolerance, part)
        self.cache.store.put(key, made.as_bytes())
        return made

    def do_mesh(self, part: str, solid: str, tolerance: float) -> dict[str, Any]:
        """Mesh a solid to a tolerance [mm]; return the hash of the mesh and its deviations [mm]."""
        from geomgen.kernel.meshes.mesh_bytes import mesh_bytes
        from geomgen.kernel.meshing.proven import meshed

        made = meshed(self.solid(solid), tolerance, part=part)
        off = made.deviation
        rough = [off.largest, off.mesh_to_solid, off.solid_to_mesh, list(off.worst)]
        return {"mesh": self.cache.keep_body(mesh_bytes(made)), "off": rough}

    def do_question(
        self,
        name: str,
        solids: Mapping[str, str],
        bodies: Mapping[str, tuple[str, str]],
        answers: Mapping[str, Any],
    ) -> str:
        """Ask a question of the parts that it names; return the answer as text."""
        from geomgen.kernel.mesh_part import ExactDueError
        from geomgen.measurements.question import WAITING, Given, text_of

        given = Given(
            {part: self.solid(digest) for part, digest in solids.items()},
            {part: self.fresh_body(*digests) for part, digests in bodies.items()},
            answers,
        )
        try:
            return text_of(self.questions[name].ask(given))
        except ExactDueError:
            return text_of(WAITING)

    def piece(self, row: Mapping[str, Any]) -> "NamedSolid":
        """Return a piece from its row, of fresh bodies."""
        from geomgen.shapes.piece import NamedSolid

        half = self.solid(row["half"]) if row["half"] else None
        red, green, blue = row["colour"]
        solid = self.solid(row["solid"])
        notes = tuple(row["notes"])
        return NamedSolid(row["name"], row["family"], solid, (red, green, blue), half, notes)

    def solid(self, digest: str) -> Any:
        """Return a solid, each time anew: nobody else has worked on it.

        What is known by its mesh alone nobody works on: one that a body is of is that one.
        """
        kept = _bodies.get((digest, digest, True))
        return _solid(self.cache, digest) if kept is None else kept.part

    def _mesh(self, digest: str) -> "Meshed":
        from geomgen.kernel.meshes.mesh_bytes import mesh_from

        return mesh_from(self.cache.body(digest))

    def body(self, solid: str, mesh: str) -> "Body":
        """Return a body; those that were asked for last in this process are kept."""
        key = (solid, mesh, self.first is not None)
        if key not in _bodies:
            while len(_bodies) >= BODIES:
                del _bodies[next(iter(_bodies))]
            _bodies[key] = self._body(solid, mesh)
        _bodies[key] = found = _bodies.pop(key)
        return found

    def hold(self, wanted: Sequence[Mapping[str, tuple[str, str]]]) -> None:
        """Make bodies ready that questions want: forked processes have them at once.

        `wanted` are of each question the hashes of solid and mesh by part. Hulls are made of those
        that stand in a question of few parts.
        """
        every, few = Counter[tuple[str, str]](), set[tuple[str, str]]()
        for bodies in wanted:
            every.update(set(bodies.values()))
            few |= set(bodies.values() if len(bodies) <= FEW else ())
        for body, times in every.items():
            if times > 1 or body in few:
                made = self.body(*body)
            if body in few:
                made.hull  # noqa: B018 - it stays with the body

    def fresh_body(self, solid: str, mesh: str) -> "Body":
        """Return a solid with its mesh; the solid is read anew, as in `solid`."""
        from geomgen.kernel.interference.kept_body import KeptBody

        kept = self.body(solid, mesh)
        if not isinstance(kept, KeptBody):
            return kept
        return kept.fresh(partial(_solid, self.cache, solid))

    def _body(self, solid: str, mesh: str) -> "Body":
        from geomgen.kernel.interference.kept_body import KeptBody
        from geomgen.kernel.interference.meeting import FirstBody

        if solid == mesh:
            return FirstBody(self.solid(solid))
        made = self.mesh(mesh)
        rough = self.first is not None
        # It outlasts this worker, which would stay with all its meshes.
        read = partial(_solid, self.cache, solid)
        return KeptBody(read, made.mesh, made.deviation.largest, rough)

    def _row(self, piece: "NamedSolid") -> dict[str, Any]:
        from geomgen.kernel.brep.boxes import loose_box
        from geomgen.kernel.brep.shape_bytes import shape_bytes, solid_from
        from geomgen.kernel.mesh_part import MeshPart

        body = shape_bytes(piece.solid)
        box = loose_box(solid_from(body))
        half = None if piece.half is None else self.cache.keep_body(shape_bytes(piece.half))
        return {
            "name": piece.name,
            "family": piece.family,
            "colour": list(piece.colour),
            "solid": self.cache.keep_body(body),
            "half": half,
            "box": [list(box.low), list(box.high)],
            "bytes": len(body),
            "notes": list(piece.notes),
            "first": isinstance(piece.solid, MeshPart),
        }

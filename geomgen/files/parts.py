"""All parts of a model to disk, each meshed, written and proved, on as many processors as asked."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from OCP.TopoDS import TopoDS_Shape

import geomgen.kernel.brep.shape_bytes  # noqa: F401 - with it solids can be pickled
from geomgen.files.proof import (
    MarkedProof,
    SeenSolid,
    StepProof,
    StlProof,
    judge_assembly,
    judge_step,
    prove_marked,
    prove_stl,
    see_step,
)
from geomgen.files.step import Colour, write_step
from geomgen.files.stl import write_corners, write_stl
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.meshing.proven import Meshed, meshed
from geomgen.kernel.solids.properties import Figures, figures
from geomgen.kernel.trimming.scribed import MarkedMesh
from geomgen.processes.worker_pool import answers

Progress = Callable[[str], None]


@dataclass(frozen=True)
class PartFiles:
    """A part on the disk: its figures, its mesh, and what was proved of both files."""

    name: str
    figures: Figures
    meshed: Meshed
    stl: StlProof
    step: StepProof
    seen: SeenSolid


@dataclass(frozen=True)
class ModelFiles:
    """All parts in the order of the model, and the assembly."""

    parts: dict[str, PartFiles]
    assembly: StepProof


def write_part(
    folder: Path,
    name: str,
    shape: TopoDS_Shape,
    colour: Colour | None,
    mesh_tolerance: float,
    made: Meshed | None = None,
) -> PartFiles:
    """Write STL and STEP of one part [mm] into `folder`, read both back and prove them.

    `made` is its proven mesh of that tolerance, where there is one already; else it is meshed now.
    GeometryError when no mesh holds the tolerance, FileWriteError when a file or a proof fails.
    """
    made = made or meshed(shape, mesh_tolerance, part=name)
    known = figures(shape, made.mesh)
    stl = write_stl(folder, made.mesh, name)
    proof = prove_stl(stl, made, shape, mesh_tolerance, known)
    colours = {} if colour is None else {name: colour}
    step = write_step(folder, {name: shape}, colours, name)
    seen = see_step(step, {name: known.box})
    proved = judge_step(step, seen, {name: known}, colours)
    return PartFiles(name, known, made, proof, proved, seen[0])


def write_marked(folder: Path, name: str, made: MarkedMesh, mesh_tolerance: float) -> MarkedProof:
    """Write the mesh of a part with marks that its solid does not have, read back and proved.

    `mesh_tolerance` is how far it lies off the solid beside the marks [mm]. FileWriteError when
    that or a proof fails.
    """
    return prove_marked(write_corners(folder, made.corners, name, mesh_tolerance), made.corners)


def write_parts(
    folder: Path,
    shapes: Mapping[str, TopoDS_Shape],
    colours: Mapping[str, Colour],
    mesh_tolerance: float,
    title: str,
    jobs: int = 2,
    progress: Progress | None = None,
    meshes: Mapping[str, Meshed] | None = None,
) -> ModelFiles:
    """Write and prove every part and, as `title`, the assembly; errors as for `write_part`.

    `mesh_tolerance` is how far meshes may lie off the solids [mm]; colours are shares [1].
    With more than one job the work is done in worker processes, the largest parts first.
    """
    path = write_step(folder, shapes, colours, title)
    work = _WriteJob(folder, dict(shapes), dict(colours), mesh_tolerance, path, dict(meshes or {}))
    order = sorted(shapes, key=lambda name: -len(faces_of(shapes[name])))
    found: dict[str, PartFiles] = {}
    seen: tuple[SeenSolid, ...] = ()
    for name, answer in answers(work.do, [*order[:1], ASSEMBLY, *order[1:]], jobs):
        if isinstance(answer, PartFiles):
            found[name] = answer
        else:
            seen = answer
        if progress is not None:
            progress(title if name == ASSEMBLY else name)
    parts = {name: found[name] for name in shapes}
    held = {name: (part.figures, part.seen) for name, part in parts.items()}
    return ModelFiles(parts, judge_assembly(path, seen, held, colours))


ASSEMBLY = ""


@dataclass(frozen=True)
class _WriteJob:
    folder: Path
    shapes: dict[str, TopoDS_Shape]
    colours: dict[str, Colour]
    mesh_tolerance: float
    assembly: Path
    meshes: dict[str, Meshed]

    def do(self, name: str) -> "PartFiles | tuple[SeenSolid, ...]":
        if name == ASSEMBLY:
            return see_step(self.assembly, volumes=False)
        return write_part(
            self.folder,
            name,
            self.shapes[name],
            self.colours.get(name),
            self.mesh_tolerance,
            self.meshes.get(name),
        )

"""All parts together, step by step in this process, with the plain geometry beside them."""

from collections.abc import Callable
from dataclasses import replace

from OCP.TopoDS import TopoDS_Solid

from geomgen.kernel.brep.shape_bytes import shape_bytes, solid_from
from geomgen.kernel.model import Model
from geomgen.kernel.solids.breadth import broadest
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.assembly.places import places
from geomgen.shapes.assembly.steps import made, steps, uncut
from geomgen.shapes.piece import NamedSolid

Progress = Callable[[str], None]


def assemble(p: Parameters, progress: Progress | None = None) -> Model:
    """Build every part that the file describes and return the model.

    Raises GeometryError, naming the part and the keys to look at, when one can't be built.
    """
    say = progress or (lambda _: None)
    known: dict[str, list[NamedSolid]] = {}
    said = ""
    plan = steps(p)
    for step in sorted(plan, key=lambda step: bool(step.needs)):
        if step.words != said:
            said = step.words
            say(said)
        given = {name: [fresh(piece) for piece in known[name]] for name in step.needs}
        known[step.name] = [fresh(piece) for piece in made(step, p, given)]
    parts = [q for step in plan if step.last for q in known[step.name]]
    return replace(
        places(p),
        parts={piece.name: piece.solid for piece in parts},
        families={piece.name: piece.family for piece in parts},
        colours={piece.name: piece.colour for piece in parts},
        notices=tuple(note for piece in parts for note in piece.notes),
        uncut={part: broadest(known[name][0].solid) for part, name in uncut(plan).items()},
    )


def fresh(piece: NamedSolid) -> NamedSolid:
    """Return a piece as it comes from bytes: what one step does to it, no other sees."""
    half = None if piece.half is None else _again(piece.half)
    return replace(piece, solid=_again(piece.solid), half=half)


def _again(solid: TopoDS_Solid) -> TopoDS_Solid:
    return solid_from(shape_bytes(solid))

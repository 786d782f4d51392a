"""Is a shape a sound solid? What the kernel's own check says, and what it does not look at."""

from dataclasses import dataclass

from OCP.BRep import BRep_Tool
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.TopAbs import TopAbs_ShapeEnum, TopAbs_SHELL, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.solids.properties import volume

# Enough to see the sign.
EPS = 1e-2


@dataclass(frozen=True)
class Validity:
    """How many solids and shells a shape holds, and what is wrong with it (nothing: empty)."""

    solids: int
    shells: int
    problems: tuple[str, ...]


def count(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> int:
    """Return how many sub-shapes of a kind a shape holds."""
    found, walk = 0, TopExp_Explorer(shape, kind)
    while walk.More():
        found += 1
        walk.Next()
    return found


def shells_in(shape: TopoDS_Shape) -> int:
    """Return how many shells a shape holds.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> shells_in(BRepPrimAPI_MakeBox(1.0, 1.0, 1.0).Shape())
    1
    """
    return count(shape, TopAbs_SHELL)


def validity(
    shape: TopoDS_Shape, solids: int = 1, fully: bool = True, signs: bool = True
) -> Validity:
    """Return what is wrong with a shape that should be so many solids.

    `fully` asks the kernel's own check too; it knows nothing of accuracy and passes a solid whose
    volume is a quarter off. `signs` integrates, to find solids that are inside out.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> validity(BRepPrimAPI_MakeBox(1.0, 1.0, 1.0).Shape()).problems
    ()
    """
    if shape is None or shape.IsNull():
        return Validity(0, 0, ("it is empty",))
    problems = []
    found, shells = count(shape, TopAbs_SOLID), count(shape, TopAbs_SHELL)
    if found != solids:
        problems.append(f"it holds {found} solids, not {solids}")
    if fully and not BRepCheck_Analyzer(shape).IsValid():
        problems.append("the kernel finds faults in it")
    if found:
        walk = TopExp_Explorer(shape, TopAbs_SHELL)
        while walk.More():
            if not BRep_Tool.IsClosed_s(walk.Current()):
                problems.append("one of its shells is open")
                break
            walk.Next()
        solid = TopExp_Explorer(shape, TopAbs_SOLID)
        while signs and solid.More():
            if volume(solid.Current(), EPS).value <= 0:
                problems.append("a solid is inside out or flat")
                break
            solid.Next()
    return Validity(found, shells, tuple(problems))


def require_valid(shape: TopoDS_Shape, part: str, step: str, solids: int = 1) -> None:
    """Raise GeometryError naming `part` and `step` unless the shape is sound."""
    found = validity(shape, solids).problems
    if found:
        raise GeometryError("; ".join(found), part=part, step=step)

"""Cuts as the steps of an aircraft ask for them: exact, or by meshes for a first answer.

What is cut by meshes is a `MeshPart` in the place of a solid: whatever a step does with it
afterwards (mirror, double, tell its size) takes either.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any

from OCP.TopoDS import TopoDS_Shape, TopoDS_Solid

from geomgen.kernel.mesh_part import MeshPart
from geomgen.kernel.solids import booleans
from geomgen.kernel.trimming.mesh_cut import Shells, divided, shell_of

# The meshes' tolerance [mm] and what makes them.
_way: ContextVar[tuple[float, Shells] | None] = ContextVar("way", default=None)


@contextmanager
def by_meshes(tolerance: float, shells: Shells = shell_of) -> Iterator[None]:
    """Have all cuts inside done by meshes within a tolerance [mm], which `shells` makes."""
    token = _way.set((tolerance, shells))
    try:
        yield
    finally:
        _way.reset(token)


def divide(
    body: TopoDS_Shape, knives: Sequence[TopoDS_Shape], part: str, step: str
) -> tuple[list[Any], list[Any]]:
    """Return the pieces of a body outside and inside knives, as `booleans.divide`."""
    way = _way.get()
    if way is None:
        return booleans.divide(body, knives, part, step)
    outside, inside = divided(body, knives, part, *way)
    return list(outside), list(inside)


def cut(body: TopoDS_Solid, knives: Sequence[TopoDS_Shape], part: str, step: str) -> Any:
    """Return a body without knives, one solid, as `booleans.cut`."""
    if _way.get() is None:
        return booleans.cut(body, knives, part, step)
    return booleans.only(divide(body, knives, part, step)[0], part, step)


def sized(pieces: Sequence[Any], body: TopoDS_Shape) -> list[Any]:
    """Return the pieces of a body, largest first, without dust, as `booleans.sized`."""
    if any(isinstance(piece, MeshPart) for piece in pieces):
        return sorted(pieces, key=lambda piece: -piece.volume)
    return booleans.sized(pieces, booleans.volume(body))

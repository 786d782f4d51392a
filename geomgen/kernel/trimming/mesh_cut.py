"""Bodies cut by meshes, and how far what is left may be from the exact solids.

A mesh of a cut body lies as near to its skin as the meshes of body and knife do, but for the line
in which the two skins cross: at an angle a to each other, that one is off by the sum of both
deviations over the sine of a.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.arrays import Floats, Ints
from geomgen.kernel.mesh import cross
from geomgen.kernel.mesh_part import ExactDueError, MeshPart, Shell
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.meshing.walk import partners
from geomgen.kernel.second_library import second_library

# What makes a mesh of a shape, within a tolerance [mm], for a part by its name.
Shells = Callable[[TopoDS_Shape, float, str], Shell]

# Skins that cross at a smaller angle than this sine do so anywhere: the rim's reach ends there.
LEAST_SINE = 0.01
# Triangles flatter than this [mm] tell no direction.
FLAT = 1e-4
# What is at most this share of a body is dust of the cut.
DUST = 1e-6
# Knives are meshed so much more finely: a joint's gap is told by them.
FINER = 0.5


@dataclass(frozen=True)
class _Meshed:
    """A body's mesh as the second library's solid, its deviation [mm], its rims.

    `wholes` are the body before any cut, `knives` what was cut out of it.
    """

    hull: Any
    off: float
    rims: Floats
    reaches: Floats
    wholes: tuple[Shell, ...]
    knives: tuple[Shell, ...] = ()


def shell_of(shape: TopoDS_Shape, tolerance: float, part: str) -> Shell:
    """Return a shape's mesh within a tolerance [mm]; GeometryError naming `part` without one.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> round(shell_of(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape(), 0.1, "").hull.volume(), 9)
    6.0
    """
    made = meshed(shape, tolerance, part=part)
    return Shell(made.mesh.vertices, made.mesh.triangles, made.deviation.largest)


def divided(
    body: TopoDS_Shape | MeshPart,
    knives: Sequence[TopoDS_Shape],
    part: str,
    tolerance: float,
    shells: Shells = shell_of,
) -> tuple[list[MeshPart], list[MeshPart]]:
    """Return the pieces of a body outside and inside knives, by meshes within `tolerance` [mm].

    `shells` makes the meshes of body and knives. ExactDueError where the meshes do not settle
    whether there is a piece.
    """
    own = _of(body, part, tolerance, shells)
    tools = [_of(knife, part, FINER * tolerance, shells) for knife in knives]
    off = max(tool.off for tool in tools)
    tool = tools[0].hull
    for other in tools[1:]:
        tool = tool + other.hull
    own = replace(own, knives=(*own.knives, *(s for each in tools for s in each.wholes)))
    outside = _pieces(own.hull - tool, own, off)
    shared = own.hull ^ tool
    slack = own.off + off
    if shared.is_empty() and own.hull.min_gap(tool, slack + 1.0) > slack:
        return outside, []
    inside = [piece for piece in _pieces(shared, own, off) if piece.volume > slack * piece.area]
    if not inside:
        raise ExactDueError("its mesh and the knife's touch, no more")
    return outside, inside


def _of(shape: TopoDS_Shape | MeshPart, part: str, tolerance: float, shells: Shells) -> _Meshed:
    if isinstance(shape, MeshPart):
        hull = shape.hull.as_original()
        return _Meshed(hull, shape.skin, shape.rims, shape.reaches, shape.wholes, shape.knives)
    whole = shells(shape, tolerance, part)
    hull = whole.hull.as_original()
    if hull.status() != second_library().Error.NoError:
        raise ExactDueError(f"its mesh is refused: {hull.status()}")
    return _Meshed(hull, whole.off, np.zeros((0, 2, 3)), np.zeros(0), (whole,))


def _pieces(left: Any, own: _Meshed, off: float) -> list[MeshPart]:
    """Return what is left in pieces, each with its rims; dust is left out."""
    whole = own.hull.volume()
    found = [_piece(each, own, off) for each in left.decompose()]
    kept = [piece for piece in found if piece.volume > DUST * whole]
    slack = own.off + off
    if any(piece.volume <= slack * piece.area for piece in kept):
        raise ExactDueError("a piece is no thicker than its mesh is off")
    return sorted(kept, key=lambda piece: -piece.volume)


def _piece(left: Any, own: _Meshed, off: float) -> MeshPart:
    made = left.to_mesh64()
    vertices = np.asarray(made.vert_properties)[:, :3].astype(np.float64)
    triangles = np.asarray(made.tri_verts).astype(np.int64)
    mine = _mine(made, own.hull.original_id(), len(triangles))
    rims, sines = _crossings(vertices, triangles, mine)
    reaches = own.off + (own.off + off) / np.maximum(sines, LEAST_SINE)
    skin = max(own.off, off)
    wide = reaches > 0.0
    near = _within(own.rims, vertices, own.reaches)
    return MeshPart(
        vertices, triangles, skin,
        np.concatenate([rims[wide], own.rims[near]]),
        np.concatenate([reaches[wide], own.reaches[near]]),
        own.wholes, own.knives,
    )  # fmt: skip


def _mine(made: Any, original: int, count: int) -> Any:
    """Say which triangles (m,) are those of the body that was cut, not of a knife."""
    starts = np.asarray(made.run_index).astype(np.int64) // 3
    owner = np.zeros(count, dtype=np.int64)
    for i, name in enumerate(np.asarray(made.run_original_id).tolist()):
        owner[starts[i] : starts[i + 1]] = name
    return owner == original


def _crossings(vertices: Floats, triangles: Ints, mine: Any) -> tuple[Floats, Floats]:
    """Return the sides (k, 2, 3) between a body's skin and a knife's, and the sines (k,)."""
    chosen = _along_seam(triangles, mine, len(vertices))
    seam, ours = triangles[chosen], mine[chosen]
    a, b, c = vertices[seam].transpose(1, 0, 2)
    square = cross(b - a, c - a)
    size = np.linalg.norm(square, axis=1)
    longest = np.max([np.linalg.norm(q - p, axis=1) for p, q in ((a, b), (b, c), (c, a))], axis=0)
    normal = square / np.maximum(size, 1e-300)[:, None]
    start = seam.reshape(-1)
    end = np.roll(seam, -1, axis=1).reshape(-1)
    beside = partners(seam)
    other = beside // 3
    own = np.arange(len(start)) // 3
    told = size > FLAT * longest
    rows = np.nonzero((beside >= 0) & ours[own] & ~ours[other] & told[own] & told[other])[0]
    sine = np.linalg.norm(cross(normal[own[rows]], normal[other[rows]]), axis=1)
    return np.stack([vertices[start[rows]], vertices[end[rows]]], axis=1), sine


def _along_seam(triangles: Ints, mine: Any, count: int) -> Ints:
    """Return the triangles (k,) with corners that triangles of both sides use: few of a body's."""
    ours, others = np.zeros(count, dtype=bool), np.zeros(count, dtype=bool)
    ours[triangles[mine].reshape(-1)] = True
    others[triangles[~mine].reshape(-1)] = True
    return np.nonzero((ours & others)[triangles].any(axis=1))[0]


def _within(lines: Floats, vertices: Floats, reaches: Floats) -> Any:
    """Say which lines (k, 2, 3) come into the box of vertices grown by their own reach [mm]."""
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    grown, ends = reaches[:, None], lines
    return np.all((ends.max(axis=1) >= low - grown) & (ends.min(axis=1) <= high + grown), axis=1)

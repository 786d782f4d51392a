"""V-shaped marks along lines on a skin, cut into a mesh of the body or standing on it.

On meshes: the kernel's cut along hundreds of facets of a splined skin is slow and seldom proves.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import Mesh, cross
from geomgen.kernel.meshing.proven import sides_close
from geomgen.kernel.second_library import hull_of, second_library, solid_of

# A line that turns by more than this at a point [deg] has a corner there: a tool on each side.
CORNER = 15.0
# The tool reaches beyond the skin by so many depths, and past its line's ends by so many widths.
BEYOND, PAST = 1.0, 0.5
# Rounded to what a file holds a mesh may not close: short sides are taken out of it first [mm].
SHORT = (0.0, 5e-4, 2e-3, 5e-3)
# What falls off beside a mark is dust up to this share of the body.
DUST = 1e-6


@dataclass(frozen=True)
class SkinRun:
    """A run of a line on a skin: points (n, 3) [mm] on it, the skin's outward normals there."""

    points: Floats
    normals: Floats


@dataclass(frozen=True)
class VMark:
    """A mark's section: a V, how deep and how wide at the skin [mm], raised instead of cut."""

    depth: float
    width: float
    raised: bool = False

    @property
    def outward(self) -> float:
        """Return 1 where the V's tip lies outside of the skin, -1 where below it [1]."""
        return 1.0 if self.raised else -1.0


@dataclass(frozen=True)
class MarkedMesh:
    """A closed mesh with marks on it: vertices (n, 3) [mm] as a file holds them, triangles."""

    vertices: Floats
    triangles: Ints
    volume: float = field(default=0.0)

    @property
    def corners(self) -> Floats:
        """Return the corners of the triangles, (m, 3, 3) [mm]."""
        return np.asarray(self.vertices[self.triangles])

    def mirrored(self) -> "MarkedMesh":
        """Return the mesh mirrored in the centre plane."""
        turned = np.ascontiguousarray(self.triangles[:, ::-1])
        return MarkedMesh(self.vertices * [1.0, -1.0, 1.0] + 0.0, turned, self.volume)


def scribed(mesh: Mesh, runs: Sequence[SkinRun], mark: VMark, part: str) -> MarkedMesh:
    """Return a closed mesh with marks along runs, all of one body.

    GeometryError where a mark parts the body, or no mesh of it closes.
    """
    body = hull_of(mesh)
    if body.status() != second_library().Error.NoError:
        raise GeometryError("its mesh is not closed", part=part, step="marks along lines")
    tools = [tool for run in runs for tool in _tools(run, mark)]
    if tools:
        library = second_library()
        every = library.Manifold.batch_boolean(tools, library.OpType.Add)
        body = body + every if mark.raised else body - every
    pieces = sorted(body.decompose(), key=lambda piece: -piece.volume())
    if not pieces or sum(q.volume() for q in pieces[1:]) > DUST * pieces[0].volume():
        raise GeometryError(
            f"marks along its lines part it into {len(pieces)} bodies",
            part=part,
            step="marks along lines",
            look_at=["handoff.moulds"],
        )
    return _as_filed(pieces[0], part)


def _as_filed(body: Any, part: str) -> MarkedMesh:
    """Return a solid of the second library as a mesh that a file of 32 bits holds, closed."""
    for short in SHORT:
        made = (body.simplify(short) if short else body).to_mesh64()
        rounded = np.asarray(made.vert_properties)[:, :3].astype(np.float32).astype(np.float64)
        vertices, place = np.unique(rounded + 0.0, axis=0, return_inverse=True)
        corners = place.reshape(-1)[np.asarray(made.tri_verts).astype(np.int64)]
        a, b, c = corners.T
        triangles = corners[(a != b) & (b != c) & (c != a)]
        if not sides_close(triangles, len(vertices)):
            continue
        solid = solid_of(vertices, triangles)
        if solid.status() == second_library().Error.NoError and solid.volume() > 0:
            return MarkedMesh(vertices, triangles, float(solid.volume()))
    raise GeometryError(
        "no mesh of it with marks along its lines closes",
        part=part,
        step="marks along lines",
        look_at=["handoff.moulds"],
    )


def _tools(run: SkinRun, mark: VMark) -> list[Any]:
    """Return what is cut out or put on along a run, a solid for each stretch without a corner."""
    way = np.diff(run.points, axis=0)
    way /= np.linalg.norm(way, axis=1)[:, None]
    turn = np.degrees(np.arccos(np.clip(np.sum(way[:-1] * way[1:], axis=1), -1.0, 1.0)))
    ends = [0, *(np.nonzero(turn > CORNER)[0] + 1).tolist(), len(run.points) - 1]
    return [
        _tool(SkinRun(run.points[a : b + 1], run.normals[a : b + 1]), mark)
        for a, b in zip(ends, ends[1:], strict=False)
    ]


def _tool(run: SkinRun, mark: VMark) -> Any:
    way = np.gradient(run.points, axis=0)
    way /= np.linalg.norm(way, axis=1)[:, None]
    aside = cross(way, run.normals)
    aside /= np.linalg.norm(aside, axis=1)[:, None]
    at = run.points.copy()
    past = PAST * mark.width
    at[0] -= past * way[0]
    at[-1] += past * way[-1]
    up = mark.outward * run.normals
    open_end = at - BEYOND * mark.depth * up
    half = (1 + BEYOND) * mark.width / 2
    rows = np.stack([at + mark.depth * up, open_end + half * aside, open_end - half * aside], 1)
    count = len(rows)
    first = 3 * np.arange(count - 1)[:, None]
    sides = [(k, j, 3 + j, 3 + k) for k, j in ((0, 1), (1, 2), (2, 0))]
    quads = np.concatenate([first + np.array(side) for side in sides])
    last = 3 * (count - 1)
    triangles = np.concatenate(
        [quads[:, [0, 1, 2]], quads[:, [0, 2, 3]], [[0, 2, 1], [last, last + 1, last + 2]]]
    )
    # Its corners go round the other way where the tip lies below the skin.
    turned = triangles if mark.raised else triangles[:, ::-1].copy()
    return solid_of(rows.reshape(-1, 3), turned)

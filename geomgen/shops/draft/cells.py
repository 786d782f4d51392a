"""A body's surface in small triangles with its true normals, fine where a question is undecided."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import hypot

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.arrays import Floats, Ints
from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.faces import faces_of, sense_of
from geomgen.kernel.brep.surface_points import SurfacePoints, surface_points
from geomgen.kernel.mesh import Mesh, cross
from geomgen.kernel.meshing.deviation import neighbours
from geomgen.kernel.meshing.proven import meshed

# Mesh tolerance as a share of the body's diagonal, and its limits [mm].
SHARE = 1e-4
FINEST, COARSEST = 0.01, 0.25
# Neighbouring triangles turn by about so much [rad].
TURN = 0.3
# The longest side of a cell as a share of the diagonal; no shadow that matters is smaller.
LONGEST = 1 / 40
# A cell is split no further once what is asked of it varies by less, or after so many turns.
EVEN = 0.02
TURNS = 16

Asked = Callable[["Cells"], Floats]


@dataclass(frozen=True)
class Cells:
    """Triangles whose corners lie on the solid's surface.

    `corners` (m, 3, 3) [mm], `normals` (m, 3, 3) outward units of the true surface at the corners,
    `uv` (m, 3, 2), `face` (m,), `parent` (m,) the triangle of the mesh that a cell is a part of.
    """

    corners: Floats
    normals: Floats
    uv: Floats
    face: Ints
    parent: Ints

    def picked(self, which: Ints) -> "Cells":
        """Return some of the cells."""
        return Cells(
            self.corners[which],
            self.normals[which],
            self.uv[which],
            self.face[which],
            self.parent[which],
        )

    @property
    def areas(self) -> Floats:
        """Return the areas (m,) [mm2]."""
        a, b, c = self.corners.transpose(1, 0, 2)
        return np.asarray(0.5 * np.linalg.norm(cross(b - a, c - a), axis=1))

    @property
    def middles(self) -> Floats:
        """Return the centroids (m, 3) [mm]."""
        return np.asarray(self.corners.mean(axis=1))


def stacked(parts: list[Cells]) -> Cells:
    """Return all cells of some lists in one."""
    return Cells(
        np.concatenate([p.corners for p in parts]),
        np.concatenate([p.normals for p in parts]),
        np.concatenate([p.uv for p in parts]),
        np.concatenate([p.face for p in parts]),
        np.concatenate([p.parent for p in parts]),
    )


@dataclass(frozen=True)
class DraftBody:
    """A solid made ready to be asked: its proven mesh, its faces' surfaces, its cells [mm].

    `clear` is how far a point is lifted off the surface so that it is surely outside the mesh.
    """

    part: str
    mesh: Mesh
    surfaces: list[SurfacePoints]
    signs: Floats
    cells: Cells
    beside: Ints
    clear: float
    longest: float


def body_of(shape: TopoDS_Shape, part: str = "body", share: float = SHARE) -> DraftBody:
    """Mesh a solid and take its true normals, the mesh tolerance a `share` [1] of its diagonal.

    GeometryError when no mesh keeps its tolerance.
    """
    diagonal = hypot(*loose_box(shape).size)
    tolerance = float(np.clip(share * diagonal, FINEST, COARSEST))
    made = meshed(shape, tolerance, TURN, part).mesh
    faces = faces_of(shape)
    surfaces = [surface_points(face) for face in faces]
    signs = np.array([sense_of(face) for face in faces])
    count = len(made.triangles)
    bare = Cells(made.corners, made.corners, made.uv, made.face, np.arange(count))
    body = DraftBody(
        part,
        made,
        surfaces,
        signs,
        bare,
        neighbours(made.triangles),
        2 * tolerance,
        LONGEST * diagonal,
    )
    points, normals = _on_surface(body, made.uv.reshape(-1, 2), np.repeat(made.face, 3))
    normals = _mended(normals.reshape(-1, 3, 3), made.corners)
    return replace(body, cells=replace(bare, corners=points.reshape(-1, 3, 3), normals=normals))


def _on_surface(body: DraftBody, uv: Floats, face: Ints) -> tuple[Floats, Floats]:
    """Return points and outward unit normals (n, 3); a normal is nil where there is none."""
    points, normals = np.empty((len(uv), 3)), np.zeros((len(uv), 3))
    order = np.argsort(face, kind="stable")
    starts = np.searchsorted(face[order], np.arange(len(body.surfaces) + 1))
    for i, surface in enumerate(body.surfaces):
        mine = order[starts[i] : starts[i + 1]]
        if not len(mine):
            continue
        s, du, dv = surface.at(uv[mine], 1)
        normal = body.signs[i] * cross(du, dv)
        size = np.linalg.norm(normal, axis=1)
        flat = size > 1e-9 * np.linalg.norm(du, axis=1) * np.linalg.norm(dv, axis=1)
        flat &= size > 0
        points[mine] = s
        normals[mine[flat]] = normal[flat] / size[flat, None]
    return points, normals


def _mended(normals: Floats, corners: Floats) -> Floats:
    """Give corners without a normal (at a pole) the one of their triangle."""
    nil = ~normals.any(axis=2)
    if nil.any():
        a, b, c = corners.transpose(1, 0, 2)
        plain = cross(b - a, c - a)
        plain /= np.maximum(np.linalg.norm(plain, axis=1, keepdims=True), 1e-300)
        normals[nil] = np.broadcast_to(plain[:, None], normals.shape)[nil]
    return normals


def halved(body: DraftBody, cells: Cells) -> Cells:
    """Return each cell's two halves, parted in the middle of its longest side."""
    sides = np.linalg.norm(cells.corners - np.roll(cells.corners, -1, axis=1), axis=2)
    first = sides.argmax(axis=1)
    turn = (first[:, None] + np.arange(3)) % 3
    row = np.arange(len(first))[:, None]
    uv, corners, normals = cells.uv[row, turn], cells.corners[row, turn], cells.normals[row, turn]
    between = 0.5 * (uv[:, 0] + uv[:, 1])
    point, normal = _on_surface(body, between, cells.face)
    nil = ~normal.any(axis=1)
    normal[nil] = normals[nil, 0]
    near = np.stack([corners[:, 0], point, corners[:, 2]], axis=1)
    far = np.stack([point, corners[:, 1], corners[:, 2]], axis=1)
    return stacked(
        [
            Cells(
                near,
                np.stack([normals[:, 0], normal, normals[:, 2]], axis=1),
                np.stack([uv[:, 0], between, uv[:, 2]], axis=1),
                cells.face,
                cells.parent,
            ),
            Cells(
                far,
                np.stack([normal, normals[:, 1], normals[:, 2]], axis=1),
                np.stack([between, uv[:, 1], uv[:, 2]], axis=1),
                cells.face,
                cells.parent,
            ),
        ]
    )


def decided(body: DraftBody, cells: Cells, asked: list[Asked], even: float = EVEN) -> Cells:
    """Return cells so fine that each of `asked` (values at the corners, (m, 3)) is linear enough.

    A cell is split where a value [any unit] may change its sign within it and differs by more than
    `even`, and where it is too long.
    """
    done: list[Cells] = []
    for _ in range(TURNS):
        sides = np.linalg.norm(cells.corners - np.roll(cells.corners, -1, axis=1), axis=2)
        split = sides.max(axis=1) > body.longest
        for ask in asked:
            value = ask(cells)
            low, high = value.min(axis=1), value.max(axis=1)
            spread = high - low
            split |= (spread > even) & (low - spread / 2 < 0) & (high + spread / 2 > 0)
        done.append(cells.picked(np.nonzero(~split)[0]))
        if not split.any():
            return stacked(done)
        cells = halved(body, cells.picked(np.nonzero(split)[0]))
    return stacked([*done, cells])


def share_below(value: Floats) -> Floats:
    """Return the share (m,) [1] of triangles where linear `value` (m, 3) of the corners is < 0.

    >>> share_below(np.array([[-1.0, 1.0, 1.0], [-1.0, -1.0, -1.0]])).tolist()
    [0.25, 1.0]
    """
    low, middle, high = np.sort(value, axis=1).T
    with np.errstate(divide="ignore", invalid="ignore"):
        corner = low**2 / ((middle - low) * (high - low))
        rest = high**2 / ((high - low) * (high - middle))
    share = np.where(middle >= 0, corner, 1 - rest)
    return np.asarray(np.where(low >= 0, 0.0, np.where(high < 0, 1.0, share)))

"""A body of which only a mesh is known: a first answer, before it is cut exactly."""

import io
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import Mesh, cross, renumbered_of, sizes
from geomgen.kernel.plain import vec
from geomgen.kernel.second_library import hull_of, solid_of

MARK = b"geomgen mesh part 2\n"
# So near to the centre plane a corner lies in it [mm].
IN_CENTRE = 1e-3
# What turns a place to its mirror image across the centre plane.
ACROSS = np.array([1.0, -1.0, 1.0])
# So many rims are looked at together.
AT_ONCE = 256
# Boxes are looked at so much farther out, for the rounding [mm].
SPARE = 1e-6


class ExactDueError(Exception):
    """What is asked can't be told from meshes: it waits for the exact solid."""


class UnsettledError(GeometryError):
    """A step can't be made by meshes, and what it builds on is known by meshes alone."""


@dataclass(frozen=True)
class Shell:
    """A closed mesh, vertices (n, 3) [mm] and triangles (m, 3), and how far it is off [mm].

    `of` is the shell that it is the mirror image of, where that is known.
    """

    vertices: Floats
    triangles: Ints
    off: float
    of: "Shell | None" = field(default=None, repr=False, compare=False)

    @cached_property
    def hull(self) -> Any:
        """Return it as one of the second library's solids."""
        if self.of is not None:
            return self.of.hull.mirror((0.0, 1.0, 0.0))
        return solid_of(self.vertices, self.triangles)

    def mirrored(self) -> "Shell":
        """Return its mirror image across the centre plane."""
        return Shell(self.vertices * ACROSS, self.triangles[:, ::-1], self.off, self)

    @property
    def arrays(self) -> list[Any]:
        """Return what it is as arrays, in the order in which bytes hold them."""
        return [self.vertices, self.triangles, np.array([self.off])]

    def as_bytes(self) -> bytes:
        """Return it as bytes; the same shell gives the same bytes.

        >>> shell = Shell(np.eye(3), np.array([[0, 1, 2]]), 0.1)
        >>> shell_from(shell.as_bytes()).triangles.tolist(), shell_from(shell.as_bytes()).off
        ([[0, 1, 2]], 0.1)
        """
        out = io.BytesIO()
        _write(out, self.arrays)
        return out.getvalue()


def _nowhere() -> Floats:
    return np.zeros((0, 2, 3))


def _nothing() -> Floats:
    return np.zeros(0)


@dataclass(frozen=True)
class MeshPart:
    """Vertices (n, 3) [mm] and triangles (m, 3) of a body cut out of meshes, and how far it is off.

    Its skin is no farther from the solid's than `skin` [mm], but for what lies within `reaches`
    (k,) [mm] of the lines `rims` (k, 2, 3) [mm], by their ends: where two skins cross at a small
    angle, the line in which they do is off by more than they are. The solid lies in one of the
    `wholes`, the body before it was cut and its mirror image, and in none of the `knives`, as far
    as these are off.
    """

    vertices: Floats
    triangles: Ints
    skin: float
    rims: Floats = field(default_factory=_nowhere)
    reaches: Floats = field(default_factory=_nothing)
    wholes: tuple[Shell, ...] = ()
    knives: tuple[Shell, ...] = ()

    @property
    def deviation(self) -> float:
        """Return how far its skin may be from the solid's anywhere [mm]."""
        return max(self.skin, float(self.reaches.max(initial=0.0)))

    @cached_property
    def mesh(self) -> Mesh:
        """Return the triangles as a mesh of one face, without parameters and edges."""
        count = len(self.triangles)
        none = np.zeros(0, dtype=np.int64)
        return Mesh(
            self.vertices, self.triangles, np.zeros(count, dtype=np.int64),
            np.zeros((count, 3, 2)), none.reshape(0, 3), none, np.zeros((0, 3, 2)), (),
            self.deviation, "cut",
        )  # fmt: skip

    @cached_property
    def hull(self) -> Any:
        """Return it as one of the second library's solids."""
        return hull_of(self.mesh)

    @cached_property
    def area(self) -> float:
        """Return the area of its skin [mm2]."""
        a, b, c = self.mesh.corners.transpose(1, 0, 2)
        return float(0.5 * sizes(cross(b - a, c - a)).sum())

    @property
    def volume(self) -> float:
        """Return its volume [mm3]."""
        return self.mesh.volume

    @property
    def volume_error(self) -> float:
        """Return how far its volume may be off [mm3]: what its skin sweeps, and its rims."""
        lines = np.linalg.norm(self.rims[:, 1] - self.rims[:, 0], axis=1)
        return self.skin * (self.area + 2.0 * float(lines @ self.reaches))

    @cached_property
    def centre(self) -> tuple[float, float, float]:
        """Return its centroid [mm]."""
        middle = self.vertices.mean(axis=0)
        a, b, c = (self.mesh.corners - middle).transpose(1, 0, 2)
        sixth = np.einsum("ij,ij->i", a, cross(b, c)) / 6.0
        return vec(middle + (sixth @ (a + b + c)) / (4.0 * sixth.sum()))

    def off_at(self, points: Floats) -> Floats:
        """Return how far its skin may be from the solid's at places of it (n, 3) [mm]."""
        off = np.full(len(points), self.skin)
        if not len(points):
            return off
        middles = self.rims.mean(axis=1)
        room = self.reaches + 0.5 * np.linalg.norm(self.rims[:, 1] - self.rims[:, 0], axis=1)
        # Most rims are nowhere near the box of the points.
        low, high = points.min(axis=0), points.max(axis=0)
        beside = np.maximum(np.maximum(low - middles, middles - high), 0.0)
        near = np.linalg.norm(beside, axis=1) <= room + self.skin + SPARE
        middles, room, reaches = middles[near], room[near], self.reaches[near]
        for i in range(0, len(middles), AT_ONCE):
            some = slice(i, i + AT_ONCE)
            away = np.linalg.norm(points[:, None] - middles[None, some], axis=2)
            reach = np.where(away <= room[some] + self.skin, reaches[some], 0.0)
            off = np.maximum(off, reach.max(axis=1, initial=0.0))
        return off

    def holds(self, point: tuple[float, float, float]) -> bool:
        """Say whether a point [mm] lies inside; ExactDueError where the mesh does not tell."""
        a, b, c = (self.mesh.corners - np.array(point)).transpose(1, 0, 2)
        # No triangle is nearer than its box and its plane.
        low, high = np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)
        box = sizes(np.maximum(np.maximum(low, -high), 0.0))
        beside = box <= self.deviation
        p, square = a[beside], cross(b[beside] - a[beside], c[beside] - a[beside])
        plane = np.abs(np.einsum("ij,ij->i", p, square)) / np.maximum(sizes(square), 1e-300)
        if np.any(plane <= self.deviation):
            raise ExactDueError("a point beside its skin")
        x, y, z = sizes(a), sizes(b), sizes(c)
        solid = np.einsum("ij,ij->i", a, cross(b, c))
        rest = x * y * z + sum(
            np.einsum("ij,ij->i", p, q) * r for p, q, r in ((a, b, z), (b, c, x), (c, a, y))
        )
        return bool(np.arctan2(solid, rest).sum() / (2.0 * np.pi) > 0.5)

    @property
    def ends(self) -> tuple[Floats, Floats]:
        """Return the corners of a box [mm] that surely holds it."""
        low, high = self.vertices.min(axis=0), self.vertices.max(axis=0)
        return low - self.deviation, high + self.deviation

    def mirrored(self) -> "MeshPart":
        """Return its mirror image across the centre plane."""
        return replace(
            self, vertices=self.vertices * ACROSS, triangles=self.triangles[:, ::-1],
            rims=self.rims * ACROSS, wholes=tuple(each.mirrored() for each in self.wholes),
            knives=tuple(each.mirrored() for each in self.knives),
        )  # fmt: skip

    @property
    def caps(self) -> Any:
        """Say which triangles (m,) lie in the centre plane."""
        return np.all(np.abs(self.vertices[self.triangles][:, :, 1]) < IN_CENTRE, axis=1)

    def doubled(self) -> "MeshPart":
        """Return it, a half that is capped in the centre plane, with its mirror image.

        >>> corners = np.array([[0.0, 0, 0], [9.0, 0, 0], [0, 9.0, 0], [0, 0, 9.0]])
        >>> sides = np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]])
        >>> half = MeshPart(corners, sides, 0.1)
        >>> round(half.volume, 6), round(half.doubled().volume, 6)
        (121.5, 243.0)
        """
        own = self.triangles[~self.caps]
        flat = np.where(np.abs(self.vertices[:, 1:2]) < IN_CENTRE, [1.0, 0.0, 1.0], 1.0)
        vertices = self.vertices * flat
        count, in_centre = len(vertices), vertices[:, 1] == 0.0
        other = np.where(in_centre, np.arange(count), np.arange(count) + count)
        both = np.concatenate([vertices, vertices * ACROSS])
        triangles = np.concatenate([own, other[own][:, ::-1]])
        used, triangles = renumbered_of(triangles, len(both))
        rims = np.concatenate([self.rims, self.rims * ACROSS])
        return replace(
            self, vertices=both[used], triangles=triangles,
            rims=rims, reaches=np.tile(self.reaches, 2), wholes=_both_sides(self.wholes),
            knives=_both_sides(self.knives),
        )  # fmt: skip

    def as_bytes(self) -> bytes:
        """Return it as bytes; the same part gives the same bytes."""
        out = io.BytesIO()
        out.write(MARK)
        skin, about = np.array([self.skin]), np.array([len(self.wholes), len(self.knives)])
        arrays = [self.vertices, self.triangles, self.rims, self.reaches, skin, about]
        for shell in (*self.wholes, *self.knives):
            arrays += shell.arrays
        _write(out, arrays)
        return out.getvalue()


def _write(out: io.BytesIO, arrays: list[Any]) -> None:
    for array in arrays:
        # Numbers of vertices in half the room: a pod is written, read and hashed many times.
        short = array.astype(np.int32) if array.dtype == np.int64 else array
        np.save(out, np.ascontiguousarray(short), allow_pickle=False)


def _read(file: io.BytesIO) -> Any:
    array = np.load(file, allow_pickle=False)
    return array.astype(np.int64) if array.dtype == np.int32 else array


def _both_sides(shells: tuple[Shell, ...]) -> tuple[Shell, ...]:
    return (*shells, *(each.mirrored() for each in shells))


def shell_from(body: bytes) -> Shell:
    """Return the shell that bytes stand for."""
    return _shell(io.BytesIO(body))


def _shell(file: io.BytesIO) -> Shell:
    vertices, triangles, off = (_read(file) for _ in range(3))
    return Shell(vertices, triangles, float(off[0]))


def part_from(body: bytes) -> MeshPart | None:
    """Return the part that bytes stand for; None when they are another thing's."""
    if not body.startswith(MARK):
        return None
    file = io.BytesIO(body)
    file.seek(len(MARK))
    vertices, triangles, rims, reaches, skin, about = (_read(file) for _ in range(6))
    whole, many = int(about[0]), int(about.sum())
    shells = [_shell(file) for _ in range(many)]
    return MeshPart(
        vertices, triangles, float(skin[0]), rims, reaches,
        _paired(shells[:whole]), _paired(shells[whole:]),
    )  # fmt: skip


def _paired(shells: list[Shell]) -> tuple[Shell, ...]:
    """Return shells of which the second half may be the first one's mirror images, told so."""
    half = len(shells) // 2
    own, others = shells[:half], shells[half:]
    made = [shell.mirrored() for shell in own]
    if len(own) == len(others) and all(map(_alike, made, others)):
        return (*own, *made)
    return tuple(shells)


def _alike(one: Shell, other: Shell) -> bool:
    return (
        one.off == other.off
        and np.array_equal(one.vertices, other.vertices)
        and np.array_equal(one.triangles, other.triangles)
    )

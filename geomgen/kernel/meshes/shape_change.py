"""What became of a solid's shape: moved as it was, or changed, and by how much."""

from dataclasses import dataclass, replace

import numpy as np
from scipy.spatial import cKDTree

from geomgen.arrays import Floats, Ints
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.states_apart import Apart, largest_distance
from geomgen.kernel.plain import Vec3

# A mesh's corners are rounded to 32 bits, and a solid's own surfaces are met to a micrometre.
ROUNDED = 2e-3


@dataclass(frozen=True)
class Motion:
    """How the former shape moves to become the new one, but for `left` [mm] at most.

    A turn of `degrees` about `axis` through the datum, then a shift [mm].
    """

    shift: Vec3
    degrees: float
    axis: Vec3
    left: float


@dataclass(frozen=True)
class ShapeChange:
    """Distance of the surfaces, and the motion where the shape itself stayed as it was."""

    apart: Apart
    motion: Motion | None = None


def shape_change(former: Mesh, new: Mesh) -> ShapeChange:
    """Return how far two states of a part lie apart, and whether it was only moved.

    Meshes of the same triangles, each corner where one motion takes it, are of the same shape; a
    moved part whose mesh was laid out anew counts as changed: nothing is claimed that was not seen.

    >>> from geomgen.kernel.meshing.proven import mesh
    >>> from geomgen.kernel.brep.primitives import box
    >>> here, there = (mesh(box((x, 0, 0), (x + 10.0, 20.0, 30.0)), 0.1) for x in (0.0, 5.0))
    >>> moved = shape_change(here, there)
    >>> moved.apart.distance, moved.motion.shift, moved.motion.degrees
    (5.0, (5.0, 0.0, 0.0), 0.0)
    """
    apart, moved = largest_distance(former, new), motion(former, new)
    if moved is not None and not moved.degrees:
        # Every place has its like no further off than the shift.
        reach = float(np.linalg.norm(moved.shift)) + moved.left
        apart = replace(apart, at_most=max(apart.distance, min(apart.at_most, reach)))
    return ShapeChange(apart, moved)


def motion(former: Mesh, new: Mesh) -> Motion | None:
    """Return the motion that takes each corner of one mesh to its place in the other, if any.

    A shift is found whatever the order of the triangles, a turn where they come in the same one
    (Kabsch's least squares by singular values). A mirror is no motion.
    """
    return _shifted(former, new) or _turned(former, new)


def _shifted(former: Mesh, new: Mesh) -> Motion | None:
    a, b = former.vertices, new.vertices
    if a.shape != b.shape or former.triangles.shape != new.triangles.shape or not len(a):
        return None
    shift = b.mean(axis=0) - a.mean(axis=0)
    away, place = cKDTree(b).query(a + shift)
    if away.max() > ROUNDED or len(np.unique(place)) < len(place):
        return None
    if not np.array_equal(_sorted(place[former.triangles]), _sorted(new.triangles)):
        return None
    x, y, z = (round(float(c), 3) + 0.0 for c in shift)
    return Motion((x, y, z), 0.0, (0.0, 0.0, 1.0), float(away.max()))


def _sorted(triangles: Ints) -> Ints:
    """Return triangles in one order, each from its lowest corner on, its sense kept."""
    first = np.argmin(triangles, axis=1)[:, None]
    turned = np.take_along_axis(triangles, (first + np.arange(3)) % 3, axis=1)
    return np.asarray(turned[np.lexsort(turned.T)])


def _turned(former: Mesh, new: Mesh) -> Motion | None:
    a, b = former.corners.reshape(-1, 3), new.corners.reshape(-1, 3)
    if a.shape != b.shape or not len(a):
        return None
    middle_a, middle_b = a.mean(axis=0), b.mean(axis=0)
    left, _, right = np.linalg.svd((a - middle_a).T @ (b - middle_b))
    hand = np.diag([1.0, 1.0, np.sign(np.linalg.det(left @ right))])
    turn = (left @ hand @ right).T
    if np.abs(turn - np.eye(3)).max() * np.ptp(a, axis=0).max() < ROUNDED:
        # A turn that carries no corner away is the rounding of the corners.
        turn = np.eye(3)
    shift = middle_b - turn @ middle_a
    off = float(np.linalg.norm(a @ turn.T + shift - b, axis=1).max())
    if off > ROUNDED:
        return None
    degrees, axis = _angle(turn)
    x, y, z = (round(float(c), 3) + 0.0 for c in shift)
    return Motion((x, y, z), degrees, axis, off)


def _angle(turn: Floats) -> tuple[float, Vec3]:
    from scipy.spatial.transform import Rotation

    vector = Rotation.from_matrix(turn).as_rotvec()
    size = float(np.linalg.norm(vector))
    if not size:
        return 0.0, (0.0, 0.0, 1.0)
    x, y, z = (vector / size).tolist()
    return float(np.degrees(size)), (x, y, z)

"""How deep two bodies run into each other at one place, from the piece that their meshes share.

The depth is how far a point of one lies below the skin of the other, counted from the side on which
that one was entered: 2 mm into a round wall is 2 mm whichever way it leans, and what comes out on
the far side of a wall is as deep as the wall is thick there, at the least. Where a part is closed
round by the other, so that it was entered from no one side, the nearest skin counts.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from geomgen.arrays import Floats, Ints
from geomgen.kernel.interference.farthest import Farthest, farthest
from geomgen.kernel.mesh import cross
from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.meshes.sharp_edges import unit_normals
from geomgen.kernel.plain import Vec3, vec

# The search for the deepest point ends within this [mm], or this share of the depth if more.
WITHIN, SHARE = 0.02, 0.005
# What looks more than 102 deg away from a patch is behind it: the far side of a wall.
BEHIND = -0.2
# A patch that points one way less than this was entered from all round: half a ball has 0.5, a
# corner of three faces 0.58 (own choice).
ONE_WAY = 0.45


@dataclass(frozen=True)
class Deepest:
    """A depth [mm], what the search may be short of it [mm], the point and its foot on the skin.

    `through` says of the first and of the second whether the other goes in at one face of it and
    comes out at another: behind it, beside a corner, or inside where it is hollow.
    """

    depth: float
    short: float
    at: Vec3
    foot: Vec3
    through: tuple[bool, bool]


class MeshSkin:
    """The triangles (n, 3, 3) [mm] of a closed mesh, made ready when they are asked for."""

    def __init__(self, corners: Floats) -> None:
        self.corners = corners

    @cached_property
    def search(self) -> MeshSearch:
        """Return all of it, ready for the nearest place."""
        return MeshSearch(self.corners)

    @cached_property
    def normals(self) -> Floats:
        """Return the outward unit normals (n, 3) [1]."""
        return unit_normals(self.corners)

    def facing(self, way: Floats) -> MeshSearch:
        """Return what of it does not look against a unit direction (3,) [1]."""
        return MeshSearch(self.corners[self.normals @ way > BEHIND])


def deepest(piece: Any, one: MeshSkin, other: MeshSkin, within: float = 0.0) -> Deepest:
    """Return the depth of two bodies in a piece (a manifold) that their meshes share.

    The search may end `within` [mm] of it if that is more than it takes by itself.

    >>> import manifold3d
    >>> wall = manifold3d.Manifold.cube([9.0, 90.0, 90.0])
    >>> pin = manifold3d.Manifold.cube([50.0, 2.0, 2.0]).translate([3.0, 40.0, 40.0])
    >>> skins = [MeshSkin(triangles_of(body)[0]) for body in (wall, pin)]
    >>> round(deepest(wall ^ pin, *skins).depth, 6)
    6.0
    """
    corners, triangles = triangles_of(piece)
    middles = corners.mean(axis=1)
    mine = one.search.nearest(middles).distance <= other.search.nearest(middles).distance
    patches = [_patches(corners, triangles, own) for own in (mine, ~mine)]
    found: list[Farthest] = []
    for own, skin, entered in ((mine, other, patches[1]), (~mine, one, patches[0])):
        if own.any():
            found += [_farthest(corners[own], mesh, within) for mesh in _sides(skin, entered)]
    best = max(found, key=lambda f: f.distance)
    most = max(f.at_most for f in found)
    through = (len(patches[0]) > 1, len(patches[1]) > 1)
    return Deepest(best.distance, most - best.distance, vec(best.at), vec(best.foot), through)


def triangles_of(body: Any) -> tuple[Floats, Ints]:
    """Return corners (n, 3, 3) [mm] and vertices (n, 3) of a manifold's triangles."""
    mesh = body.to_mesh64()
    triangles = np.asarray(mesh.tri_verts).astype(np.int64)
    return np.asarray(mesh.vert_properties)[:, :3][triangles], triangles


def _farthest(corners: Floats, mesh: MeshSearch, within: float) -> Farthest:
    rough_ = float(mesh.nearest(corners.reshape(-1, 3)).distance.max())
    return farthest(corners, mesh, max(WITHIN, SHARE * rough_, within))


def _patches(corners: Floats, triangles: Ints, own: Any) -> list[Floats]:
    """Return the area vectors (n, 3) [mm2] of each patch of skin that hangs together."""
    rows = np.nonzero(own)[0]
    if not len(rows):
        return []
    vertices, place = np.unique(triangles[rows], return_inverse=True)
    place = place.reshape(-1, 3)
    start, end = place.reshape(-1), np.roll(place, -1, axis=1).reshape(-1)
    size = len(vertices)
    links = coo_array((np.ones(len(start)), (start, end)), shape=(size, size))
    count, label = connected_components(links, directed=False)
    every = corners[rows]
    areas = 0.5 * cross(every[:, 1] - every[:, 0], every[:, 2] - every[:, 0])
    return [areas[label[place[:, 0]] == number] for number in range(count)]


def _sides(skin: MeshSkin, entered: list[Floats]) -> Iterator[MeshSearch]:
    """Return of a skin, for each patch that was entered, what looks the same way as the patch."""
    ways = []
    for patch in entered:
        whole, size = patch.sum(axis=0), float(np.linalg.norm(patch, axis=1).sum())
        if float(np.linalg.norm(whole)) > ONE_WAY * size:
            ways.append(whole / np.linalg.norm(whole))
    if not ways:
        yield skin.search
    for way in ways:
        yield skin.facing(way)

"""Scoops on one side only: the half that is drawn shows them on both, and says so.

A machine's right-hand half stands for both. A scoop on the left alone is drawn as the mirror shows
it; the one that is shown beside it and is not there is told as a body without panels is.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.plain import Opening, Plane, Vec3, vec

OTHER = np.array([1.0, -1.0, 1.0])
# Boxes of two scoops are mirror images within this and what their meshes are off [mm]: own choice.
SAME = 1.0


@dataclass(frozen=True)
class OneSided:
    """Meshes and mouths as the right-hand half is drawn of, and which scoops have no other.

    `lone` are those on one side, `left` those of them that stand on the left.
    """

    meshes: Mapping[str, Mesh]
    mouths: Sequence[Opening]
    lone: tuple[str, ...]
    left: tuple[str, ...]


def one_sided(
    meshes: Mapping[str, Mesh], scoops: Sequence[str], mouths: Sequence[Opening]
) -> OneSided:
    """Return meshes [mm] with scoops of the left side alone mirrored to the right.

    GeometryError where such a one would stand in a scoop of the right side.
    """
    boxes = {name: _box(meshes[name]) for name in scoops}
    lone, left = [], []
    for name, (low, high) in boxes.items():
        if low[1] < -SAME and high[1] > SAME:
            continue
        mirror = np.sort(np.stack([low, high]) * OTHER, axis=0)
        others = {n: box for n, box in boxes.items() if n != name}
        near = SAME + 2.0 * meshes[name].mesh_tolerance
        if any(np.abs(np.stack(box) - mirror).max() < near for box in others.values()):
            continue
        for other, (bottom, top) in others.items():
            if (mirror[0] < top).all() and (mirror[1] > bottom).all():
                raise GeometryError(
                    f"it is not the mirror image of {other}, which stands where its own would; "
                    "the air is worked out on one half: make both alike, or leave one out",
                    part=name,
                    step="air",
                )
        lone.append(name)
        if high[1] <= SAME:
            left.append(name)
    made = {n: _turned(m) if n in left else m for n, m in meshes.items()}
    ways = [_other(m) if m.name in left else m for m in mouths]
    return OneSided(made, ways, tuple(lone), tuple(left))


def _box(mesh: Mesh) -> tuple[Floats, Floats]:
    return mesh.vertices.min(axis=0), mesh.vertices.max(axis=0)


def _turned(mesh: Mesh) -> Mesh:
    return replace(mesh, vertices=mesh.vertices * OTHER, triangles=mesh.triangles[:, ::-1])


def _other(mouth: Opening) -> Opening:
    origin, normal, seed = (
        mirror_of(v) for v in (mouth.plane.origin, mouth.plane.normal, mouth.seed)
    )
    return replace(mouth, plane=Plane(origin, normal), seed=seed)


def mirror_of(place: Vec3) -> Vec3:
    """Return a place [mm] as the mirror shows it.

    >>> mirror_of((100.0, 200.0, 300.0))
    (100.0, -200.0, 300.0)
    """
    return vec((np.array(place) * OTHER).tolist())

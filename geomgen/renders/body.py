"""What a view shows of each part: its mesh, cut where the view is cut, with normals and edges."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.normals import Shaded, shaded
from geomgen.kernel.meshes.plane_caps import cut_by_all
from geomgen.renders.view import View

Known = dict[str, Shaded]


@dataclass(frozen=True)
class RenderedPart:
    """A part as shown: points with normals, triangles of its skin, and of the cut faces."""

    name: str
    surface: Shaded
    skin: Ints
    caps: Ints
    translucent: bool


def bodies(
    meshes: Mapping[str, Mesh], view: View, known: Known | None = None
) -> list[RenderedPart]:
    """Return what a view shows of the meshes [mm]; GeometryError when that is nothing.

    `known` keeps the normals of uncut parts from one view to the next.
    """
    keep = {} if known is None else known
    found = []
    for name, mesh in meshes.items():
        if name in view.without:
            continue
        translucent = name in view.translucent
        if view.sections and name not in view.whole:
            cut = cut_by_all(mesh, view.sections, name)
            if len(cut.triangles):
                made = shaded(cut.vertices, cut.triangles, mesh.mesh_tolerance)
                skin, caps = made.triangles[cut.cap < 0], made.triangles[cut.cap >= 0]
                found.append(RenderedPart(name, made, skin, caps, translucent))
            continue
        if name not in keep:
            keep[name] = shaded(mesh.vertices, mesh.triangles, mesh.mesh_tolerance)
        none = np.zeros((0, 3), dtype=np.int64)
        found.append(RenderedPart(name, keep[name], keep[name].triangles, none, translucent))
    if not found:
        raise GeometryError(f"view {view.name} shows no part", step="picture")
    return found


@dataclass(frozen=True)
class Camera:
    """The camera of a picture: `axes` (3, 3) right, up, away; what it looks at; its scale.

    `centre` is the middle of what is shown [mm], `scale` [mm a pixel], `depth` from the nearest to
    the farthest point [mm].
    """

    axes: Floats
    centre: Floats
    scale: float
    depth: float
    size: tuple[int, int]


def framed(shown: list[RenderedPart], view: View, size: tuple[int, int], margin: float) -> Camera:
    """Return the camera that shows all with a margin, a share of the picture's lesser side [1].

    The projection is parallel, so that lengths across the line of sight keep their ratio.
    """
    return framed_points([body.surface.points for body in shown], view, size, margin)


def framed_points(
    points: Sequence[Floats], view: View, size: tuple[int, int], margin: float
) -> Camera:
    """Return the camera that shows all points (n, 3) [mm], with a margin as `framed` has it."""
    axes = np.array(view.axes())
    spread = [each @ axes.T for each in points]
    low = np.min([each.min(axis=0) for each in spread], axis=0)
    high = np.max([each.max(axis=0) for each in spread], axis=0)
    extent = np.maximum(high - low, 1e-6)
    room = [side - 2 * margin * min(size) for side in size]
    scale = max(float(extent[0]) / room[0], float(extent[1]) / room[1])
    return Camera(axes, (low + high) / 2 @ axes, scale, float(extent[2]), size)

"""Two views of a half with the lines on its skin: along its pull, and square to that."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.arrays import Bools, Floats
from geomgen.drafting.record import HIDDEN, OPEN, SECTION, VISIBLE, Path, Point
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.skin_distance import feet_on
from geomgen.kernel.visibility.shadow import frame_of
from geomgen.kernel.visibility.silhouette import DrawnBody
from geomgen.shops.page_view import PageView
from geomgen.shops.skin_lines.curves import LineOnSkin, SkinLines
from geomgen.shops.skin_lines.planes import BUILD

# Outlines of views come from a mesh within this [mm], and are thinned to it.
OUTLINE = 0.5
# Skin that leans this far away is seen from its edge and drawn as seen [1].
EDGE = -0.02


def two_views(pull: Vec3) -> tuple[PageView, PageView]:
    """Return the view along a pull [1] and the one from the top edge of its page."""
    right, up, d = frame_of(pull)
    return PageView(right, up, d), PageView(right, -d, up)


def meshed_half(solid: TopoDS_Shape) -> Mesh:
    """Return the mesh that outlines of views are taken from."""
    return mesh(solid, OUTLINE)


def outline_in(view: PageView, body: Mesh) -> list[Path]:
    """Return the outline [mm] of a mesh in a view."""
    turn = np.stack([-view.toward, -view.right, view.up], axis=-1)
    shadow = DrawnBody(replace(body, vertices=body.vertices @ turn)).silhouette("front", OUTLINE)
    return [Path(_points(ring), (), True, VISIBLE, "outline") for ring in shadow.outlines]


def line_in(view: PageView, half: SkinLines, line: LineOnSkin) -> list[Path]:
    """Return the runs of a line [mm] in a view, dashed where its skin looks away."""
    layer = SECTION if line.kind == BUILD else OPEN
    found = []
    for run in line.runs:
        facing = feet_on(half.side.faces, run).normals @ view.toward > EDGE
        flat = view.flat(run)
        for a, b in _stretches(facing):
            if b - a > 1:
                kind = layer if facing[b - 1] else HIDDEN
                found.append(Path(_points(flat[a:b]), (), False, kind, line.name))
    return found


def _stretches(facing: Bools) -> list[tuple[int, int]]:
    """Return first and one past last place of each stretch of alike values, one place shared.

    >>> _stretches(np.array([True, True, False, False]))
    [(0, 2), (1, 4)]
    """
    turns = (np.flatnonzero(np.diff(facing)) + 1).tolist()
    starts, ends = [0, *turns], [*turns, len(facing)]
    return [(max(0, a - 1), b) if a else (0, b) for a, b in zip(starts, ends, strict=True)]


def _points(rows: Floats) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in rows)


def drawn_lines(view: PageView, half: SkinLines) -> list[list[Path]]:
    """Return the paths [mm] of every line of a half in a view, line by line."""
    return [line_in(view, half, line) for line in half.lines]


def spread(paths: Sequence[Path]) -> Point:
    """Return the middle point [mm] of the longest of some paths."""
    longest = max(paths, key=lambda path: path.length())
    return longest.points[len(longest.points) // 2]

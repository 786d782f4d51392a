"""Pictures of solved pressures: each panel in its own colour, unlit, beside the scale."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geomgen.arrays import Floats
from geomgen.documents.pressure_bands import COUNT, LOW, STEP, TICKS, UNFELT, colours
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.normals import shaded
from geomgen.renders import actors
from geomgen.renders.actors import BACKGROUND, INK
from geomgen.renders.body import RenderedPart, framed_points
from geomgen.renders.captions import lettered
from geomgen.renders.ink import Pixels, outlined, smoothed
from geomgen.renders.picture import FINE, JUMP, MARGIN, SIZE
from geomgen.renders.png import png_bytes
from geomgen.renders.view import View
from geomgen.renders.window import colours_of, depths_of, window

VIEWS = (
    View("front", "From ahead, left and above", (1.0, 0.72, -0.5)),
    View("below", "From behind, left and below", (-1.0, 0.82, 0.5)),
)
# Room beside for the scale, above and below for words; letters; own choice, at the usual size.
BESIDE, ABOVE, BELOW, LETTERS, LINE = 110, 40, 64, 15, 22
# Of the scale: how broad its colours are, how long a tick.
BROAD, TICK = 26, 6
GREY = (UNFELT[0] / 255, UNFELT[1] / 255, UNFELT[2] / 255)


@dataclass(frozen=True)
class PaintedTriangles:
    """Triangles `corners` (m, 3, 3) [mm] with their colours (m, 3), 0 to 255."""

    corners: Floats
    colours: NDArray[np.uint8]


def pressure_pictures(
    shown: PaintedTriangles,
    unfelt: Mapping[str, Mesh],
    title: str,
    words: Sequence[str],
    size: tuple[int, int] = SIZE,
    views: Sequence[View] = VIEWS,
) -> dict[str, bytes]:
    """Return a PNG (width, height) by view: painted triangles, parts [mm] that nobody felt in grey.

    `title` stands above, `words` below. GeometryError where there is nothing to show.
    """
    if not len(shown.corners):
        raise GeometryError("no panel has a pressure to show", step="picture")
    inner = (size[0] - BESIDE, size[1] - ABOVE - BELOW)
    grey = [_grey(name, mesh) for name, mesh in unfelt.items()]
    points = [shown.corners.reshape(-1, 3), *(part.surface.points for part in grey)]
    found = {}
    with window((FINE * inner[0], FINE * inner[1])) as drawn:
        scene = actors.scene()
        scene.AddActor(actors.painted(shown.corners, shown.colours))
        scene.AddActor(actors.inside_of(shown.corners, GREY))
        for part in grey:
            scene.AddActor(actors.skin(part, GREY))
        drawn.AddRenderer(scene)
        for view in views:
            frame = framed_points(points, view, tuple(drawn.GetSize()), MARGIN)
            actors.aim(scene, frame)
            drawn.Render()
            near, far = actors.reach(frame)
            step = JUMP * frame.scale * FINE / (far - near)
            seen = smoothed(outlined(colours_of(drawn), depths_of(drawn), step), FINE)
            head = f"{title}. {view.title}"
            found[view.name] = png_bytes(_on_paper(seen, head, words, size), head)
    return found


def _grey(name: str, mesh: Mesh) -> RenderedPart:
    surface = shaded(mesh.vertices, mesh.triangles, mesh.mesh_tolerance)
    return RenderedPart(name, surface, surface.triangles, np.zeros((0, 3), dtype=np.int64), False)


def _on_paper(seen: Pixels, title: str, words: Sequence[str], size: tuple[int, int]) -> Pixels:
    """Return the picture on a sheet (width, height) with its title, its words and the scale."""
    made = np.tile(np.round(255 * np.array(BACKGROUND)).astype(np.uint8), (size[1], size[0], 1))
    made[ABOVE : ABOVE + seen.shape[0], : seen.shape[1]] = seen
    middle = size[0] // 2
    lettered(made, title, (middle, ABOVE // 2), INK, LETTERS + 2)
    for row, line in enumerate(words):
        lettered(made, line, (middle, size[1] - BELOW + LINE // 2 + LINE * row), INK, LETTERS)
    low, left = size[1] - BELOW - 10, size[0] - BESIDE + 8
    high = (low - ABOVE - 40) // COUNT
    for at, colour in enumerate(colours()):
        made[low - high * (at + 1) : low - high * at, left : left + BROAD] = colour
    ink = np.round(255 * np.array(INK)).astype(np.uint8)
    for value in TICKS:
        row = scale_row(value, size)
        made[row - 1 : row + 1, left + BROAD : left + BROAD + TICK] = ink
        place = (left + BROAD + TICK + 24, row)
        lettered(made, f"{value:+.1f}" if value else "0.0", place, INK, LETTERS)
    lettered(made, "Cp", (left + BROAD // 2, low - high * COUNT - 14), INK, LETTERS + 2)
    return made


def scale_row(value: float, size: tuple[int, int] = SIZE) -> int:
    """Return the row [pixel] of a picture (width, height) at which a coefficient [1] has its tick.

    >>> scale_row(0.0) - scale_row(1.0) > 100
    True
    """
    low = size[1] - BELOW - 10
    high = (low - ABOVE - 40) // COUNT
    return low - round((value - LOW) / STEP * high)

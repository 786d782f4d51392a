"""What the pilot sees from his eye: horizon, a grid of degrees, and what bars the sight."""

from collections.abc import Mapping

import numpy as np

from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.glazing import less_glass
from geomgen.kernel.meshes.normals import shaded
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Glass
from geomgen.kernel.second_library import second_library
from geomgen.renders.actors import BACKGROUND, INK, PLAIN, Colour
from geomgen.renders.body import RenderedPart
from geomgen.renders.captions import lettered
from geomgen.renders.ink import Pixels, smoothed
from geomgen.renders.panorama import Degrees, panorama
from geomgen.renders.png import png_bytes
from geomgen.renders.window import window

TITLE = "What the pilot sees, waterlines level"
WORDS = "From the pilot's eye, waterlines level: the horizon, and a line every 10 degrees"
# Degrees shown to each side and up or down; a picture with its margins spans so many [deg].
ACROSS, UP = 118, 68
WIDE, HIGH = 256, 160
# Drawn this many times as fine, then averaged; a right angle's window, in degrees' worth of pixels.
FINE, RIGHT_ANGLE = 2, 240
# Height of the letters, in tenths of a degree.
LETTERS = 26
STEP, NAMED = 10, 30
SKY: Colour = (0.80, 0.88, 0.95)
LAND: Colour = (0.80, 0.83, 0.70)
FAINT, STRONG = 0.28, 0.9


def sight_picture(model: Model, meshes: Mapping[str, Mesh], size: tuple[int, int]) -> bytes | None:
    """Return a PNG (width, height) of what the pilot sees past the meshes [mm].

    None where no eye is known. Degrees are even across and up, so that angles can be read off.

    FileWriteError without a system library.
    """
    if model.eye is None:
        return None
    pods = {name for name in meshes if model.families.get(name) in ("pod", "canopy")}
    parts = []
    for name, mesh in meshes.items():
        glass = model.glass if name in pods else None
        if name != model.swept and (part := _part(name, mesh, glass)) is not None:
            parts.append((part, model.colours.get(name, PLAIN)))
    scale = max(min(size[0] // WIDE, size[1] // HIGH), 1)
    with window((RIGHT_ANGLE * scale, RIGHT_ANGLE * scale)) as shown:
        span = Degrees(ACROSS, UP, FINE * scale)
        seen, filled = panorama(shown, parts, model.eye, span)
    return png_bytes(_on_paper(smoothed(_with_land(seen, filled), FINE), scale, size), TITLE)


def _part(name: str, mesh: Mesh, glass: Glass | None) -> RenderedPart | None:
    vertices, triangles = mesh.vertices, mesh.triangles
    if glass is not None:
        library = second_library()
        raw = library.Mesh64(vertices.astype(np.float64), triangles.astype(np.uint64))
        left = less_glass(library.Manifold(raw), glass)
        if left.is_empty():
            return None
        made = left.to_mesh64()
        vertices = np.asarray(made.vert_properties)[:, :3]
        triangles = np.asarray(made.tri_verts).astype(np.int64)
    surface = shaded(vertices, triangles, mesh.mesh_tolerance)
    return RenderedPart(name, surface, surface.triangles, np.zeros((0, 3), dtype=np.int64), False)


def _with_land(seen: Pixels, filled: np.ndarray) -> Pixels:
    """Return the picture with sky, land and the horizon, which is fainter where it is barred."""
    made = seen.copy()
    level = len(seen) // 2
    for rows, colour in ((slice(None, level), SKY), (slice(level, None), LAND)):
        made[rows][~filled[rows]] = _bytes(colour)
    line, barred = made[level - FINE : level + FINE], filled[level - FINE : level + FINE]
    for mine, strength in ((barred, 2 * FAINT), (~barred, STRONG)):
        line[mine] = _inked(line[mine], strength)
    return made


def _bytes(colour: Colour) -> np.ndarray:
    return np.round(255 * np.array(colour)).astype(np.uint8)


def _on_paper(seen: Pixels, scale: int, size: tuple[int, int]) -> Pixels:
    """Return the picture with its grid, horizon and degrees, on a sheet (width, height)."""
    height, width = seen.shape[:2]
    left, top = (size[0] - width) // 2, (size[1] - height) // 2
    made = np.tile(_bytes(BACKGROUND), (size[1], size[0], 1))
    made[top : top + height, left : left + width] = _ruled(seen, scale)
    letters, off = LETTERS * scale // 10, LETTERS * scale // 9
    for angle in range(-90, 91, NAMED):
        words = f"{abs(angle)}°" + (" right" if angle > 0 else " left" if angle else " ahead")
        lettered(made, words, (left + width // 2 + scale * angle, top + height + off), INK, letters)
    for angle in range(-60, 61, NAMED):
        words = f"{angle:+d}°" if angle else "0°"
        lettered(made, words, (left // 2, top + height // 2 - scale * angle), INK, letters)
    lettered(made, WORDS, (size[0] // 2, top - off), INK, letters)
    return made


def _ruled(seen: Pixels, scale: int) -> Pixels:
    """Return the picture with a line every ten degrees but at the horizon, which is drawn."""
    made = seen.copy()
    height, width = seen.shape[:2]
    for angle in range(-110, 111, STEP):
        at = np.s_[:, width // 2 + scale * angle]
        made[at] = _inked(made[at], FAINT if angle else 2 * FAINT)
    for angle in range(-60, 61, STEP):
        if angle:
            row = height // 2 + scale * angle
            made[row] = _inked(made[row], FAINT)
    return made


def _inked(part: Pixels, strength: float) -> Pixels:
    return np.round((1 - strength) * part + strength * 255 * np.array(INK)).astype(np.uint8)

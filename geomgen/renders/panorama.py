"""A wide picture all round a point: degrees across and up, put together from five square ones."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geomgen.arrays import Floats
from geomgen.kernel.plain import Vec3
from geomgen.renders import actors
from geomgen.renders.actors import Colour
from geomgen.renders.body import RenderedPart
from geomgen.renders.ink import Pixels, outlined
from geomgen.renders.window import colours_of, depths_of

# Looking ahead, to the right, to the left, up, down: away from the eye, up in the picture.
FACES: tuple[tuple[Vec3, Vec3], ...] = (
    ((-1.0, 0.0, 0.0), (0.0, 0.0, 1.0)),
    ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    ((0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),
    ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0)),
    ((0.0, 0.0, -1.0), (-1.0, 0.0, 0.0)),
)
# What is nearer the eye than this is not drawn [mm]; outlines where the depth jumps by so much.
NEAR, JUMP = 15.0, 1.5e-3


@dataclass(frozen=True)
class Degrees:
    """What the picture spans: degrees to each side of straight ahead, up and down; its fineness.

    `scale` in pixels a degree.
    """

    across: float
    up: float
    scale: float

    def directions(self) -> Floats:
        """Return where each pixel (height, width) looks, as unit vectors (height, width, 3) [1]."""
        columns = np.radians(self._middles(self.across))
        rows = np.radians(-self._middles(self.up))[:, None]
        ahead, right = -np.cos(columns) * np.cos(rows), np.sin(columns) * np.cos(rows)
        up = np.broadcast_to(np.sin(rows), ahead.shape)
        return np.stack([ahead, right, up], axis=2).astype(np.float64)

    def _middles(self, reach: float) -> Floats:
        count = round(2 * reach * self.scale)
        return np.asarray((np.arange(count) + 0.5) / self.scale - reach)


def panorama(
    shown: Any, parts: Sequence[tuple[RenderedPart, Colour]], eye: Vec3, span: Degrees
) -> tuple[Pixels, NDArray[np.bool_]]:
    """Return a picture (height, width, 3) of parts from a point [mm], and which pixels show any.

    `shown` is a square window, as wide as a right angle is to be seen in pixels.
    """
    scene = _lit(eye)
    for part, colour in parts:
        scene.AddActor(actors.skin(part, colour))
    shown.AddRenderer(scene)
    far = max(float(np.linalg.norm(part.surface.points - eye, axis=1).max()) for part, _ in parts)
    ways = span.directions()
    owner = _owners(ways)
    picture = np.zeros(ways.shape, dtype=np.uint8)
    filled = np.zeros(ways.shape[:2], dtype=bool)
    for number, (away, up) in enumerate(FACES):
        mine = owner == number
        if not mine.any():
            continue
        _look(scene.GetActiveCamera(), eye, away, up, 1.01 * max(far, 2 * NEAR))
        shown.Render()
        colours, depths = colours_of(shown), depths_of(shown)
        at = _pixels(ways[mine], away, up, len(depths))
        picture[mine] = outlined(colours, depths, JUMP)[at]
        filled[mine] = depths[at] < 1.0
    shown.RemoveRenderer(scene)
    return picture, filled


def _owners(ways: Floats) -> NDArray[np.int8]:
    """Return the number of the face (height, width) that each direction goes through."""
    farthest = np.full(ways.shape[:2], -np.inf)
    found = np.zeros(ways.shape[:2], dtype=np.int8)
    for number, (away, _) in enumerate(FACES):
        along = ways @ np.array(away)
        nearer = along > farthest
        found[nearer], farthest[nearer] = number, along[nearer]
    return found


def _pixels(
    ways: Floats, away: Vec3, up: Vec3, size: int
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return rows and columns of a square picture of a right angle, its top row first."""
    depth = ways @ np.array(away)
    along = [-(ways @ np.array(up)) / depth, ways @ np.cross(away, up) / depth]
    rows, columns = (
        np.clip(((share + 1.0) * size / 2).astype(np.int64), 0, size - 1) for share in along
    )
    return rows, columns


def _look(camera: Any, eye: Vec3, away: Vec3, up: Vec3, far: float) -> None:
    camera.ParallelProjectionOff()
    camera.SetViewAngle(90.0)
    camera.SetPosition(*eye)
    camera.SetFocalPoint(*(e + 1000.0 * a for e, a in zip(eye, away, strict=True)))
    camera.SetViewUp(*up)
    camera.SetClippingRange(NEAR, far)


def _lit(eye: Vec3) -> Any:
    """Return a scene with one lamp at the eye, so that the five pictures join without a step."""
    from vtkmodules.vtkRenderingCore import vtkLight, vtkRenderer

    made = vtkRenderer()
    made.AutomaticLightCreationOff()
    light = vtkLight()
    light.SetLightTypeToSceneLight()
    light.PositionalOn()
    light.SetPosition(*eye)
    light.SetConeAngle(180.0)
    light.SetIntensity(0.8)
    made.AddLight(light)
    return made

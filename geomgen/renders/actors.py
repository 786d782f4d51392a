"""Parts as VTK draws them: skins, cut faces with hatching, sharp edges, lights and camera."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geomgen.arrays import Floats, Ints
from geomgen.renders.arrays import ids_to_vtk, to_vtk
from geomgen.renders.body import Camera, RenderedPart

Colour = tuple[float, float, float]
BACKGROUND: Colour = (0.925, 0.93, 0.935)
INK: Colour = (0.13, 0.15, 0.18)
PLAIN: Colour = (0.72, 0.74, 0.76)
VEIL = 0.3
# Where lights stand in front of the camera (right, up, towards the eye), and how bright they are.
LIGHTS = (((-0.8, 1.0, 1.0), 0.62), ((1.0, 0.25, 0.9), 0.3), ((0.1, -1.0, 0.5), 0.16))
AMBIENT, DIFFUSE, SPECULAR = 0.26, 0.9, 0.06
# Hatching: lines this many pixels apart; how dark cut faces and their lines are.
PITCH, SHADE, STROKE = 18.0, 0.78, 0.5
TILE = 64
# Lines stand this many pixels' worth before their faces; more, and they shine through thin skins.
BEFORE = 0.4


def skin(body: RenderedPart, colour: Colour) -> Any:
    """Return a part's skin, smoothly shaded, in a colour [1]."""
    actor = _actor(body.surface.points, body.skin, body.surface.normals)
    look = actor.GetProperty()
    look.SetColor(*colour)
    look.SetAmbient(AMBIENT)
    look.SetDiffuse(DIFFUSE)
    look.SetSpecular(SPECULAR)
    look.SetSpecularPower(30.0)
    look.SetInterpolationToPhong()
    if body.translucent:
        look.SetOpacity(VEIL)
        look.BackfaceCullingOn()
    return actor


def painted(corners: Floats, colours: NDArray[np.uint8]) -> Any:
    """Return triangles (m, 3, 3) [mm], each in its own colour (m, 3), 0 to 255, unlit."""
    actor = _actor(corners.reshape(-1, 3), np.arange(3 * len(corners)).reshape(-1, 3))
    actor.GetMapper().GetInput().GetCellData().SetScalars(to_vtk(colours))
    actor.GetProperty().LightingOff()
    actor.GetProperty().BackfaceCullingOn()
    return actor


def inside_of(corners: Floats, colour: Colour) -> Any:
    """Return the inner faces of triangles (m, 3, 3) [mm] in one colour [1], unlit."""
    actor = _actor(corners.reshape(-1, 3), np.arange(3 * len(corners)).reshape(-1, 3))
    look = actor.GetProperty()
    look.LightingOff()
    look.SetColor(*colour)
    look.FrontfaceCullingOn()
    return actor


def caps(body: RenderedPart, colour: Colour, frame: Camera, mirrored: bool) -> Any:
    """Return a part's cut faces, darker than its colour [1] and hatched, either way round."""
    actor = _actor(body.surface.points, body.caps)
    across = body.surface.points @ frame.axes[:2].T / (PITCH * frame.scale)
    along = across[:, 0] + (-across[:, 1] if mirrored else across[:, 1])
    places = np.stack([along / np.sqrt(2.0), np.zeros(len(along))], axis=1)
    data = actor.GetMapper().GetInput()
    data.GetPointData().SetTCoords(to_vtk(places))
    actor.SetTexture(_hatching(colour))
    actor.GetProperty().LightingOff()
    if body.translucent:
        actor.GetProperty().SetOpacity(VEIL)
    return actor


def edges(body: RenderedPart, colour: Colour, width: float) -> Any:
    """Return a part's sharp edges as lines [pixel] wide, between its colour [1] and the ink."""
    actor = _actor(body.surface.points, body.surface.sharp)
    look = actor.GetProperty()
    look.LightingOff()
    look.SetColor(*_mixed(colour, INK, 0.6))
    if body.translucent:
        look.SetOpacity(VEIL)
    look.SetLineWidth(width)
    return actor


def drawn(lines: Sequence[Floats], colour: Colour, width: float) -> Any:
    """Return lines (n, 3) [mm] on a part's skin, [pixel] wide, as its sharp edges are drawn."""
    points = np.concatenate(lines)
    starts = np.cumsum([0, *(len(line) for line in lines)])
    steps = [np.arange(a, b - 1) for a, b in zip(starts[:-1], starts[1:], strict=True)]
    first = np.concatenate(steps)
    actor = _actor(points, np.stack([first, first + 1], axis=-1))
    look = actor.GetProperty()
    look.LightingOff()
    look.SetColor(*_mixed(colour, INK, 0.6))
    look.SetLineWidth(width)
    return actor


def scene() -> Any:
    """Return an empty scene with its background and soft lights, which go with the camera."""
    from vtkmodules.vtkRenderingCore import vtkLight, vtkRenderer

    made = vtkRenderer()
    made.SetBackground(*BACKGROUND)
    made.AutomaticLightCreationOff()
    for place, strength in LIGHTS:
        light = vtkLight()
        light.SetLightTypeToCameraLight()
        light.SetPosition(*place)
        light.SetFocalPoint(0.0, 0.0, 0.0)
        light.SetIntensity(strength)
        made.AddLight(light)
    return made


def aim(made: Any, frame: Camera) -> None:
    """Let the camera of a scene show a frame."""
    _, up, away = frame.axes
    camera = made.GetActiveCamera()
    camera.ParallelProjectionOn()
    camera.SetFocalPoint(*frame.centre)
    camera.SetPosition(*(frame.centre - (frame.depth + 1.0) * away))
    camera.SetViewUp(*up)
    camera.SetParallelScale(frame.scale * frame.size[1] / 2)
    camera.SetClippingRange(*reach(frame))


def lift(line: Any, frame: Camera) -> None:
    """Move lines a little towards the eye, so that their own faces don't hide them."""
    line.SetPosition(*(-BEFORE * frame.scale * frame.axes[2]))


def reach(frame: Camera) -> tuple[float, float]:
    """Return how far from the camera the picture begins and ends [mm]."""
    return 0.5 + 0.45 * frame.depth, 1.5 + 1.55 * frame.depth


def _actor(points: Floats, cells: Ints, normals: Floats | None = None) -> Any:
    from vtkmodules.vtkCommonCore import vtkPoints
    from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPolyData
    from vtkmodules.vtkRenderingCore import vtkActor, vtkPolyDataMapper

    data, places, rows = vtkPolyData(), vtkPoints(), vtkCellArray()
    places.SetData(to_vtk(points))
    starts = np.arange(len(cells) + 1, dtype=np.int64) * cells.shape[1]
    rows.SetData(ids_to_vtk(starts), ids_to_vtk(cells.reshape(-1)))
    data.SetPoints(places)
    (data.SetLines if cells.shape[1] == 2 else data.SetPolys)(rows)
    if normals is not None:
        data.GetPointData().SetNormals(to_vtk(normals))
    mapper = vtkPolyDataMapper()
    mapper.SetInputData(data)
    actor = vtkActor()
    actor.SetMapper(mapper)
    return actor


def _mixed(one: Colour, other: Colour, share: float) -> Colour:
    r, g, b = (a + share * (c - a) for a, c in zip(one, other, strict=True))
    return (r, g, b)


def _hatching(colour: Colour) -> Any:
    """Return a tile of one hatching line, repeated over the cut faces."""
    from vtkmodules.vtkCommonDataModel import vtkImageData
    from vtkmodules.vtkRenderingCore import vtkTexture

    tone = np.full((4, TILE, 1), SHADE)
    tone[:, : TILE // 7] = STROKE
    pixels: NDArray[np.uint8] = np.round(255 * tone * np.array(colour)).astype(np.uint8)
    image = vtkImageData()
    image.SetDimensions(TILE, 4, 1)
    image.GetPointData().SetScalars(to_vtk(pixels.reshape(-1, 3)))
    texture = vtkTexture()
    texture.SetInputData(image)
    texture.SetColorModeToDirectScalars()
    texture.RepeatOn()
    texture.InterpolateOn()
    texture.MipmapOn()
    return texture

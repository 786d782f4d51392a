"""Words in a picture, set by VTK's own letters."""

from typing import Any

import numpy as np

from geomgen.renders.actors import Colour
from geomgen.renders.arrays import from_vtk
from geomgen.renders.ink import Pixels

DPI = 72


def lettered(
    picture: Pixels, words: str, middle: tuple[int, int], colour: Colour, height: int
) -> None:
    """Write words in a colour [1] into a picture (height, width, 3), about a place in pixels.

    `height` is that of the letters' lines in pixels.
    `middle` counts from the left and from the top; what would stand beyond the border is left out.
    """
    cover = _cover(words, height)
    high, wide = cover.shape
    left, top = middle[0] - wide // 2, middle[1] - high // 2
    rows = slice(max(top, 0), min(top + high, picture.shape[0]))
    columns = slice(max(left, 0), min(left + wide, picture.shape[1]))
    share = cover[rows.start - top : rows.stop - top, columns.start - left : columns.stop - left]
    part, ink = picture[rows, columns], 255 * np.array(colour)
    part[...] = np.round(part + share[:, :, None] * (ink - part)).astype(np.uint8)


def _cover(words: str, points: int) -> np.ndarray:
    """Return how much of each pixel (height, width) the letters cover [1], top row first."""
    import vtkmodules.vtkRenderingFreeType  # noqa: F401 - it has the letters
    from vtkmodules.vtkCommonDataModel import vtkImageData
    from vtkmodules.vtkRenderingCore import vtkTextProperty, vtkTextRenderer

    look: Any = vtkTextProperty()
    look.SetFontSize(points)
    look.SetFontFamilyToArial()
    look.SetColor(1.0, 1.0, 1.0)
    image: Any = vtkImageData()
    size = [0, 0]
    vtkTextRenderer.GetInstance().RenderString(look, words, image, size, DPI)
    width, height, _ = image.GetDimensions()
    pixels = from_vtk(image.GetPointData().GetScalars()).reshape(height, width, -1)
    return np.asarray(pixels[::-1, :, 3] / 255.0)[-size[1] :, : size[0]]

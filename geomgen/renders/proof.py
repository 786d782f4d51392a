"""A picture is proved too: read back from the disk, of the right size, and showing something."""

from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geomgen.errors import FileWriteError
from geomgen.renders.actors import BACKGROUND
from geomgen.renders.arrays import from_vtk
from geomgen.renders.png import SIGNATURE

AGAIN = "this is a fault of the program: keep the parameter file and report it"
# The least share of pixels that show anything, and the least number of different shades.
LEAST, SHADES = 0.005, 8


def prove_picture(path: Path, size: tuple[int, int]) -> None:
    """Read a PNG back and hold it to its size (width, height).

    FileWriteError when it can't be read, is blank or nearly so, or something is cut off at its
    border.
    """
    fault = _fault(path, size)
    if fault:
        raise FileWriteError(f"verification failed: {fault}", path=path.name, advice=AGAIN)


def _fault(path: Path, size: tuple[int, int]) -> str:
    pixels = read_png(path)
    if pixels is None:
        return "it is not a picture that can be read"
    height, width = pixels.shape[:2]
    if (width, height) != size:
        return f"it is {width} x {height}, not {size[0]} x {size[1]}"
    shown = (pixels != np.round(255 * np.array(BACKGROUND)).astype(np.uint8)).any(axis=2)
    if shown.mean() < LEAST or len(np.unique(pixels.reshape(-1, 3)[:, 1])) < SHADES:
        return "it is blank"
    if shown[[0, -1]].any() or shown[:, [0, -1]].any():
        return "something is cut off at its border"
    return ""


def read_png(path: Path) -> NDArray[np.uint8] | None:
    """Return the pixels (height, width, 3) of a PNG, top row first; None if it is none.

    Read by VTK, which had no part in writing the file.
    """
    from vtkmodules.vtkIOImage import vtkPNGReader

    try:
        data = path.read_bytes()
    except OSError as error:
        raise FileWriteError(
            "it can't be read back", path=path.name, advice="check the folder and try again"
        ) from error
    # The reader only warns of a file that breaks off.
    if not data.startswith(SIGNATURE) or not data[:-4].endswith(b"IEND"):
        return None
    reader: Any = vtkPNGReader()
    reader.SetFileName(str(path))
    reader.Update()
    image = reader.GetOutput()
    width, height, _ = image.GetDimensions()
    scalars = image.GetPointData().GetScalars()
    if scalars is None or scalars.GetNumberOfComponents() != 3:
        return None
    return np.asarray(from_vtk(scalars).reshape(height, width, 3)[::-1], dtype=np.uint8)

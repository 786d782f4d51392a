"""A window that no screen shows: VTK through EGL, which draws without a display."""

import ctypes
import os
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geomgen.errors import FileWriteError
from geomgen.renders.arrays import from_vtk

KIND = "vtkEGLRenderWindow"
LIBRARIES = {"libGL.so.1": "libgl1", "libEGL.so.1": "libegl1"}


def need_libraries(libraries: dict[str, str] | None = None) -> None:
    """Raise FileWriteError naming the system package of each library that can't be opened."""
    missing = []
    for library, package in (LIBRARIES if libraries is None else libraries).items():
        try:
            ctypes.CDLL(library)
        except OSError:
            missing.append((library, package))
    if missing:
        raise FileWriteError(
            f"no picture can be drawn without {' and '.join(name for name, _ in missing)}",
            advice=f"install the system package {' and '.join(p for _, p in missing)}",
        )


@contextmanager
def window(size: tuple[int, int]) -> Iterator[Any]:
    """Open a hidden window of (width, height) pixels; FileWriteError when that can't be done."""
    need_libraries()
    os.environ["VTK_DEFAULT_OPENGL_WINDOW"] = KIND
    import_module("vtkmodules.vtkRenderingOpenGL2")
    from vtkmodules.vtkRenderingCore import vtkRenderWindow

    made: Any = vtkRenderWindow()
    if made.GetClassName() != KIND:
        raise FileWriteError(
            f"pictures need a {KIND}, and VTK opens a {made.GetClassName()}",
            advice="install the system packages libegl1 and libgl1, and start again",
        )
    made.SetOffScreenRendering(1)
    made.SetMultiSamples(0)
    made.SetSize(*size)
    try:
        yield made
    finally:
        made.Finalize()


def colours_of(shown: Any) -> NDArray[np.uint8]:
    """Return the pixels (height, width, 3) of a window after drawing, the top row first."""
    from vtkmodules.vtkCommonCore import vtkUnsignedCharArray

    width, height = shown.GetSize()
    pixels = vtkUnsignedCharArray()
    shown.GetPixelData(0, 0, width - 1, height - 1, 0, pixels, 0)
    return np.asarray(from_vtk(pixels).reshape(height, width, 3)[::-1])


def depths_of(shown: Any) -> NDArray[np.float32]:
    """Return the depth (height, width) of each pixel from 0 (near) to 1 (nothing there)."""
    from vtkmodules.vtkCommonCore import vtkFloatArray

    width, height = shown.GetSize()
    depths = vtkFloatArray()
    shown.GetZbufferData(0, 0, width - 1, height - 1, depths)
    return np.asarray(from_vtk(depths).reshape(height, width)[::-1])

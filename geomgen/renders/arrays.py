"""Arrays of numbers, handed to VTK and taken from it."""

from importlib import import_module
from typing import Any

import numpy as np

BRIDGE = "vtkmodules.util.numpy_support"


def to_vtk(values: np.ndarray) -> Any:
    """Return an array (n,) or (n, k) [any unit] as VTK's own, copied."""
    bridge: Any = import_module(BRIDGE)
    return bridge.numpy_to_vtk(np.ascontiguousarray(values), deep=True)


def ids_to_vtk(values: np.ndarray) -> Any:
    """Return an array (n,) of whole numbers [1] as VTK's list of ids, copied."""
    bridge: Any = import_module(BRIDGE)
    return bridge.numpy_to_vtkIdTypeArray(np.ascontiguousarray(values, dtype=np.int64), deep=True)


def from_vtk(values: Any) -> np.ndarray:
    """Return VTK's array [any unit] as one of numpy, (n,) or (n, k), sharing its memory.

    >>> from_vtk(to_vtk(np.array([1.0, 2.0]))).tolist()
    [1.0, 2.0]
    """
    bridge: Any = import_module(BRIDGE)
    return np.asarray(bridge.vtk_to_numpy(values))

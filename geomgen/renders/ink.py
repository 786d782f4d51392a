"""Outlines from the depth of the pixels, and the step from a fine picture to a smooth one."""

import numpy as np
from numpy.typing import NDArray

from geomgen.renders.actors import INK

STRENGTH = 0.8
Pixels = NDArray[np.uint8]


def outlined(colours: Pixels, depth: NDArray[np.float32], step: float) -> Pixels:
    """Return the picture with dark outlines where the depth jumps by more than `step` [1].

    A flat face seen at any slant has no second difference of depth, so it gets no line. Pixels at
    the border of the picture get none either.
    """
    rows, columns = _filled(depth)
    near = depth[rows, columns]
    middle = near[1:-1, 1:-1]
    level = 2 * middle
    level += step
    line = np.zeros(near.shape, dtype=bool)
    line[1:-1, 1:-1] = (near[1:-1, :-2] + near[1:-1, 2:] > level) | (
        near[:-2, 1:-1] + near[2:, 1:-1] > level
    )
    thick = line.copy()
    thick[1:] |= line[:-1]
    thick[:, 1:] |= line[:, :-1]
    made = colours.copy()
    part = made[rows, columns]
    part[thick] = np.round(
        (1 - STRENGTH) * part[thick] + STRENGTH * 255 * np.array(INK, dtype=np.float32)
    ).astype(np.uint8)
    return made


def _filled(depth: NDArray[np.float32]) -> tuple[slice, slice]:
    """Return the rows and columns that hold anything, and two more on each side."""
    filled = depth < 1.0
    found = []
    for along in (filled.any(axis=1), filled.any(axis=0)):
        places = np.flatnonzero(along)
        first, last = (places[0], places[-1]) if len(places) else (0, 0)
        found.append(slice(max(int(first) - 2, 0), int(last) + 3))
    return found[0], found[1]


def smoothed(colours: Pixels, times: int) -> Pixels:
    """Return the picture (h, w, 3) with each square of `times` by `times` pixels as their mean.

    >>> smoothed(np.array([[[0], [2]], [[4], [6]]], dtype=np.uint8), 2).tolist()
    [[[3]]]
    """
    height, width = colours.shape[0] // times, colours.shape[1] // times
    total = np.zeros((height, width, colours.shape[2]), dtype=np.uint16)
    for i in range(times):
        for j in range(times):
            total += colours[i::times, j::times]
    return ((total + times * times // 2) // (times * times)).astype(np.uint8)

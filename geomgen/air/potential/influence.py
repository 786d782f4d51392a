"""What panels do at points, together: matrices for the solution, shared between threads.

Of 5,000 panels with 6 sources each, on two cores of a busy machine, `kernels.py` makes the matrix
in 1.3 s, the same written in numpy with BLAS in blocks in 3.7 to 5 s (in 32 s where BLAS has
threads of its own beside ours). numba costs 0.3 s at import (where it is
used, not before), 0.5 s at the first flow from what it has kept, 7 s where it must compile.
"""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from geomgen.air.potential.panels import NOBODY, Panels
from geomgen.arrays import Floats, Ints

# A panel within this many of its diameters is integrated exactly: own choice; the potential of one
# further off is 1e-5 wrong.
NEAR = 3.0
ROWS = 64
THREADS = 2


def potentials(
    panels: Panels,
    points: Floats,
    strengths: Floats,
    own: Ints | None = None,
    *,
    doublets: bool = True,
    threads: int = THREADS,
) -> tuple[Floats, Floats]:
    """Return potentials at points (p, 3) [mm]: of each unit doublet, of all sources together.

    The first is (p, n) [1], empty without `doublets`; the second (p, k) [mm m/s] of sources
    `strengths` (n, k) [m/s]. `own` names the panel that a point lies on, seen from inside.
    """
    from geomgen.air.potential import kernels

    p, n, k = len(points), len(panels), strengths.shape[1]
    if own is None:
        own = np.full(p, NOBODY)
    solids, sums = np.zeros((p if doublets else 0, n)), np.empty((p, k))
    fixed = _arrays(panels)
    strengths = np.ascontiguousarray(strengths, dtype=float)[panels.facets[1]]
    images = 2 if panels.mirrored else 1
    points = np.ascontiguousarray(points, dtype=float)

    def rows(part: slice) -> None:
        kernels.fill(part.start, points[part], own[part], *fixed, strengths, images, solids, sums)

    in_threads(rows, p, threads)
    return solids, sums


def in_threads(rows: Callable[[slice], None], count: int, threads: int) -> None:
    """Call a function on all blocks of rows, in several threads where so many are allowed."""
    blocks = list(_blocks(count))
    if threads < 2 or len(blocks) < 2:
        for part in blocks:
            rows(part)
        return
    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(rows, blocks))


def _blocks(count: int) -> Iterator[slice]:
    for start in range(0, count, ROWS):
        yield slice(start, min(start + ROWS, count))


def _arrays(panels: Panels) -> tuple[Floats | Ints, ...]:
    facets, owner = panels.facets
    return (
        *(owner, np.ascontiguousarray(facets.flat), np.ascontiguousarray(facets.centres.T)),
        *(np.ascontiguousarray(facets.normals.T), facets.areas),
        *(np.ascontiguousarray(facets.moments), (NEAR * facets.diameters) ** 2),
    )

"""What panels do at points, together: matrices for the solution, shared between threads.

5,000 panels, 6 sources each, two cores of a shared machine: 1.25 s by `kernels.py`, 3.7 to 5 s by
numpy with BLAS in blocks (32 s where BLAS has threads of its own beside ours). numba's import takes
0.3 s, its first call 1 s from what is kept, 8 s where it compiles.
"""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from geomgen.air.potential import kernels
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

"""Quadrilaterals: areas, normals, centres, moments; a triangle has two corners in one place."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from geomgen.arrays import Floats


@dataclass(frozen=True)
class Quads:
    """Quadrilaterals, `corners` (m, 4, 3) [mm] anticlockwise seen from outside; nearly flat.

    >>> square = Quads(np.array([[[0.0, 0, 0], [2, 0, 0], [2, 2, 0], [0, 2, 0]]]))
    >>> square.areas.tolist(), square.centres.tolist(), square.moments[:2].round(6).tolist()
    ([4.0], [[1.0, 1.0, 0.0]], [[1.333333], [1.333333]])
    """

    corners: Floats

    def __len__(self) -> int:
        return len(self.corners)

    @cached_property
    def _crossed(self) -> Floats:
        ahead, across = (
            self.corners[:, 2] - self.corners[:, 0],
            self.corners[:, 3] - self.corners[:, 1],
        )
        return 0.5 * np.cross(ahead, across)

    @cached_property
    def areas(self) -> Floats:
        """Areas (m,) [mm2], flat."""
        return np.asarray(np.linalg.norm(self._crossed, axis=1))

    @cached_property
    def normals(self) -> Floats:
        """Unit normals (m, 3) outward [1]."""
        return np.asarray(self._crossed / np.maximum(self.areas, 1e-300)[:, None])

    @cached_property
    def flat(self) -> Floats:
        """Corners (m, 4, 3) [mm] moved into the plane through their mean."""
        mean = self.corners.mean(axis=1, keepdims=True)
        over = np.einsum("nkd,nd->nk", self.corners - mean, self.normals)
        return np.asarray(self.corners - over[:, :, None] * self.normals[:, None, :])

    @cached_property
    def _triangles(self) -> tuple[Floats, Floats, Floats]:
        """Return shares of the area and centres of both triangles, and their corners."""
        three = np.stack([self.flat[:, [0, 1, 2]], self.flat[:, [0, 2, 3]]], axis=1)
        crossed = np.cross(three[:, :, 1] - three[:, :, 0], three[:, :, 2] - three[:, :, 0])
        parts = 0.5 * np.einsum("ntd,nd->nt", crossed, self.normals)
        return parts, three.mean(axis=2), three

    @cached_property
    def centres(self) -> Floats:
        """Centres of area (m, 3) [mm]."""
        parts, middles, _ = self._triangles
        return np.asarray(
            np.einsum("nt,ntd->nd", parts, middles) / np.maximum(parts.sum(axis=1), 1e-300)[:, None]
        )

    @cached_property
    def moments(self) -> Floats:
        """Second moments of area (6, m) about the centres [mm4]: xx, yy, zz, xy, yz, zx."""
        parts, middles, three = self._triangles
        middle, off = middles - self.centres[:, None], three - middles[:, :, None]
        full = np.einsum("nt,ntd,nte->nde", parts, middle, middle)
        full += np.einsum("nt,ntkd,ntke->nde", parts, off, off) / 12.0
        return np.stack(
            [full[:, i, j] for i, j in ((0, 0), (1, 1), (2, 2), (0, 1), (1, 2), (2, 0))]
        )

    @cached_property
    def diameters(self) -> Floats:
        """Longest diagonals or sides (m,) [mm]."""
        pairs = ((0, 2), (1, 3), (0, 1), (1, 2), (2, 3), (3, 0))
        apart = [np.linalg.norm(self.corners[:, i] - self.corners[:, j], axis=1) for i, j in pairs]
        return np.asarray(np.max(apart, axis=0))

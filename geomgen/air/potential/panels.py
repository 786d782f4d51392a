"""Panels: flat quadrilaterals, their normals outward, their neighbours, where wakes begin.

A machine that is the same on both sides is given by its half at positive y (`mirrored`); the other
half is then felt by everything, and forces count both.
"""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from geomgen.arrays import Bools, Floats, Ints
from geomgen.errors import GeometryError

NOBODY = -1
# How a panel's corners add up to its step along its grid's first and second line.
_FIRST, _SECOND = np.array([-1.0, 1.0, 1.0, -1.0]), np.array([-1.0, -1.0, 1.0, 1.0])


@dataclass(frozen=True)
class TrailingEdges:
    """Where wakes begin: panels of either side, the edge between them, what moves along.

    `first` and `last` (t,) are panels, NOBODY where a panel is hidden; `ends` (t, 2, 3) [mm] run
    along the edge so that the last one's surface, carried on over the edge, keeps its sense;
    `body` (t,) is as in `Panels`.
    """

    first: Ints
    last: Ints
    ends: Floats
    body: Ints


@dataclass(frozen=True)
class Panels:
    """Panels of one or several bodies.

    `corners` (n, 4, 3) [mm], as points of the surfaces, anticlockwise seen from outside; a triangle
    has two corners in one place. `body` (n,) is each panel's place in `names`. `neighbours`
    (n, 2, 2) are panels along both lines of its grid, behind and ahead, NOBODY where there is none;
    `beyond` (n, 2, 2) says that the neighbour is its mirror image at negative y; `turned` (n, 2, 2)
    that it lies across a pole or the plane of symmetry, where lines turn back. `trimmed` (n,) are
    those cut at another body.
    """

    corners: Floats
    body: Ints
    names: tuple[str, ...]
    neighbours: Ints
    beyond: Bools
    turned: Bools
    edges: TrailingEdges
    mirrored: bool
    trimmed: Bools

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
        """Areas (n,) [mm2] of the flat panels, of one side where the machine is mirrored."""
        return np.asarray(np.linalg.norm(self._crossed, axis=1))

    @cached_property
    def normals(self) -> Floats:
        """Unit normals (n, 3) outward [1]."""
        return np.asarray(self._crossed / self.areas[:, None])

    @cached_property
    def flat(self) -> Floats:
        """Corners (n, 4, 3) [mm] moved into the plane through their mean."""
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
        """Centres of area (n, 3) [mm]."""
        parts, middles, _ = self._triangles
        return np.asarray(np.einsum("nt,ntd->nd", parts, middles) / parts.sum(axis=1)[:, None])

    @cached_property
    def spots(self) -> Floats:
        """Where the flow is asked (n, 3) [mm]: in the middle of a panel as the grid's lines count.

        Where panels grow along a line that is not the middle of their length, and a panel at an
        edge must not be asked there: the lift of a wing with cosine spacing was 3 % low.
        """
        off = np.zeros_like(self.centres)
        wings = np.isin(self.body, self.edges.body)
        for sides, ends in ((_FIRST, 0), (_SECOND, 1)):
            step = 0.5 * np.einsum("k,nkd->nd", sides, self.flat)
            length = np.linalg.norm(step, axis=1)
            near = self.neighbours[:, ends]
            sizes = np.where(near == NOBODY, np.nan, length[near])
            # With nobody beside it a panel's size goes on as it grew from the other side.
            other = np.where(np.isnan(sizes[:, ::-1]), length[:, None], sizes[:, ::-1])
            sizes = np.where(np.isnan(sizes), 2.0 * length[:, None] - other, sizes)
            share = (sizes[:, 0] - sizes[:, 1]) / 16.0 / np.maximum(length, 1e-30)
            off += step * np.clip(share, -0.3, 0.3)[:, None]
        return np.asarray(np.where(wings[:, None], self.flat.mean(axis=1), self.centres) + off)

    @cached_property
    def moments(self) -> Floats:
        """Second moments of area (6, n) about the centres [mm4]: xx, yy, zz, xy, yz, zx."""
        parts, middles, three = self._triangles
        middle, off = middles - self.centres[:, None], three - middles[:, :, None]
        full = np.einsum("nt,ntd,nte->nde", parts, middle, middle)
        full += np.einsum("nt,ntkd,ntke->nde", parts, off, off) / 12.0
        return np.stack(
            [full[:, i, j] for i, j in ((0, 0), (1, 1), (2, 2), (0, 1), (1, 2), (2, 0))]
        )

    @cached_property
    def diameters(self) -> Floats:
        """Longest diagonals or sides (n,) [mm]."""
        pairs = ((0, 2), (1, 3), (0, 1), (1, 2), (2, 3), (3, 0))
        apart = [np.linalg.norm(self.corners[:, i] - self.corners[:, j], axis=1) for i, j in pairs]
        return np.asarray(np.max(apart, axis=0))

    def of(self, name: str) -> Bools:
        """Say which panels (n,) are a body's."""
        if name not in self.names:
            raise GeometryError(
                f"no body of this name, there are {', '.join(self.names)}", part=name
            )
        return np.asarray(self.body == self.names.index(name))

    def kept(self, keep: Bools) -> "Panels":
        """Return the panels that are marked; neighbours and trailing edges are told anew."""
        if not keep.any():
            raise GeometryError("no panel is left", step="panels")
        place = np.append(np.where(keep, np.cumsum(keep) - 1, NOBODY), NOBODY)
        edges = self.edges
        return replace(
            self,
            corners=self.corners[keep],
            body=self.body[keep],
            neighbours=place[self.neighbours[keep]],
            beyond=self.beyond[keep],
            turned=self.turned[keep],
            trimmed=self.trimmed[keep],
            edges=replace(edges, first=place[edges.first], last=place[edges.last]),
        )


def together(parts: list[Panels]) -> Panels:
    """Return the panels of several grids; those of one name are one body."""
    if len({part.mirrored for part in parts}) != 1:
        raise GeometryError("some bodies are halves and some whole", step="panels")
    names = tuple(dict.fromkeys(name for part in parts for name in part.names))
    bodies = [np.array([names.index(name) for name in part.names]) for part in parts]
    starts = np.cumsum([0, *(len(part) for part in parts)])

    def moved(of: Ints, start: int) -> Ints:
        return np.where(of == NOBODY, NOBODY, of + start)

    pairs = list(zip(parts, starts[:-1], strict=True))
    edges = TrailingEdges(
        np.concatenate([moved(part.edges.first, start) for part, start in pairs]),
        np.concatenate([moved(part.edges.last, start) for part, start in pairs]),
        np.concatenate([part.edges.ends for part in parts]),
        np.concatenate([own[part.edges.body] for part, own in zip(parts, bodies, strict=True)]),
    )
    return Panels(
        np.concatenate([part.corners for part in parts]),
        np.concatenate([own[part.body] for part, own in zip(parts, bodies, strict=True)]),
        names,
        np.concatenate([moved(part.neighbours, start) for part, start in pairs]),
        np.concatenate([part.beyond for part in parts]),
        np.concatenate([part.turned for part in parts]),
        edges,
        parts[0].mirrored,
        np.concatenate([part.trimmed for part in parts]),
    )

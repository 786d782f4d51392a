"""Panels: flat quadrilaterals, their normals outward, their neighbours, where wakes begin.

A machine that is the same on both sides is given by its half at positive y (`mirrored`); the other
half is then felt by everything, and forces count both.
"""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from geomgen.air.potential.quads import Quads
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
    that it lies across a pole or the plane of symmetry, where lines turn back. What is left of a
    panel that enters another body is its pieces `left` (m, 4, 3) [mm], of panels `left_of` (m,).
    """

    corners: Floats
    body: Ints
    names: tuple[str, ...]
    neighbours: Ints
    beyond: Bools
    turned: Bools
    edges: TrailingEdges
    mirrored: bool
    left: Floats
    left_of: Ints

    def __len__(self) -> int:
        return len(self.corners)

    @cached_property
    def whole(self) -> Quads:
        """Each panel as if it entered no other body [mm]."""
        return Quads(self.corners)

    @cached_property
    def trimmed(self) -> Bools:
        """Say which panels (n,) are cut at another body."""
        return np.asarray(np.isin(np.arange(len(self)), self.left_of))

    @cached_property
    def facets(self) -> tuple[Quads, Ints]:
        """What there is of the panels [mm], and whose it is: all whole ones and the pieces left."""
        whole = np.flatnonzero(~self.trimmed)
        return (
            Quads(np.concatenate([self.corners[whole], self.left])),
            np.concatenate([whole, self.left_of]),
        )

    @cached_property
    def areas(self) -> Floats:
        """Areas (n,) [mm2], of one side where the machine is mirrored."""
        facets, owner = self.facets
        return np.bincount(owner, facets.areas, len(self)).astype(np.float64)

    @property
    def normals(self) -> Floats:
        """Unit normals (n, 3) outward [1]."""
        return self.whole.normals

    @cached_property
    def centres(self) -> Floats:
        """Centres of area (n, 3) [mm]."""
        facets, owner = self.facets
        sums = [
            np.bincount(owner, facets.areas * facets.centres[:, k], len(self)) for k in range(3)
        ]
        return np.stack(sums, axis=1) / self.areas[:, None]

    @cached_property
    def spots(self) -> Floats:
        """Where the flow is asked (n, 3) [mm]: in the middle of a panel as the grid's lines count.

        Where panels grow along a line that is not the middle of their length, and a panel at an
        edge must not be asked there: the lift of a wing with cosine spacing was 3 % low. A panel
        that was cut is asked in the piece nearest the middle of what is left of it.
        """
        flat = self.whole.flat
        off = np.zeros_like(self.centres)
        wings = np.isin(self.body, self.edges.body)
        for sides, ends in ((_FIRST, 0), (_SECOND, 1)):
            step = 0.5 * np.einsum("k,nkd->nd", sides, flat)
            length = np.linalg.norm(step, axis=1)
            near = self.neighbours[:, ends]
            sizes = np.where(near == NOBODY, np.nan, length[near])
            # With nobody beside it a panel's size goes on as it grew from the other side.
            other = np.where(np.isnan(sizes[:, ::-1]), length[:, None], sizes[:, ::-1])
            sizes = np.where(np.isnan(sizes), 2.0 * length[:, None] - other, sizes)
            share = (sizes[:, 0] - sizes[:, 1]) / 16.0 / np.maximum(length, 1e-30)
            off += step * np.clip(share, -0.3, 0.3)[:, None]
        at = np.where(wings[:, None], flat.mean(axis=1), self.centres) + off
        for panel in np.unique(self.left_of):
            pieces = Quads(self.left[self.left_of == panel]).centres
            apart = np.linalg.norm(pieces - self.centres[panel], axis=1)
            at[panel] = pieces[int(np.argmin(apart))]
        return np.asarray(at)

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
            left=self.left[keep[self.left_of]],
            left_of=place[self.left_of[keep[self.left_of]]],
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
        np.concatenate([part.left for part in parts]),
        np.concatenate([part.left_of + start for part, start in pairs]),
    )

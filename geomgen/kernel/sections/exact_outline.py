"""A closed outline of exact nodes that is smooth between them, and that of a wire in a plane."""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from OCP.TopoDS import TopoDS_Wire

from geomgen.arrays import Floats
from geomgen.kernel.brep.curve_points import edge_curve
from geomgen.kernel.brep.edge_curve import EdgeCurve
from geomgen.kernel.brep.wires import edges_along
from geomgen.kernel.plane_frame import Frame

# Places along a chord and weights of Gauss and Legendre's rule, on 0 to 1.
COUNT, MIDDLE = 5, 2
_AT, _WEIGHTS = np.polynomial.legendre.leggauss(COUNT)
PLACES, WEIGHTS = 0.5 * (_AT + 1.0), 0.5 * _WEIGHTS
# Nodes and places of a piece along its chord, and what weighs them in a polynomial through all.
KNOTS = np.concatenate([[0.0], PLACES, [1.0]])
BARYCENTRIC = np.array([1.0 / np.prod([k - j for j in KNOTS if j != k]) for k in KNOTS])
# Edges that are not straight are followed in pieces of so much [mm], at least so many.
PIECE, FEWEST = 5.0, 8


@dataclass(frozen=True)
class ExactOutline:
    """A closed outline of nodes on a solid.

    `points` (n, 2) are the nodes in the plane's coordinates [mm], `off` (n, 5, 2) the places beside
    the chord from each node to the next. Where it is a mesh's, all of it may be off by `blur` [mm].
    """

    points: Floats
    off: Floats
    blur: float = field(default=0.0, kw_only=True)

    @property
    def lengths(self) -> Floats:
        """Return the length of each piece's chord (n,) [mm]."""
        return np.asarray(np.linalg.norm(np.roll(self.points, -1, axis=0) - self.points, axis=1))

    @property
    def known(self) -> Floats:
        """Return nodes and places beside the chords, in their order (n, 2) [mm]."""
        return np.concatenate([self.points[:, None], self.off], axis=1).reshape(-1, 2)

    def at(self, place: Floats) -> Floats:
        """Return points (..., 2) [mm] at places (...) along the ring: a piece's number and share.

        They lie on the polynomial through what is known of the piece.
        """
        piece = np.floor(place).astype(np.int64)
        off = (place - piece)[..., None] - KNOTS
        # At a knot itself a tiny step aside takes the place of a division by nought.
        factors = BARYCENTRIC / np.where(np.abs(off) < 1e-14, 1e-14, off)
        values = np.einsum("...k,...kj->...j", factors, self._pieces[piece % len(self.points)])
        return np.asarray(values / factors.sum(axis=-1)[..., None])

    @cached_property
    def _pieces(self) -> Floats:
        """What is known of each piece (n, 7, 2) [mm]: its node, the places, the next node."""
        after = np.roll(self.points, -1, axis=0)
        return np.concatenate([self.points[:, None], self.off, after[:, None]], axis=1)

    def spread(self, step: float) -> Floats:
        """Return places along the ring no farther apart than `step` [mm]."""
        count = np.maximum(np.ceil(self.lengths / step), 1).astype(np.int64)
        first = np.repeat(np.arange(len(count), dtype=np.float64), count)
        number = np.arange(len(first)) - np.repeat(np.cumsum(count) - count, count)
        return np.asarray(first + number / np.repeat(count, count))


def along_wire(wire: TopoDS_Wire, frame: Frame) -> ExactOutline:
    """Return the outline that a closed wire in a plane has.

    >>> from geomgen.kernel.brep.planes import window
    >>> from geomgen.kernel.brep.wires import outer_wire
    >>> from geomgen.kernel.plane_frame import at_station
    >>> frame = at_station(0.0)
    >>> square = along_wire(outer_wire(window(frame, (0.0, 0.0), (2.0, 2.0))), frame)
    >>> square.lengths.tolist(), round(float(square.at(np.array([0.5]))[0, 1]), 9)
    ([2.0, 2.0, 2.0, 2.0], 1.0)
    """
    found = []
    for edge in edges_along(wire):
        curve, span = edge_curve(edge), EdgeCurve(edge)
        rough = curve.at(span.even(FEWEST + 1))
        length = float(np.linalg.norm(np.diff(rough, axis=0), axis=1).sum())
        count = 1 if curve.kind == "line" else max(FEWEST, int(np.ceil(length / PIECE)))
        share = (np.arange(count)[:, None] + KNOTS[:-1]) / count
        share = 1.0 - share if span.backward else share
        flat = frame.flat(curve.at((span.first + share * (span.last - span.first)).ravel()))
        found.append(flat.reshape(count, -1, 2))
    every = np.concatenate(found)
    return ExactOutline(every[:, 0], every[:, 1:])

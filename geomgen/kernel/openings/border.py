"""The open border of an opening as the solids leave it, and where other planes cross it."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.kernel.brep.wire_points import sampled
from geomgen.kernel.brep.wires import wires_of
from geomgen.kernel.openings.sealing import sealed_width
from geomgen.kernel.openings.window import State, opening
from geomgen.kernel.plain import Opening
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.sections.section import passed

CHORD = 0.02


@dataclass(frozen=True)
class OpeningCut:
    """An opening as it stands in its own plane: state, area [mm2], outline as points (n, 3)."""

    where: Opening
    state: State
    area: float | None = None
    rings: tuple[Floats, ...] = ()

    def lines(self, frame: Frame) -> list[tuple[Floats, Floats]]:
        """Return the lines (2,), (2,) [mm] along which a plane crosses the opening."""
        if not self.rings:
            return []
        points = np.concatenate(
            [passed(frame.flat(ring)[None], frame.height(ring)[None]) for ring in self.rings]
        )
        if len(points) < 2:
            return []
        way = points[np.argmax(np.linalg.norm(points - points[0], axis=1))] - points[0]
        way = way if tuple(way) > (0.0, 0.0) else -way
        points = points[np.argsort(points @ way)]
        # The outline is passed an even number of times; the air lies between odd and even ones.
        return [(points[i], points[i + 1]) for i in range(0, len(points) - 1, 2)]


def opening_cut(
    where: Opening, solids: Mapping[str, TopoDS_Shape], chord: float = CHORD
) -> OpeningCut:
    """Return an opening as the solids leave it; no outline when it is blocked or open.

    `chord` [mm] bounds how far the outline lies off its points' chords.

    >>> from geomgen.kernel.plain import Plane
    >>> from geomgen.kernel.plane_frame import at_buttock_line
    >>> from geomgen.kernel.brep.primitives import cylinder
    >>> from geomgen.kernel.solids.booleans import cut
    >>> rod, hole = (cylinder((0, 0, 0), (1, 0, 0), r, 100.0) for r in (20.0, 10.0))
    >>> pipe = {"pipe": cut(rod, [hole], "pipe", "bore")}
    >>> mouth = Opening("mouth", Plane((50, 0, 0), (1, 0, 0)), (50.0, 0.0, 0.0), 30.0)
    >>> ((a, b),) = opening_cut(mouth, pipe).lines(at_buttock_line(0.0))
    >>> [round(float(v), 6) for v in (*a, *b)]
    [50.0, -10.0, 50.0, 10.0]
    """
    sealed = sealed_width(where.joint)
    found = opening(where.plane, where.seed, where.reach, list(solids.values()), sealed)
    if found.face is None:
        return OpeningCut(where, found.state)
    rings = tuple(sampled(wire, found.face, chord)[0] for wire in wires_of(found.face))
    return OpeningCut(where, found.state, found.area, rings)

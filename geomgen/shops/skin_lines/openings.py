"""The edges of openings in a finished part, laid on the skin of its mould, which has none."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.kernel.brep.edge_curve import EdgeCurve
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.solids.probing import edges_in
from geomgen.kernel.solids.skin_distance import feet_on
from geomgen.shops.layout_lines import InsidePart

# Points on an edge at least, the nearness of its chords [mm], points that tell where it lies; an
# edge of the finished skin lies off the mould's by the skin within ON [mm].
ON_EDGE, CHORD, FEW, ON = 30, 0.01, 7, 0.05
# An opening lies under a part whose box, so much larger [mm], holds its edge.
ROUND = 15.0
# Edges are one whose middles are this near [mm].
SAME = 2


@dataclass(frozen=True)
class OpeningEdge:
    """What edges are named for, and them: points (n, 3) [mm] on the finished part, run by run."""

    name: str
    runs: tuple[Floats, ...]
    skin: float


def opening_edges(
    finished: TopoDS_Shape,
    skin: Sequence[TopoDS_Face],
    bare: Sequence[TopoDS_Face],
    every: Sequence[TopoDS_Face],
    thick: float,
    near: Sequence[InsidePart],
) -> list[OpeningEdge]:
    """Return the edges of a finished part's openings on one half of its mould.

    `skin` are the faces of the half that are skin, `bare` those that are not: flat ends and the
    split, whose edges are no openings'; `every` are the skins of all halves; `thick` [mm] is how
    far the skin lies inside the finished part; `near` are the parts that openings are named for.
    """
    borders: dict[tuple[float, ...], list[tuple[Floats, bool]]] = {}
    for face in faces_of(finished):
        outer = _is_outer(face, every, thick)
        for edge in edges_in(face):
            curve = EdgeCurve(edge)
            if np.max(np.abs(feet_on(skin, curve.points(curve.even(FEW))).off - thick)) < ON:
                middle = curve.at(0.5 * (curve.first + curve.last))
                at = tuple(round(v, SAME) + 0.0 for v in middle)
                points = curve.near(CHORD, ON_EDGE)
                borders.setdefault(at, []).append((points, outer))
    named: dict[str, list[Floats]] = {}
    for sides in borders.values():
        points, two = sides[0][0], [one for _, one in sides]
        if sorted(two) == [False, True] and not _on(bare, points):
            named.setdefault(_name(points, near), []).append(points)
    return [OpeningEdge(name, tuple(runs), thick) for name, runs in named.items()]


def _is_outer(face: TopoDS_Face, every: Sequence[TopoDS_Face], thick: float) -> bool:
    """Say whether a face of the finished part is its outside."""
    inner = []
    for edge in edges_in(face):
        curve = EdgeCurve(edge)
        inner.append(curve.points(curve.even(FEW)))
    off = feet_on(every, np.concatenate(inner)).off
    return bool(np.mean(np.abs(off - thick) < ON) > 0.99)


def _on(faces: Sequence[TopoDS_Face], points: Floats) -> bool:
    return bool(len(faces)) and float(feet_on(faces, points[::FEW]).off.max()) < ON


def _name(points: Floats, near: Sequence[InsidePart]) -> str:
    for part in near:
        low, high = np.array(part.box.low) - ROUND, np.array(part.box.high) + ROUND
        if np.all((points > low) & (points < high)):
            return f"opening for {part.name}"
    return "opening"

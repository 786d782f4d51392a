"""The canopy: the opening that it leaves in the pod, and the glazing as a part of its own.

Both stand on the pod's own outside. The pod ends at the sill and at the two stations; the glazing
stands off it by the joint gap all round, square to each edge.
"""

from dataclasses import dataclass

import numpy as np
from OCP.TopoDS import TopoDS_Solid

from geomgen.errors import GeometryError
from geomgen.kernel.brep.plates import flat_face, plate
from geomgen.kernel.lofting.bodies import outer_skin, tube
from geomgen.kernel.lofting.halves import half_tube
from geomgen.kernel.lofting.offsets import offset_skin
from geomgen.kernel.plain import Glass, GlazedSkin, Vec3
from geomgen.kernel.solids.fragments import Fragment, told
from geomgen.kernel.trimming.cutting import divide, sized
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.pilot import GLAZED, LINE
from geomgen.shapes.assembly.pilot_places import glass
from geomgen.shapes.hull import PodLines
from geomgen.shapes.piece import NamedSolid

CLEAR = (0.62, 0.76, 0.82)
KEYS = ("canopy.fore_station", "canopy.aft_station", "canopy.fore_sill", "canopy.aft_sill")
STEP = "canopy"
# The knife reaches this far [mm], past any pod.
FAR = 1e4
# Points of the glazed skin along it, and from the crown to the sill on one side: own choice; the
# skin of the saltmarsh example lies within 0.3 mm of them.
ALONG, DOWN = 33, 21
# Points of a half section [1] that those are told from.
FINE = 400


def is_cut(p: Parameters) -> bool:
    """Say whether the pod is cut out above the sill."""
    return p.canopy is not None and p.canopy.built_as != LINE


def is_part(p: Parameters) -> bool:
    """Say whether the canopy is a part of its own."""
    return p.canopy is not None and p.canopy.built_as == GLAZED


def less_canopy(pod: NamedSolid, edge: Glass) -> NamedSolid:
    """Return the pod without all that lies above the sill [mm].

    GeometryError that names the canopy's keys where that cuts nothing, leaves nothing or more than
    one piece.
    """
    body = pod.solid if pod.half is None else pod.half
    outside, inside = _divided(body, opening_knife(edge), pod.name)
    pieces = sized(outside, body)
    if not sized(inside, body):
        raise _refused("the pod has no skin above the sill of the canopy: lower it", pod.name)
    only = _one(pieces, pod.name, "its opening for the canopy leaves")
    return pod.trimmed(only) if pod.half is None else pod.trimmed_half(only)


def glazing(pod: PodLines, edge: Glass, gap: float, thickness: float) -> NamedSolid:
    """Return the canopy [mm]: the pod's outside and a skin `thickness` inside it, above the sill.

    It stands off the opening's edges by `gap`. GeometryError that names the canopy's keys where
    there is no one piece of it, or no room for its thickness.
    """
    start, end = edge.fore + gap, edge.aft - gap
    try:
        outer = outer_skin(pod.lines, start, end)
        inner = offset_skin(pod.lines, thickness, start, end, "canopy")
        half = half_tube(outer, inner, "canopy")
        whole = NamedSolid("canopy", "canopy", tube(outer, inner, "canopy"), CLEAR, half)
    except GeometryError as error:
        raise GeometryError(
            f"there is no room for glazing of {thickness:g} mm: {error.problem}",
            part="canopy",
            step=STEP,
            look_at=["canopy.thickness", *KEYS, "pod.stations"],
        ) from error
    _, inside = _divided(half, opening_knife(edge.inside(gap)), "canopy")
    piece = _one(sized(inside, half), "canopy", "the glazing is in")
    return whole.trimmed_half(piece)


def opening_knife(edge: Glass) -> TopoDS_Solid:
    """Return all that lies between two stations above a line of sills [mm], past any pod."""
    corners = (
        (edge.fore, -FAR, edge.fore_sill),
        (edge.aft, -FAR, edge.aft_sill),
        (edge.aft, -FAR, FAR),
        (edge.fore, -FAR, FAR),
    )
    return plate(flat_face(corners), (0.0, 2 * FAR, 0.0))


def _divided(
    body: TopoDS_Solid, knife: TopoDS_Solid, part: str
) -> tuple[list[TopoDS_Solid], list[TopoDS_Solid]]:
    try:
        return divide(body, [knife], part, STEP)
    except GeometryError as error:
        raise _refused(f"{error.problem}; move the sill or an end of the canopy", part) from error


def _one(pieces: list[TopoDS_Solid], part: str, words: str) -> TopoDS_Solid:
    if not pieces:
        raise _refused(f"{words} no piece: move the sill or an end of the canopy", part)
    if len(pieces) > 1:
        fragments = told([Fragment(piece) for piece in pieces])
        raise _refused(
            f"{words} {len(pieces)} pieces ({fragments}): move the sill or an end of the canopy",
            part,
        )
    return pieces[0]


def _refused(problem: str, part: str) -> GeometryError:
    return GeometryError(problem, part=part, step=STEP, look_at=list(KEYS))


@dataclass(frozen=True)
class _Row:
    """A half section's skin above the sill, y and z [mm], from the crown down."""

    outer: np.ndarray
    inner: np.ndarray


def glazed_skin(p: Parameters, pod: PodLines) -> GlazedSkin | None:
    """Return the skin [mm] that the pod has lost to its opening, outside and inside.

    Whatever looks at the pod's whole outside closes it with that. None where nothing is cut out.
    The inside is that of the pod's wall, square to the section.
    """
    edge = glass(p)
    if edge is None or not is_cut(p):
        return None
    rows = []
    for share in np.linspace(0.0, 1.0, ALONG).tolist():
        station = edge.fore + share * (edge.aft - edge.fore)
        row = _row(pod, station, edge.sill(station))
        if row is not None:
            rows.append((station, row))
    if len(rows) < 2:
        raise _refused("the pod has no skin above the sill of the canopy: lower it", "pod")
    return GlazedSkin(*(_layer(rows, side) for side in ("outer", "inner")))


def _layer(rows: list[tuple[float, _Row]], side: str) -> tuple[tuple[Vec3, ...], ...]:
    return tuple(
        tuple((station, round(float(y), 4), round(float(z), 4)) for y, z in getattr(row, side))
        for station, row in rows
    )


def _row(pod: PodLines, station: float, sill: float) -> _Row | None:
    outer = _above(pod.lines.section(station, FINE), sill)
    inner = _above(pod.half_section(station, pod.wall), sill)
    return None if outer is None or inner is None else _Row(outer, inner)


def _above(points: np.ndarray, sill: float) -> np.ndarray | None:
    """Return even points of a half section from its crown down to a sill; None where it is lower.

    >>> _above(np.array([[0.0, 8.0], [4.0, 4.0], [0.0, 0.0]]), 6.0)[-1].round(9).tolist()
    [2.0, 6.0]
    """
    line = points if points[0, 1] >= points[-1, 1] else points[::-1]
    if line[0, 1] <= sill:
        return None
    below = np.flatnonzero(line[:, 1] <= sill)
    if len(below):
        k = int(below[0])
        (y0, z0), (y1, z1) = line[k - 1], line[k]
        share = (z0 - sill) / (z0 - z1)
        line = np.concatenate([line[:k], [[y0 + share * (y1 - y0), sill]]])
    along = np.r_[0.0, np.cumsum(np.hypot(*np.diff(line, axis=0).T))]
    at = np.linspace(0.0, along[-1], DOWN)
    return np.stack([np.interp(at, along, line[:, k]) for k in (0, 1)], axis=-1)

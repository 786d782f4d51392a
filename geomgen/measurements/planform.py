"""The planform of a wing or tailplane, from many cuts of its proven meshes."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass

import numpy as np

from geomgen.arrays import Bools, Floats
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.sections.section import MeshSlices
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

CUTS = 500
# An edge that stands off another part by no more than its joint and this was cut there [mm].
BESIDE = 0.05
# The area's middle stands no more than this share of the span off the centre plane: own choice.
ASKEW = 0.01
FORE_AND_AFT = (1.0, 0.0, 0.0)
WING, TAILPLANE = "wing.mean_aerodynamic_chord", "tailplane.planform"
METHOD = (
    f"chords of {CUTS} cuts of the verified mesh, each in its plane, area and mean aerodynamic "
    "chord being their integrals over the span; edges straight on where another part or its joint "
    "cuts them away; nothing counts outboard of the last cut that has both its edges, such as ends "
    "hidden in booms; with it, in mm, mm2 and deg, sweep and dihedral of straight lines laid "
    "through all cuts, wide chords counting more"
)


@dataclass(frozen=True)
class Planform:
    """A planform: area [mm2], lengths and places [mm], angles [deg], aspect ratio [1].

    Leading edge and quarter point are those of the mean aerodynamic chord. `bridged` is the span
    over which an edge is not there and was drawn straight on, `hidden` what of the span does not
    count at the two ends, `missed` the area that the sum over cuts may be off, `askew` how far the
    middle of the area stands off the centre plane.
    """

    area: float
    span: float
    aspect_ratio: float
    mean_aerodynamic_chord: float
    leading_edge_station: float
    leading_edge_waterline: float
    quarter_station: float
    quarter_waterline: float
    quarter_chord_sweep: float
    half_chord_sweep: float
    dihedral: float
    bridged: float
    hidden: float
    missed: float
    askew: float


@dataclass(frozen=True)
class _Edge:
    """The points (n, 3) [mm] of one edge at every cut, and where they are the edge's own."""

    points: Floats
    own: Bools

    def through(self, lines: Floats) -> Floats:
        """Return the points with those that are not its own drawn straight on between the rest."""
        at = lines[self.own]
        return np.stack([np.interp(lines, at, c) for c in self.points[self.own].T], axis=-1)


def planform(
    wing: Mapping[str, Body], others: Mapping[str, Body], joint: float = 0.0
) -> Planform | None:
    """Return the planform of all parts of a wing together; None where no two cuts have both edges.

    `others` are the parts that may have cut something out of it, `joint` the widest gap [mm] that
    a joint is stated to have.
    """
    every = np.concatenate([body.mesh.vertices for body in wing.values()])[:, 1]
    low, high = float(every.min()), float(every.max())
    step = (high - low) / CUTS
    lines: Floats = low + (np.arange(CUTS, dtype=np.float64) + 0.5) * step
    fore, aft = _edges(wing, lines)
    off = max(body.deviation for body in wing.values()) + joint + BESIDE
    for other in others.values():
        fore, aft = (_clear_of(edge, other, off) for edge in (fore, aft))
    whole = np.nonzero(fore.own & aft.own)[0]
    if len(whole) < 2:
        return None
    seen = slice(int(whole[0]), int(whole[-1]) + 1)
    bridged = step * float(np.count_nonzero(~(fore.own & aft.own)[seen]))
    first, last = fore.through(lines)[seen], aft.through(lines)[seen]
    return _figures(first, last, step, bridged, step * (CUTS - len(first)))


def _edges(wing: Mapping[str, Body], lines: Floats) -> tuple[_Edge, _Edge]:
    """Return the leading and the trailing edge."""
    cuts = [MeshSlices(body.mesh).all_ends(lines, FORE_AND_AFT) for body in wing.values()]
    every = np.concatenate(cuts, axis=1)
    there: Bools = np.asarray(~np.isnan(every[..., 0]).all(axis=1))
    reach = every[there] @ np.array(FORE_AND_AFT)
    edges = np.zeros((2, len(lines), 3))
    for edge, which in zip(edges, (np.nanargmin, np.nanargmax), strict=True):
        edge[there] = every[there][np.arange(len(reach)), which(reach, axis=1)]
    return _Edge(edges[0], there), _Edge(edges[1], there)


def _clear_of(edge: _Edge, other: Body, off: float) -> _Edge:
    """Return an edge without the points that another part's joint may have cut."""
    reach, corners, points = off + other.deviation, other.mesh.corners, edge.points
    near = _within(points[:, None], other.mesh.vertices, reach)
    if near.any():
        corners = corners[_within(corners, points[near], reach)]
        if len(corners):
            near[near] = MeshSearch(corners).nearest(points[near]).distance <= reach
        else:
            near[:] = False
    return _Edge(edge.points, edge.own & ~near)


def _within(each: Floats, others: Floats, reach: float) -> Bools:
    """Say which of some sets of points (n, k, 3) come within reach [mm] of the box of others."""
    low, high = others.min(axis=0) - reach, others.max(axis=0) + reach
    return np.asarray(((each.max(axis=1) >= low) & (each.min(axis=1) <= high)).all(axis=1))


def _figures(fore: Floats, aft: Floats, step: float, bridged: float, hidden: float) -> Planform:
    chords = np.linalg.norm(aft - fore, axis=1)
    area, span = step * float(chords.sum()), step * len(chords)
    quarter, half = fore + 0.25 * (aft - fore), fore + 0.5 * (aft - fore)
    out = np.abs(fore[:, 1])
    edge, point = (np.average(line, axis=0, weights=chords) for line in (fore, quarter))
    return Planform(
        area=area,
        span=span,
        aspect_ratio=span**2 / area,
        mean_aerodynamic_chord=step * float((chords**2).sum()) / area,
        leading_edge_station=float(edge[0]),
        leading_edge_waterline=float(edge[2]),
        quarter_station=float(point[0]),
        quarter_waterline=float(point[2]),
        quarter_chord_sweep=_slope(out, quarter[:, 0], chords),
        half_chord_sweep=_slope(out, half[:, 0], chords),
        dihedral=_slope(out, quarter[:, 2], chords),
        bridged=bridged,
        hidden=hidden,
        # At each end the chord may go on or end within a cut's share of the span.
        missed=2 * step * float(np.abs(np.diff(chords)).max() + (chords[0] if hidden else 0.0)),
        askew=float(point[1]),
    )


def _slope(out: Floats, along: Floats, weights: Floats) -> float:
    """Return the angle [deg] of the straight line through points, of least weighted squares."""
    off = out - np.average(out, weights=weights)
    return float(np.degrees(np.arctan2(np.sum(weights * off * along), np.sum(weights * off**2))))


def _why_not(found: Planform | None) -> str:
    if found is None:
        return "no two cuts across the span have a leading and a trailing edge of their own"
    if abs(found.askew) > ASKEW * found.span:
        return f"left and right differ: the middle of the area stands at BL {found.askew:.1f}"
    return ""


def planform_record(
    id_: str, wing: Mapping[str, Body], others: Mapping[str, Body], joint: float
) -> Measurement:
    """Return the record of a planform: of the wing its mean chord [mm], else the area [mm2]."""
    found, parts = planform(wing, others, joint), ", ".join(wing)
    what, unit = ("mean aerodynamic chord", "mm") if id_ == WING else ("area", "mm2")
    why = _why_not(found)
    if found is None or why:
        return Measurement(id_, parts, what, None, unit, METHOD, note=why)
    off = 2 * max(body.deviation for body in wing.values())
    value, bound = found.mean_aerodynamic_chord, 2 * off + found.missed / found.span
    if id_ != WING:
        value, bound = found.area, off * found.span + found.missed
    point = (found.quarter_station, 0.0, found.quarter_waterline)
    return Measurement(
        id_,
        parts,
        what,
        value,
        unit,
        METHOD,
        bound,
        f"its quarter point at {place(point)}",
        (point,),
        further=tuple(asdict(found).items()),
    )

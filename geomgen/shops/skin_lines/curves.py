"""Lines on a skin: where planes and passing parts cross it, proved to lie on both."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.edge_curve import EdgeCurve
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.plain import Vec3
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.sections.section import PlaneCut, plane_cut
from geomgen.kernel.solids.probing import edges_between
from geomgen.kernel.solids.properties import kernel_box
from geomgen.kernel.solids.skin_distance import feet_on
from geomgen.shops.passing_parts import Passing
from geomgen.shops.product import found
from geomgen.shops.skin_lines.openings import OpeningEdge
from geomgen.shops.skin_lines.planes import BUILD, OPENING, SkinPlane, crossing
from geomgen.shops.skin_lines.strips import StripEdges, laid_on, off_strip
from geomgen.verdicts.check import Check

# Chords keep about so near to the exact edges of a cut, a run of one to the skin within ON [mm].
CHORD, ON = 0.01, 0.1
# Points on an edge in which two solids meet; runs shorter than this are no line [mm].
ON_EDGE, SHORTEST = 30, 1.0
# A line may lie so far off the skin and off its part [mm].
LIMIT = 0.1
# A plane in which a face of the half lies is moved so far aside [mm].
ASIDE = 0.05


@dataclass(frozen=True)
class SkinSide:
    """One half of what is moulded: name, pull (unit vector), solid, those faces that are skin."""

    name: str
    pull: Vec3
    solid: TopoDS_Shape
    faces: list[TopoDS_Face]


@dataclass(frozen=True)
class LineOnSkin:
    """A line on a skin: what lies there, its runs (n, 3) [mm], what kind; what it was cut from."""

    name: str
    runs: tuple[Floats, ...]
    kind: str
    cut_from: SkinPlane | Passing | OpeningEdge | StripEdges

    @property
    def length(self) -> float:
        """Return its length [mm]."""
        return sum(float(np.linalg.norm(np.diff(run, axis=0), axis=1).sum()) for run in self.runs)


@dataclass(frozen=True)
class SkinLines:
    """The lines of one half, and the names of those that could not be cut."""

    side: SkinSide
    lines: tuple[LineOnSkin, ...]
    undrawn: tuple[str, ...] = ()


def lines_on(
    side: SkinSide,
    planes: Sequence[SkinPlane],
    through: Sequence[Passing] = (),
    openings: Sequence[OpeningEdge] = (),
    strips: Sequence[StripEdges] = (),
) -> SkinLines:
    """Return where planes, passing parts, openings and strips lie on the skin of a half."""
    box = kernel_box(side.solid)
    lines: list[LineOnSkin] = []
    undrawn: list[str] = []
    for plane in crossing(planes, box.low, box.high):
        try:
            runs = tuple(_on_plane(side, plane))
        except GeometryError:
            undrawn.append(plane.name)
            continue
        if runs:
            lines.append(LineOnSkin(plane.name, runs, plane.kind, plane))
    for part in through:
        runs = tuple(_on_part(side, part.solids))
        if runs:
            lines.append(LineOnSkin(f"{part.family}, its outside", runs, OPENING, part))
    for edge in openings:
        there = tuple(run for run in edge.runs if not _drawn(run, planes))
        if there:
            kept = replace(edge, runs=there)
            laid = tuple(feet_on(side.faces, run).points for run in there)
            lines.append(LineOnSkin(edge.name, laid, OPENING, kept))
    for strip in strips:
        runs = tuple(_long(laid_on(side.faces, strip)))
        if runs:
            lines.append(LineOnSkin(strip.name, runs, BUILD, strip))
    return SkinLines(side, tuple(lines), tuple(undrawn))


def _drawn(run: Floats, planes: Sequence[SkinPlane]) -> bool:
    """Say whether a run lies in a plane that an opening or the part itself ends at."""
    return any(
        plane.kind != BUILD and float(np.abs(plane.frame.height(run)).max()) < LIMIT
        for plane in planes
    )


def _on_plane(side: SkinSide, plane: SkinPlane) -> Iterator[Floats]:
    clear, cut = _cut(side, plane)
    laid = [run for run in _edges_of(side, clear, cut) if _on_skin(side, run)]
    if cut.parts and not laid:
        raise GeometryError("no edge of its cut lies on the skin", step="lines on a skin")
    for run in laid:
        yield from _long(clipped(run, plane.within))


def _cut(side: SkinSide, plane: SkinPlane) -> tuple[Frame, PlaneCut]:
    """Return a cut of a half, beside the plane by ASIDE where a face of the half lies in it."""
    lost = GeometryError("it has no cut beside the plane", step="lines on a skin")
    for by in (0.0, ASIDE, -ASIDE):
        frame = plane.frame.moved(by)
        try:
            cut = plane_cut(frame, {side.name: side.solid}, CHORD)
        except GeometryError as error:
            lost = error
            continue
        if cut.parts or not by:
            return frame, cut
    raise lost


def _edges_of(side: SkinSide, clear: Frame, cut: PlaneCut) -> Iterator[Floats]:
    """Yield the edges (n, 3) [mm] of a cut one by one."""
    for region in cut.parts.get(side.name, ()):
        for loop in (region.outer, *region.holes):
            ends = [*loop.corners, loop.corners[0] + len(loop.points)]
            for a, b in pairwise(ends):
                at = np.take(loop.points, np.arange(a, b + 1), axis=0, mode="wrap")
                yield np.array([clear.lifted((float(x), float(y))) for x, y in at])


def _on_part(side: SkinSide, solids: Mapping[str, TopoDS_Shape]) -> Iterator[Floats]:
    for solid in solids.values():
        for edge in edges_between(side.solid, solid):
            run = EdgeCurve(edge).near(CHORD, ON_EDGE)
            if _on_skin(side, run):
                yield from _long([run])


def _on_skin(side: SkinSide, run: Floats) -> bool:
    """Say whether a run, its inner points above all, lies on the skin and not on a flat end."""
    return bool(np.max(feet_on(side.faces, between(run)).off) < ON)


def between(run: Floats) -> Floats:
    """Return the middles of the chords of a run (n, 3) [mm], three on each.

    >>> between(np.array([[0.0, 0.0, 0.0], [4.0, 0.0, 0.0]]))[:, 0].tolist()
    [1.0, 2.0, 3.0]
    """
    shares = np.array([0.25, 0.5, 0.75])[None, :, None]
    a, b = run[:-1, None], run[1:, None]
    return np.asarray((a + shares * (b - a)).reshape(-1, 3))


def _long(runs: Sequence[Floats]) -> Iterator[Floats]:
    for run in runs:
        if float(np.linalg.norm(np.diff(run, axis=0), axis=1).sum()) > SHORTEST:
            yield run


def clipped(run: Floats, within: Sequence[tuple[float, float]]) -> list[Floats]:
    """Return what of a run (n, 3) [mm] lies between bounds of x, y and z [mm].

    >>> line = np.array([[0.0, 0.0, 0.0], [10.0, 0.0, 0.0]])
    >>> clipped(line, ((2.0, 5.0), (-1.0, 1.0), (-1.0, 1.0)))[0][:, 0].tolist()
    [2.0, 5.0]
    """
    left = [run]
    for axis, (low, high) in enumerate(within):
        for at, sign in ((low, 1.0), (high, -1.0)):
            if np.isfinite(at):
                left = [piece for some in left for piece in _ahead(some, axis, at, sign)]
    return left


def _ahead(run: Floats, axis: int, at: float, sign: float) -> list[Floats]:
    """Return the pieces of a run whose coordinate lies on one side of a place."""
    depth = sign * (run[:, axis] - at)
    pieces: list[list[Floats]] = [[]]
    for i, (p, d) in enumerate(zip(run, depth, strict=True)):
        if i and (depth[i - 1] < 0) != (d < 0):
            share = depth[i - 1] / (depth[i - 1] - d)
            pieces[-1].append(run[i - 1] + share * (p - run[i - 1]))
            if d < 0:
                pieces.append([])
        if d >= 0:
            pieces[-1].append(p)
    return [np.array(piece) for piece in pieces if len(piece) > 1]


def lines_finding(part: str, every: Sequence[SkinLines]) -> list[Check]:
    """Return how far the lines on a part lie off its skin or their source; [] without lines."""
    worst, where, count, wanting = 0.0, "", 0, 0
    for half in every:
        wanting += len(half.undrawn)
        for line in half.lines:
            points = np.concatenate([np.vstack([run, between(run)]) for run in line.runs])
            feet = feet_on(half.side.faces, points)
            off = np.maximum(feet.off, _off_source(line, points, feet.normals))
            count += len(points)
            if off.max() >= worst:
                x, y, z = points[int(off.argmax())]
                worst, where = float(off.max()), f"{line.name}, STA {x:.0f} BL {y:.0f} WL {z:.0f}"
    asked = (f"mould.lines.{part}", part, "lines to build to, off the skin or off their part")
    method = f"{count} points of the lines, to the skin of the half and to the plane or part"
    if wanting:
        method += f"; {wanting} that could not be cut are named on the drawings"
    if not count:
        return []
    return [found(
        *asked, worst, "mm", high=LIMIT, where=where, method=method, source="own bound",
        advice="do not mark by these lines: they are not where the parts are",
    )]  # fmt: skip


def _off_source(line: LineOnSkin, points: Floats, normals: Floats) -> Floats:
    source = line.cut_from
    if isinstance(source, StripEdges):
        return off_strip(source, points, normals)
    if isinstance(source, SkinPlane):
        return np.asarray(np.abs(source.frame.height(points)))
    if isinstance(source, OpeningEdge):
        edge = np.concatenate([np.vstack([run, between(run)]) for run in source.runs])
        return np.asarray(np.abs(np.linalg.norm(points - edge, axis=1) - source.skin))
    faces = [face for solid in source.solids.values() for face in faces_of(solid)]
    return feet_on(faces, points).off

"""How far behind a trailing edge the blades turn, in fractions of the local chord.

Wing and tailplane are cut at buttock lines, pylon and fins at waterlines. Between corners of the
mesh edges are straight, and the gap over the chord is least at one end; so it is looked at at every
corner, and where the edge enters or leaves the disc.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.plain import Vec3
from geomgen.kernel.sections.section import MeshSlices
from geomgen.kernel.solids.distance import along, off_axis
from geomgen.measurements.place import place
from geomgen.measurements.propeller.swept import Swept
from geomgen.measurements.record import Measurement

# Families that have a trailing edge, and the axis that they are cut across.
EDGED = {"wing": 1, "tailplane": 1, "pylon": 2, "fin": 2}
CUTS = 201
# A corner of the mesh is looked at just beside it on both sides [mm].
BESIDE = 1e-6
# Corners within this of the edges count as on them [mm].
NEAR_EDGE = 5.0
HALVINGS = 60
Slices = Mapping[str, MeshSlices]


@dataclass(frozen=True)
class TrailingEdgeGap:
    """The gap [chord] at one cut, the trailing edge there, chord and radius [mm], the part."""

    value: float
    edge: Vec3
    chord: float
    radius: float
    part: str


class _Edge:
    """A lifting part, or all of one kind that are measured as one, cut where it is asked for."""

    def __init__(self, parts: Mapping[str, Body], axis: int, swept: Swept) -> None:
        self.swept, self.axis = swept, axis
        self.off = max(body.deviation for body in parts.values())
        self._slices = {name: MeshSlices(body.mesh, axis) for name, body in parts.items()}
        self._corners = np.concatenate([body.mesh.vertices for body in parts.values()])
        self._known: dict[float, TrailingEdgeGap | None] = {}
        self.samples = self._sampled()
        self._values, self._radii = self._looked_at(np.array(self.samples))

    def at(self, line: float, slices: Slices | None = None) -> TrailingEdgeGap | None:
        """Return the gap at a cut; None where nothing is cut, or what is stands behind."""
        if line not in self._known:
            self._known[line] = self._gap(line, slices or self._slices)
        return self._known[line]

    def _gap(self, line: float, slices: Slices) -> TrailingEdgeGap | None:
        cut = self._cut(line, slices)
        if cut is None:
            return None
        fore, aft, part = cut
        chord = float(np.linalg.norm(aft - fore))
        if chord == 0.0 or along(self.swept.axis, tuple(fore.tolist())) > self.swept.back:
            return None
        x, y, z = aft.tolist()
        value = (self.swept.front - along(self.swept.axis, (x, y, z))) / chord
        return TrailingEdgeGap(value, (x, y, z), chord, off_axis(self.swept.axis, (x, y, z)), part)

    def _cut(self, line: float, slices: Slices) -> tuple[Floats, Floats, str] | None:
        """Return the foremost and the aftmost place of all parts at a cut, the part of the last."""
        way = self.swept.axis.direction
        cuts = {name: each.ends(line, way) for name, each in slices.items()}
        found = {name: places for name, places in cuts.items() if places is not None}
        if not found:
            return None
        reach = {name: places @ np.array(way) for name, places in found.items()}
        first = min(found, key=lambda name: float(reach[name][0]))
        last = max(found, key=lambda name: float(reach[name][1]))
        return found[first][0], found[last][1], last

    def _cuts(self, lines: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Return the places (n, 3) of `_cut` at lines (n,), and where along the axis (n,) [mm].

        Where nothing is cut the foremost one is infinitely far aft, the aftmost one ahead.
        """
        way, origin = np.array(self.swept.axis.direction), np.array(self.swept.axis.origin)
        found = np.stack(
            [each.all_ends(lines, self.swept.axis.direction) for each in self._slices.values()]
        )
        reach, rows = (found - origin) @ way, np.arange(len(lines))
        before, behind = (np.where(np.isnan(r), -inf, r) for r in (-reach[..., 0], reach[..., 1]))
        first, last = before.argmax(axis=0), behind.argmax(axis=0)
        return found[first, rows, 0], found[last, rows, 1], -before[first, rows], behind[last, rows]

    def _looked_at(self, lines: Floats) -> tuple[Floats, Floats]:
        """Return value [chord] and radius [mm] of the gaps at lines (n,) [mm]; inf for None."""
        line = self.swept.axis
        fore, aft, first, last = self._cuts(lines)
        with np.errstate(invalid="ignore"):
            chord = np.linalg.norm(aft - fore, axis=1)
            foot = np.array(line.origin) + last[:, None] * np.array(line.direction)
            radius = np.linalg.norm(aft - foot, axis=1)
        told = (chord > 0.0) & (first <= self.swept.back)
        value = np.full(len(lines), inf)
        value[told] = (self.swept.front - last[told]) / chord[told]
        return value, np.where(told, radius, inf)

    def _sampled(self) -> list[float]:
        """Return where it is looked at, within the disc's reach, in order."""
        line, lines = self.swept.axis, self._corners[:, self.axis]
        heights = (self._corners - np.array(line.origin)) @ np.array(line.direction)
        lean = abs(line.direction[self.axis]) * float(np.abs(heights).max())
        middle, reach = line.origin[self.axis], self.swept.tip + lean
        low, high = max(lines.min(), middle - reach), min(lines.max(), middle + reach)
        if low >= high:
            return []
        inset = 1e-9 * (high - low) + 1e-9
        even = np.linspace(low + inset, high - inset, CUTS)
        at = np.unique(np.round(lines[self._on_an_edge(even, heights)], 7))
        beside = np.concatenate([even, at - BESIDE, at, at + BESIDE])
        found = np.unique(beside[(beside > low) & (beside < high)])
        return [float(value) for value in found]

    def _on_an_edge(self, even: Floats, heights: Floats) -> Ints:
        """Return the numbers of the corners that may lie on the leading or the trailing edge."""
        _, _, first, last = self._cuts(even)
        right = np.clip(np.searchsorted(even, self._corners[:, self.axis]), 1, CUTS - 1)
        near = heights >= np.minimum(last[right - 1], last[right]) - NEAR_EDGE
        near |= heights <= np.maximum(first[right - 1], first[right]) + NEAR_EDGE
        return np.asarray(np.nonzero(near)[0])

    def least(self, tip: float) -> TrailingEdgeGap | None:
        """Return the least gap where the edge stands within a radius [mm]; None where nowhere."""
        inside = (self._radii <= tip) & (self._radii < inf)
        found: list[TrailingEdgeGap | None] = []
        if inside.any():
            found = [self.at(self.samples[int(np.where(inside, self._values, inf).argmin())])]
        for i in np.nonzero(inside[1:] != inside[:-1])[0].tolist():
            found.append(self._rim(self.samples[i], self.samples[i + 1], tip))
        found += self._dips(tip)
        return min(filter(None, found), key=_value, default=None)

    def _between(self, a: float, b: float) -> Slices:
        return {name: each.between(a, b) for name, each in self._slices.items()}

    def _rim(self, a: float, b: float, tip: float) -> TrailingEdgeGap | None:
        """Return the gap where the edge passes the rim between two cuts, from its inner side."""
        some = self._between(a, b)
        if self._within(a, tip, some) == self._within(b, tip, some):
            return None
        inner, outer = (a, b) if self._within(a, tip, some) else (b, a)
        for _ in range(HALVINGS):
            middle = 0.5 * (inner + outer)
            within = self._within(middle, tip, some)
            inner, outer = (middle, outer) if within else (inner, middle)
        return self.at(inner, some)

    def _dips(self, tip: float) -> list[TrailingEdgeGap | None]:
        """Return the gaps where the edge dips into the disc between cuts that stand outside."""
        found: list[TrailingEdgeGap | None] = []
        radius, low = self._radii[1:-1], np.minimum(self._radii[:-2], self._radii[2:])
        dips = (tip < radius) & (radius <= low) & (low < inf)
        dips[dips] = radius[dips] - tip < low[dips] - radius[dips] + 1.0
        for i in np.nonzero(dips)[0].tolist():
            start, end = self.samples[i], self.samples[i + 2]
            a, b = self._lowest(start, end)
            found += [self._rim(start, a, tip), self._rim(b, end, tip)]
        return found

    def _lowest(self, a: float, b: float) -> tuple[float, float]:
        some = self._between(a, b)
        for _ in range(HALVINGS):
            left, right = a + (b - a) / 3, b - (b - a) / 3
            one, other = self.at(left, some), self.at(right, some)
            if one is None or other is None:
                break
            a, b = (a, right) if one.radius < other.radius else (left, b)
        return a, b

    def _within(self, line: float, tip: float, slices: Slices) -> bool:
        gap = self.at(line, slices)
        return gap is not None and gap.radius <= tip


def _value(gap: TrailingEdgeGap) -> float:
    return gap.value


def trailing_edge_gap(
    edged: Mapping[str, str], bodies: Mapping[str, Body], swept: Swept
) -> list[Measurement]:
    """Return the least gap from a trailing edge to the blades, in local chords.

    `edged` gives the families of the parts that have one. Chords are as near as the mesh's
    deviation, straight edges exact. A wing in several parts is measured as one.
    """
    found = []
    for names, axis in _groups(edged):
        edge = _Edge({name: bodies[name] for name in names}, axis, swept)
        least = edge.least(swept.tip)
        if least is not None:
            found.append((least.value, _bound(edge, least), least, ""))
    if found:
        return [_record(*min(found, key=lambda row: row[0])[1:], edged)]
    return [_outside(edged, bodies, swept)]


def _groups(edged: Mapping[str, str]) -> list[tuple[tuple[str, ...], int]]:
    """Return which parts are cut together: level ones by family, upright ones one by one."""
    level = dict.fromkeys(family for family in edged.values() if EDGED[family] == 1)
    found = [(tuple(n for n in edged if edged[n] == family), 1) for family in level]
    return found + [((name,), 2) for name, family in edged.items() if EDGED[family] == 2]


def _bound(edge: _Edge, least: TrailingEdgeGap) -> float:
    """Return how far the gap may be off [chord]: the mesh's chord and edge, and where it leaves."""
    tip = edge.swept.tip
    others = [edge.least(tip + edge.off), edge.least(tip - edge.off)]
    moved = max(abs(o.value - least.value) if o else inf for o in others)
    return moved + 2 * edge.off / least.chord * (1 + abs(least.value))


def _outside(edged: Mapping[str, str], bodies: Mapping[str, Body], swept: Swept) -> Measurement:
    """Return the least gap of a wing whose edge does not pass the disc, and say so."""
    wings = {name: bodies[name] for name, family in edged.items() if family == "wing"}
    if not wings:
        return _record(None, None, "no trailing edge stands before the disc", edged)
    edge = _Edge(wings, 1, swept)
    least = edge.least(inf)
    if least is None:
        return _record(None, None, "no part of the wing stands ahead of the disc", edged)
    note = "no part of the trailing edge stands before the disc; nearest given"
    return _record(2 * edge.off / least.chord * (1 + abs(least.value)), least, note, edged)


def _record(
    bound: float | None,
    least: TrailingEdgeGap | None,
    note: str,
    edged: Sequence[str] | Mapping[str, str],
) -> Measurement:
    return Measurement(
        "prop.trailing_edge_gap",
        next(iter(edged)) if least is None else least.part,
        "trailing edge to blades over the local chord, at every part inside the disc",
        None if least is None else least.value,
        "chord",
        "verified meshes of wing, tailplane, pylon and fins cut at every corner of their edges and "
        "where they pass the rim of the disc; blades as far forward as their tips bend; booms, "
        "hull, scoops, wheels and engine have no chord and count in millimetres alone",
        bound,
        "" if least is None else place(least.edge),
        () if least is None else (least.edge,),
        note,
    )

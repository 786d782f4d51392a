"""The proof of a core's templates: cut in numbers from the drawings, compared with the solid.

The wire runs straight from tick to tick of both templates and melts half a kerf to each side,
square to its own way. What is left is compared with the wing's skins less the laminate.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from geomgen.arrays import Floats
from geomgen.drafting.record import Drawing
from geomgen.kernel.plain import Vec3
from geomgen.parameters.values.quantities import Threshold
from geomgen.shops.hotwire_cores.distance import depth_in
from geomgen.shops.hotwire_cores.printed_face import FACES
from geomgen.shops.hotwire_cores.reading import Edge, Reading, read_template
from geomgen.shops.hotwire_cores.sections import CoreSection, Panel
from geomgen.shops.product import Hand, found
from geomgen.verdicts.check import Check

EDGE, TWIST, MIRROR, TICKS = 0.2, 0.05, 0.05, 0.2
# Rows of points along the span and points between two ticks.
ROWS, BETWEEN = 11, 3
# The first and the last row lie this share of the span inside of the templates.
BESIDE = 0.001
SOURCE = "own choice"


@dataclass(frozen=True)
class TemplateStand:
    """Where a template's origin stands [mm], and of which hand the core is."""

    nose: Vec3
    hand: Hand

    def in_space(self, flat: Floats, angle: float) -> Floats:
        """Return points (n, 2) of the chord's frame in space (n, 3) [mm].

        The level line comes to lie level; `angle` is the chord's to it [deg].
        """
        c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
        x = self.nose[0] + flat[:, 0] * c + flat[:, 1] * s
        z = self.nose[2] - flat[:, 0] * s + flat[:, 1] * c
        return np.stack([x, np.full(len(x), self.nose[1]), z], axis=-1)


def _lofted(
    readings: tuple[Reading, Reading], stands: tuple[TemplateStand, TemplateStand], kerf: float
) -> Floats:
    """Return points (rows, n, 3) of the core, a row for each place along the span, root first."""
    a, b = readings
    outward = 1.0 if stands[0].hand == "right" else -1.0
    rows = []
    for ends, sense in (((a.upper, b.upper), outward), ((a.lower, b.lower), -outward)):
        rows.append(_ruled(ends, readings, stands, sense * 0.5 * kerf))
    tails = 0.5 * (rows[0][:, -1:] + rows[1][:, -1:])
    return np.concatenate([*rows, tails], axis=1)


def _ruled(
    ends: tuple[Edge, Edge],
    readings: Sequence[Reading],
    stands: tuple[TemplateStand, TemplateStand],
    inward: float,
) -> Floats:
    """Return rows of points (rows, n, 3) on one side of the core between two edges."""
    small = 0.05
    lines, ways = [], []
    # As many points on both, so that a tick too many on one of them shows as a mismatch.
    count = BETWEEN
    laid = [edge.between_ticks(count) for edge in ends]
    if len(laid[0]) != len(laid[1]):
        laid = [np.linspace(0, edge.run[-1], len(laid[0])) for edge in ends]
    for edge, reading, stand, along in zip(ends, readings, stands, laid, strict=True):
        shift = small * edge.run[-1] / 100
        back, on = (np.clip(along + d, 0, edge.run[-1]) for d in (-shift, shift))
        lines.append(stand.in_space(edge.at(along), reading.angle))
        step = stand.in_space(edge.at(on), reading.angle)
        step = step - stand.in_space(edge.at(back), reading.angle)
        ways.append(step / (on - back)[:, None] * edge.run[-1])
    share = np.r_[BESIDE, np.linspace(0.02, 0.98, ROWS), 1 - BESIDE][:, None, None]
    points = (1 - share) * lines[0] + share * lines[1]
    along = (1 - share) * ways[0] + share * ways[1]
    normal = np.cross(along, np.broadcast_to(lines[1] - lines[0], along.shape))
    normal /= np.linalg.norm(normal, axis=-1, keepdims=True)
    # Aft times outboard looks up on the right and down on the left: `inward` carries the sign.
    return np.asarray(points - inward * normal)


@dataclass(frozen=True)
class Cut:
    """What one core is cut with: its panel, the two drawings, the sections at its ends, limits.

    `kerf` and `skin` [mm] are what the shop and the laminate take; `tolerance` [mm] is how far the
    core may be off the wing. `name` is the end of this core's ids.
    """

    panel: Panel
    root: Drawing
    tip: Drawing
    ends: tuple[CoreSection, CoreSection]
    kerf: float
    skin: float
    tolerance: Threshold
    name: str

    @property
    def hand(self) -> Hand:
        """Return the hand of the core."""
        return "right" if self.panel.side > 0 else "left"

    @cached_property
    def readings(self) -> tuple[Reading, Reading]:
        """Return what root and tip template say."""
        return read_template(self.root, self.hand), read_template(self.tip, self.hand)


def core_findings(cut: Cut) -> list[Check]:
    """Return what the two templates of a core give: edges, match, twist and ticks."""
    a, b = cut.ends
    stands = (TemplateStand(a.nose, cut.hand), TemplateStand(b.nose, cut.hand))
    points = _lofted(cut.readings, stands, cut.kerf)
    off = np.abs(depth_in(cut.panel, points.reshape(-1, 3)) - cut.skin).reshape(points.shape[:2])
    readings = cut.readings
    templates = readings[0].chord_angle() - readings[1].chord_angle()
    return [
        _edges(cut, points, off),
        _match(cut, points, off),
        found(
            f"core.twist.{cut.name}",
            "wing",
            "twist between both templates against the twist of the solid: difference",
            abs(templates - (a.angle - b.angle)),
            "deg",
            high=TWIST,
            where=f"BL {abs(a.buttock_line):.1f} to {abs(b.buttock_line):.1f} mm",
            method=f"from nose to tail against the level line: templates {templates:+.3f} deg, "
            f"solid {a.angle - b.angle:+.3f} deg, tip nose-down positive",
            source=SOURCE,
            advice="do not cut: the sign or size of the washout is wrong on a template",
        ),
        _ticks(cut, readings),
    ]


def _edges(cut: Cut, points: Floats, off: Floats) -> Check:
    """Judge the templates by themselves: the core right beside them, where no wire can be askew."""
    beside = off[[0, -1]]
    i, j = np.unravel_index(int(beside.argmax()), beside.shape)
    return found(
        f"core.edge.{cut.name}",
        "wing",
        "largest distance of the core right beside its templates from the wing less its skin",
        float(beside[i, j]),
        "mm",
        high=EDGE,
        where=f"{('root', 'tip')[i]} template, {_place(points[[0, -1]][i, j])}",
        method=f"{beside.size} points, less half a kerf of {cut.kerf:.2f} mm, against the solid's "
        f"skins less {cut.skin:.3f} mm",
        source=SOURCE,
        advice="do not cut: check kerf, skin and hand of this template",
    )


def _match(cut: Cut, points: Floats, off: Floats) -> Check:
    """Judge the whole core; what the templates are not to blame for the straight wire is."""
    i, j = np.unravel_index(int(off.argmax()), off.shape)
    beside = float(off[[0, -1]].max())
    if beside > min(EDGE, cut.tolerance.value):
        advice = f"do not cut: the templates themselves are off by {beside:.3f} mm, see core.edge"
    else:
        advice = (
            f"both templates are right, within {beside:.3f} mm: between them the straight wire "
            "can't follow the wing, whose section changes along the panel. Add a wing section "
            "there, or templates in between (a shorter handoff.cores.bow), or allow more "
            "(handoff.cores.surface_tolerance)"
        )
    return found(
        f"core.match.{cut.name}",
        "wing",
        "largest distance of the core, as its templates cut it, from the wing less its skin",
        float(off[i, j]),
        "mm",
        high=cut.tolerance.value,
        where=_place(points[i, j]),
        method=f"{off.size} points on straight lines from tick to tick, less half a kerf "
        f"of {cut.kerf:.2f} mm, against the solid's skins less {cut.skin:.3f} mm; skins count "
        "where others were cut into them, too",
        source=cut.tolerance.source or "no source given",
        advice=advice,
    )


def _place(point: Floats) -> str:
    x, y, z = point
    return f"STA {x:.1f}, BL {y:.1f}, WL {z:.1f} mm"


def _ticks(cut: Cut, readings: Sequence[Reading]) -> Check:
    """Judge whether all ticks stand at equal shares and are numbered alike from nose to tail."""
    worst, where = 0.0, ""
    for reading in readings:
        for edge, side in ((reading.upper, "upper"), (reading.lower, "lower")):
            count = len(edge.marks)
            wanted = edge.run[-1] * np.arange(1, count + 1) / (count + 1)
            off = float(np.abs(edge.marks - wanted).max())
            alike = count == len(readings[0].upper.marks)
            if edge.numbers != tuple(range(1, count + 1)) or not alike:
                off = float(edge.run[-1])
            if off >= worst:
                worst, where = off, f"{reading.name}, {side} edge"
    return found(
        f"core.ticks.{cut.name}",
        "wing",
        "largest distance of a tick from its share of the edge; the whole edge where numbers fail",
        worst,
        "mm",
        high=TICKS,
        where=where,
        method="ticks and printed numbers as read from the drawings, nose to tail",
        source=SOURCE,
        advice="do not cut: the wire would run askew",
    )


def hand_finding(right: Cut, left: Cut) -> Check:
    """Judge whether the left templates of a panel mirror the right ones and are named so."""
    worst, where = 0.0, ""
    for end, r, s in zip(("root", "tip"), right.readings, left.readings, strict=True):
        for edge, other in ((r.upper, s.upper), (r.lower, s.lower)):
            share = np.linspace(0, 1, 500)
            gap = edge.at(share * edge.run[-1]) - other.at(share * other.run[-1])
            off = float(np.hypot(*gap.T).max())
            worst, where = (off, end) if off >= worst else (worst, where)
    swapped = [name for cut in (right, left) for name in _swapped(cut)]
    return found(
        f"core.hand.{right.name.replace('_right', '')}",
        "wing",
        "largest distance of the left templates from the mirrored right ones; hand as printed"
        + (f"; wrong hand, face or name: {', '.join(swapped)}" if swapped else ""),
        worst if not swapped else max(worst, right.ends[0].chord),
        "mm",
        high=MIRROR,
        where=where,
        method="outlines as drawn, the root's seen from inboard, the tip's from outboard; hand "
        "told by the way the numbers run",
        source=SOURCE,
        advice="do not cut: a template is of the wrong hand",
    )


def _swapped(cut: Cut) -> list[str]:
    """Return the names of templates whose drawing or print says another hand or face."""
    other = "LEFT" if cut.hand == "right" else "RIGHT"
    wrong = []
    for reading, face in zip(cut.readings, FACES, strict=True):
        text = " ".join(words for words in reading.words if words.startswith("WING CORE"))
        right = reading.hand == cut.hand and reading.face == face
        if not right or cut.hand.upper() not in text or other in text:
            wrong.append(reading.name)
    return wrong

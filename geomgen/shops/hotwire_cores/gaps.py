"""Where the cores of a wing leave a gap: the wing is there, its foam comes from no template."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from OCP.TopoDS import TopoDS_Shape

from geomgen.kernel.brep.boxes import Box, loose_box
from geomgen.kernel.model import Model
from geomgen.kernel.solids.distance import closest
from geomgen.shops.hotwire_cores.pieces import CorePiece
from geomgen.shops.hotwire_cores.sections import CLEAR, COINCIDENT, Span, cut_faces
from geomgen.shops.product import found
from geomgen.shops.wing_parts import bare_spans
from geomgen.verdicts.check import Check

# A part as near [mm] as this, over the gap of its joint, is what the wing was cut for: own choice.
NEAR = 0.1
SHORT_END = "a short end beside the joint of the outer wing"


@dataclass(frozen=True)
class Gap:
    """A gap from one buttock line to another without sign [mm], and the parts that stand there.

    `between` says whether a core lies on both sides of it.
    """

    hand: str
    low: float
    high: float
    parts: tuple[str, ...]
    between: bool

    @property
    def what(self) -> str:
        """Return what stands there."""
        return " and ".join(self.parts) or "something cut out of the wing"

    @property
    def told(self) -> str:
        """Return the words for drawings."""
        return f"no core: BL {self.low:.0f} to {self.high:.0f}, {self.what}; fill by hand"


def gaps(
    wing: TopoDS_Shape, model: Model, made: Sequence[CorePiece], whole: Span, side: int
) -> list[Gap]:
    """Return the gaps of one side between the cores `made` and the ends of what they fill [mm].

    Where the wing has no part nothing is missing, nor within the distance at which a template
    passes a cut, nor where a rib stands between two pieces.
    """
    found, at = [], whole[0]
    spans = sorted((*piece.span, piece.ribs[0]) for piece in made)
    for low, high, rib in (*spans, (whole[1], whole[1], "")):
        found += [span for span in _solid(wing, side, at, low) if not rib and _wide(span)]
        at = max(at, high)
    hand = "right" if side > 0 else "left"
    others = {
        name: solid
        for name, solid in model.parts.items()
        if model.families.get(name, name) != "wing"
    }
    told = [(min(piece.span[1], b[0]), max(piece.span[0], b[1]))
            for piece in made for b in piece.blocks]  # fmt: skip
    found = [span for span in found if not any(_holds(short, span) for short in told)]
    blocks = [Gap(hand, *block, (SHORT_END,), False) for piece in made for block in piece.blocks]
    reach = model.joint_gap + NEAR
    ends = [at for piece in made for at in piece.span]
    rest = [
        Gap(hand, *span, _standing(wing, others, side, span, reach), set(span) <= set(ends))
        for span in found
    ]
    return sorted((*rest, *blocks), key=lambda gap: gap.low)


def _holds(whole: Span, span: Span) -> bool:
    return whole[0] - COINCIDENT <= span[0] and span[1] <= whole[1] + COINCIDENT


def _wide(span: Span) -> bool:
    return span[1] - span[0] > CLEAR + COINCIDENT


def _solid(wing: TopoDS_Shape, side: int, low: float, high: float) -> list[Span]:
    """Return the spans between two buttock lines in which the wing has a part."""
    if not _wide((low, high)):
        return []
    spans, at = [], low
    for a, b in (*bare_spans(wing, side, low, high), (high, high)):
        spans.append((at, a))
        at = b
    return spans


def _standing(
    wing: TopoDS_Shape, others: Mapping[str, TopoDS_Shape], side: int, span: Span, reach: float
) -> tuple[str, ...]:
    """Return the names of the parts that the wing was cut for in a gap."""
    cut = cut_faces(wing, side, *span)
    return tuple(
        name
        for name, solid in others.items()
        if any(
            _near(box, loose_box(solid), reach) and closest(face, solid).distance <= reach
            for face, box in cut
        )
    )


def _near(a: Box, b: Box, reach: float) -> bool:
    return all(a.low[i] - reach <= b.high[i] and b.low[i] - reach <= a.high[i] for i in range(3))


def gap_findings(every: Sequence[Gap], stations: Sequence[float], troughs: bool) -> list[Check]:
    """Warn of the gaps of one hand.

    `stations` are the wing's sections between root and tip [mm], `troughs` says whether the cores
    have any.
    """
    lost = "foam and spar troughs are" if troughs else "foam is"
    return [
        found(
            f"core.gap.{gap.hand}.{number}",
            "wing",
            f"no core in the {gap.hand} wing where {gap.what} stands, {lost} missing there: width "
            "along the span",
            gap.high - gap.low,
            "mm",
            where=f"BL {gap.low:.1f} to {gap.high:.1f} mm, {gap.hand}",
            method="between the templates, less where the wing has no part",
            source="own choice: foam wherever the wing is",
            advice=_advice(gap, [at for at in stations if gap.low <= at <= gap.high], troughs),
            severity="warn",
        )
        for number, gap in enumerate(every, start=1)
    ]


def _advice(gap: Gap, inside: Sequence[float], troughs: bool) -> str:
    rows = ["fill the gap by hand with foam sanded to the neighbouring cores"]
    if troughs:
        rows.append("the spar troughs stop at it")
    if inside and gap.between:
        at = " and ".join(f"{one:.1f}" for one in inside)
        rows.append(
            f"or move the wing section at BL {at} mm (wing.sections) away from {gap.what}, so that "
            "one panel runs through"
        )
    return "; ".join(rows)


def beyond(piece: CorePiece, end: int, every: Sequence[Gap]) -> tuple[str, ...]:
    """Return the note on a template that faces a gap; `end` is 0 for the root, 1 for the tip."""
    at, own = piece.span[end], [gap for gap in every if gap.hand == piece.panel.hand]
    facing = [gap for gap in own if abs((gap.low, gap.high)[1 - end] - at) < COINCIDENT]
    return tuple(f"Beyond this end {gap.told}." for gap in facing)


def station_findings(piece: CorePiece) -> list[Check]:
    """Say where a template had to be taken away from its panel's end."""
    rows = []
    ends = ((piece.panel.low, piece.ends[0], "root"), (piece.panel.high, piece.ends[1], "tip"))
    outer = (piece.number == 1, piece.number == piece.of)
    for wanted, section, end in (row for row, last in zip(ends, outer, strict=True) if last):
        at = abs(section.buttock_line)
        if abs(at - wanted) > 1e-6:
            rows.append(
                found(
                    f"core.station.{piece.name}.{end}",
                    "wing",
                    f"the {end} template was taken {abs(at - wanted):.1f} mm inside the panel's "
                    "end: another part or a moulded tip stands there",
                    at,
                    "mm",
                    where=f"BL {at:.1f} instead of {wanted:.1f} mm",
                    method="nearest clean section of the solid",
                    severity="info",
                )
            )
    return rows


def notch_findings(piece: CorePiece) -> list[Check]:
    """Warn of what else was cut out of the wing inside a core."""
    low, high = piece.span
    return [
        found(
            f"core.notch.{piece.name}.{number}",
            "wing",
            "something else was cut out of the wing inside this core: width along the span",
            b - a,
            "mm",
            where=f"BL {a:.1f} to {b:.1f} mm",
            method="faces of the solid that are no skin of the panel",
            source="own choice: a core without a notch of its own",
            advice="the templates cut the core whole: notch it there to fit what passes through",
            severity="warn",
        )
        for number, (a, b) in enumerate(piece.away, start=1)
        if b > low and a < high
    ]

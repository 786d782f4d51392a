"""The pieces that a panel's core is cut in: whole, or as short as bow and foam block ask for."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, takewhile

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.parameters.records.shops import Cores
from geomgen.shops.hotwire_cores.blank import Blank, blank_of
from geomgen.shops.hotwire_cores.outline import Guide, Outline, core_outline, guide, in_chord_frame
from geomgen.shops.hotwire_cores.sections import STEP, CoreSection, Panel, Span, proved
from geomgen.shops.layout_lines import FINE, RIB, InsidePart

# A core shorter than this along the span is not worth its two templates [mm]: own choice.
SHORTEST = 100.0
# A template as near as this to what was cut out of the wing is not held to the solid there [mm].
CLEAR = 2.0
# A cut is moved to a rib that is as near as this, as a share of a piece's length, where that rib
# runs along so much of the chord at least: own choices.
NEAR, WHOLE = 0.3, 0.7
AT_JOINT = "a rib at the joint of the outer wing"


@dataclass(frozen=True)
class RibPlace:
    """A rib that cores part at: its parts' names, buttock lines of its faces without sign [mm].

    `block` is what lies between it and the end of the panel, too short for a core [mm].
    """

    name: str
    low: float
    high: float
    block: Span | None = None


@dataclass(frozen=True)
class CorePiece:
    """One core: its panel, the sections, wanted outlines and guides at its ends, and its blank.

    `away` is what else was cut out of the wing within the panel. `number` counts from 1 at the root
    among the `of` pieces of the panel. `ribs` stand against its root and its tip; "" where none
    does. `within` are ribs between its templates, where foam and they take up the same place.
    `blocks` lie beyond these, too short for cores of their own [mm].
    """

    panel: Panel
    away: tuple[Span, ...]
    ends: tuple[CoreSection, CoreSection]
    outlines: tuple[Outline, Outline]
    guides: tuple[Guide, Guide]
    blank: Blank
    number: int
    of: int
    ribs: tuple[str, str] = ("", "")
    within: tuple[RibPlace, ...] = ()
    blocks: tuple[Span, ...] = ()

    @property
    def name(self) -> str:
        """Return panel, hand, and the piece's number where the panel is cut in several."""
        whole = f"panel{self.panel.number}_{self.panel.hand}"
        return whole if self.of == 1 else f"{whole}_{self.number}"

    @property
    def span(self) -> Span:
        """Return the buttock lines of its templates [mm], without sign."""
        low, high = (abs(section.buttock_line) for section in self.ends)
        return low, high


def pieces(
    wing: TopoDS_Shape,
    whole: Panel,
    clean: Span,
    away: Sequence[Span],
    shop: Cores,
    skin: float,
    least: int = 1,
    inside: Sequence[InsidePart] = (),
) -> list[CorePiece]:
    """Return the cores of a panel between two buttock lines without sign [mm], from the root out.

    As few as let every blank be no longer than the bow, and `least` at the least. They part where
    the outer wing comes off, at the outsides of both ribs there, and at both faces of a rib among
    the parts `inside` where one is near and the blanks stay short enough; else they are equally
    long along the span.
    Beside a joint that is too near an end of the panel there is none. GeometryError when the bow is
    too short for any, a joint leaves no length for any, or the solid differs from its skins at a
    template.
    """
    count, ribs = least, ribs_of(whole, inside)
    first, last, joints = _ends(clean, joint_places(whole, inside))
    first, last, joints = without_short_ends(whole.number, first, last, joints)
    clean = first.high, last.low
    bow = math.inf if shop.bow is None else shop.bow
    count = max(count, math.floor((clean[1] - clean[0]) / bow))
    while True:
        for near in (ribs, ()):
            cuts = _parted(clean, count, near, joints)
            made = _between(whole, (first, *cuts, last), away, shop, skin)
            longest = max(piece.blank.size[0] for piece in made)
            if longest <= bow:
                proven = _proved(wing, whole, made)
                return [replace(piece, within=standing(piece, inside)) for piece in proven]
        count += 1
        if (clean[1] - clean[0]) / count < SHORTEST:
            raise _too_short(whole, longest, bow)


def _proved(wing: TopoDS_Shape, whole: Panel, made: list[CorePiece]) -> list[CorePiece]:
    """Return pieces whose sections are the solid's own, where nothing was cut out of it."""
    for y in sorted({y for piece in made for y in piece.span}):
        if not any(a - CLEAR < y < b + CLEAR for a, b in made[0].away):
            proved(wing, whole, y)
    return made


def parted(clean: Span, count: int, ribs: Sequence[RibPlace]) -> list[RibPlace]:
    """Return the places [mm] at which a span is cut in `count` pieces: equal, or at near ribs.

    >>> [(cut.name, cut.low, cut.high) for cut in parted((0, 900), 3, [RibPlace("rib", 318, 322)])]
    [('rib', 318, 322), ('', 600.0, 600.0)]
    """
    even = np.linspace(*clean, count + 1).tolist()
    reach = NEAR * (clean[1] - clean[0]) / count
    cuts = []
    for y in even[1:-1]:
        near = [rib for rib in ribs if abs((rib.low + rib.high) / 2 - y) <= reach]
        own = RibPlace("", y, y)
        cuts.append(min(near, key=lambda rib: abs(rib.low + rib.high - 2 * y), default=own))
    return cuts


def joint_places(whole: Panel, inside: Sequence[InsidePart]) -> list[RibPlace]:
    """Return where the outer wing comes off on a panel's side, from face to face of the ribs."""
    places: list[RibPlace] = []
    for rib in sorted((part for part in inside if part.at_joint), key=lambda r: abs(r.box.low[1])):
        low, high = sorted(whole.side * y for y in (rib.box.low[1], rib.box.high[1]))
        if high <= 0.0:
            continue
        if places and low - places[-1].high < SHORTEST:
            before = places.pop()
            low, high = min(before.low, low), max(before.high, high)
        places.append(RibPlace(AT_JOINT, low, high))
    return places


def _ends(clean: Span, joints: Sequence[RibPlace]) -> tuple[RibPlace, RibPlace, list[RibPlace]]:
    """Return the ends of a span, off ribs of a joint that reach over them, and joints within."""
    low, high = (
        next((j for j in joints if j.low <= y <= j.high), RibPlace("", y, y)) for y in clean
    )
    return low, high, [j for j in joints if clean[0] < j.low and j.high < clean[1]]


def without_short_ends(
    panel: int, first: RibPlace, last: RibPlace, joints: Sequence[RibPlace]
) -> tuple[RibPlace, RibPlace, list[RibPlace]]:
    """Return the ends of a panel's cores [mm] and the joints within, none of them near an end.

    GeometryError where that leaves nothing long enough for a core.

    >>> ends = RibPlace("", 0.0, 0.0), RibPlace("", 900.0, 900.0)
    >>> first, last, joints = without_short_ends(2, *ends, [RibPlace("j", 60.0, 69.0)])
    >>> first, last.low, joints
    (RibPlace(name='j', low=0.0, high=69.0, block=(0.0, 60.0)), 900.0, [])
    """
    kept = list(joints)
    if kept and kept[0].low - first.high < SHORTEST:
        near = kept.pop(0)
        first = RibPlace(near.name, first.low, near.high, (first.high, near.low))
    if kept and last.low - kept[-1].high < SHORTEST:
        near = kept.pop()
        last = RibPlace(near.name, near.low, last.high, (near.high, last.low))
    short = last.low - first.high
    if short < SHORTEST and (first.block or last.block):
        raise GeometryError(
            f"panel {panel}: beside the joint of the outer wing {max(short, 0.0):.1f} mm are left "
            f"for a core, and less than {SHORTEST:g} mm is not cut by wire: move the joint, or the "
            "section of the wing beside it, along the span",
            part="wing", step=STEP, look_at=["spars", "wing.sections"],
        )  # fmt: skip
    return first, last, kept


def _parted(
    clean: Span, count: int, ribs: Sequence[RibPlace], joints: Sequence[RibPlace]
) -> list[RibPlace]:
    """Return where a span is cut in `count` pieces, and no fewer than joints part it in.

    >>> joint = [RibPlace("j", 195, 205)]
    >>> [(cut.name, cut.low, cut.high) for cut in _parted((0, 605), 3, [], joint)]
    [('j', 195, 205), ('', 405.0, 405.0)]
    """
    stops = [clean[0], *(y for joint in joints for y in (joint.low, joint.high)), clean[1]]
    spans = list(zip(stops[::2], stops[1::2], strict=True))
    many = [1] * len(spans)
    for _ in range(count - len(spans)):
        many[int(np.argmax([(b - a) / n for (a, b), n in zip(spans, many, strict=True)]))] += 1
    cuts: list[RibPlace] = []
    for i, span in enumerate(spans):
        near = [rib for rib in ribs if span[0] < rib.low and rib.high < span[1]]
        cuts += [*parted(span, many[i], near), *joints[i : i + 1]]
    return cuts


def standing(piece: CorePiece, inside: Sequence[InsidePart]) -> tuple[RibPlace, ...]:
    """Return the ribs that stand in a core between its templates, one row for all parts of each."""
    side, (first, last) = piece.panel.side, piece.span
    found: dict[Span, list[str]] = {}
    for part in (each for each in inside if each.family == RIB):
        low, high = sorted(side * y for y in (part.box.low[1], part.box.high[1]))
        if first + FINE < high and low < last - FINE:
            ring = shapely.Polygon(piece.panel.section((low + high) / 2).ring())
            if ring.contains(shapely.Point(part.box.centre[0], part.box.centre[2])):
                found.setdefault((round(low, 2), round(high, 2)), []).append(part.name)
    return tuple(
        RibPlace(_of_all(names), low, high) for (low, high), names in sorted(found.items())
    )


def _of_all(names: Sequence[str]) -> str:
    """Return what the names of a rib's parts begin with; of one alone its own name.

    >>> _of_all(["rib_a_1_nose_right", "rib_a_1_tail_right"])
    'rib_a_1'
    """
    words = [name.split("_") for name in names]
    shared = takewhile(lambda same: len(set(same)) == 1, zip(*words, strict=False))
    return "_".join(word for word, *_ in shared)


def ribs_of(whole: Panel, inside: Sequence[InsidePart]) -> list[RibPlace]:
    """Return the ribs within a panel that run from nose to tail, in however many parts."""
    found: dict[Span, list[InsidePart]] = {}
    for part in (each for each in inside if each.family == RIB):
        low, high = sorted(whole.side * y for y in (part.box.low[1], part.box.high[1]))
        if whole.low < low and high < whole.high:
            found.setdefault((round(low, 3), round(high, 3)), []).append(part)
    rows = []
    for (low, high), parts in sorted(found.items()):
        section = whole.section((low + high) / 2)
        ring = shapely.Polygon(section.ring())
        own = [q for q in parts if ring.contains(shapely.Point(q.box.centre[0], q.box.centre[2]))]
        if sum(q.box.size[0] for q in own) >= WHOLE * section.chord:
            rows.append(RibPlace(" and ".join(q.name for q in own), low, high))
    return rows


def _between(
    whole: Panel, stops: Sequence[RibPlace], away: Sequence[Span], shop: Cores, skin: float
) -> list[CorePiece]:
    """Return the pieces between places [mm], the first and the last of them the ends of it all."""
    ends = {y: whole.section(y) for stop in stops for y in (stop.low, stop.high)}
    outlines = {y: core_outline(in_chord_frame(section), skin) for y, section in ends.items()}
    guides = {y: guide(outline, shop.kerf, shop.lead) for y, outline in outlines.items()}
    made, of = [], len(stops) - 1
    for number, (inner, outer) in enumerate(pairwise(stops), start=1):
        a, b = inner.high, outer.low
        two, pair, ways = (ends[a], ends[b]), (outlines[a], outlines[b]), (guides[a], guides[b])
        blank = blank_of(pair, ways, two, shop)
        names = (inner.name, outer.name)
        ends_ = (inner.block if number == 1 else None, outer.block if number == of else None)
        blocks = tuple(block for block in ends_ if block is not None)
        made.append(
            CorePiece(whole, tuple(away), two, pair, ways, blank, number, of, names, blocks=blocks)
        )
    return made


def _too_short(whole: Panel, longest: float, bow: float) -> GeometryError:
    return GeometryError(
        f"panel {whole.number}: a core of {SHORTEST:.0f} mm along the span still needs a block of "
        f"{longest:.0f} mm, because its ends are not square, and the bow takes {bow:g} mm",
        part="wing",
        step=STEP,
        look_at=["handoff.cores.bow", "handoff.stock", "wing.sections"],
    )

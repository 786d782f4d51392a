"""The pieces that a panel's core is cut in: whole, or as short as bow and foam block ask for."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.parameters.records.shops import Cores
from geomgen.shops.hotwire_cores.blank import Blank, blank_of
from geomgen.shops.hotwire_cores.outline import Guide, Outline, core_outline, guide, in_chord_frame
from geomgen.shops.hotwire_cores.sections import STEP, CoreSection, Panel, Span, proved

# A core shorter than this along the span is not worth its two templates [mm]: own choice.
SHORTEST = 100.0
# A template as near as this to what was cut out of the wing is not held to the solid there [mm].
CLEAR = 2.0


@dataclass(frozen=True)
class CorePiece:
    """One core: its panel, the sections, wanted outlines and guides at its ends, and its blank.

    `away` is what else was cut out of the wing within the panel. `number` counts from 1 at the root
    among the `of` pieces of the panel.
    """

    panel: Panel
    away: tuple[Span, ...]
    ends: tuple[CoreSection, CoreSection]
    outlines: tuple[Outline, Outline]
    guides: tuple[Guide, Guide]
    blank: Blank
    number: int
    of: int

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
) -> list[CorePiece]:
    """Return the cores of a panel between two buttock lines without sign [mm], from the root out.

    They are equally long along the span, as few as let every blank be no longer than the bow, and
    `least` at the least.
    GeometryError when the bow is too short for any, or the solid differs from its skins at a
    template.
    """
    count = least
    if shop.bow is not None:
        count = max(count, math.floor((clean[1] - clean[0]) / shop.bow))
    while True:
        at = np.linspace(*clean, count + 1).tolist()
        made = _between(whole, at, away, shop, skin)
        longest = max(piece.blank.size[0] for piece in made)
        if shop.bow is None or longest <= shop.bow:
            break
        count += 1
        if (clean[1] - clean[0]) / count < SHORTEST:
            raise _too_short(whole, longest, shop.bow)
    for y in at:
        if not any(a - CLEAR < y < b + CLEAR for a, b in away):
            proved(wing, whole, y)
    return made


def _between(
    whole: Panel, at: Sequence[float], away: Sequence[Span], shop: Cores, skin: float
) -> list[CorePiece]:
    """Return the pieces between buttock lines [mm]."""
    ends = [whole.section(y) for y in at]
    outlines = [core_outline(in_chord_frame(section), skin) for section in ends]
    guides = [guide(outline, shop.kerf, shop.lead) for outline in outlines]
    made, of = [], len(at) - 1
    for i in range(of):
        two = (ends[i], ends[i + 1])
        pair, ways = (outlines[i], outlines[i + 1]), (guides[i], guides[i + 1])
        blank = blank_of(pair, ways, two, shop)
        made.append(CorePiece(whole, tuple(away), two, pair, ways, blank, i + 1, of))
    return made


def _too_short(whole: Panel, longest: float, bow: float) -> GeometryError:
    return GeometryError(
        f"panel {whole.number}: a core of {SHORTEST:.0f} mm along the span still needs a block of "
        f"{longest:.0f} mm, because its ends are not square, and the bow takes {bow:g} mm",
        part="wing",
        step=STEP,
        look_at=["handoff.cores.bow", "wing.sections"],
    )

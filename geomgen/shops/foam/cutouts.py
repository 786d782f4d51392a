"""What other parts take out of each slab of a foam stack: outlines to cut, foam that goes."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from geomgen.shops.flat_areas import united
from geomgen.shops.foam.slabs import Slab
from geomgen.shops.passing_parts import CutOut, Passing, cut_out, passing_words
from geomgen.shops.product import found
from geomgen.verdicts.check import Check


@dataclass(frozen=True)
class SlabCut:
    """The cut-outs of a slab: at front, middle and aft; what is said about them."""

    slab: Slab
    at: tuple[CutOut, CutOut, CutOut]
    words: str = ""

    @property
    def any(self) -> bool:
        """Say whether something is cut out."""
        return any(not one.area.is_empty for one in self.at)

    @property
    def area(self) -> shapely.Geometry:
        """Return all that is taken out anywhere in the slab, seen along the body."""
        return united([one.area for one in self.at])

    @property
    def volume(self) -> float:
        """Return the foam that goes [mm3]: Simpson's rule, as for the slab itself."""
        a, m, b = (one.area.area for one in self.at)
        return float((a + 4 * m + b) * self.slab.thickness / 6)

    @property
    def pieces(self) -> int:
        """Return into how many pieces a slab that is cut right through falls, at most."""
        left = [shape.difference(one.area) for shape, one in
                zip(self.slab.shapes, self.at, strict=True)]  # fmt: skip
        return max(int((shapely.area(shapely.get_parts(one)) > 1.0).sum()) for one in left)


def slab_cuts(parts: Sequence[Passing], slabs: Sequence[Slab]) -> list[SlabCut]:
    """Return what passing parts take out of each slab."""
    made = []
    for slab in slabs:
        places = (slab.front, 0.5 * (slab.front + slab.aft), slab.aft)
        near = [part for part in parts if part.meets(slab.front, slab.aft)]
        a, m, b = (
            cut_out(near, outline, x) for x, (outline, _) in zip(places, slab.sections, strict=True)
        )
        cut = SlabCut(slab, (a, m, b))
        words = passing_words(near, slab.front, slab.aft)
        made.append(SlabCut(slab, (a, m, b), words) if cut.any else cut)
    return made


def cut_words(cut: SlabCut) -> str:
    """Return what a slab's sheet says of its cut-outs; empty when it has none."""
    if not cut.any:
        return ""
    falls = f"; it falls into {cut.pieces} pieces: cut it after gluing" if cut.pieces > 1 else ""
    return f"{cut.words}: cut it out by both faces' outlines{falls}"


def passing_finding(cuts: Sequence[SlabCut]) -> list[Check]:
    """Return which slabs other parts pass through; [] where none is passed."""
    passed = [cut for cut in cuts if cut.any]
    if not passed:
        return []
    return [
        found(
            "foam.passing",
            "pod",
            "slabs that other parts pass through, with a cut-out on their templates",
            float(len(passed)),
            "1",
            where="; ".join(f"slab {cut.slab.number}: {cut.words}" for cut in passed),
            method=f"sections of the parts with their gap; {cut_volume(cuts) / 1000:.0f} cm^3 of "
            "foam taken out, by Simpson's rule over three sections a slab",
            severity="info",
        )
    ]


def cut_volume(cuts: Sequence[SlabCut]) -> float:
    """Return the foam that all cut-outs take [mm3]."""
    return float(np.sum([cut.volume for cut in cuts]))

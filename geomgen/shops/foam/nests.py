"""The foam stack's blanks on the sheets that are bought, and the rows of the parts list."""

from collections.abc import Sequence

import numpy as np

from geomgen.drafting.paper.choice import on_smallest
from geomgen.drafting.record import CUT, REF, Drawing, Label, Path, rectangle
from geomgen.parameters.records.shops import FoamStations
from geomgen.shops.foam.cutouts import SlabCut
from geomgen.shops.foam.notes import bench_notes
from geomgen.shops.foam.slabs import Slab
from geomgen.shops.nesting import NestBlank, NestedBlank
from geomgen.shops.product import Item, ShopSheet

# So many foam sheets on one drawing, beside and above one another, and how far apart [mm].
ACROSS, UP = 2, 3
ASIDE, NAME = 90.0, 30.0


def outline_boxes(slabs: Sequence[Slab], foam: FoamStations) -> list[NestBlank]:
    """Return the box [mm] round all outlines of each piece of each slab, without margin."""
    made = []
    for slab in slabs:
        low, high = slab.box()
        width, height = (float(v) for v in high - low)
        if foam.split_at_centre:
            # The right half reaches from BL 0; the left one is its mirror image.
            pieces = [(f"{slab.number}{hand}", float(high[0])) for hand in "RL"]
        else:
            pieces = [(f"{slab.number}", width)]
        made += [NestBlank(name, across, height) for name, across in pieces]
    return made


def nest_sheets(laid: Sequence[NestedBlank], foam: FoamStations) -> list[ShopSheet]:
    """Return drawings to look at: foam sheets with the blanks on them, some on each."""
    sheets = sorted({row.sheet for row in laid})
    made = []
    for first in range(0, len(sheets), ACROSS * UP):
        group = sheets[first : first + ACROSS * UP]
        paths: list[Path] = []
        labels: list[Label] = []
        for place, number in enumerate(group):
            x = (place % ACROSS) * (foam.sheet_length + ASIDE)
            y = -(place // ACROSS) * (foam.sheet_width + ASIDE)
            one = _sheet(number, [row for row in laid if row.sheet == number], foam).moved(x, y)
            paths += one.paths
            labels += one.labels
        many = f"foam sheets {group[0] + 1} to {group[-1] + 1} of {len(sheets)}"
        note = f"blanks hold {foam.margin / 2:g} mm round the outlines; R right half, L left half"
        drawing = Drawing(many, tuple(paths), tuple(labels), bench_notes(foam))
        name = f"foam_nest_{first // (ACROSS * UP) + 1}"
        paper = on_smallest(lambda *_, whole=drawing: [whole], "pod", ["handoff.foam"])
        made.append(ShopSheet(name, "pod", paper, note=note))
    return made


def _sheet(number: int, rows: Sequence[NestedBlank], foam: FoamStations) -> Drawing:
    paths = [rectangle((0.0, 0.0), (foam.sheet_length, foam.sheet_width), REF, "sheet")]
    labels = [Label((0.0, -NAME - 12.0), f"foam sheet {number + 1}", NAME)]
    grown = foam.margin / 2
    for row in rows:
        low = (row.x - grown, row.y - grown)
        high = (row.x + row.width + grown, row.y + row.height + grown)
        paths.append(rectangle(low, high, CUT, row.blank.name))
        size = min(NAME, 0.6 * row.height, 0.8 * row.width / len(row.blank.name))
        middle = (row.x + row.width / 2, row.y + row.height / 2 - size / 2)
        labels.append(Label(middle, row.blank.name, size, 0.0, "middle"))
    return Drawing("", tuple(paths), tuple(labels))


def items(
    foam: FoamStations, cuts: Sequence[SlabCut], core: float, sheets: int, skin: str
) -> list[Item]:
    """Return a row for each slab, one for the sheets to buy, one for the finished core.

    `core` is the volume [mm3] of its solid, `skin` the ply schedule in words.
    """
    slabs = [cut.slab for cut in cuts]
    boxes = {blank.name: blank for blank in outline_boxes(slabs, foam)}
    hand, count = ("R", 2) if foam.split_at_centre else ("", 1)
    made = []
    for cut_away in cuts:
        slab = cut_away.slab
        left = slab.volume - cut_away.volume
        box = boxes[f"{slab.number}{hand}"]
        made.append(
            Item(
                f"foam slab {slab.number}",
                "pod",
                "",
                "foam",
                (slab.thickness, box.width + foam.margin, box.height + foam.margin),
                count,
                left,
                _mass(left, foam),
                files=(f"foam_{slab.number:02d}",),
                note="blank size of a piece; volume and mass as sanded, all pieces together; "
                f"as cut from the blank {_mass(slab.cut_volume, foam):.3f} kg"
                + (f"; {cut_away.words}: cut out" if cut_away.any else ""),
            )
        )
    size = (foam.sheet_length, foam.sheet_width, foam.slab)
    bought = sheets * float(np.prod(size))
    cut = _mass(sum(slab.cut_volume for slab in slabs), foam)
    made += [
        Item("foam sheets", "pod", "", "foam", size, sheets, bought, _mass(bought, foam),
             note="to buy", kind="buy"),
        Item("foam core of the pod", "pod", "", "foam", None, 1, core, _mass(core, foam),
             note=f"the finished core's solid, foam alone; its slabs as cut {cut:.2f} kg; "
             f"skin: {skin}",
             kind="sum"),
    ]  # fmt: skip
    return made


def _mass(volume: float, foam: FoamStations) -> float:
    return volume * 1e-9 * foam.density

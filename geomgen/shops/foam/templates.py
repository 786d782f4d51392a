"""Templates that stay in a foam stack: one to each joint, the one outline that it is cut along."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from geomgen.drafting.paper.full_size import full_size
from geomgen.drafting.record import Drawing, Path
from geomgen.parameters.records.shops import FoamStations
from geomgen.shops.figures import plain, sta
from geomgen.shops.foam.holes import Pair
from geomgen.shops.foam.notes import bench_notes
from geomgen.shops.foam.sections import FaceStrip, sections
from geomgen.shops.foam.sheet import SlabFace, outline_path, slab_drawing
from geomgen.shops.foam.slabs import Section, Slab
from geomgen.shops.layout_lines import NOTHING, InsidePart, Laid, laid, region
from geomgen.shops.passing_parts import NONE, CutOut, Passing, cut_out
from geomgen.shops.product import Item, ShopSheet, found
from geomgen.verdicts.check import Check

# How far the body's skin may leave a template's square edge [mm]; own choice: filled or sanded.
SQUARE_EDGE = 1.0
MATERIAL = "template sheet, as the builder chooses"


@dataclass(frozen=True)
class JointTemplate:
    """The template between slab `number` and the next: where it lies [mm], section in its middle.

    `outline` is what is cut: of the whole body, or its right half; `cut` what other parts that pass
    through take out of it, `laid` the lines of parts that stand there inside.
    """

    number: int
    front: float
    aft: float
    section: Section
    outline: Path
    cut: CutOut = NONE
    laid: Laid = NOTHING

    @property
    def station(self) -> float:
        """Return the station [mm] of its outline: its middle."""
        return 0.5 * (self.front + self.aft)

    @property
    def thickness(self) -> float:
        """Return its thickness [mm]."""
        return self.aft - self.front

    @property
    def volume(self) -> float:
        """Return its volume [mm3], cut square to its outline."""
        area = shapely.Polygon(self.section[0]).area - self.cut.area.area
        return float(area * self.thickness)

    @property
    def file(self) -> str:
        """Return the name of its sheet."""
        return f"foam_template_{self.number:02d}"


def joints_of(
    along: list[FaceStrip],
    slabs: Sequence[Slab],
    half: bool,
    parts: Sequence[Passing] = (),
    built_to: Sequence[InsidePart] = (),
) -> list[JointTemplate]:
    """Return the templates that stay between slabs; none where the slabs lie on one another."""
    pairs = [(a.aft, b.front) for a, b in zip(slabs[:-1], slabs[1:], strict=True)]
    if not any(b > a for a, b in pairs):
        return []
    made = sections(along, [0.5 * (a + b) for a, b in pairs])
    return [
        JointTemplate(
            n,
            a,
            b,
            cut,
            outline_path(cut[0], half, f"face at STA {sta(0.5 * (a + b))}"),
            cut_out(parts, cut[0], 0.5 * (a + b)),
            laid(built_to, 0.5 * (a + b), region(cut[0], half)),
        )
        for n, ((a, b), cut) in enumerate(zip(pairs, made, strict=True), start=1)
    ]


def template_sheets(
    joints: Sequence[JointTemplate],
    pairs: Sequence[tuple[Pair, ...]],
    foam: FoamStations,
    reference: float,
    inset: str,
) -> list[ShopSheet]:
    """Return the sheet of each template, with the holes of the slabs before and behind it.

    `reference` is the waterline [mm] that is named so on each.
    """
    made = []
    for joint, holes in zip(joints, pairs, strict=True):
        n = joint.number
        title = (f"TEMPLATE {n}", f"STA {sta(joint.station)}")
        words: tuple[str, ...] = (f"between slabs {n} and {n + 1}", "STAYS IN THE STACK")
        words += ("guides both slabs",)
        words += tuple(f"CUT OUT: {name}" for name in joint.cut.names) + joint.laid.words
        taken = joint.cut.paths(foam.split_at_centre)
        face = SlabFace(
            *("template", joint.station, joint.outline, None, False, holes, words, title, taken),
            joint.laid.lines,
        )
        own = (
            f"template {n} of {len(joints)}, {plain(joint.thickness)} mm thick, STA "
            f"{sta(joint.front)} to {sta(joint.aft)}; outline in its middle, edge cut square",
            inset,
            *bench_notes(foam, MATERIAL),
        )
        drawing = slab_drawing(n, [face], foam.split_at_centre, foam.hole_diameter, reference, own)
        note = "right half; turn over for the left" if foam.split_at_centre else ""
        named: Drawing = replace(drawing, name=f"template {n}")
        made.append(ShopSheet(joint.file, "pod", full_size(named), "", note))
    return made


def template_items(joints: Sequence[JointTemplate], foam: FoamStations) -> list[Item]:
    """Return a row of the parts list for each template; its mass is that of what is chosen."""
    made = []
    for joint in joints:
        width, height = (float(v) for v in np.ptp(joint.outline.dense(0.05), axis=0))
        made.append(
            Item(
                f"foam template {joint.number}",
                "pod",
                "",
                MATERIAL,
                (joint.thickness, width, height),
                2 if foam.split_at_centre else 1,
                joint.volume,
                files=(joint.file,),
                note=f"stays in the stack between slabs {joint.number} and {joint.number + 1}; "
                "size of a piece, volume of all its pieces",
            )
        )
    return made


def template_finding(joints: Sequence[JointTemplate], slabs: Sequence[Slab]) -> list[Check]:
    """Return how far the body's sections at a template's faces leave its one outline; [] without.

    So much the slab's edge at the joint is filled or sanded.
    """
    if not joints:
        return []
    worst = (0.0, joints[0])
    for joint, a, b in zip(joints, slabs[:-1], slabs[1:], strict=True):
        ring = shapely.Polygon(joint.section[0]).exterior
        for outline in (a.sections[2][0], b.sections[0][0]):
            if len(outline):
                off = float(shapely.distance(shapely.points(outline), ring).max())
                worst = max(worst, (off, joint), key=lambda row: row[0])
    off, joint = worst
    return [
        found(
            "foam.template",
            "pod",
            "how far the body at a template's faces leaves the one outline that guides the joint",
            off,
            "mm",
            high=SQUARE_EDGE,
            severity="warn",
            where=f"template {joint.number}, STA {sta(joint.front)} to {sta(joint.aft)}",
            method=f"sections at both faces of {len(joints)} templates against that in the middle",
            source="own choice",
            advice="thinner templates (handoff.foam.template_thickness), or bevel that one's edge "
            "to the batten",
        )
    ]

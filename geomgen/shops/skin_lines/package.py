"""The lines on the halves of one mould: cut, proved, drawn."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from geomgen.kernel.brep.boxes import boxes_meet
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Glass
from geomgen.kernel.solids.properties import kernel_box
from geomgen.shops.layout_lines import InsidePart, inside_parts
from geomgen.shops.passing_parts import Passing
from geomgen.shops.product import Hand, ShopSheet
from geomgen.shops.skin_lines.curves import SkinLines, SkinSide, lines_on
from geomgen.shops.skin_lines.drawing import full_size_sheet, two_view_sheet
from geomgen.shops.skin_lines.openings import opening_edges
from geomgen.shops.skin_lines.planes import (
    ALONG,
    IN_POD,
    IN_WING,
    SkinPlane,
    canopy_planes,
    mouth_planes,
    sheet_planes,
)
from geomgen.shops.skin_lines.strips import StripEdges, strip_edges

# Parts that openings in a skin are named for.
OVER = ("scoop", "canopy", "wing", "pylon", "boom", "leg")


@dataclass(frozen=True)
class WantedLines:
    """What lines are asked for on one mould: the part, what its openings and edges are.

    `skin` [mm] is how far its skin lies inside the finished one, `edges` the part's own edges that
    the mould goes beyond, `glass` the canopy's where it lies on this part, `finished` the solid
    with its openings, None where none are looked for; `remarks` go on every sheet.
    """

    part: str
    skin: float
    edges: Sequence[SkinPlane] = ()
    through: Sequence[Passing] = ()
    glass: Glass | None = None
    finished: TopoDS_Shape | None = None
    remarks: tuple[str, ...] = ()


def mould_lines(model: Model, wanted: WantedLines, sides: Sequence[SkinSide]) -> list[SkinLines]:
    """Return the lines on both halves of a mould."""
    planes, running = sheet_planes(model, _inside(wanted.part))
    bent = [part for part in inside_parts(model) if part.name in running]
    planes += [*wanted.edges, *(canopy_planes(wanted.glass) if wanted.glass else ())]
    if wanted.part == "pod":
        planes += mouth_planes(model)
    every = [face for side in sides for face in side.faces]
    along = {q.name: strip_edges(q, every) for q in bent if q.family in ALONG}
    strips = [edges for edges in along.values() if edges is not None]
    near = inside_parts(model, (), OVER)
    made = []
    for side in sides:
        openings = []
        if wanted.finished is not None:
            bare = bare_faces(side)
            solid, thick = wanted.finished, wanted.skin
            openings = opening_edges(solid, side.faces, bare, every, thick, near)
        made.append(lines_on(side, planes, wanted.through, openings, strips))
    laid = {line.name for half in made for line in half.lines}
    return [_without(half, bent, along, laid) for half in made]


def _without(
    half: SkinLines,
    bent: Sequence[InsidePart],
    along: Mapping[str, StripEdges | None],
    laid: Collection[str],
) -> SkinLines:
    """Return the lines of a half with the names of parts in its box that have no line anywhere."""
    box, lost = kernel_box(half.side.solid), []
    for part in (each for each in bent if boxes_meet(each.box, box)):
        edges = along.get(part.name)
        if edges is None:
            lost.append(f"{part.name}, no flat sheet")
        elif edges.name not in laid:
            lost.append(f"{part.name}, nowhere square below the skin")
    return replace(half, undrawn=(*half.undrawn, *lost))


def _inside(part: str) -> tuple[str, ...]:
    """Return the families that stand inside a part that is moulded; a scoop has none."""
    if part == "wing_tip":
        return IN_WING
    return IN_POD if part in ("pod", "exit", "tail_fairing") else ()


def bare_faces(side: SkinSide) -> list[TopoDS_Face]:
    """Return the faces of a half that are no skin: flat ends, the split."""
    return [face for face in faces_of(side.solid) if not any(face.IsSame(q) for q in side.faces)]


def line_sheets(
    wanted: WantedLines, every: Sequence[SkinLines], hands: Sequence[Hand]
) -> list[ShopSheet]:
    """Return for each half that has lines its sheet to look at and its sheet at full size."""
    made = []
    size = f"the skin lies {wanted.skin:.3f} mm inside the loft" if wanted.skin else "outside size"
    for half, hand in zip(every, hands, strict=True):
        if not half.lines and not half.undrawn:
            continue
        name = f"lines_{wanted.part}_{half.side.name}"
        told = (f"lines lie on the mould's surface, {size}; datum: STA, BL, WL", *wanted.remarks)
        made.append(
            ShopSheet(name, wanted.part, two_view_sheet(name, half, told), hand,
                      "lines to build to; look, don't measure on it")
        )  # fmt: skip
        notes = (
            f"{half.side.name} half as seen along its pull: hold it square to the split; solid: "
            "edges to trim or cut to, dashed: where parts stand inside",
            *told,
        )
        full = f"{name}_full_size"
        made.append(
            ShopSheet(full, wanted.part, full_size_sheet(full, half, notes), hand,
                      "lines to build to, at full size")
        )  # fmt: skip
    return made

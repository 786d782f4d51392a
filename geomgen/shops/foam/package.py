"""The pod as a stack of foam slabs across it, with a template for each face of each slab."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from OCP.TopoDS import TopoDS_Solid
from shapely import Geometry, Polygon

from geomgen.drafting.paper.full_size import full_size
from geomgen.drafting.record import REF, Path
from geomgen.errors import GeometryError
from geomgen.kernel.model import Model
from geomgen.kernel.solids.properties import kernel_box, volume
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import FoamStations
from geomgen.shapes.assembly.canopy import is_cut, opening_knife
from geomgen.shapes.assembly.pilot_places import glass
from geomgen.shapes.hull import PodLines, pod_lines
from geomgen.shops.figures import plain, sta
from geomgen.shops.foam.cutouts import (
    SlabCut,
    cut_volume,
    cut_words,
    passing_finding,
    slab_cuts,
)
from geomgen.shops.foam.findings import (
    blank_finding,
    bulge_finding,
    count_findings,
    cross_finding,
    hole_findings,
    sheet_finding,
    skin_finding,
    stack_finding,
)
from geomgen.shops.foam.holes import Pair, pairs, room_for
from geomgen.shops.foam.nests import items, nest_sheets, outline_boxes
from geomgen.shops.foam.notes import bench_notes
from geomgen.shops.foam.sections import strips
from geomgen.shops.foam.sheet import GRID, SlabFace, outline_path, slab_drawing
from geomgen.shops.foam.skin import counted_words, laid_area, skin_item, spans_to_lay
from geomgen.shops.foam.slabs import Slab, core_body, cut_slabs, reach, spans
from geomgen.shops.foam.stack import stack_sheet
from geomgen.shops.foam.templates import (
    JointTemplate,
    joints_of,
    template_finding,
    template_items,
    template_sheets,
)
from geomgen.shops.laminate import schedule, thickness
from geomgen.shops.layout_lines import (
    InsidePart,
    Laid,
    inside_parts,
    laid,
    lying_between,
    region,
)
from geomgen.shops.nesting import nested
from geomgen.shops.passing_parts import CutOut, passing_parts
from geomgen.shops.product import Package, ShopSheet

SHOP = "foam_stations"
# The solids that make up the pod's outer skin.
SHELLS = ("pod", "exit")
WORDS = ("front", "aft")


def foam_package(p: Parameters, model: Model) -> Package:
    """Return templates, nesting, findings and items of the pod's foam stack.

    GeometryError names the keys to look at when the stack can't be made.
    """
    foam = _asked(p)
    pod = pod_lines(p)
    skin, plies = _skin(p, foam)
    along = strips(core_body(pod, skin))
    slabs = cut_slabs(along, spans(foam, reach(pod, skin)))
    through = passing_parts(p, model)
    built_to = [*inside_parts(model, [part.family for part in through]), *canopy_opening(p)]
    joints = joints_of(along, slabs, foam.split_at_centre, through, built_to)
    stacked = _part_of(pod, skin, slabs[0].front, slabs[-1].aft)
    solid = volume(stacked).value
    clear = 1.5 * foam.hole_diameter
    cuts = slab_cuts(through, slabs)
    holes = pairs([_room(cut, clear, foam.split_at_centre) for cut in cuts])
    outlines = _outlines(slabs, joints, foam.split_at_centre)
    lines = _lines(slabs, built_to, foam.split_at_centre)
    faces = [
        [_with_lines(face, lines) for face in _faces(i, slabs, outlines, holes, foam, joints, cut)]
        for i, cut in enumerate(cuts)
    ]
    sheets = _sheets(cuts, faces, holes, foam, skin, joints, built_to)
    boxes = outline_boxes(slabs, foam)
    placed, left = nested(boxes, foam.sheet_length, foam.sheet_width, foam.margin)
    drawn = [
        (face.station, face.outline, slab.sections[2 * WORDS.index(face.word)])
        for slab, both in zip(slabs, faces, strict=True)
        for face in both
        if ((slab is slabs[0] or not joints) and face.word == "front")
        or (slab is slabs[-1] and face.word == "aft")
    ]
    drawn += [(joint.station, joint.outline, joint.section) for joint in joints]
    shells = [model.parts[name] for name in SHELLS if name in model.parts]
    findings = (
        skin_finding(drawn, shells, skin),
        stack_finding(slabs, solid),
        *count_findings(slabs, foam),
        cross_finding(slabs),
        bulge_finding(slabs),
        *template_finding(joints, slabs),
        *hole_findings(slabs, holes),
        *passing_finding(cuts),
        blank_finding(left, foam),
        sheet_finding(placed, foam),
    )
    foam_only = solid - sum(joint.volume for joint in joints) - cut_volume(cuts)
    stack = (slabs[0].front, slabs[-1].aft)
    bare = spans_to_lay(p, stack)
    laid_up = f"{plies}, {counted_words(bare, stack)}"
    rows = items(foam, cuts, foam_only, len({row.sheet for row in placed}), laid_up)
    rows += template_items(joints, foam)
    if bare:
        bodies = [stacked if s == stack else _part_of(pod, skin, *s) for s in bare]
        rows.append(skin_item(p, sum(map(laid_area, bodies))))
    plied = f"skin, from the outside in: {plies}"
    whole = stack_sheet(slabs, joints, holes, foam, skin, plied, built_to)
    every = (*sheets, whole, *nest_sheets(placed, foam))
    return Package(SHOP, (), every, findings, tuple(rows))


def canopy_opening(p: Parameters) -> list[InsidePart]:
    """Return what the canopy's opening takes out of the pod, to be drawn as its cut-out line."""
    edge = glass(p)
    if edge is None or not is_cut(p):
        return []
    solid = opening_knife(edge)
    return [InsidePart("canopy opening", solid, kernel_box(solid), "canopy")]


def _room(cut: SlabCut, clear: float, half: bool) -> Geometry:
    """Return where holes may stand on a slab, clear [mm] of its outlines and of what is cut out."""
    front, _, aft = cut.slab.shapes
    return room_for((front, aft), clear, half).difference(cut.area.buffer(clear))


def _asked(p: Parameters) -> FoamStations:
    if p.handoff is None or p.handoff.foam is None:
        raise GeometryError("no foam is asked for", part="pod", look_at=["handoff.foam"])
    return p.handoff.foam


def _skin(p: Parameters, foam: FoamStations) -> tuple[float, str]:
    """Return how much smaller the core is [mm] and the laminate in words."""
    laminate = p.handoff.laminate if p.handoff else None
    plies = "; ".join(schedule(laminate, "pod")) if laminate else "none given"
    if not foam.inset_skin:
        return 0.0, plies
    if laminate is None:
        raise GeometryError(
            "its core is to be smaller by the skin, but no laminate is given",
            part="pod",
            step="foam stations",
            look_at=["handoff.laminate", "handoff.foam.inset_skin"],
        )
    return thickness(laminate), plies


def _part_of(pod: PodLines, skin: float, front: float, aft: float) -> TopoDS_Solid:
    """Return the core between two stations [mm], its own ends where it reaches no further."""
    low, high = reach(pod, skin)
    return core_body(pod, skin, front if front > low else None, aft if aft < high else None)


def _outlines(
    slabs: Sequence[Slab], joints: Sequence[JointTemplate], half: bool
) -> dict[float, Path]:
    """Return the outline of each face, as it is cut, by its station [mm]; one to each joint."""
    shared = {x: joint.outline for joint in joints for x in (joint.front, joint.aft)}
    ends = {x: s for slab in slabs for x, s in zip((slab.front, slab.aft), slab.sections[::2],
                                                   strict=True)}  # fmt: skip
    return {
        x: shared.get(x) or outline_path(outline, half, f"face at STA {sta(x)}")
        for x, (outline, _) in ends.items()
        if len(outline)
    }


def _faces(
    i: int,
    slabs: Sequence[Slab],
    outlines: dict[float, Path],
    holes: Sequence[Pair | None],
    foam: FoamStations,
    joints: Sequence[JointTemplate],
    cut: SlabCut,
) -> list[SlabFace]:
    """Return the faces of a slab that have an outline, each with what its template shows."""
    slab = slabs[i]
    out = slab.standing_out
    crossing = bool(out[0] and out[1])
    made = []
    for k, (word, station, beyond) in enumerate(
        zip(WORDS, (slab.front, slab.aft), (slab.aft, slab.front), strict=True)
    ):
        if station not in outlines:
            continue
        limit = bool(out[k]) and not crossing and beyond in outlines
        other = None
        if limit or crossing:
            name = "sanding limit" if limit else f"{WORDS[1 - k]} face"
            other = replace(outlines[beyond], layer=REF, name=name)
        neighbour = i - 1 if k == 0 else i + 1
        made.append(
            SlabFace(
                word,
                station,
                outlines[station],
                other,
                limit,
                _pairs_on(slab.shapes[2 * k], i, neighbour, holes, foam),
                (*_words(out, k, limit), *_along(i + k, joints), *_taken(cut.at[2 * k])),
                (),
                cut.at[2 * k].paths(foam.split_at_centre),
            )
        )
    return made


def _lines(slabs: Sequence[Slab], built_to: Sequence[InsidePart], half: bool) -> dict[float, Laid]:
    """Return the lines of parts that stand inside, by the station [mm] of each face."""
    ends = {x: s for slab in slabs for x, (s, _) in zip((slab.front, slab.aft), slab.sections[::2],
                                                        strict=True)}  # fmt: skip
    return {x: laid(built_to, x, region(outline, half)) for x, outline in ends.items()}


def _with_lines(face: SlabFace, lines: dict[float, Laid]) -> SlabFace:
    here = lines[face.station]
    return replace(face, laid=here.lines, words=(*face.words, *here.words))


def _words(out: tuple[tuple[str, ...], tuple[str, ...]], k: int, limit: bool) -> tuple[str, ...]:
    """Return what the template of one of the two faces is for."""
    mine, other = out[k], out[1 - k]
    if mine and other:
        return ("OUTLINES CROSS", "this one is larger", " and ".join(mine))
    if not mine and not other:
        return ("BOTH FACES ARE ALIKE",)
    if limit:
        return ("CUT BY THIS ONE", "dashed: sanding limit")
    return ("CUT BY THIS ONE",) if mine else ("SAND DOWN TO THIS ONE",)


def _taken(cut: CutOut) -> tuple[str, ...]:
    """Return what is cut out of a face."""
    return tuple(f"CUT OUT: {name}" for name in cut.names)


def _along(number: int, joints: Sequence[JointTemplate]) -> tuple[str, ...]:
    """Return which template guides a face, where templates stay in the stack."""
    return (f"along TEMPLATE {number}",) if 1 <= number <= len(joints) else ()


def _pairs_on(
    shape: Polygon, i: int, neighbour: int, holes: Sequence[Pair | None], foam: FoamStations
) -> tuple[Pair, ...]:
    """Return the slab's own pair of holes and, where it fits, the neighbour's beyond this face."""
    own = holes[i]
    found = [] if own is None else [own]
    other = holes[neighbour] if 0 <= neighbour < len(holes) else None
    if other is not None and other != own:
        room = room_for([shape], 1.5 * foam.hole_diameter, foam.split_at_centre)
        if other.inside(room):
            found.append(other)
    return tuple(found)


def _sheets(
    cuts: Sequence[SlabCut],
    faces: Sequence[list[SlabFace]],
    holes: Sequence[Pair | None],
    foam: FoamStations,
    skin: float,
    joints: Sequence[JointTemplate],
    built_to: Sequence[InsidePart],
) -> list[ShopSheet]:
    slabs = [cut.slab for cut in cuts]
    reference = _reference(slabs)
    inset = f"outlines lie {skin:.3f} mm inside the loft" if skin else "outlines are the loft's"
    note = "right half; turn over for the left" if foam.split_at_centre else ""
    made = []
    for cut, both in zip(cuts, faces, strict=True):
        slab = cut.slab
        thin = ", THE LAST ONE IS THINNER" if slab.thickness < foam.slab - 0.05 else ""
        notes = (
            f"slab {slab.number} of {len(slabs)}, {plain(slab.thickness)} mm thick{thin}; {inset}",
            f"common reference: WL {reference:.0f}"
            + (f"; holes at {own.words()}" if (own := holes[slab.number - 1]) else ""),
            _larger(slab),
            *((words,) if (words := cut_words(cut)) else ()),
            *lying_between(built_to, slab.front, slab.aft),
            *bench_notes(foam),
        )
        drawing = slab_drawing(
            slab.number, both, foam.split_at_centre, foam.hole_diameter, reference, notes
        )
        made.append(ShopSheet(f"foam_{slab.number:02d}", "pod", full_size(drawing), "", note))
    pairs = [
        tuple(dict.fromkeys(p for face in both for p in face.pairs))
        for both in ((faces[j.number - 1][-1], faces[j.number][0]) for j in joints)
    ]
    return made + template_sheets(joints, pairs, foam, reference, inset)


def _larger(slab: Slab) -> str:
    front, aft = slab.standing_out
    if front and aft:
        return (
            f"outlines cross: front larger {' and '.join(front)}, aft larger {' and '.join(aft)}; "
            "cut by the outer of both, sand down to the inner"
        )
    if not front and not aft:
        return "both faces are alike"
    larger, smaller = WORDS if front else WORDS[::-1]
    if not all(len(outline) for outline, _ in slab.sections[::2]):
        return f"cut by the {larger} face, sand round to the point of the body"
    return f"the {larger} face is the larger: cut by it, sand down to the {smaller} face"


def _reference(slabs: Sequence[Slab]) -> float:
    """Return the waterline [mm] that crosses most of the slabs, of those that are drawn."""
    boxes = [slab.box() for slab in slabs]
    low, high = min(b[0][1] for b in boxes), max(b[1][1] for b in boxes)
    levels = np.arange(np.floor(low / GRID), np.ceil(high / GRID) + 1) * GRID
    counts = [sum(b[0][1] < z < b[1][1] for b in boxes) for z in levels]
    return float(levels[int(np.argmax(counts))])

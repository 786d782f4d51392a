"""The pod as a stack of foam slabs across it, with a template for each face of each slab."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from OCP.TopoDS import TopoDS_Solid
from shapely import Polygon, distance, points

from geomgen.drawings.record import CUT, REF, Drawing, Label, rectangle
from geomgen.errors import GeometryError
from geomgen.handoff.foam_holes import Pair, pairs
from geomgen.handoff.foam_sections import Strip, sections, strips
from geomgen.handoff.foam_sheet import Face, slab_drawing
from geomgen.handoff.laminate import schedule, thickness
from geomgen.handoff.nesting import Blank, Laid, nested
from geomgen.handoff.product import Finding, Item, Package, ShopSheet, found
from geomgen.handoff.skin_distance import off_skin
from geomgen.kernel.bodies import body, offset_skin
from geomgen.kernel.plain import Model
from geomgen.kernel.properties import volume
from geomgen.parameters.records import Parameters
from geomgen.parameters.shops import FoamStations
from geomgen.shapes.hull import PodLines, pod_lines

Floats = NDArray[np.float64]
# A slab thinner than this share of the stated one is left to the slab before it.
SLIVER = 0.1
# Core to loft has to be the skin within this [mm]; volumes of slabs and body within this share.
SKIN_BAND, STACK_BAND = 0.1, 0.002
# How far a slab may stick out beyond both of its faces' outlines [mm].
BULGE = 1.0
POINTS = 500
SHOP = "foam_stations"


@dataclass(frozen=True)
class Slab:
    """One slab: its two stations [mm], outlines (n, 2) of its faces and its middle, volume."""

    number: int
    front: float
    aft: float
    outlines: tuple[Floats, Floats, Floats]

    @property
    def volume(self) -> float:
        """Return the volume [mm3] as turned to shape: Simpson's rule over the three sections."""
        a, m, b = (Polygon(o).area if len(o) else 0.0 for o in self.outlines)
        return (a + 4 * m + b) * (self.aft - self.front) / 6

    def box(self) -> tuple[Floats, Floats]:
        """Return the box (2,) each [mm] round all three outlines."""
        every = np.vstack([o for o in self.outlines if len(o)])
        return every.min(axis=0), every.max(axis=0)


def foam_package(p: Parameters, model: Model) -> Package:
    """Return templates, nesting, findings and items of the pod's foam stack.

    GeometryError names the keys to look at when the stack can't be made.
    """
    foam = _asked(p)
    pod = pod_lines(p)
    skin = _skin(p, foam)
    core = core_body(pod, skin)
    along = strips(core)
    slabs = cut_slabs(along, stations(p, foam, pod, skin), foam.template)
    holes = _holes(slabs, foam)
    sheets = [_sheet(slab, slabs, holes, foam, skin) for slab in slabs]
    laid, left = nested(_blanks(slabs, foam), foam.sheet_length, foam.sheet_width, foam.margin)
    sheets += _nests(laid, foam)
    findings = (
        _skin_finding(along, slabs, model, skin),
        _stack_finding(slabs, core, foam),
        _bulge_finding(slabs),
        _hole_finding(slabs, holes),
        _blank_finding(left, foam),
        _sheet_finding(laid, foam),
    )
    return Package(SHOP, (), tuple(sheets), findings, tuple(_items(p, foam, slabs, laid)))


def _asked(p: Parameters) -> FoamStations:
    if p.handoff is None or p.handoff.foam is None:
        raise GeometryError("no foam is asked for", part="pod", look_at=["handoff.foam"])
    return p.handoff.foam


def _skin(p: Parameters, foam: FoamStations) -> float:
    if not foam.inset_skin:
        return 0.0
    if p.handoff is None or p.handoff.laminate is None:
        raise GeometryError(
            "its core is to be smaller by the skin, but no laminate is given",
            part="pod",
            step="foam stations",
            look_at=["handoff.laminate", "handoff.foam.inset_skin"],
        )
    return thickness(p.handoff.laminate)


def core_body(pod: PodLines, skin: float) -> TopoDS_Solid:
    """Return the full body that lies `skin` [mm] inside the loft, its flat ends in place."""
    start = None if pod.lines.nose == "round" else pod.start
    end = None if pod.lines.tail == "round" else pod.end
    return body(offset_skin(pod.lines, skin, start, end, "pod"), "pod")


def stations(p: Parameters, foam: FoamStations, pod: PodLines, skin: float) -> list[float]:
    """Return the stations [mm] of the slabs' front faces, and last the aft end of the stack."""
    low = pod.start + (skin if pod.lines.nose == "round" else 0.0)
    high = pod.end - (skin if pod.lines.tail == "round" else 0.0)
    start = low if foam.start is None else max(foam.start, low)
    end = high if foam.end is None else min(foam.end, high)
    if end - start < foam.slab:
        raise GeometryError(
            f"from station {start:.1f} mm to {end:.1f} mm there is no room for one slab",
            part="pod",
            step="foam stations",
            look_at=["handoff.foam.start", "handoff.foam.end", "handoff.foam.slab"],
        )
    pitch = foam.slab + foam.template
    count = max(1, int(np.ceil((end - start) / pitch - SLIVER)))
    return [start + i * pitch for i in range(count)] + [end]


def cut_slabs(along: list[Strip], at: Sequence[float], template: float) -> list[Slab]:
    """Return the slabs between the stations, each shorter by the template that follows it."""
    spans = [
        (at[i], at[i + 1] - (template if i < len(at) - 2 else 0.0)) for i in range(len(at) - 1)
    ]
    wanted = sorted({x for a, b in spans for x in (a, 0.5 * (a + b), b)})
    outlines = dict(zip(wanted, (o for o, _ in sections(along, wanted)), strict=True))
    return [
        Slab(i, a, b, (outlines[a], outlines[0.5 * (a + b)], outlines[b]))
        for i, (a, b) in enumerate(spans, start=1)
    ]


def _holes(slabs: Sequence[Slab], foam: FoamStations) -> dict[float, Pair | None]:
    """Return the pair of holes at each station; half templates have them on the right."""
    faces = {
        x: o for slab in slabs for x, o in zip((slab.front, slab.aft), _ends(slab), strict=True)
    }
    sections = []
    for outline in faces.values():
        shape = Polygon(outline) if len(outline) else None
        if shape is not None and foam.split_at_centre:
            (_, z0, y1, z1) = shape.bounds
            shape = shape.intersection(Polygon([(0, z0), (y1, z0), (y1, z1), (0, z1)]))
        sections.append(shape)
    return dict(zip(faces, pairs(sections, 1.5 * foam.hole_diameter), strict=True))


def _ends(slab: Slab) -> tuple[Floats, Floats]:
    return slab.outlines[0], slab.outlines[2]


def _sheet(
    slab: Slab,
    slabs: Sequence[Slab],
    holes: dict[float, Pair | None],
    foam: FoamStations,
    skin: float,
) -> ShopSheet:
    front, aft = _ends(slab)
    faces = [
        Face(word, x, outline, other, holes.get(x))
        for word, x, outline, other in (
            ("front", slab.front, front, aft),
            ("aft", slab.aft, aft, front),
        )
        if len(outline)
    ]
    inset = f"outlines lie {skin:.3f} mm inside the loft" if skin else "outlines are the loft's"
    notes = (
        f"slab {slab.number} of {len(slabs)}, {slab.aft - slab.front:.1f} mm thick; {inset}",
        "cut by the larger face, sand down to the smaller one",
    )
    drawing = slab_drawing(slab.number, faces, foam.split_at_centre, foam.hole_diameter, notes)
    note = "right half; turn over for the left" if foam.split_at_centre else ""
    return ShopSheet(f"foam_{slab.number:02d}", "pod", drawing, "", note)


def _blanks(slabs: Sequence[Slab], foam: FoamStations) -> list[Blank]:
    made = []
    for slab in slabs:
        low, high = slab.box()
        width, height = high - low
        halves = ("right", "left") if foam.split_at_centre else ("",)
        for half in halves:
            name = f"{slab.number}{half[:1].upper()}"
            across = width / 2 if half else width
            made.append(Blank(name, float(across) + foam.margin, float(height) + foam.margin))
    return made


def _nests(laid: Sequence[Laid], foam: FoamStations) -> list[ShopSheet]:
    """Return a drawing of each foam sheet with the blanks on it."""
    made = []
    for number in sorted({row.sheet for row in laid}):
        paths = [rectangle((0.0, 0.0), (foam.sheet_length, foam.sheet_width), REF, "sheet")]
        labels = [Label((0.0, -30.0), f"foam sheet {number + 1}", 16.0)]
        for row in (row for row in laid if row.sheet == number):
            high = (row.x + row.width, row.y + row.height)
            paths.append(rectangle((row.x, row.y), high, CUT, row.blank.name))
            middle = (row.x + row.width / 2, row.y + row.height / 2 - 6.0)
            size = min(14.0, 0.3 * min(row.width, row.height))
            labels.append(Label(middle, row.blank.name, size, 0.0, "middle"))
        drawing = Drawing(f"foam sheet {number + 1}", tuple(paths), tuple(labels))
        note = f"blanks with {foam.margin:g} mm of margin; R and L are the halves of a slab"
        made.append(ShopSheet(f"foam_sheet_{number + 1}", "pod", drawing, "", note, False))
    return made


def _skin_finding(along: list[Strip], slabs: Sequence[Slab], model: Model, skin: float) -> Finding:
    """Measure how far the templates' outlines lie inside the finished skin."""
    at = [slab.front for slab in slabs]
    made = zip(at, sections(along, at), strict=True)
    rows = [(x, outline, normals) for x, (outline, normals) in made if len(outline)]
    every = np.vstack([np.c_[np.full(len(o), x), o] for x, o, _ in rows])
    away = np.vstack([n for _, _, n in rows])
    step = max(1, len(every) // POINTS)
    every, away = every[::step], away[::step]
    off = np.full(len(every), np.nan)
    for name in ("pod", "exit"):
        if name in model.parts:
            here = off_skin(model.parts[name], every, away, 1.0)
            off = np.where(np.isnan(off) | (np.abs(here) < np.abs(off)), here, off)
    seen = ~np.isnan(off)
    wrong = np.abs(-off[seen] - skin)
    worst = int(np.argmax(wrong)) if seen.any() else 0
    x, y, z = every[seen][worst] if seen.any() else (0.0, 0.0, 0.0)
    return found(
        "foam.skin",
        "pod",
        "templates to the finished skin, off the laminate's thickness",
        float(wrong.max()) if seen.any() else float("inf"),
        "mm",
        high=SKIN_BAND,
        where=f"STA {x:.1f}, BL {y:.1f}, WL {z:.1f}",
        method=f"{int(seen.sum())} points of the outlines against the solid's outer skin",
        source="skin deducted within 0.1 mm: common practice",
        advice="report it: the templates are not what the solid is",
    )


def _stack_finding(slabs: Sequence[Slab], core: TopoDS_Solid, foam: FoamStations) -> Finding:
    whole, stack = volume(core).value, sum(slab.volume for slab in slabs)
    partial = foam.start is not None or foam.end is not None or foam.template > 0
    return found(
        "foam.stack",
        "pod",
        "volume of all slabs over that of the core",
        stack / whole,
        "1",
        low=None if partial else 1 - STACK_BAND,
        high=1 + STACK_BAND,
        method="Simpson's rule over three sections a slab; the core by adaptive integration",
        advice="choose thinner slabs where the pod bends",
    )


def _bulge_finding(slabs: Sequence[Slab]) -> Finding:
    worst, where = 0.0, slabs[0]
    for slab in slabs:
        front, middle, aft = (Polygon(o) if len(o) else Polygon() for o in slab.outlines)
        both = front.union(aft)
        out = middle.difference(both)
        rim = [point for part in getattr(out, "geoms", [out]) for point in part.exterior.coords]
        depth = float(distance(points(rim), both).max()) if rim else 0.0
        if depth > worst:
            worst, where = depth, slab
    return found(
        "foam.bulge",
        "pod",
        "how far a slab's middle stands out beyond both of its templates",
        worst,
        "mm",
        high=BULGE,
        worst="warn",
        where=f"slab {where.number}, STA {where.front:.1f} to {where.aft:.1f}",
        method="section half-way between the faces",
        advice="leave that much foam when cutting by the templates, or choose thinner slabs",
    )


def _hole_finding(slabs: Sequence[Slab], holes: dict[float, Pair | None]) -> Finding:
    bare = [slab.number for slab in slabs if not (holes.get(slab.front) and holes.get(slab.aft))]
    groups = {pair for pair in holes.values() if pair is not None}
    return found(
        "foam.holes",
        "pod",
        "slabs with a template that has no alignment holes",
        float(len(bare)),
        "1",
        high=0.0,
        worst="warn",
        where="slabs " + ", ".join(map(str, bare)) if bare else "",
        method=f"{len(groups)} pairs of holes for all templates",
        advice="align these by their waterline and buttock line",
    )


def _blank_finding(left: Sequence[Blank], foam: FoamStations) -> Finding:
    return found(
        "foam.blank",
        "pod",
        "blanks larger than a foam sheet",
        float(len(left)),
        "1",
        high=0.0,
        where=", ".join(blank.name for blank in left),
        method=f"blanks against {foam.sheet_length:g} x {foam.sheet_width:g} mm",
        advice="larger sheets (handoff.foam.sheet_length, sheet_width), or split_at_centre = true",
    )


def _sheet_finding(laid: Sequence[Laid], foam: FoamStations) -> Finding:
    sheets = len({row.sheet for row in laid})
    area = sum(row.width * row.height for row in laid)
    least = area / (foam.sheet_length * foam.sheet_width)
    return found(
        "foam.sheets",
        "pod",
        "foam sheets needed",
        float(sheets),
        "1",
        method=f"nested by shelves; the blanks' area alone fills {least:.1f} sheets",
    )


def _items(
    p: Parameters, foam: FoamStations, slabs: Sequence[Slab], laid: Sequence[Laid]
) -> list[Item]:
    count = 2 if foam.split_at_centre else 1
    made = []
    for slab in slabs:
        low, high = slab.box()
        width, height = (float(v) + foam.margin for v in (high - low) / np.array([count, 1]))
        made.append(
            Item(
                f"foam slab {slab.number}",
                "pod",
                "",
                "foam",
                (slab.aft - slab.front, width, height),
                count,
                slab.volume,
                slab.volume * 1e-9 * foam.density,
                files=(f"foam_{slab.number:02d}",),
                note="blank size with margin; volume and mass as shaped, all pieces together",
            )
        )
    sheets = len({row.sheet for row in laid})
    size = (foam.sheet_length, foam.sheet_width, foam.slab)
    plies = "; ".join(schedule(p.handoff.laminate)) if p.handoff and p.handoff.laminate else ""
    total = sum(slab.volume for slab in slabs)
    made.append(
        Item("foam sheets", "pod", "", "foam", size, sheets, sheets * float(np.prod(size)),
             sheets * float(np.prod(size)) * 1e-9 * foam.density, note="to buy")
    )  # fmt: skip
    made.append(
        Item("foam core of the pod", "pod", "", "foam", None, 1, total,
             total * 1e-9 * foam.density, note=f"all slabs as shaped; skin: {plies or 'none'}")
    )  # fmt: skip
    return made

"""What is measured on the foam stack before it is handed off."""

from collections.abc import Sequence

import numpy as np
from OCP.TopoDS import TopoDS_Shape
from scipy.spatial import cKDTree

from geomgen.arrays import Bools, Floats
from geomgen.drafting.record import Path
from geomgen.kernel.brep.compounds import together
from geomgen.kernel.solids.skin_distance import off_skin
from geomgen.parameters.records.shops import FoamStations
from geomgen.shops.figures import sta
from geomgen.shops.foam.holes import Pair
from geomgen.shops.foam.slabs import Section, Slab
from geomgen.shops.nesting import NestBlank, NestedBlank, least_sheets
from geomgen.shops.product import found
from geomgen.verdicts.check import Check

# Core to loft has to be the skin within this [mm], at so many points: own choice.
SKIN_BAND, POINTS = 0.1, 500
OWN = "own choice: skin deducted within 0.1 mm"
# Where the body ends there is no skin beside an outline; with fewer seen nothing is proved.
SEEN = 0.9
# So many stations are told as a range.
MANY = 6
# Volumes of slabs and body within this share.
STACK_BAND = 0.01
# How far a slab may stick out beyond both of its faces' outlines [mm].
BULGE = 1.0
# A slab thinner than this share of the foam can't be handled.
SLIVER = 0.1
# Holes nearer than this share of a slab's height let it turn.
APART = 0.35


def skin_finding(
    drawn: Sequence[tuple[float, Path, Section]], shells: Sequence[TopoDS_Shape], skin: float
) -> Check:
    """Measure how far drawn outlines lie inside the finished skin.

    `drawn` holds station [mm], outline as drawn and the section with its normals; `shells` are the
    finished solids that make up the body's outer skin.
    """
    share = -(-POINTS // max(1, len(drawn)))
    rows = [_on_template(x, path, section, share) for x, path, section in drawn]
    every, away = np.vstack([row[0] for row in rows]), np.vstack([row[1] for row in rows])
    off = off_skin(together(shells), every, away, 1.0)
    seen = ~np.isnan(off)
    stations = np.unique(every[:, 0])
    bare = ", ".join(f"{at:.1f}" for at in np.unique(every[~seen][:, 0]))
    missed = f"; {int((~seen).sum())} more at STA {bare} have no skin beside them" if bare else ""
    asked = (
        "foam.skin",
        "pod",
        "templates' outlines to the finished skin, off the laminate's thickness",
    )
    owing = _owing(every[:, 0], seen)
    if seen[owing].sum() < SEEN * owing.sum() or not seen.any():
        return found(
            *asked, None, "mm", high=SKIN_BAND, source=OWN,
            method=f"{int(seen.sum())} of {len(every)} points of the lines have skin beside them, "
            f"too few to tell{missed}",
            hopeless=_kept_off(stations, np.unique(every[~seen][:, 0])),
        )  # fmt: skip
    wrong = np.where(seen, np.abs(-off - skin), 0.0)
    x, y, z = every[int(np.argmax(wrong))]
    return found(
        *asked,
        float(wrong.max()),
        "mm",
        high=SKIN_BAND,
        where=f"STA {x:.1f}, BL {y:.1f}, WL {z:.1f}",
        method=f"{int(seen.sum())} points of the lines as drawn against the outer skin, openings "
        f"in it counted as closed{missed}",
        source=OWN,
        advice=_kept_off(stations, np.unique(every[wrong > SKIN_BAND][:, 0])),
    )


def _owing(stations: Floats, seen: Bools) -> Bools:
    """Return which points (n,) have to have skin beside them, of `stations` (n,) [mm].

    All but the stack's last line at either end where none of it has: there the body may end.
    """
    owing = np.ones(len(stations), dtype=bool)
    for end in (stations.min(), stations.max()):
        here = stations == end
        if not seen[here].any():
            owing[here] = False
    return owing


def _kept_off(stations: Floats, bad: Floats) -> str:
    """Return how the stack is kept off faces at `bad` (m,) of its `stations` (n,) [mm], sorted.

    The longest stretch of others is named, rounded so that no sliver comes of it.

    >>> _kept_off(np.array([0.0, 50.0, 100.0, 150.0]), np.array([150.0])).split("; ")[-1]
    'handoff.foam.end = "100 mm" keeps the stack off there'
    >>> _kept_off(np.array([0.0, 50.0, 100.0]), np.array([0.0, 100.0])).split("; ")[-1]
    'leave handoff.foam out and shape the pod by its sections'
    """
    if not len(bad):
        return ""
    spot = ", ".join(map(sta, bad)) if len(bad) < MANY else f"{sta(bad[0])} to {sta(bad[-1])}"
    words = f"do not cut: the pod's templates at STA {spot} are not where its finished skin is; "
    runs = np.split(stations, np.flatnonzero(np.isin(stations, bad)))
    good = max((run[~np.isin(run, bad)] for run in runs), key=_length)
    if len(good) < 2:
        return words + "leave handoff.foam out and shape the pod by its sections"
    keys = []
    if good[0] > stations[0]:
        keys.append(f'handoff.foam.start = "{np.ceil(100 * good[0]) / 100:.10g} mm"')
    if good[-1] < stations[-1]:
        keys.append(f'handoff.foam.end = "{np.floor(100 * good[-1]) / 100:.10g} mm"')
    return words + f"{' and '.join(keys)} keep{'s' * (len(keys) == 1)} the stack off there"


def _length(stations: Floats) -> float:
    return float(np.ptp(stations)) if len(stations) else 0.0


def _on_template(station: float, path: Path, section: Section, count: int) -> tuple[Floats, Floats]:
    """Return points (k, 3) on an outline as drawn, off the centre plane, and normals there."""
    line = np.array(path.dense(0.002))
    line = line[np.abs(line[:, 0]) > 1e-6]
    steps = np.r_[0.0, np.cumsum(np.hypot(*np.diff(line, axis=0).T))]
    at = (np.arange(count) + 0.5) / count * steps[-1]
    y, z = (np.interp(at, steps, line[:, i]) for i in (0, 1))
    nearest = cKDTree(section[0]).query(np.c_[y, z])[1]
    return np.c_[np.full(count, station), y, z], section[1][nearest]


def stack_finding(slabs: Sequence[Slab], core: float) -> Check:
    """Compare the slabs' volume, templates between them included, with the core's [mm3]."""
    stack = sum(slab.volume for slab in slabs)
    for a, b in zip(slabs[:-1], slabs[1:], strict=True):
        stack += (b.front - a.aft) * (a.shapes[2].area + b.shapes[0].area) / 2
    return found(
        "foam.stack",
        "pod",
        f"volume of all slabs and templates, {stack / 1000:.1f} cm^3, as a share of that of the "
        f"core, {core / 1000:.1f} cm^3",
        100.0 * stack / core,
        "%",
        low=100.0 * (1 - STACK_BAND),
        high=100.0 * (1 + STACK_BAND),
        method="Simpson's rule over three sections a slab; the core by adaptive integration",
        source="own choice",
        advice="thinner slabs (handoff.foam.slab) follow the pod where it bends",
    )


def count_findings(slabs: Sequence[Slab], foam: FoamStations) -> tuple[Check, Check]:
    """Return how many slabs there are, and how thick the last one is."""
    last = slabs[-1]
    count = found(
        "foam.count",
        "pod",
        "slabs in the stack",
        float(len(slabs)),
        "1",
        where=f"STA {slabs[0].front:.1f} to {last.aft:.1f}",
        method=f"{foam.slab:g} mm of foam and {foam.template_thickness:g} mm of template each",
        severity="info",
    )
    thin = found(
        "foam.last",
        "pod",
        "thickness of the last slab",
        last.thickness,
        "mm",
        low=SLIVER * foam.slab,
        high=foam.slab + 1e-6,
        severity="warn",
        where=f"slab {last.number}, STA {last.front:.1f} to {last.aft:.1f}",
        method="what the whole slabs leave",
        source="own choice",
        advice="choose handoff.foam.start, end or slab so that the rest is thicker, or fill it",
    )
    return count, thin


def cross_finding(slabs: Sequence[Slab]) -> Check:
    """Return which slabs have no larger face: their outlines cross."""
    crossing = [(slab, *slab.standing_out) for slab in slabs]
    crossing = [row for row in crossing if row[1] and row[2]]
    return found(
        "foam.cross",
        "pod",
        "slabs whose outlines cross, so that both templates guide the cut",
        float(len(crossing)),
        "1",
        where="; ".join(
            f"slab {s.number}: front larger {' and '.join(a)}, aft {' and '.join(b)}"
            for s, a, b in crossing
        ),
        method="outline of each face against the other's",
        severity="info",
    )


def bulge_finding(slabs: Sequence[Slab]) -> Check:
    """Return how far a slab's middle stands out beyond both of its templates."""
    depths = [slab.bulge() for slab in slabs]
    worst = int(np.argmax(depths))
    slab = slabs[worst]
    return found(
        "foam.bulge",
        "pod",
        "how far a slab's middle stands out beyond both of its templates",
        depths[worst],
        "mm",
        high=BULGE,
        severity="warn",
        where=f"slab {slab.number}, STA {slab.front:.1f} to {slab.aft:.1f}",
        method="section half-way between the faces",
        source="own choice",
        advice="leave that much foam when cutting by the templates, or choose thinner slabs "
        "(handoff.foam.slab)",
    )


def hole_findings(slabs: Sequence[Slab], pairs: Sequence[Pair | None]) -> tuple[Check, Check]:
    """Return the slabs without alignment holes, and how far apart the others' holes stand."""
    none = [str(slab.number) for slab, pair in zip(slabs, pairs, strict=True) if pair is None]
    held = [(slab, pair) for slab, pair in zip(slabs, pairs, strict=True) if pair is not None]
    bare = found(
        "foam.holes",
        "pod",
        "slabs whose templates have no room for two alignment holes",
        float(len(none)),
        "1",
        high=0.0,
        severity="warn",
        where=f"slabs {', '.join(none)}" if none else "",
        method=f"{len({pair for _, pair in held})} pairs of holes in all; a slab with another pair "
        "than its neighbour's carries both on their common face",
        source="own choice",
        advice="go by waterline and buttock line there",
    )
    share, slab, pair = min(
        ((pair.apart / float(np.ptp(slab.box(), axis=0)[1]), slab, pair) for slab, pair in held),
        key=lambda row: row[0],
        default=(1.0, slabs[0], None),
    )
    apart = found(
        "foam.holes_apart",
        "pod",
        "least distance of two alignment holes, as a share of their slab's height",
        100.0 * share,
        "%",
        low=100.0 * APART,
        severity="warn",
        where=f"slab {slab.number}: {pair.words()}, {pair.apart:.0f} mm apart" if pair else "",
        method="middles of the holes against the slab's height",
        source="own choice",
        advice="check that slab with a straightedge too",
    )
    return bare, apart


def blank_finding(left: Sequence[NestBlank], foam: FoamStations) -> Check:
    """Return the blanks that fit on no foam sheet."""
    need = max((max(b.width, b.height) for b in left), default=0.0) + 2 * foam.margin
    return found(
        "foam.blank",
        "pod",
        "blanks larger than a foam sheet",
        float(len(left)),
        "1",
        high=0.0,
        where=", ".join(f"{b.name} ({b.width:.0f} x {b.height:.0f} mm)" for b in left),
        method=f"blanks against {foam.sheet_length:g} x {foam.sheet_width:g} mm",
        source="handoff.foam, sheet_length and sheet_width",
        advice=f"sheets of at least {need:.0f} mm one way (handoff.foam.sheet_length, "
        "sheet_width), split_at_centre = true, or glue sheets edge to edge first",
    )


def sheet_finding(laid: Sequence[NestedBlank], foam: FoamStations) -> Check:
    """Return how many foam sheets are needed, beside what no nesting could go below."""
    sheets = len({row.sheet for row in laid})
    blanks = [row.blank for row in laid]
    area, large = least_sheets(blanks, foam.sheet_length, foam.sheet_width, foam.margin)
    return found(
        "foam.sheets",
        "pod",
        "foam sheets needed",
        float(sheets),
        "1",
        low=float(max(area, large)),
        method=f"nested as rectangles; their area fills {area}, and {large} blanks are so large "
        "that no two of them share a sheet",
        source="the area and the size of the blanks",
    )

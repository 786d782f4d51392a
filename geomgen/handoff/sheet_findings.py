"""What is measured on the sheet shop's pattern, most of it on the pattern folded up again."""

import numpy as np
import shapely
from numpy.typing import NDArray
from OCP.TopoDS import TopoDS_Shape

from geomgen.handoff.bend import Bending
from geomgen.handoff.flat_pattern import FlatPattern
from geomgen.handoff.fold import FoldedTab, folded, slits
from geomgen.handoff.product import Finding, found
from geomgen.handoff.sheet_solid import MeasuredSheet
from geomgen.handoff.skin_distance import off_skin
from geomgen.kernel.properties import volume
from geomgen.parameters.engine_bay import Firewall, Penetration

Floats = NDArray[np.float64]
# Limits, all own choice unless a source is named [mm].
FIT = 0.2
PLACE = 0.1
TOUCH = 0.02
SLACK = 0.3
MASS = 0.05
OWN = "own choice"
FOLDED = "the cut and bend lines folded up again, the outside of the flat of each tab"
LOOK = "look at handoff.sheet.k_factor, inside_radius and relief_pitch"


def fold_findings(
    pattern: FlatPattern, solid: TopoDS_Shape, hull: TopoDS_Shape | None, relief: float, gap: float,
    bending: Bending | None = None,
) -> list[Finding]:  # fmt: skip
    """Fold the pattern and measure it against the firewall's solid and the hull's inside.

    `bending` is what the shop bends with, if it is not what the pattern was made for.
    """
    tabs = folded(pattern, bending)
    if not tabs:
        return []
    points = np.concatenate([tab.face for tab in tabs])
    away = np.concatenate([np.tile(tab.away, (len(tab.face), 1)) for tab in tabs])
    return [
        _fit(solid, points, away),
        _edge(pattern, tabs),
        *_slits(tabs, relief),
        *_hull(hull, points, away, gap),
    ]


def _fit(solid: TopoDS_Shape, points: Floats, away: Floats) -> Finding:
    off = off_skin(solid, points, away, 1.0)
    i = int(np.abs(np.where(np.isnan(off), np.inf, off)).argmax())
    what = "largest distance of the folded flange from the firewall's solid"
    if np.isnan(off[i]):
        return Finding(
            "sheet.fit", "firewall", what, None, "mm", None, FIT, spot(points[i]), FOLDED,
            OWN, f"no skin of the solid lies beside this place; {LOOK}", "fail",
        )  # fmt: skip
    side = "outside" if off[i] > 0 else "inside"
    return found(
        "sheet.fit", "firewall", what, float(abs(off[i])), "mm", high=FIT,
        where=f"{spot(points[i])}, {side} of it", method=FOLDED, source=OWN, advice=LOOK,
    )  # fmt: skip


def _edge(pattern: FlatPattern, tabs: list[FoldedTab]) -> Finding:
    assert pattern.sheet.rim is not None
    edges = np.concatenate([tab.edge for tab in tabs])
    off = pattern.sheet.frame.local(edges)[:, 2] - pattern.sheet.rim
    i = int(np.abs(off).argmax())
    return found(
        "sheet.flange", "firewall", "largest distance of the folded flange's edge from its plane",
        float(abs(off[i])), "mm", high=FIT, where=spot(edges[i]), method=FOLDED, source=OWN,
        advice=LOOK,
    )  # fmt: skip


def _slits(tabs: list[FoldedTab], relief: float) -> list[Finding]:
    least, widest = slits(tabs)
    method = "outlines of folded neighbours, both faces"
    return [
        found(
            "sheet.tab_gap", "firewall", "least gap between folded tabs", least[0], "mm",
            low=relief / 2, where=spot(least[1]), method=method, source=OWN,
            advice="folded tabs would meet: widen handoff.sheet.relief_width",
        ),
        found(
            "sheet.slit", "firewall", f"widest slit of {len(tabs)} relief cuts, to be sealed",
            widest[0], "mm", high=relief + SLACK, where=spot(widest[1]), method=method,
            source=OWN, worst="warn",
            advice="seal each slit with fireproof sealant; narrow handoff.sheet.relief_width",
        ),
    ]  # fmt: skip


def _hull(hull: TopoDS_Shape | None, points: Floats, away: Floats, gap: float) -> list[Finding]:
    what = "least gap of the folded flange to the hull's inside"
    off = np.full(1, np.nan) if hull is None else off_skin(hull, points, away, -1.0)
    if np.isnan(off).all():
        return [
            Finding(
                "sheet.hull_gap", "firewall", what, None, "mm", method=FOLDED, source=OWN,
                advice="no inside of the hull was found round the flange: try it in the hull",
                verdict="warn",
            )
        ]  # fmt: skip
    low, high = int(np.nanargmin(off)), int(np.nanargmax(off))
    method = f"{FOLDED}, against the hull's inner skin, openings in it ignored"
    return [
        found(
            "sheet.hull_gap", "firewall", what, float(off[low]), "mm", low=-TOUCH,
            where=spot(points[low]), method=method, source=OWN,
            advice="the flange would not go into the hull: enlarge firewall.gap",
        ),
        found(
            "sheet.hull_slit", "firewall", "widest gap of the folded flange to the hull's inside",
            float(off[high]), "mm", high=gap + FIT, where=spot(points[high]), method=method,
            source=OWN, worst="warn", advice="seal it; shorten handoff.sheet.relief_pitch",
        ),
    ]  # fmt: skip


def hole_findings(sheet: MeasuredSheet, firewall: Firewall) -> list[Finding]:
    """Return the count of holes, and of each hole that is asked for its diameter and its place."""
    wanted = list(firewall.penetrations)
    rows = [
        found(
            "sheet.holes", "firewall", "holes through the sheet", float(len(sheet.holes)), "1",
            low=float(len(wanted)), high=float(len(wanted)),
            method="inner outlines of the solid's section in the sheet's middle",
            advice="holes run into each other or out of the sheet: look at firewall.penetrations",
        )
    ]  # fmt: skip
    for i, hole in enumerate(sheet.holes):
        bl, wl = sheet.on_front(hole.centre)
        use = use_of(sheet, i, wanted)
        where = f"BL {bl:.2f}, WL {wl:.2f}"
        method = "circle through the outline of the hole in the section, least squares"
        if use is None:
            rows.append(
                Finding(
                    f"sheet.hole.{i + 1}", "firewall", "a hole that is not on the list",
                    hole.diameter, "mm", where=where, method=method, verdict="fail",
                    advice="look at firewall.penetrations and joints",
                )
            )  # fmt: skip
            continue
        off = float(np.hypot(bl - use.buttock_line, wl - use.waterline))
        off = max(off, abs(hole.diameter - use.diameter), hole.off_round)
        rows.append(
            found(
                f"sheet.hole.{i + 1}", "firewall",
                f"hole for {use.use}, diameter {hole.diameter:.2f} mm: largest error of place, "
                "diameter or roundness", off, "mm", high=PLACE, where=where, method=method,
                source=OWN, advice="look at firewall.penetrations",
            )
        )  # fmt: skip
    return rows


def use_of(sheet: MeasuredSheet, index: int, wanted: list[Penetration]) -> Penetration | None:
    """Return what a measured hole is for: the penetration whose centre lies within it."""
    hole = sheet.holes[index]
    bl, wl = sheet.on_front(hole.centre)
    near = [(float(np.hypot(bl - w.buttock_line, wl - w.waterline)), w) for w in wanted]
    off, use = min(near, key=lambda pair: pair[0], default=(np.inf, None))
    return use if off < hole.diameter / 2 else None


def hole_edge(pattern: FlatPattern) -> Finding | None:
    """Return the least room from a hole to where the bends begin, or to the edge; None: no hole."""
    if not pattern.holes:
        return None
    bending = pattern.bending
    edge = np.array(pattern.cut.dense(0.05))
    rows = []
    for hole in pattern.sheet.holes:
        off = float(np.hypot(*(edge - hole.centre).T).min())
        for tab in pattern.tabs:
            (ax, ay), (bx, by) = tab.bend
            along = np.array([bx - ax, by - ay]) / np.hypot(bx - ax, by - ay)
            inward = (ay - hole.centre[1]) * along[0] - (ax - hole.centre[0]) * along[1]
            off = min(off, abs(float(inward)) - bending.allowance(tab.angle) / 2)
        rows.append((off - hole.diameter / 2, hole))
    room, worst = min(rows, key=lambda row: row[0])
    bl, wl = pattern.sheet.on_front(worst.centre)
    return found(
        "sheet.hole_edge", "firewall", "least room between a hole and a bend or edge", room, "mm",
        low=bending.radius + 2.5 * bending.thickness, where=f"hole at BL {bl:.1f}, WL {wl:.1f}",
        method="in the flat pattern", source="common practice: radius + 2.5 thicknesses",
        worst="warn", advice="move the hole in firewall.penetrations; a bend would pull it oval",
    )  # fmt: skip


def area_findings(pattern: FlatPattern, solid: TopoDS_Shape, density: float) -> list[Finding]:
    """Return area and mass of the blank; the mass is held to the solid's, reliefs aside."""
    area, body = pattern.area(), volume(solid).value
    mass, whole = area * pattern.sheet.thickness * density * 1e-9, body * density * 1e-9
    return [
        found(
            "sheet.area", "firewall", "area of the blank as cut, holes taken out", area, "mm2",
            low=0.0, method="closed form over the lines and arcs of the cut",
        ),
        found(
            "sheet.mass", "firewall",
            f"mass of the blank {mass:.4f} kg against the solid's {whole:.4f} kg: difference",
            100.0 * abs(mass / whole - 1.0), "%", high=100.0 * MASS,
            method="area x thickness x density", source=OWN, worst="warn",
            advice="relief cuts take much of the flange: look at handoff.sheet.relief_width",
        ),
    ]  # fmt: skip


def thickness_finding(sheet: MeasuredSheet, firewall: Firewall) -> Finding:
    """Return the finding on the thickness as measured against the one that is written."""
    return found(
        "sheet.thickness", "firewall", "thickness of the sheet", sheet.thickness, "mm",
        low=firewall.thickness - 1e-3, high=firewall.thickness + 1e-3,
        method="distance of both faces of the solid", advice="look at firewall.thickness",
    )  # fmt: skip


def spot(point: Floats) -> str:
    """Return a place as station, buttock line and waterline.

    >>> spot(np.array([1800.0, -20.04, 900.0]))
    'STA 1800.0, BL -20.0, WL 900.0'
    """
    x, y, z = point.tolist()
    return f"STA {x:.1f}, BL {y:.1f}, WL {z:.1f}"


def blank_fit(pattern: FlatPattern) -> Finding:
    """Return how far the cut of a blank without a flange lies off the solid's section."""
    cut = shapely.LinearRing(pattern.cut.dense(0.002))
    off = shapely.distance(shapely.points(pattern.sheet.outline), cut)
    i = int(off.argmax())
    at = pattern.sheet.frame.space(np.array([[*pattern.sheet.outline[i], 0.0]]))[0]
    return found(
        "sheet.fit", "firewall", "largest distance of the cut from the solid's section",
        float(off[i]), "mm", high=FIT, where=spot(at), source=OWN,
        method="points of the section in the sheet's middle against the lines and arcs of the cut",
    )  # fmt: skip

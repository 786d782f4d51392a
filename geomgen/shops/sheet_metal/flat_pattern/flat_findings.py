"""What is measured on the sheet shop's pattern as it lies flat: holes, area, mass, thickness."""

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.kernel.solids.properties import volume
from geomgen.parameters.records.engine_bay import Firewall, Penetration
from geomgen.shops.product import found
from geomgen.shops.sheet_metal.flat_pattern.pattern import FlatPattern
from geomgen.shops.sheet_metal.flat_pattern.solid import MeasuredSheet
from geomgen.verdicts.check import Check

# Limits, all own choice unless a source is named [mm].
FIT = 0.2
PLACE = 0.1
MASS = 0.05
OWN = "own choice"


def hole_findings(sheet: MeasuredSheet, firewall: Firewall) -> list[Check]:
    """Return the count of holes, and of each hole that is asked for its diameter and its place."""
    wanted = list(firewall.penetrations)
    rows = [
        found(
            "sheet.holes", "firewall", "holes through the sheet", float(len(sheet.holes)), "1",
            low=float(len(wanted)), high=float(len(wanted)),
            method="inner outlines of the solid's section in the sheet's middle",
            source="firewall.penetrations",
            advice="holes run into each other or out of the sheet: check firewall.penetrations",
        )
    ]  # fmt: skip
    for i, hole in enumerate(sheet.holes):
        bl, wl = sheet.on_front(hole.centre)
        use = use_of(sheet, i, wanted)
        where = f"BL {bl:.2f}, WL {wl:.2f}"
        method = "circle through the outline of the hole in the section, least squares"
        if use is None:
            rows.append(
                found(
                    f"sheet.hole.{i + 1}", "firewall", "a hole that is not on the list",
                    hole.diameter, "mm", where=where, method=method,
                    source="firewall.penetrations",
                    hopeless="check firewall.penetrations and joints",
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
                source=OWN, advice="check firewall.penetrations",
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


def hole_edge(pattern: FlatPattern) -> Check | None:
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
        severity="warn", advice="move the hole in firewall.penetrations; a bend would pull it oval",
    )  # fmt: skip


def area_findings(pattern: FlatPattern, solid: TopoDS_Shape, density: float) -> list[Check]:
    """Return area and mass of the blank, of a density [kg/m3].

    The mass is held to the solid's, reliefs aside.
    """
    area, body = pattern.area(), volume(solid).value
    mass, whole = area * pattern.sheet.thickness * density * 1e-9, body * density * 1e-9
    return [
        found(
            "sheet.area", "firewall", "area of the blank as cut, holes taken out", area, "mm2",
            low=0.0, method="closed form over the lines and arcs of the cut", source=OWN,
        ),
        found(
            "sheet.mass", "firewall",
            f"mass of the blank {mass:.4f} kg against the solid's {whole:.4f} kg: difference",
            100.0 * abs(mass / whole - 1.0), "%", high=100.0 * MASS,
            method="area x thickness x density", source=OWN, severity="warn",
            advice="relief cuts take much of the flange: narrow "
            "handoff.sheet.relief_width or lengthen relief_pitch",
        ),
    ]  # fmt: skip


def thickness_finding(sheet: MeasuredSheet, firewall: Firewall) -> Check:
    """Return the finding on the thickness as measured against the one that is written."""
    return found(
        "sheet.thickness", "firewall", "thickness of the sheet", sheet.thickness, "mm",
        low=firewall.thickness - 1e-3, high=firewall.thickness + 1e-3,
        method="distance of both faces of the solid", source="firewall.thickness",
        advice="check firewall.thickness",
    )  # fmt: skip


def spot(point: Floats) -> str:
    """Return a place [mm] as station, buttock line and waterline.

    >>> spot(np.array([1800.0, -20.04, 900.0]))
    'STA 1800.0, BL -20.0, WL 900.0'
    """
    x, y, z = point.tolist()
    return f"STA {x:.1f}, BL {y:.1f}, WL {z:.1f}"


def blank_fit(pattern: FlatPattern) -> Check:
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

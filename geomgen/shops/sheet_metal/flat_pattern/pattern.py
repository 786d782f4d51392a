"""The firewall's flat pattern: sheet, bends, tabs, and the wedge-shaped relief cuts between them.

Folded, the tabs stand apart by the width of a relief cut all along, so they can't overlap; the
wedge follows from laying each tab flat about its own bend line.
"""

import math
from dataclasses import dataclass

import numpy as np
from shapely import Polygon

from geomgen.drafting.arcs import fitted
from geomgen.drafting.record import BEND, CUT, REF, Path, Point, circle, line
from geomgen.errors import GeometryError
from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.bend_zones import Zone, zones_of
from geomgen.shops.sheet_metal.flat_pattern.relief_root import Root, TabEdge, root_of
from geomgen.shops.sheet_metal.flat_pattern.solid import MeasuredSheet
from geomgen.shops.sheet_metal.flat_pattern.tabs import (
    Division,
    Reliefs,
    ReliefSlit,
    TabPlane,
    divided,
)

# A tab's edge is at least so long in sheet thicknesses.
SHORTEST = 5.0


@dataclass(frozen=True)
class Tab:
    """A tab of the pattern [mm, deg]: its bend line counter-clockwise, angle, widths.

    `flat` is its length from the bend line to its edge, `width` the flange's along the outside from
    the mould line, `ends` the edge's two corners, `zone` the letter of those bent to one angle.
    """

    number: int
    bend: tuple[Point, Point]
    angle: float
    flat: float
    width: float
    ends: tuple[Point, Point]
    zone: str = "A"


@dataclass(frozen=True)
class FlatPattern:
    """The blank in u, v of the sheet's frame, seen from aft [mm]; without a flange no tabs.

    `plans` are the planes that the tabs are to lie in once they are bent.
    """

    sheet: MeasuredSheet
    bending: Bending
    cut: Path
    holes: tuple[Path, ...]
    bends: tuple[Path, ...]
    outline: Path
    tabs: tuple[Tab, ...] = ()
    plans: tuple[TabPlane, ...] = ()

    def zones(self) -> tuple[Zone, ...]:
        """Return the tabs by the angle that they are bent to."""
        return zones_of([tab.angle for tab in self.tabs])

    def area(self) -> float:
        """Return the area of the blank [mm2], holes taken out."""
        return self.cut.area() - sum(hole.area() for hole in self.holes)

    def size(self) -> tuple[float, float]:
        """Return width and height of the blank [mm]."""
        points = np.array(self.cut.dense(0.01))
        width, height = np.ptp(points, axis=0)
        return float(width), float(height)


def flat_pattern(sheet: MeasuredSheet, bending: Bending, reliefs: Reliefs) -> FlatPattern:
    """Return the flat pattern of a measured firewall.

    Raises GeometryError when the outline bends too tightly for tabs between such relief cuts.
    """
    holes = tuple(
        circle(hole.centre, hole.diameter / 2, CUT, f"hole {i + 1}")
        for i, hole in enumerate(sheet.holes)
    )
    points = [(float(u), float(v)) for u, v in sheet.outline]
    outline = fitted(points, layer=REF, name="section of the sheet")
    if sheet.rim is None:
        whole = fitted(points, layer=CUT, name="blank")
        return FlatPattern(sheet, bending, whole, holes, (), outline)
    division = divided(sheet, reliefs)
    sides = _sides(sheet, bending, division, reliefs.width)
    letters = {zone.angle: zone.name for zone in zones_of([p.angle for p in division.plans])}
    tabs = tuple(
        _tab(i, plan, sides[i], bending, letters[plan.angle])
        for i, plan in enumerate(division.plans)
    )
    _long_enough(tabs, bending)
    roots = _roots(sides, division.plans, bending)
    cut = _cut(tabs, roots)
    bends = tuple(
        line(*_clear_of(tab.bend, (roots[i - 1], roots[i])), BEND, f"bend {tab.number}")
        for i, tab in enumerate(tabs)
    )
    return FlatPattern(sheet, bending, cut, holes, bends, outline, tabs, division.plans)


def _sides(
    sheet: MeasuredSheet, bending: Bending, division: Division, width: float
) -> list[tuple[TabEdge, TabEdge]]:
    """Return the edges of each tab: the one where it begins, the one where it ends."""
    plans, slits = division.plans, division.slits
    return [
        (
            _side(sheet, bending, plan, slits[i], width, 1.0),
            _side(sheet, bending, plan, slits[(i + 1) % len(slits)], width, -1.0),
        )
        for i, plan in enumerate(plans)
    ]


def _side(
    sheet: MeasuredSheet,
    bending: Bending,
    plan: TabPlane,
    slit: ReliefSlit,
    width: float,
    way: float,
) -> TabEdge:
    """Return the line in which a tab's outside runs beside a slit, laid flat.

    In the plane of the tab, a along the mould line and c from it to the edge, half a slit off the
    slit's plane; the inside of the sheet may come nearer than the outside and counts.
    """
    across = way * np.array(slit.across)
    out, along = np.array(plan.out), np.array(plan.along)
    lean = math.radians(plan.angle)
    nearer = max(0.0, bending.thickness * float(across @ np.array(plan.normal)))
    mould = np.array([*plan.mould, sheet.mould])
    free = float(across @ (mould - np.array(slit.root))) - width / 2 - nearer
    per_a = float(across[:2] @ along)
    per_c = math.cos(lean) * float(across[:2] @ out) + math.sin(lean) * float(across[2])
    start = mould[:2] - free / per_a * along - bending.deduction(plan.angle) * out
    return TabEdge(start, out - per_c / per_a * along)


def _tab(
    index: int, plan: TabPlane, sides: tuple[TabEdge, TabEdge], bending: Bending, zone: str
) -> Tab:
    out = np.array(plan.out)
    mould = float(np.array(plan.mould) @ out)
    at_bend = mould - bending.line(plan.angle)
    flat = bending.flat(plan.angle, plan.width)
    if plan.width - bending.setback(plan.angle) < bending.thickness:
        raise GeometryError(
            f"a flange of {plan.width:.1f} mm is all bend: its bend takes up "
            f"{bending.setback(plan.angle):.1f} mm of it",
            part="firewall",
            step="flange",
            look_at=["handoff.sheet.inside_radius", "firewall.flange"],
        )
    first, last = sides
    return Tab(
        index + 1,
        (first.at(out, at_bend), last.at(out, at_bend)),
        plan.angle,
        flat,
        plan.width,
        (first.at(out, at_bend + flat), last.at(out, at_bend + flat)),
        zone,
    )


def _long_enough(tabs: tuple[Tab, ...], bending: Bending) -> None:
    for tab in tabs:
        for what, (a, b) in (("bend", tab.bend), ("edge", tab.ends)):
            along = np.subtract(*tab.bend[::-1])
            length = float(np.subtract(b, a) @ along) / float(np.linalg.norm(along))
            forward = float(along @ np.subtract(tabs[tab.number % len(tabs)].bend[0], tab.bend[0]))
            if length < SHORTEST * bending.thickness or forward < 0:
                raise GeometryError(
                    f"tab {tab.number} would have {length:.1f} mm left at its {what}: the outline "
                    "bends too tightly for a flange so wide between relief cuts so wide",
                    part="firewall",
                    step="relief cuts",
                    look_at=["handoff.sheet.relief_width", "firewall.flange", "firewall.gap"],
                )


def _roots(
    sides: list[tuple[TabEdge, TabEdge]], plans: tuple[TabPlane, ...], bending: Bending
) -> list[Root]:
    """Return the root of the relief cut behind each tab."""
    ahead = [(i + 1) % len(plans) for i in range(len(plans))]
    return [
        root_of((sides[i][1], sides[k][0]), (plans[i], plans[k]), bending)
        for i, k in enumerate(ahead)
    ]


def _clear_of(bend: tuple[Point, Point], roots: tuple[Root, Root]) -> tuple[Point, Point]:
    """Return a bend line cut back to where round roots that are wider than their slit leave it."""
    a, b = (np.array(point) for point in bend)
    along = (b - a) / np.linalg.norm(b - a)
    ends = []
    for point, way, root in ((a, along, roots[0]), (b, -along, roots[1])):
        x, y = (point + root.along(point, way) * way).tolist()
        ends.append((x, y))
    return ends[0], ends[1]


def _cut(tabs: tuple[Tab, ...], roots: list[Root]) -> Path:
    """Return the blank's outline: tab edges and relief cuts in turn, counter-clockwise."""
    points: list[Point] = []
    bulges: list[float] = []
    for tab, root in zip(tabs, roots, strict=True):
        points += [tab.ends[0], tab.ends[1], root.ends[0], root.ends[1]]
        bulges += [0.0, 0.0, root.bulge, 0.0]
    if not Polygon(points).is_valid:
        raise GeometryError(
            "laid flat, neighbouring tabs overlap",
            part="firewall",
            step="relief cuts",
            look_at=["handoff.sheet.relief_width", "firewall.flange"],
        )
    return Path(tuple(points), tuple(bulges), True, CUT, "blank")

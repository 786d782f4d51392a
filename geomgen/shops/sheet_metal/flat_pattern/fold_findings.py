"""What is measured on the sheet shop's pattern folded up again: its fit, its gap to the hull."""

from dataclasses import replace

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.kernel.solids.skin_distance import off_skin
from geomgen.shops.product import found
from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.flat_findings import FIT, OWN, spot
from geomgen.shops.sheet_metal.flat_pattern.fold import FoldedTab, folded, gap_at_bends, slits
from geomgen.shops.sheet_metal.flat_pattern.pattern import FlatPattern
from geomgen.shops.sheet_metal.flat_pattern.tabs import Reliefs, angles_needed, longest_pitch
from geomgen.verdicts.check import Check

# Limits, own choice [mm].
TOUCH = 0.02
SLACK = 0.3
# So many bend angles are tried for an advice.
MOST = 12
FOLDED = "the cut and bend lines folded up again, the outside of the flat of each tab"
LOOK = "check handoff.sheet.k_factor and inside_radius"


def fold_findings(
    pattern: FlatPattern, solid: TopoDS_Shape, hull: TopoDS_Shape | None, reliefs: Reliefs,
    bending: Bending | None = None,
) -> list[Check]:  # fmt: skip
    """Fold the pattern and measure it against its planes, the firewall's solid and the hull.

    `bending` is what the shop bends with, if it is not what the pattern was made for.
    """
    tabs = folded(pattern, bending)
    if not tabs:
        return []
    return [
        _fit(pattern, tabs),
        _edge(pattern, tabs),
        _outside(solid, tabs, reliefs.gap),
        *_slits(tabs, reliefs.width, _opened(pattern)),
        *_roots(pattern, tabs, reliefs.width),
        *_hull(pattern, hull, tabs, reliefs, bending),
    ]


def faces(tabs: list[FoldedTab]) -> tuple[Floats, Floats, list[int]]:
    """Return places on the tabs' outsides (n, 3) [mm], normals (n, 3) and the tab of each."""
    return (
        np.concatenate([tab.face for tab in tabs]),
        np.concatenate([np.tile(tab.away, (len(tab.face), 1)) for tab in tabs]),
        [tab.number for tab in tabs for _ in tab.face],
    )


def _fit(pattern: FlatPattern, tabs: list[FoldedTab]) -> Check:
    rows = []
    for tab, plan in zip(tabs, pattern.plans, strict=True):
        off = pattern.sheet.frame.local(tab.face) @ np.array(plan.normal) - plan.distance
        i = int(np.abs(off).argmax())
        rows.append((float(abs(off[i])), f"tab {tab.number}, {spot(tab.face[i])}"))
    worst, where = max(rows)
    return found(
        "sheet.fit", "firewall", "largest distance of a folded tab from the plane laid out for it",
        worst, "mm", high=FIT, where=where, method=FOLDED, source=OWN, advice=LOOK,
    )  # fmt: skip


def _edge(pattern: FlatPattern, tabs: list[FoldedTab]) -> Check:
    assert pattern.sheet.rim is not None
    edges = np.concatenate([tab.edge for tab in tabs])
    off = pattern.sheet.frame.local(edges)[:, 2] - pattern.sheet.rim
    i = int(np.abs(off).argmax())
    return found(
        "sheet.flange", "firewall", "largest distance of the folded flange's edge from its plane",
        float(abs(off[i])), "mm", high=FIT, where=spot(edges[i]), method=FOLDED, source=OWN,
        advice=LOOK,
    )  # fmt: skip


def _outside(solid: TopoDS_Shape, tabs: list[FoldedTab], gap: float) -> Check:
    """Return how far the folded flange stands out of the solid's, which clears the hull."""
    points, away, numbers = faces(tabs)
    off = off_skin(solid, points, away, 1.0)
    what = "most that the folded flange stands outside of the firewall's solid"
    if np.isnan(off).all():
        return found(
            "sheet.outside", "firewall", what, None, "mm", method=FOLDED, source=OWN,
            hopeless=f"no skin of the solid lies beside the folded tabs; {LOOK}",
        )  # fmt: skip
    i = int(np.nanargmax(off))
    return found(
        "sheet.outside", "firewall", what, float(off[i]), "mm",
        high=gap + TOUCH, where=f"tab {numbers[i]}, {spot(points[i])}",
        method=FOLDED, source=OWN, advice=LOOK,
    )  # fmt: skip


def _opened(pattern: FlatPattern) -> float:
    """Return how much wider [mm] slits are outside than inside: two tabs turn, the sheet between.

    The inside of the sheet is as wide as asked for, the outside wider by 2 t sin(turn / 2).
    """
    normals = np.array([plan.normal for plan in pattern.plans])
    half = np.linalg.norm(normals - np.roll(normals, -1, axis=0), axis=1) / 2
    return float(2 * pattern.sheet.thickness * half.max())


def _slits(tabs: list[FoldedTab], relief: float, opened: float) -> list[Check]:
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
            widest[0], "mm", high=relief + opened + SLACK, where=spot(widest[1]), method=method,
            source=OWN, severity="warn",
            advice="seal each slit with fireproof sealant; narrow handoff.sheet.relief_width",
        ),
    ]  # fmt: skip


def root_radii(pattern: FlatPattern) -> Floats:
    """Return the radius [mm] of each relief cut's root, by the arcs of the cut."""
    cut = pattern.cut
    arcs = [(a, b, bulge) for a, b, bulge in cut.pieces() if bulge]
    return np.array(
        [np.hypot(*np.subtract(b, a)) / (2 * abs(np.sin(2 * np.arctan(k)))) for a, b, k in arcs]
    )


def _roots(pattern: FlatPattern, tabs: list[FoldedTab], relief: float) -> list[Check]:
    radii, thick = root_radii(pattern), pattern.bending.thickness
    widest, where = gap_at_bends(tabs)
    return [
        found(
            "sheet.relief_root", "firewall", f"least radius of {len(radii)} relief cuts' roots",
            float(radii.min()), "mm", low=thick - 1e-6, where=f"root {int(radii.argmin()) + 1}",
            method="arcs of the cut", source="common practice: the sheet's thickness",
            advice="widen handoff.sheet.relief_width",
        ),
        found(
            "sheet.relief_gap", "firewall", "widest gap between tabs at the bend, to be sealed",
            widest, "mm", high=max(relief + _opened(pattern), 2 * thick) + SLACK,
            where=spot(where), method="sides of folded neighbours along the bend's radius",
            source=OWN, severity="warn",
            advice="seal each root with fireproof sealant; narrow handoff.sheet.relief_width",
        ),
    ]  # fmt: skip


def _hull(
    pattern: FlatPattern, hull: TopoDS_Shape | None, tabs: list[FoldedTab], reliefs: Reliefs,
    bending: Bending | None,
) -> list[Check]:  # fmt: skip
    points, away, numbers = faces(tabs)
    what = "least gap of the folded flange to the hull's inside"
    off = np.full(1, np.nan) if hull is None else off_skin(hull, points, away, -1.0)
    if hull is None or np.isnan(off).all():
        return [
            found(
                "sheet.hull_gap", "firewall", what, None, "mm", method=FOLDED, source=OWN,
                hopeless="no inside of the hull was found round the flange: try it in the hull",
                severity="warn",
            )
        ]  # fmt: skip
    low = int(np.nanargmin(off))
    return [
        found(
            "sheet.hull_gap", "firewall", what, float(off[low]), "mm", low=-TOUCH,
            where=f"tab {numbers[low]}, {spot(points[low])}", method=_method(off), source=OWN,
            advice="the flange would not go into the hull: enlarge firewall.gap",
        ),
        _sealed(pattern, hull, tabs, reliefs, "sheet.seal_gap", "bent as drawn"),
        _sealed(
            pattern, hull, folded(_bent_further(pattern, reliefs.over), bending), reliefs,
            "sheet.seal_gap_overbent", f"every tab bent {reliefs.over:g} deg too far",
        ),
    ]  # fmt: skip


def _method(off: Floats) -> str:
    seen = int((~np.isnan(off)).sum())
    return (
        f"{FOLDED}, against the hull's inner skin, openings in it ignored; {seen} of {len(off)} "
        "places have skin beside them"
    )


def _bent_further(pattern: FlatPattern, over: float) -> FlatPattern:
    return replace(pattern, tabs=tuple(replace(t, angle=t.angle + over) for t in pattern.tabs))


def _sealed(
    pattern: FlatPattern, hull: TopoDS_Shape, tabs: list[FoldedTab], reliefs: Reliefs, id_: str,
    how: str,
) -> Check:  # fmt: skip
    """Return the widest gap between flange and skin, held to what the sealant fills."""
    points, away, numbers = faces(tabs)
    off = off_skin(hull, points, away, -1.0)
    high = int(np.nanargmax(off))
    widest = float(off[high])
    return found(
        id_, "firewall", f"widest gap between flange and skin, to be filled with sealant; {how}",
        widest, "mm", high=reliefs.sealant, where=f"tab {numbers[high]}, {spot(points[high])}",
        method=_method(off), source="handoff.sheet.sealant_gap",
        advice=_advice(pattern, reliefs) if widest > reliefs.sealant else "",
    )  # fmt: skip


def _advice(pattern: FlatPattern, reliefs: Reliefs) -> str:
    pitch = longest_pitch(pattern.sheet, reliefs)
    angles = angles_needed(pattern.sheet, reliefs, MOST)
    ways = []
    if pitch is not None:
        ways.append(f"handoff.sheet.relief_pitch of {np.floor(pitch):g} mm")
    if angles is not None:
        ways.append(f"handoff.sheet.bend_angles of {angles}")
    if not ways:
        return (
            "the sealant does not bridge it, nor would it at any closer relief_pitch: lessen "
            "firewall.gap, or fit the firewall where the hull tapers less"
        )
    return f"the sealant does not bridge it; {' or '.join(ways)} would keep the gap"

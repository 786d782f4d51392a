"""Fairness of the pod's lines, measured on the built solid before anything is cut."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.model import Model
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.hull import PodLines, pod_lines
from geomgen.shops.fairness.combs import Comb, fairness_sheet
from geomgen.shops.fairness.curve import (
    FIRM,
    HEIGHT,
    STRAIGHT,
    WAVE,
    Curved,
    Unfair,
    curved,
    runs,
    unfair,
)
from geomgen.shops.fairness.lines import (
    Patch,
    breadth,
    buttock,
    crown_and_keel,
    outer_patches,
    waterline,
)
from geomgen.shops.product import ShopSheet, found
from geomgen.verdicts.check import Check

# Waterlines at shares of the pod's height, buttock lines at shares of its half breadth, rounded.
HEIGHTS = (0.3, 0.5, 0.7)
BREADTHS = (1 / 3, 2 / 3)
ROUNDED = 10.0
METHOD = (
    "points of the solid's outer faces, curvature of a spline through them; straight: radius over "
    f"{0.001 / STRAIGHT:.0f} m; a station calls for a change from {FIRM:g} mm off its neighbours' "
    f"chord; bump: over {HEIGHT:g} mm within {WAVE:g} mm"
)


NOTES = (
    "for the mould maker: where a batten will not lie fair, before anything is cut; not to cut by",
    "datum: STA aft, BL from the centre plane, WL up, of the aircraft; the outside, both hands",
    f"listed: bumps over {HEIGHT:g} mm within {WAVE:g} mm",
)


@dataclass(frozen=True)
class FairLine:
    """A line as built and as asked for: points (n, 2) and control points (k, 2) [mm].

    `outward` is 1 where the outside is on the side of larger values, else -1; `view` says whether
    the second coordinate is a waterline (side) or a buttock line (plan).
    """

    name: str
    spoken: str
    view: str
    points: Floats
    stations: Floats
    outward: float


@dataclass(frozen=True)
class Fairness:
    """What was found on a line."""

    line: FairLine
    curves: tuple[Curved, ...]
    unasked: tuple[Unfair, ...]


def fairness_of(lines: Sequence[FairLine]) -> list[Fairness]:
    """Return, for each line, its curvature and the changes and bumps nobody asked for."""
    out = []
    for line in lines:
        curves = [curved(run, line.outward) for run in runs(line.points)]
        out.append(
            Fairness(line, tuple(curves), tuple(unfair(curves, line.stations, line.outward)))
        )
    return out


def fairness_findings(
    p: Parameters, model: Model
) -> tuple[tuple[Check, ...], tuple[ShopSheet, ...]]:
    """Return a finding for each line of the pod, and the sheet with its curvature combs.

    GeometryError when the model's pod has no outer skin.
    """
    solids = [model.parts[name] for name in ("pod", "exit") if name in model.parts]
    lines = pod_fair_lines(p, pod_lines(p), outer_patches(solids))
    measured = fairness_of(lines)
    paper = fairness_sheet(
        "fairness_pod",
        [
            Comb(m.line.spoken, m.line.view, m.line.outward, m.curves, m.unasked)
            for m in measured
            if m.line.name in ("crown", "keel", "breadth_side", "breadth_plan")
        ],
        NOTES,
    )
    note = "curvature combs, measured on the solid"
    sheet = ShopSheet("fairness_pod", "pod", paper, note=note)
    return tuple(_finding(one) for one in measured), (sheet,)


def pod_fair_lines(p: Parameters, pod: PodLines, patches: Sequence[Patch]) -> list[FairLine]:
    """Return the lines of the pod as built [mm], each with its control points."""
    rows = p.pod.stations
    x = np.array([s.station for s in rows])

    def asked(values: Sequence[float]) -> Floats:
        return np.stack([x, np.array(values)], axis=-1)

    crown, keel = crown_and_keel(patches)
    wide = breadth(patches)
    side, plan = [0, 2], [0, 1]
    lines = [
        FairLine("crown", "crown line", "side", crown[:, side], asked([s.crown for s in rows]), 1),
        FairLine("keel", "keel line", "side", keel[:, side], asked([s.keel for s in rows]), -1),
        FairLine(
            "breadth_plan", "breadth line, plan", "plan", wide[:, plan],
            asked([s.breadth / 2 for s in rows]), 1,
        ),
        FairLine(
            "breadth_side", "breadth line, side", "side", _off_the_point(p, wide)[:, side],
            asked([s.breadth_height for s in rows]), 1,
        ),
    ]  # fmt: skip
    sections = {float(at): pod.half_section(float(at)) for at in x[1:-1]}
    low, high = float(keel[:, 2].min()), float(crown[:, 2].max())
    for share in HEIGHTS:
        at = ROUNDED * round((low + share * (high - low)) / ROUNDED)
        points = waterline(patches, at)[:, plan]
        stations = _of_sections(sections, at, 1, 0, slice(None))
        name = f"waterline_{at:.0f}"
        lines.append(FairLine(name, f"waterline WL {at:.0f}", "plan", points, stations, 1))
    for share in BREADTHS:
        at = ROUNDED * round(share * float(wide[:, 1].max()) / ROUNDED)
        for upper in (True, False):
            points = buttock(patches, at, upper)[:, side]
            half = slice(None, 48) if upper else slice(47, None)
            stations = _of_sections(sections, at, 0, 1, half)
            run = "upper" if upper else "lower"
            name, spoken = f"buttock_{at:.0f}_{run}", f"buttock line BL {at:.0f}, {run}"
            lines.append(FairLine(name, spoken, "side", points, stations, 1 if upper else -1))
    return lines


def _off_the_point(p: Parameters, wide: Floats) -> Floats:
    """Return the breadth line without what lies before the first station behind a round end.

    There the section shrinks to a point, and its height says nothing about the skin.
    """
    x = [s.station for s in p.pod.stations]
    low = x[1] if p.pod.nose == "round" else x[0]
    high = x[-2] if p.pod.tail == "round" else x[-1]
    return np.asarray(wide[(wide[:, 0] >= low) & (wide[:, 0] <= high)])


def _of_sections(
    sections: dict[float, Floats], at: float, across: int, along: int, part: slice
) -> Floats:
    """Return where the control sections meet a waterline or a buttock line, (k, 2) [mm]."""
    found = []
    for x, section in sections.items():
        rows = section[part]
        order = np.argsort(rows[:, across], kind="stable")
        a, b = rows[order, across], rows[order, along]
        if a[0] < at < a[-1]:
            found.append((x, float(np.interp(at, a, b))))
    return np.array(found).reshape(-1, 2)


def _finding(one: Fairness) -> Check:
    places = "; ".join(f"STA {u.station:.0f}: {u.words}" for u in one.unasked)
    return found(
        f"fairness.{one.line.name}",
        "pod",
        f"changes of curvature and bumps of the {one.line.spoken} that no station calls for",
        float(len(one.unasked)),
        "",
        high=0.0,
        severity="warn",
        where=places,
        method=METHOD,
        source="own choice",
        advice="fair the control stations about there: lay a batten, move a station, or leave one "
        "out",
    )

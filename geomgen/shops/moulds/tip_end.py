"""Where a moulded wing tip ends early: its words, and what is measured there."""

from collections.abc import Sequence

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.kernel.solids.properties import kernel_box
from geomgen.shops.moulds.findings import SKIN_LIMIT
from geomgen.shops.moulds.skin import edges_on
from geomgen.shops.moulds.tip import Tip
from geomgen.shops.product import found
from geomgen.verdicts.check import Check

PART = "wing_tip"
METHOD = (
    "points on the faces of the body that look aft, straight aft to the plane of the finished edge"
)
# Points on a face of the body that looks aft, and on one of the finished wing.
FEW, MANY = 20, 60
BOXES = "exact boxes of body and finished wing"


def end_words(tip: Tip) -> str:
    """Return where a tip ends early, in words for who makes it and who lays its skin."""
    words = []
    if tip.runs:
        runs = "; ".join(
            ", ".join(
                f"{e.ahead:.1f} mm at BL {e.buttock_line:.1f} (STA {e.station:.1f})" for e in r
            )
            for r in tip.runs
        )
        words.append(
            "ends early, ahead of the trailing edge, where the skins leave no room between them: "
            f"by {runs}"
        )
    if tip.short:
        words.append(
            f"ends early at BL {tip.last:.1f}, {tip.short:.1f} mm inboard of the tip's skin"
        )
    return "; ".join([*words, "fill what is left between the skins when they are laid"])


def end_findings(
    tip: Tip, halves: Sequence[TopoDS_Shape], finished: TopoDS_Shape, skin: float
) -> list[Check]:
    """Return how far the body, no stock on it, ends ahead of the finished trailing edge [mm].

    And, where it ends inboard of the tip's skin, how far inboard of the finished tip [mm]. Both
    have to be at least the skin [mm].
    """
    points = np.concatenate([row for half in halves for row, _ in edges_on(half, FEW)])
    ahead = _edge_at(finished, points) - points[:, 0]
    least, most = int(np.argmin(ahead)), int(np.argmax(ahead))
    what = (
        f"it ends ahead of the trailing edge, by {ahead[most]:.1f} mm at BL {points[most, 1]:.0f}: "
        "least distance"
    )
    where = f"STA {points[least, 0]:.0f} BL {points[least, 1]:.0f}"
    rows = [_told("edge", what, float(ahead[least]), skin, where, METHOD)]
    if tip.short:
        ends = max(kernel_box(half).high[1] for half in halves), kernel_box(finished).high[1]
        what, where = "it ends inboard of the finished tip: distance", f"BL {ends[0]:.1f}"
        rows.append(_told("end", what, ends[1] - ends[0], skin, where, BOXES))
    return rows


def _told(kind: str, what: str, far: float, skin: float, where: str, method: str) -> Check:
    return found(
        f"mould.{kind}.{PART}", PART, what, far, "mm", low=skin - SKIN_LIMIT, where=where,
        method=method, source="own bound",
        advice="do not cut: the body leaves no room for the skin at its end",
    )  # fmt: skip


def _edge_at(finished: TopoDS_Shape, points: Floats) -> Floats:
    """Return the stations (n,) [mm] of a finished wing's blunt edge straight aft of points (n, 3).

    A blunt edge is ruled between two straight lines: its station is linear in height and span.
    """
    edges = edges_on(finished, MANY)
    y = points[:, 1]
    beyond = [np.maximum(box.low[1] - y, y - box.high[1]) for _, box in edges]
    nearest = np.argmin(beyond, axis=0)
    stations = np.empty(len(points))
    for i, (edge, _) in enumerate(edges):
        centre = edge.mean(axis=0)
        share = np.linalg.lstsq(_ruled(edge - centre), edge[:, 0], rcond=None)[0]
        stations[nearest == i] = (_ruled(points - centre) @ share)[nearest == i]
    return stations


def _ruled(points: Floats) -> Floats:
    y, z = points[:, 1], points[:, 2]
    return np.stack([np.ones_like(y), y, z, y * z], axis=-1)

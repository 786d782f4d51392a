"""What is measured on the moulds: how far off the finished skin, mirrored, adding up, doweled.

And where a wing tip ends early, in words too.
"""

from collections.abc import Sequence
from math import ceil

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.kernel.solids.properties import centroid, kernel_box, volume
from geomgen.kernel.solids.skin_distance import off_skin
from geomgen.shops.figures import counted
from geomgen.shops.moulds.boards import Board
from geomgen.shops.moulds.flange import fits
from geomgen.shops.moulds.skin import Moulded, edges_on, skin_points
from geomgen.shops.moulds.tip import Tip
from geomgen.shops.product import found
from geomgen.verdicts.check import Check

# Points asked for, the limit of their distance [mm], the least share that must be measurable.
POINTS, SKIN_LIMIT, ENOUGH = 500, 0.1, 0.8
# A miss of more than this share of the distance is not the one that grows with it.
SMALL = 0.1
MIRROR_VOLUME, MIRROR_PLACE = 1e-6, 1e-3
OWN = "own choice"
ADDED = 5e-6
# Beside a seat so many thicknesses are left out: the edge there moves as the skin does.
EDGE = 2.0
LEAST_FLAT = 20.0
TIP = "wing_tip"
EDGE_METHOD = (
    "points on the faces of the body that look aft, straight aft to the plane of the finished edge"
)
# Points on a face of the body that looks aft, and on one of the finished wing.
FEW, MANY = 20, 60
BOXES = "exact boxes of body and finished wing"


def skin_finding(
    part: str,
    halves: Sequence[Moulded],
    finished: TopoDS_Shape,
    wanted: float,
    gentler: str = "",
) -> Check:
    """Return how far the body's skin is from `wanted` [mm] off the finished solid's outer skin.

    `gentler` says for a part whose miss grows with that distance what else makes it less.
    """
    share = ceil(POINTS / len(halves))
    asked = [skin_points(half, share, EDGE * abs(wanted)) for half in halves]
    points, normals = (np.concatenate(rows) for rows in zip(*asked, strict=True))
    miss = off_skin(finished, points, normals, 1.0) - wanted
    good = ~np.isnan(miss)
    method = (
        f"{int(good.sum())} of {len(points)} points on the body, along its normal; openings in the "
        "finished skin counted as closed; flat ends, splits, seats and their edges left out"
    )
    what = f"body against finished skin, off what is wanted ({wanted:+.3f} mm)"
    if good.sum() < ENOUGH * len(points):
        return found(
            f"mould.skin.{part}", part, what, None, "mm", high=SKIN_LIMIT, method=method,
            source="own bound",
            hopeless="the finished part has no skin where the mould has: compare the two",
        )  # fmt: skip
    worst = int(np.nanargmax(np.abs(miss)))
    x, y, z = points[worst]
    advice = "do not cut: the mould does not fit the part"
    if gentler and SKIN_LIMIT < abs(miss[worst]) < SMALL * abs(wanted):
        advice += "; " + _nearer(float(abs(miss[worst])), wanted, gentler)
    return found(
        f"mould.skin.{part}", part, what, float(abs(miss[worst])), "mm", high=SKIN_LIMIT,
        where=f"STA {x:.0f} BL {y:.0f} WL {z:.0f}", method=method, source="own bound",
        advice=advice,
    )  # fmt: skip


def _nearer(miss: float, wanted: float, gentler: str) -> str:
    """Return how far off its part [mm] a mould may stand whose miss grows in proportion to that.

    >>> _nearer(0.2, 5.0, "a lower mouth")
    'the miss grows with the 5 mm of stock: about 2.5 mm (handoff.moulds, stock) or a lower mouth'
    """
    key = "stock: about {:.2g} mm (handoff.moulds, stock)"
    if wanted < 0:
        key = "skin taken off: about {:.2g} mm (handoff.laminate.plies)"
    most = abs(wanted) * SKIN_LIMIT / miss
    return f"the miss grows with the {abs(wanted):.3g} mm of {key.format(most)} or {gentler}"


def mirror_findings(part: str, right: TopoDS_Shape, left: TopoDS_Shape) -> list[Check]:
    """Return whether the left solid is the mirror image of the right one: volume and centroid."""
    sizes = volume(right).value, volume(left).value
    a, b = np.array(centroid(right)), np.array(centroid(left))
    miss = float(np.linalg.norm(a * [1.0, -1.0, 1.0] - b))
    where = f"centroids at BL {a[1]:.3f} and BL {b[1]:.3f}"
    advice = "the hands are mixed up: do not cut"
    off = 100.0 * abs(sizes[1] / sizes[0] - 1.0)
    return [
        found(
            f"mould.mirror.{part}", part, "left volume against right, difference", off, "%",
            high=100.0 * MIRROR_VOLUME, where=where, method="adaptive integration", source=OWN,
            advice=advice,
        ),
        found(
            f"mould.mirror_place.{part}", part, "left centroid against the mirrored right one",
            miss, "mm", high=MIRROR_PLACE, where=where, method="adaptive integration",
            source=OWN, advice=advice,
        ),
        found(
            f"mould.hands.{part}", part, "how far each hand lies on its own side, the lesser",
            float(min(a[1], -b[1])), "mm", low=MIRROR_PLACE, where=where,
            method="centroids, adaptive integration", source=OWN, advice=advice,
        ),
    ]  # fmt: skip


def volume_finding(
    part: str, solids: Sequence[TopoDS_Shape], bored: float, whole: TopoDS_Shape
) -> Check:
    """Return how far all pieces, with what was bored out of them [mm3], are off the whole body."""
    size = volume(whole).value
    total = sum(volume(solid).value for solid in solids) + bored
    return found(
        f"mould.volume.{part}", part,
        f"pieces and dowel holes, {total / 1000:.1f} cm^3, against the whole body, "
        f"{size / 1000:.1f} cm^3: difference",
        100.0 * abs(total / size - 1.0), "%", high=100.0 * ADDED,
        method=f"{counted(len(solids), 'piece')}, integrated", source=OWN,
        advice="material is lost or doubled between the pieces: do not cut",
    )  # fmt: skip


def dowel_finding(part: str, board: Board, diameter: float) -> Check:
    """Return in how many ways besides the right one the dowels of a flange can be put together.

    Turned or turned over about the flange's middle, every dowel (of a `diameter` [mm]) would have
    to meet a hole.
    """
    at = board.plan.dowels
    return found(
        f"mould.dowels.{part}", part,
        f"ways to pin the halves wrongly, {len(at)} dowels", float(fits(at, diameter)), "1",
        high=0.0, method="pairs of distances laid on each other, a tenth of a diameter of play",
        source=OWN, advice="move a dowel",
    )  # fmt: skip


def pitch_finding(part: str, board: Board, pitch: float) -> Check:
    """Return how far dowels of a flange stand apart at most, against what is allowed [mm]."""
    return found(
        f"mould.dowel_pitch.{part}", part, "largest distance of a dowel to the next",
        board.plan.pitch, "mm", high=pitch, method="along the flange",
        source="handoff.moulds, dowel_pitch", advice="add a dowel",
    )  # fmt: skip


def flats_finding(part: str, board: Board) -> Check:
    """Return how long the shorter of the two datum flats of a flange is."""
    lengths = board.plan.flat_lengths()
    return found(
        f"mould.flats.{part}", part, "shorter of the two datum flats", min(lengths), "mm",
        low=LEAST_FLAT, severity="warn", method="on the outline of the flange",
        source="own choice: long enough for a stop", advice="make the flange wider",
    )  # fmt: skip


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
    rows = [_end_told("edge", what, float(ahead[least]), skin, where, EDGE_METHOD)]
    if tip.short:
        ends = max(kernel_box(half).high[1] for half in halves), kernel_box(finished).high[1]
        what, where = "it ends inboard of the finished tip: distance", f"BL {ends[0]:.1f}"
        rows.append(_end_told("end", what, ends[1] - ends[0], skin, where, BOXES))
    return rows


def _end_told(kind: str, what: str, far: float, skin: float, where: str, method: str) -> Check:
    return found(
        f"mould.{kind}.{TIP}", TIP, what, far, "mm", low=skin - SKIN_LIMIT, where=where,
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

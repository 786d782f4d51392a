"""How frames fit the pod: the gap of the bond along the edge; and their notches."""

from collections.abc import Iterator, Mapping, Sequence
from math import inf

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.arrays import Bools, Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import boxes_meet
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.model import Model
from geomgen.kernel.plain import FlatSheet, Plane, Vec3, vec
from geomgen.kernel.plane_frame import Frame, front_of_sheet
from geomgen.kernel.sections.section import regions
from geomgen.kernel.solids.skin_distance import off_skin
from geomgen.measurements.answers import missing, refused, said_no
from geomgen.measurements.fit.frame_notch import (
    CHORD,
    NOTCH,
    SHARES,
    notch_room,
    said_of_notch,
)
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject

FIT = "frame.fit"
# Points of the edge so near a stringer [mm], its notch's clearance and this share of the sheet's
# thickness more, are walls of its notch: own choice.
NOTCHED, ASLANT, TWICE = 1.0, 0.6, 1.5
# Where more than this share of the edge has no skin round it, it is not measured: own choice.
BLIND = 0.1
# What is nearer to the plane of a straight end than this lies on it [mm].
ON_END = 0.05
METHOD = (
    "the sheet's outline in planes near both of its faces and in its middle, its points against "
    "the inner skin; left out: what lies beside a stringer, in its notch, and straight ends"
)


def frame_fits(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions about frames: one on the edge of each, one on its notches."""
    pods = tuple(name for name in boxes if model.families.get(name) == "pod")
    for name, sheet in model.sheets.items():
        if name not in boxes or model.families.get(name) != "frame" or not pods:
            continue
        passing = tuple(
            other
            for other in boxes
            if model.families.get(other) == "stringer" and boxes_meet(boxes[name], boxes[other])
        )
        gaps = {other: gap for one, other, gap in model.joint_gaps if one == name}
        yield _edge(name, sheet, pods, passing, gaps)
        if passing:
            yield notch_room(name, sheet, passing, gaps)


def _edge(
    name: str,
    sheet: FlatSheet,
    pods: tuple[str, ...],
    passing: tuple[str, ...],
    gaps: Mapping[str, float],
) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        # A first answer waits for these: no edge need be cut for it.
        skins = [given.bodies[pod].solid for pod in pods]
        try:
            points, away = _edge_points(sheet, given.bodies[name], name)
        except GeometryError as error:
            return refused(error)
        kept = _beside(
            points, [given.bodies[n] for n in passing], [gaps[n] for n in passing], sheet
        )
        points, away = points[kept], away[kept]
        if not len(points):
            return {"part": name, "refused": "its plane passes no edge of the sheet"}
        return _gap(skins, points, away, gaps["pod"])

    return MeasurementQuestion(
        f"{FIT}.{name}", ask, bodies=(name, *pods, *passing),
        plain=(sheet, sorted(gaps.items())), weight=0.8,
    )  # fmt: skip


def _edge_points(sheet: FlatSheet, body: Body, name: str) -> tuple[Floats, Floats]:
    """Return points (n, 3) of the sheet's outer outlines [mm], and the ways out there (n, 3)."""
    front, points, away = front_of_sheet(sheet), [], []
    for share in SHARES:
        frame = front.moved(share * sheet.thickness)
        for region in regions(frame, body.solid, name, CHORD):
            ring = region.outer.points
            kept = _on_contour(ring, frame, sheet.ends)
            points.append(np.array([frame.lifted((float(a), float(b))) for a, b in ring])[kept])
            away.append(ways_out(ring, frame)[kept])
    if not points:
        return np.zeros((0, 3)), np.zeros((0, 3))
    return np.vstack(points), np.vstack(away)


def _on_contour(ring: Floats, frame: Frame, ends: Sequence[Plane]) -> Bools:
    """Say which points (n,) of an outline (n, 2) [mm] lie along the pod, its straight ends cut off.

    The ends part the outline into runs. One from an end back to the same one lies along the pod
    if it bulges away from that end, one between two ends if it looks away from the centre plane.
    """
    kept = np.ones(len(ring), dtype=bool)
    if not ends:
        return kept
    lifted = np.array(frame.origin) + ring @ np.array([frame.across, frame.up])
    off = [(lifted - np.array(end.origin)) @ np.array(end.normal) for end in ends]
    at = np.array([np.abs(one) < ON_END for one in off])
    stops = np.flatnonzero(at.any(axis=0))
    kept[stops] = False
    for i, j in zip(stops, np.roll(stops, -1), strict=True):
        run = np.arange(i + 1, j if j > i else j + len(ring)) % len(ring)
        across, up = ring[j] - ring[i]
        same = np.flatnonzero(at[:, i] & at[:, j])
        if len(same):
            bulges = -across * float(np.array(frame.up) @ np.array(ends[same[0]].normal))
            kept[run] = bulges < 0.0
        elif len(run):
            kept[run] = up * ring[run, 0].mean() > 0.0
    return kept


def ways_out(ring: Floats, frame: Frame) -> Floats:
    """Return the unit ways out (n, 3) [1] at points (n, 2) [mm] of an outline in a plane."""
    way = np.roll(ring, -1, axis=0) - np.roll(ring, 1, axis=0)
    out = np.stack([way[:, 1], -way[:, 0]], axis=-1)
    out /= np.maximum(np.hypot(*out.T), 1e-12)[:, None]
    return np.asarray(out @ np.array([frame.across, frame.up]))


def _beside(
    points: Floats, stringers: Sequence[Body], gaps: Sequence[float], sheet: FlatSheet
) -> Floats:
    """Say which points (n,) lie beside no stringer."""
    kept = np.ones(len(points), dtype=bool)
    for body, gap in zip(stringers, gaps, strict=True):
        off = MeshSearch(body.mesh.corners).nearest(points).distance
        kept &= off > TWICE * gap + ASLANT * sheet.thickness + NOTCHED
    return kept


def _gap(skins: Sequence[TopoDS_Shape], points: Floats, away: Floats, stated: float) -> Answer:
    found = np.array([off_skin(skin, points, away, -1.0) for skin in skins])
    found = np.where(np.isnan(found), inf, found)
    gaps = found[np.abs(found).argmin(axis=0), np.arange(len(points))]
    blind = int(np.isinf(gaps).sum())
    off = np.where(np.isinf(gaps), -1.0, np.abs(gaps - stated))
    at = int(off.argmax())
    if blind > BLIND * len(points):
        others = f"; the others are off by up to {off[at]:.2f} mm" if blind < len(points) else ""
        why = f"no inner skin stands round {blind} of {len(points)} points of its edge{others}"
        return {"part": "pod", "refused": why}
    seen = gaps[~np.isinf(gaps)]
    return {
        "off": float(off[at]), "gap": float(gaps[at]), "at": points[at].tolist(),
        "least": float(seen.min()), "most": float(seen.max()), "stated": stated,
        "blind": blind, "looks": len(points),
    }  # fmt: skip


def _said(by: Answered) -> list[Measurement]:
    found = []
    for name in by.model.sheets:
        edge, notch = by.answers.get(f"{FIT}.{name}"), by.answers.get(f"{NOTCH}.{name}")
        if edge is not None:
            found.append(_said_of_edge(name, edge))
        if notch is not None:
            found.append(said_of_notch(name, notch))
    return found


def _said_of_edge(name: str, edge: Mapping[str, Answer]) -> Measurement:
    if said_no(edge):
        return missing(f"{FIT}.{name}", "mm", {**edge, "part": name})
    at: Vec3 = vec(edge["at"])
    blind = f"; {edge['blind']} of {edge['looks']} points have no skin round them"
    return Measurement(
        f"{FIT}.{name}", name, "how far the gap for the bond departs from what is stated",
        edge["off"], "mm", METHOD, 2 * CHORD, place(at), (at,),
        f"the gap is {edge['least']:.2f} to {edge['most']:.2f} mm, stated {edge['stated']:g} mm"
        + (blind if edge["blind"] else ""),
    )  # fmt: skip


FRAME_FIT = Subject(frame_fits, _said)

"""How frames fit the pod: the gap of the bond along the edge, the room of stringers in notches."""

from collections.abc import Iterator, Mapping, Sequence
from math import inf

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import boxes_meet
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.plain import FlatSheet, Model, Vec3, vec
from geomgen.kernel.plane_frame import front_of_sheet
from geomgen.kernel.sections.section import regions
from geomgen.kernel.solids.skin_distance import off_skin
from geomgen.measurements.answers import missing, refused, said_no
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject

FIT, NOTCH = "frame.fit", "frame.notch"
# The edge is looked at in planes at these shares of the thickness: near both faces, in the middle.
SHARES = (0.02, 0.5, 0.98)
# Points of the edge so near a stringer [mm], its notch's clearance and this share of the sheet's
# thickness more, are walls of its notch: own choice.
NOTCHED, ASLANT, TWICE = 1.0, 0.6, 1.5
# Outlines are followed within this of their edges, and skins found within this [mm].
CHORD = 0.02
METHOD = (
    "the sheet's outline in planes near both of its faces and in its middle, its points against "
    "the inner skin; left out: what lies beside a stringer, in its notch"
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
            yield _notches(name, sheet, passing, gaps)


def _edge(
    name: str,
    sheet: FlatSheet,
    pods: tuple[str, ...],
    passing: tuple[str, ...],
    gaps: Mapping[str, float],
) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
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
        return _gap([given.bodies[pod] for pod in pods], points, away, gaps["pod"])

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
            way = np.roll(ring, -1, axis=0) - np.roll(ring, 1, axis=0)
            out = np.stack([way[:, 1], -way[:, 0]], axis=-1)
            out /= np.maximum(np.hypot(*out.T), 1e-12)[:, None]
            points.append([frame.lifted((float(a), float(b))) for a, b in ring])
            away.append(out @ np.array([frame.across, frame.up]))
    if not points:
        return np.zeros((0, 3)), np.zeros((0, 3))
    return np.vstack(points), np.vstack(away)


def _beside(
    points: Floats, stringers: Sequence[Body], gaps: Sequence[float], sheet: FlatSheet
) -> Floats:
    """Say which points (n,) lie beside no stringer."""
    kept = np.ones(len(points), dtype=bool)
    for body, gap in zip(stringers, gaps, strict=True):
        off = MeshSearch(body.mesh.corners).nearest(points).distance
        kept &= off > TWICE * gap + ASLANT * sheet.thickness + NOTCHED
    return kept


def _gap(pods: Sequence[Body], points: Floats, away: Floats, stated: float) -> Answer:
    found = np.array([off_skin(pod.solid, points, away, -1.0) for pod in pods])
    found = np.where(np.isnan(found), inf, found)
    gaps = found[np.abs(found).argmin(axis=0), np.arange(len(points))]
    if np.isinf(gaps).all():
        return {"part": "pod", "refused": "no inner skin stands round the sheet"}
    off = np.where(np.isinf(gaps), -1.0, np.abs(gaps - stated))
    at = int(off.argmax())
    seen = gaps[~np.isinf(gaps)]
    return {
        "off": float(off[at]), "gap": float(gaps[at]), "at": points[at].tolist(),
        "least": float(seen.min()), "most": float(seen.max()), "stated": stated,
        "blind": int(np.isinf(gaps).sum()), "looks": len(points),
    }  # fmt: skip


def _notches(
    name: str, sheet: FlatSheet, passing: tuple[str, ...], gaps: Mapping[str, float]
) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        try:
            rows = _rooms(sheet, name, {n: given.bodies[n] for n in (name, *passing)})
        except GeometryError as error:
            return refused(error)
        return min(([gap - gaps[other], gap, other] for gap, other in rows), default=None)

    return MeasurementQuestion(
        f"{NOTCH}.{name}", ask, bodies=(name, *passing),
        plain=(sheet, sorted(gaps.items())), weight=0.5,
    )  # fmt: skip


def _rooms(sheet: FlatSheet, name: str, bodies: Mapping[str, Body]) -> Iterator[tuple[float, str]]:
    """Yield the gaps [mm] of stringers to the sheet in planes of it, none where one is missed."""
    for share in SHARES:
        frame = front_of_sheet(sheet).moved(share * sheet.thickness)
        cuts = {
            part: shapely.union_all(
                [piece.polygon() for piece in regions(frame, body.solid, part, CHORD)]
            )
            for part, body in bodies.items()
        }
        for part, section in cuts.items():
            if part != name and not section.is_empty and not cuts[name].is_empty:
                yield float(section.distance(cuts[name])), part


def _said(by: Answered) -> list[Measurement]:
    found = []
    for name in by.model.sheets:
        edge, notch = by.answers.get(f"{FIT}.{name}"), by.answers.get(f"{NOTCH}.{name}")
        if edge is not None:
            found.append(_said_of_edge(name, edge))
        if notch is not None:
            found.append(_said_of_notch(name, notch))
    return found


def _said_of_notch(name: str, notch: Answer) -> Measurement:
    if said_no(notch):
        return missing(f"{NOTCH}.{name}", "mm", {**notch, "part": name})
    room, gap, other = notch
    return Measurement(
        f"{NOTCH}.{name}", f"{name}, {other}",
        "room round stringers in their notches, beyond the stated clearance", room, "mm",
        "sections of sheet and stringer in planes near both faces of the sheet and in its middle",
        2 * CHORD, note=f"{other} is {gap:.2f} mm clear of the sheet",
    )  # fmt: skip


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

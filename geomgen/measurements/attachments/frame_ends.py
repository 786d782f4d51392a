"""Half frames where they end: how clear of the wing, how far the pod's skin goes on past them."""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import shapely

from geomgen.errors import GeometryError
from geomgen.kernel.interference.meeting import Body, hull_gap
from geomgen.kernel.mesh_part import ExactDueError
from geomgen.kernel.model import Model
from geomgen.kernel.plain import FlatSheet, Plane, Vec3
from geomgen.kernel.plane_frame import Frame, front_of_sheet
from geomgen.kernel.sections.section import cross_section
from geomgen.measurements.answers import joined_rows, rows
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject
from geomgen.measurements.wing_structure.room_from import Pair, least_gap, near_pairs

CLEAR, BEYOND = "frame.ends", "frame.skin_beyond"
# What passes through a pod or stands over a part of it; what stands inside the wing comes along.
PASSING = ("wing", "canopy")
# Sheets are looked at in planes at these shares of the thickness.
SHARES = (0.02, 0.5, 0.98)
# Corners lie this near the straight cut [mm]; all of a pod lies nearer than FAR to its middle.
CORNER, FAR = 0.5, 1e5
WHAT = "least distance to the wing, what stands in it, and the canopy"
SOLIDS = "the solids' own distance of the pair that is nearest by the meshes"
ROUGH = "the meshes' distance"
SECTIONS = (
    "sections of the meshes of sheet and pod near both faces of the sheet and in its middle: from "
    "each outer corner of an end to the end of the skin beside it, along the sheet"
)


def frame_ends(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions about half frames: one on what they end at, one on the skin there."""
    pods = tuple(name for name in boxes if model.families.get(name) == "pod")
    passing = [name for name in boxes if _passes(model, name)]
    for name, sheet in model.sheets.items():
        if name not in boxes or model.families.get(name) != "frame" or not sheet.ends:
            continue
        if passing:
            yield _clear(name, near_pairs(name, passing, boxes))
        if pods:
            yield _beyond(name, sheet, pods)


def _passes(model: Model, name: str) -> bool:
    inlay = model.inlay(name)
    return (inlay.host if inlay else model.families.get(name)) in PASSING


def _clear(name: str, pairs: Sequence[Pair]) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        def each() -> list[Measurement]:
            rough = any(body.rough for body in given.bodies.values())
            if rough:
                return [_by_meshes(name, given.bodies, pairs)]
            gap = least_gap(given.bodies, pairs)
            return [
                Measurement(
                    f"{CLEAR}.{name}", f"{name}, {gap.other}", WHAT, gap.gap, "mm", SOLIDS,
                    gap.bound, f"{name} at {place(gap.points[0])}", gap.points,
                    f"{gap.other} is the nearest",
                )
            ]  # fmt: skip

        return rows(each)

    bodies = dict.fromkeys(part for pair, _ in pairs for part in pair)
    return MeasurementQuestion(
        f"{CLEAR}.{name}", ask, bodies=tuple(bodies), plain=(tuple(pairs),), weight=0.3
    )


def _by_meshes(name: str, bodies: Mapping[str, Body], pairs: Sequence[Pair]) -> Measurement:
    """Return the least gap by the meshes; ExactDueError where they come too near to say."""
    found = []
    for (_, other), _ in pairs:
        gap = hull_gap(bodies[name].hull, bodies[other].hull)
        slack = bodies[name].deviation + bodies[other].deviation
        if gap <= slack:
            raise ExactDueError("how far a half frame is off what passes it")
        found.append((gap, slack, other))
    gap, slack, other = min(found)
    return Measurement(
        f"{CLEAR}.{name}", f"{name}, {other}", WHAT, gap, "mm", ROUGH, slack,
        note=f"{other} is the nearest",
    )  # fmt: skip


def _beyond(name: str, sheet: FlatSheet, pods: tuple[str, ...]) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        def each() -> list[Measurement]:
            own = [given.bodies[pod] for pod in pods]
            found = list(_skin_past(name, sheet, given.bodies[name], own))
            beyond, at = min(found, key=lambda row: row[0])
            off = given.bodies[name].deviation + max(pod.deviation for pod in own)
            return [
                Measurement(
                    f"{BEYOND}.{name}", f"{name}, {pods[0]}",
                    "how far the pod's skin goes on past the ends of the frame", beyond, "mm",
                    SECTIONS, off, f"{name} at {place(at)}", (at,),
                    f"{len(found)} corners looked at",
                )
            ]  # fmt: skip

        return rows(each)

    return MeasurementQuestion(
        f"{BEYOND}.{name}", ask, bodies=(name, *pods), plain=(sheet,), weight=0.2
    )


def _skin_past(
    name: str, sheet: FlatSheet, body: Body, pods: Sequence[Body]
) -> Iterator[tuple[float, Vec3]]:
    """Yield from each outer corner of the ends how far the skin goes on [mm], and the corner.

    Less than nothing: so far short of the corner the skin ends.
    """
    for share in SHARES:
        frame = front_of_sheet(sheet).moved(share * sheet.thickness)
        own = _section(frame, body)
        skin = shapely.union_all([_section(frame, pod) for pod in pods])
        for end in sheet.ends:
            for corner in _corners(own, frame, end):
                yield _past(name, corner, skin, frame, end), frame.lifted(corner)


def _section(frame: Frame, body: Body) -> shapely.Geometry:
    """Return the section of a body's mesh in a plane's coordinates [mm]."""
    rings = [shapely.Polygon(ring) for ring in cross_section(body.hull, frame).to_polygons()]
    found = shapely.Polygon()
    for ring in rings:
        found = found.symmetric_difference(ring.buffer(0.0))
    return found


def _corners(own: shapely.Geometry, frame: Frame, end: Plane) -> list[tuple[float, float]]:
    """Return the outermost corners of a section at a straight end: right and left, if on both."""
    points = shapely.get_coordinates(own)
    if not len(points):
        return []
    up = _way(frame, end) * points[:, 1]
    at = points[up >= up.max() - CORNER]
    found = [at[at[:, 0].argmax()], at[at[:, 0].argmin()]]
    return [(float(x), float(y)) for x, y in found if (x > 0.0) == (x >= at[:, 0].mean())]


def _way(frame: Frame, end: Plane) -> float:
    return float(np.sign(np.array(frame.up) @ np.array(end.normal)))


def _past(
    name: str, corner: tuple[float, float], skin: shapely.Geometry, frame: Frame, end: Plane
) -> float:
    """Return how far the skin beside a corner goes on past it, along the sheet [mm]."""
    spot = shapely.Point(corner)
    half = (
        shapely.box(0.0, -FAR, FAR, FAR) if corner[0] > 0.0 else shapely.box(-FAR, -FAR, 0.0, FAR)
    )
    parts = [part for part in shapely.get_parts(skin.intersection(half)) if part.area > 0.0]
    beside = min(parts, key=lambda part: float(part.distance(spot)), default=None)
    if beside is None:
        raise GeometryError("no skin of the pod stands beside its ends", part=name, step=BEYOND)
    _, low, _, high = beside.bounds
    return float(high - corner[1]) if _way(frame, end) > 0.0 else float(corner[1] - low)


def _said(by: Answered) -> list[Measurement]:
    found: list[Measurement] = []
    for name in by.model.sheets:
        for figure in (CLEAR, BEYOND):
            found += joined_rows(f"{figure}.{name}", "mm", by.answers.get(f"{figure}.{name}"))
    return found


FRAME_ENDS = Subject(frame_ends, _said)

"""How stringers run along the pod's skin: inside of it, and as far off it as stated."""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import shapely
from shapely.geometry.polygon import orient

from geomgen.arrays import Floats
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.model import Model
from geomgen.kernel.plain import vec
from geomgen.kernel.plane_frame import at_station
from geomgen.kernel.sections.section import MeshSlices, edge_passes
from geomgen.kernel.solids.probing import edges_in
from geomgen.kernel.solids.skin_distance import off_skin
from geomgen.measurements.answers import missing, said_no
from geomgen.measurements.fit.frame_fit import ways_out
from geomgen.measurements.fit.frame_notch import CHORD
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject

FIT = "stringer.fit"
# Sections are looked at in so many places along a stringer, this share of it off its ends: own
# choice.
PLACES, SHORT = 15, 0.01
METHOD = (
    f"where its edges pass {PLACES} stations, the two nearest to the inner skin; outside of the "
    "pod: how far it stands out of the pod's section"
)


def _questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    pods = tuple(name for name in boxes if model.families.get(name) == "pod")
    gaps = {one: gap for one, other, gap in model.joint_gaps if other == "pod"}
    for name in boxes if pods else ():
        if model.families.get(name) == "stringer":
            yield _fit(name, pods, gaps[name])


def _fit(name: str, pods: tuple[str, ...], stated: float) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        rows = list(_rows(given.bodies[name], [given.bodies[pod] for pod in pods]))
        if not rows:
            return {"part": name, "refused": "no inner skin stands beside it"}
        gap, at = max(rows, key=lambda row: abs(row[0] - stated))
        seen = [row[0] for row in rows]
        return {
            "off": abs(gap - stated), "at": at, "least": min(seen), "most": max(seen),
            "stated": stated, "looks": len(rows),
        }  # fmt: skip

    return MeasurementQuestion(
        f"{FIT}.{name}", ask, bodies=(name, *pods), plain=(stated,), weight=0.5
    )


def _rows(body: Body, pods: Sequence[Body]) -> Iterator[tuple[float, list[float]]]:
    """Yield gaps of corners to the inner skin [mm], minus how far outside; and their places."""
    # A first answer waits for these: no section need be cut for it.
    skins = [pod.solid for pod in pods]
    sections = list(_sections(body))
    slices = [MeshSlices(pod.mesh, 0) for pod in pods]
    far = max(pod.deviation for pod in pods)
    points, away = (np.concatenate(each) for each in zip(*sections, strict=True))
    gaps = np.abs([off_skin(skin, points, away, -1.0) for skin in skins])
    ends = np.cumsum([len(own) for own, _ in sections])[:-1]
    for (own, _), near in zip(sections, np.split(np.fmin.reduce(gaps), ends), strict=True):
        out = _outside(own, [one.at(float(own[0, 0])) for one in slices])
        if out.max() > far:
            yield -float(out.max()), own[out.argmax()].tolist()
        else:
            # Both corners at the skin stand off it by the gap.
            for i in np.argsort(near)[:2]:
                if np.isfinite(near[i]):
                    yield float(near[i]), own[i].tolist()


def _sections(body: Body) -> Iterator[tuple[Floats, Floats]]:
    """Yield corners (n, 3) [mm] of a stringer's sections, and the ways out there (n, 3)."""
    low, high = body.mesh.vertices[:, 0].min(), body.mesh.vertices[:, 0].max()
    less, edges = SHORT * (high - low), set(edges_in(body.solid))
    for x in np.linspace(low + less, high - less, PLACES).tolist():
        frame = at_station(x)
        corners = np.concatenate([edge_passes(edge, frame).points for edge in edges])
        section = orient(shapely.MultiPoint(corners[:, 1:]).convex_hull)
        ring = shapely.get_coordinates(section.exterior)[:-1]
        yield np.c_[np.full(len(ring), x), ring], ways_out(ring, frame)


def _outside(points: Floats, rims: Sequence[Floats]) -> Floats:
    """Return how far points (n, 3) stand out of a pod's section by points of its rim (n,) [mm].

    What a pod lacks under its canopy is closed by a straight line.
    """
    section = shapely.MultiPoint(np.concatenate(rims)[:, 1:]).convex_hull
    return np.asarray(shapely.distance(shapely.points(points[:, 1:]), section))


def _said(by: Answered) -> list[Measurement]:
    rows = ((name, by.answers.get(f"{FIT}.{name}")) for name in by.parts)
    return [_record(name, answer) for name, answer in rows if answer is not None]


def _record(name: str, answer: Mapping[str, Answer]) -> Measurement:
    if said_no(answer):
        return missing(f"{FIT}.{name}", "mm", {**answer, "part": name})
    at = vec(answer["at"])
    return Measurement(
        f"{FIT}.{name}", name, "how far the gap for the bond departs from what is stated",
        answer["off"], "mm", METHOD, CHORD, f"{name} at {place(at)}", (at,),
        f"the gap is {answer['least']:.2f} to {answer['most']:.2f} mm, stated "
        f"{answer['stated']:g} mm; {answer['looks']} corners looked at",
    )  # fmt: skip


STRINGER_FIT = Subject(_questions, _said)

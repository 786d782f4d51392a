"""The canopy as built: the joint all round it, how thick the glazing is and how much there is."""

from collections.abc import Callable, Iterator, Sequence

import numpy as np
from OCP.TopoDS import TopoDS_Shape
from scipy.spatial import cKDTree

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of, plane_of
from geomgen.kernel.interference.meeting import Body, hull_gap
from geomgen.kernel.mesh_part import ExactDueError
from geomgen.kernel.meshes.search import search_of
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.solids.properties import face_area, volume
from geomgen.measurements.answers import missing, refused, said_no
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject

LEAST, WIDEST = "canopy.gap.least", "canopy.gap.widest"
THICKNESS, AREA = "canopy.thickness", "canopy.area"
JOINT, SHEET = "joint of {}", "sheet of {}"
# Beyond this no pod is looked for square to an edge [mm]; of the places along the edges at least
# this share must meet it, or lie beside some that do. Edges are looked at in triangles no longer
# than this [mm]: own choice.
REACH, MET, LONG = 60.0, 0.5, 25.0
# What a place meets at a smaller sine than the first is no edge over against it, but a skin that
# slopes into its way (own choice); at one between the two it may be no plane face.
OVER_AGAINST, PLANE_ON = 0.5**0.5, 0.999
# An edge that meets no pod farther than this [mm] from all that does borders a hole, or stands
# beside the pod: own choice. What lies nearer is the rim of a sheet thicker than the pod's wall.
ALONE = 2 * LONG
# Edges of a joint are plane, and so are their meshes, but for 32 bits [mm].
ROUNDING = 2e-3
SQUARE = (
    "from the canopy's plane edges, square to them, to the mesh of the pod where it stands over "
    f"against them, a place at least every {LONG:g} mm; from an edge farther than {ALONE:g} mm "
    "from all that meet it so, to the nearest skin of the pod"
)
SHEETED = (
    "from the canopy's curved faces, half of whose area is that in the middle of its thickness, "
    "and its volume, by the kernel's integrals"
)


def _questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions about each canopy: its joint with the pod, the sheet itself."""
    pods = tuple(name for name in boxes if model.families.get(name) == "pod")
    for name in boxes:
        if model.families.get(name) == "canopy":
            yield MeasurementQuestion(SHEET.format(name), _sheet(name), (name,), weight=0.5)
            if pods:
                ask = _joint(name, pods)
                yield MeasurementQuestion(JOINT.format(name), ask, (), (name, *pods), weight=0.5)


def _joint(name: str, pods: Sequence[str]) -> Callable[[Given], Answer]:
    def ask(given: Given) -> Answer:
        try:
            return joint_gaps(given.bodies[name], [given.bodies[pod] for pod in pods])
        except GeometryError as error:
            return {**refused(error), "part": name}

    return ask


def joint_gaps(canopy: Body, pods: Sequence[Body]) -> dict[str, object]:
    """Return the least and the widest gap [mm] of a canopy's edges to pieces of the pod, and where.

    GeometryError where its edges do not stand over the pod; ExactDueError of rough bodies where
    the figure hangs on where the places are.
    """
    spots, ways = _edges(canopy)
    looks = [_gap(pods, spot, way) for spot, way in zip(spots, ways, strict=True)]
    rays, sines = np.array(looks).reshape(-1, 2).T
    met = np.isfinite(rays) & (sines >= OVER_AGAINST)
    lone = np.ones(len(rays), dtype=bool)
    if met.any():
        lone = cKDTree(spots[met]).query(spots)[0] > ALONE
    if not len(rays) or (~lone).mean() < MET:
        raise GeometryError(
            f"only {int(met.sum())} of {len(rays)} places along its edges stand over the pod, "
            f"within {REACH:g} mm: the joint can't be told",
            step="joint of the canopy",
        )
    meshed = canopy.deviation + max(pod.deviation for pod in pods)
    gaps = np.where(met, rays, np.nan)[:, None] * ways
    gaps[lone] = _nearest(pods, spots[lone], ways[lone])
    offs = np.where(sines < PLANE_ON, meshed / np.maximum(sines, OVER_AGAINST), ROUNDING)
    offs[lone] = meshed
    sizes = np.linalg.norm(gaps, axis=1)
    small, wide = int(np.nanargmin(sizes)), int(np.nanargmax(sizes))
    nearest = min(hull_gap(canopy.hull, pod.hull) for pod in pods)
    if canopy.rough and max(offs[small], offs[wide]) > ROUNDING:
        raise ExactDueError("the places along its edges are those of its final mesh")
    least, bound = float(sizes[small]), float(offs[small])
    if nearest < least - ROUNDING:
        # Somewhere off its edges it stands nearer.
        least, bound = nearest, meshed
    ends = [[spots[k].tolist(), (spots[k] + gaps[k]).tolist()] for k in (small, wide)]
    return {
        "least": [least, bound, *ends[0]],
        "widest": [float(sizes[wide]), float(offs[wide]), *ends[1]],
        "met": [int(met.sum()), len(rays)],
    }


def _edges(canopy: Body) -> tuple[Floats, Floats]:
    """Return places (n, 3) [mm] on the plane faces of a canopy's edges, and outward ways (n, 3)."""
    plane = [k for k, face in enumerate(faces_of(canopy.solid)) if plane_of(face) is not None]
    corners = canopy.mesh.corners[np.isin(canopy.mesh.face, plane)]
    while True:
        sides = np.linalg.norm(np.roll(corners, -1, axis=1) - corners, axis=2)
        long = sides.max(axis=1, initial=0.0) > LONG
        if not long.any():
            break
        corners = np.concatenate([corners[~long], *_halved(corners[long], sides[long])])
    ways = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(ways, axis=1, keepdims=True)
    there = size[:, 0] > 0.0
    return corners[there].mean(axis=1), ways[there] / size[there]


def _halved(corners: Floats, sides: Floats) -> tuple[Floats, Floats]:
    """Return triangles (n, 3, 3) halved in the middle of their longest side."""
    at = sides.argmax(axis=1)
    row = np.arange(len(corners))
    a, b, c = (corners[row, (at + k) % 3] for k in range(3))
    middle = (a + b) / 2
    return np.stack([a, middle, c], axis=1), np.stack([middle, b, c], axis=1)


def _gap(pods: Sequence[Body], spot: Floats, way: Floats) -> tuple[float, float]:
    """Return how far a pod is from a place square to the edge [mm], at what sine to its skin."""
    end = (spot + REACH * way).tolist()
    hits = [hit for pod in pods for hit in pod.hull.ray_cast(spot.tolist(), end)]
    if not hits:
        return np.inf, 0.0
    first = min(hits, key=lambda hit: float(hit.distance))
    return REACH * float(first.distance), abs(float(np.dot(first.normal, way)))


def _nearest(pods: Sequence[Body], spots: Floats, ways: Floats) -> Floats:
    """Return the ways (n, 3) [mm] from places (n, 3) to the nearest skin of the pod.

    Of a skin that lies more ahead than aside that along the edge's own way.
    """
    if not len(spots):
        return spots
    off = search_of(*(pod.mesh for pod in pods)).nearest(spots).foot - spots
    along = np.einsum("nd,nd->n", off, ways)
    ahead = along**2 >= (off**2).sum(axis=1) / 2
    ahead &= along > 0.0
    return np.where(ahead[:, None], along[:, None] * ways, off)


def _sheet(name: str) -> Callable[[Given], Answer]:
    def ask(given: Given) -> Answer:
        try:
            return list(sheet(given.solids[name]))
        except GeometryError as error:
            return {**refused(error), "part": name}

    return ask


def sheet(canopy: TopoDS_Shape) -> tuple[float, float, float, float]:
    """Return the area [mm2] in the middle of a canopy's thickness, that one [mm], their bounds."""
    curved = [face for face in faces_of(canopy) if plane_of(face) is None]
    if not curved:
        raise GeometryError("it has no curved face", step="sheet of the canopy")
    areas = [face_area(face) for face in curved]
    body = volume(canopy)
    area = sum(one.value for one in areas) / 2
    off = sum(one.error for one in areas) / 2
    thick = body.value / area
    return area, thick, off, thick * (off / area + body.error / body.value)


def _said(by: Answered) -> list[Measurement]:
    found: list[Measurement] = []
    for name in by.parts:
        found += _said_of_joint(name, by.answers.get(JOINT.format(name)))
        found += _said_of_sheet(name, by.answers.get(SHEET.format(name)))
    return found


def _said_of_joint(name: str, answer: Answer) -> Iterator[Measurement]:
    if answer is None:
        return
    if said_no(answer):
        yield from (missing(id_, "mm", answer) for id_ in (LEAST, WIDEST))
        return
    met, count = answer["met"]
    for id_, what in ((LEAST, "least"), (WIDEST, "widest")):
        gap, bound, start, end = answer[what]
        points: tuple[Vec3, ...] = (vec(start), vec(end))
        yield Measurement(
            id_, name, f"{what} gap between canopy and pod", gap, "mm",
            f"{SQUARE}: {met} of {count} places stand over the pod"
            + ("; and between all of both meshes" if id_ == LEAST else ""),
            bound, f"at {place(points[0])}", points,
        )  # fmt: skip


def _said_of_sheet(name: str, answer: Answer) -> Iterator[Measurement]:
    if answer is None:
        return
    if said_no(answer):
        yield from (missing(id_, unit, answer) for id_, unit in ((THICKNESS, "mm"), (AREA, "mm2")))
        return
    area, thick, off, thick_off = answer
    yield Measurement(THICKNESS, name, "thickness of the glazing", thick, "mm", SHEETED, thick_off)
    yield Measurement(AREA, name, "area of the glazing", area, "mm2", SHEETED, off)


GLAZING_FIT = Subject(_questions, _said)

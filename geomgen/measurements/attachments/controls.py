"""The questions about controls and hands: how near parts come to what must stay free."""

from collections.abc import Callable, Iterator, Sequence

import shapely

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, boxes_apart
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.interference.meeting import Body, body_of
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.model import Model
from geomgen.kernel.plain import FlatSheet, HandWay, KeptFree, Limb, Plane, Vec3
from geomgen.kernel.plane_frame import front_of_sheet
from geomgen.kernel.sections.section import regions
from geomgen.measurements.answers import joined_rows, rows
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject
from geomgen.measurements.wing_structure.room_from import PartGap, least_gap, least_to_limbs

ROOM, ACCESS = "controls.room", "access.hand"
SELF = "the room itself"
ASKED = "that the way starts outside is not measured: name in through what it must lead through"
# Parts farther off than this by their boxes are not looked at, unless none is nearer [mm].
NEAR = 300.0
CHORD = 0.05
BOXED = "the box's and the solids' own distance of the pair that is nearest by the meshes"
RODS = "rods with round ends along the run against the meshes of all parts"
WAY = (
    "twice the least distance of the straight line to the meshes of all parts: the widest ball "
    "that passes along it"
)


def questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions: one for each room of the controls, one for each way of a hand."""
    for one in model.kept_free:
        names = [n for n in boxes if model.families.get(n) not in one.through]
        near = _near(_box_of(one), names, boxes)
        if near:
            yield _room(one, near)
    for way in model.hand_ways:
        near = _near(_about([way.start, way.end], 0.0), list(boxes), boxes)
        if near:
            yield _reach(way, near, _sheet(model, way.through), boxes)


def _near(about: Box, names: Sequence[str], boxes: Boxes) -> list[tuple[str, float]]:
    each = sorted((boxes_apart(about, boxes[name]), name) for name in names)
    return [(name, off) for off, name in each if off <= max(NEAR, each[0][0])]


def _box_of(one: KeptFree) -> Box:
    if one.box is not None:
        return Box(*one.box)
    ends = [end for rod in one.rods for end in (rod.start, rod.end)]
    return _about(ends, max(rod.start_radius for rod in one.rods))


def _about(points: Sequence[Vec3], more: float) -> Box:
    low_x, low_y, low_z = (min(axis) - more for axis in zip(*points, strict=True))
    high_x, high_y, high_z = (max(axis) + more for axis in zip(*points, strict=True))
    return Box((low_x, low_y, low_z), (high_x, high_y, high_z))


def _room(one: KeptFree, near: Sequence[tuple[str, float]]) -> MeasurementQuestion:
    names = tuple(name for name, _ in near)

    def measure(given: Given) -> Measurement:
        gap = _gap_of_box(one, near, given) if one.box else _gap_of_rods(one, names, given)
        return Measurement(
            f"{ROOM}.{one.name}", gap.part, f"least distance of a part to the room of {one.name}",
            gap.gap, "mm", BOXED if one.box else RODS, gap.bound,
            f"{gap.part} at {place(gap.points[0])}", gap.points, _left_out(one),
        )  # fmt: skip

    return _asked(f"{ROOM}.{one.name}", names, measure, (one, tuple(near)))


def _left_out(one: KeptFree) -> str:
    parts = ", ".join(one.through)
    return f"not measured against {parts}: openings there are not drawn" if parts else ""


def _gap_of_box(one: KeptFree, near: Sequence[tuple[str, float]], given: Given) -> PartGap:
    assert one.box is not None
    solid = box(*one.box)
    made = meshed(solid, 0.1, part=one.name)
    bodies: dict[str, Body] = dict(given.bodies)
    bodies[SELF] = body_of(solid, made.mesh, made.deviation.largest)
    return least_gap(bodies, [((name, SELF), off) for name, off in near])


def _gap_of_rods(one: KeptFree, names: Sequence[str], given: Given) -> PartGap:
    return least_to_limbs({name: given.bodies[name] for name in names}, one.rods)


def _sheet(model: Model, name: str) -> FlatSheet | None:
    if name == "firewall" and model.firewall_plane is not None:
        plane = model.firewall_plane
        a, _, c = plane.normal
        return FlatSheet(plane, (-c, 0.0, a), 0.0)
    sheet = model.sheets.get(name)
    if sheet is None:
        return None
    middle = front_of_sheet(sheet).moved(sheet.thickness / 2)
    return FlatSheet(Plane(middle.origin, middle.normal), sheet.up, 0.0)


def _reach(
    way: HandWay, near: Sequence[tuple[str, float]], sheet: FlatSheet | None, boxes: Boxes
) -> MeasurementQuestion:
    names = tuple(dict.fromkeys((*(n for n, _ in near), *({way.through} & set(boxes)))))

    def measure(given: Given) -> Measurement:
        line = Limb(way.name, way.start, way.end, 0.0, 0.0)
        gap = least_to_limbs({name: given.bodies[name] for name in names}, [line])
        astray = _astray(way, sheet, given.bodies.get(way.through))
        through = f"the way leads through the opening of {way.through}" if way.through else ASKED
        return Measurement(
            f"{ACCESS}.{way.name}", gap.part, f"widest hand that gets to {way.name} on its way",
            None if astray else 2 * gap.gap, "mm", WAY, 2 * gap.bound,
            f"{gap.part} at {place(gap.points[0])}", gap.points, astray or through,
            broken=bool(astray),
        )  # fmt: skip

    return _asked(f"{ACCESS}.{way.name}", names, measure, (way, sheet))


def _astray(way: HandWay, sheet: FlatSheet | None, body: Body | None) -> str:
    """Return why a way does not lead through the opening that it must; nothing where it does."""
    if not way.through:
        return ""
    if sheet is None or body is None:
        return f"{way.through} is not there"
    frame = front_of_sheet(sheet)
    first, last = (float(frame.height([end])[0]) for end in (way.start, way.end))
    if first * last >= 0.0:
        return f"start and end of the way are on one side of {way.through}"
    share = first / (first - last)
    at = frame.flat([[a + share * (b - a) for a, b in zip(way.start, way.end, strict=True)]])[0]
    crossing = shapely.Point(float(at[0]), float(at[1]))
    pieces = [piece.polygon() for piece in regions(frame, body.solid, way.through, CHORD)]
    if any(piece.covers(crossing) for piece in pieces):
        return ""
    if not any(shapely.Polygon(piece.exterior).contains(crossing) for piece in pieces):
        return f"the way passes beside {way.through}, not through an opening of it"
    return ""


def _asked(
    id_: str,
    names: Sequence[str],
    measure: Callable[[Given], Measurement],
    plain: tuple[object, ...],
) -> MeasurementQuestion:
    def ask(given: Given) -> Answer:
        def each() -> list[Measurement]:
            try:
                return [measure(given)]
            except GeometryError as error:
                raise GeometryError(error.problem, part=id_, step=id_) from error

        return rows(each)

    return MeasurementQuestion(id_, ask, bodies=tuple(names), plain=plain, weight=0.6)


def _said(by: Answered) -> list[Measurement]:
    ids = [f"{ROOM}.{one.name}" for one in by.model.kept_free]
    ids += [f"{ACCESS}.{way.name}" for way in by.model.hand_ways]
    return [record for id_ in ids for record in joined_rows(id_, "mm", by.answers.get(id_))]


CONTROLS = Subject(questions, _said)

"""The questions about spars and ribs: under the skin, depth, pilot, engine, notches."""

from collections.abc import Callable, Iterator, Sequence

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import boxes_apart
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Inlay, Limb
from geomgen.measurements.answers import joined_rows, rows
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject
from geomgen.measurements.wing_structure.inside import SkinSlit, SparDepth, depths, room_under_skin
from geomgen.measurements.wing_structure.room_from import PartGap, least_gap, least_to_limbs

SPAR, RIB = "spar_", "rib_"
# Plates and pins of joints of the outer wing.
JOINT = ("joint_plate_", "joint_pin_")
# How far the arms reach is no part of the pilot.
REACH = "reach"
# A rib and a spar whose boxes are further apart than this have no notch for one another [mm].
NOTCHED = 20.0
SKIN = (
    "places on its edges, no more than 40 mm apart, to the surfaces of what it stands "
    "in; minus the distance outside of them"
)
DEPTH = "rays through the middle of the spar to both skins' meshes at 15 places along the span"
LIMBS = "limbs as rods with round ends against the meshes of the spar's pieces"
SOLIDS = "the solids' own distance of the pair that is nearest by the meshes"


def _rows_of(model: Model, first: str) -> list[tuple[Inlay, str]]:
    """Return the rows of spars or of ribs with what their ids say: the name in the file."""
    return [(i, i.name.removeprefix(first)) for i in model.inlays if i.name.startswith(first)]


def _parts(model: Model, inlay: Inlay, boxes: Boxes) -> list[str]:
    return [name for name in boxes if model.inlay(name) == inlay]


def _slits(model: Model, host: str) -> list[SkinSlit]:
    """Return where a host's skin is parted so that its outer part comes off."""
    own = [joint for joint in model.pin_joints if joint.host == host]
    return list(dict.fromkeys(SkinSlit(joint.parting, joint.skin_gap) for joint in own))


def _family(model: Model, family: str, boxes: Boxes) -> list[str]:
    return [name for name in boxes if model.families.get(name) == family]


def questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the questions about all spars, their joints and ribs; none where the file has none."""
    for first in (SPAR, RIB, *JOINT):
        for inlay, name in _rows_of(model, first):
            parts, hosts = _parts(model, inlay, boxes), _family(model, inlay.host, boxes)
            if not parts or not hosts:
                continue
            id_, slits = _id(first, "skin", name), _slits(model, inlay.host)
            yield _under_skin(first + name, id_, inlay, parts, hosts, slits)
            if first == SPAR:
                yield _depth(name, inlay, parts, hosts)
                yield from _to_others(model, boxes, name, parts)
            elif first == RIB:
                yield from _notches(model, boxes, name, inlay, parts)


def _id(first: str, figure: str, name: str) -> str:
    """Return the id of a figure of a row.

    >>> _id("spar_", "skin", "main"), _id("joint_pin_", "skin", "main")
    ('spar.skin.main', 'joint.pin_skin.main')
    """
    kind, _, of = first[:-1].partition("_")
    return f"{kind}.{of}_{figure}.{name}" if of else f"{kind}.{figure}.{name}"


def _asked(
    id_: str, about: str, bodies: Sequence[str], measure: Callable[[Given], Measurement | None],
    plain: tuple[object, ...] = (), weight: float = 1.0,
) -> MeasurementQuestion:  # fmt: skip
    def ask(given: Given) -> Answer:
        def each() -> list[Measurement]:
            try:
                found = measure(given)
            except GeometryError as error:
                raise GeometryError(error.problem, part=about, step=id_) from error
            return [] if found is None else [found]

        return rows(each)

    return MeasurementQuestion(id_, ask, bodies=tuple(bodies), plain=plain, weight=weight)


def _under_skin(
    about: str, id_: str, inlay: Inlay, parts: Sequence[str], hosts: Sequence[str],
    slits: Sequence[SkinSlit],
) -> MeasurementQuestion:  # fmt: skip
    def measure(given: Given) -> Measurement:
        pick = {name: given.bodies[name] for name in parts}
        room = room_under_skin(pick, {name: given.bodies[name] for name in hosts}, slits)
        return Measurement(
            id_, about, f"least distance of {about} to the skin of the {inlay.host}, inside it",
            room.gap, "mm", SKIN, room.bound, f"{room.part} at {place(room.at)}", (room.at,),
        )  # fmt: skip

    return _asked(id_, about, (*parts, *hosts), measure, (inlay, *slits), 0.2 * len(parts))


def _depth(
    name: str, inlay: Inlay, parts: Sequence[str], hosts: Sequence[str]
) -> MeasurementQuestion:
    id_, about = f"spar.depth.{name}", f"spar_{name}"
    along, across, line = (2, 1, "WL") if inlay.host == "fin" else (1, 2, "BL")
    right = [part for part in parts if not part.endswith("_left")]

    def measure(given: Given) -> Measurement:
        each = depths(
            [given.bodies[part] for part in right],
            [given.bodies[part] for part in hosts], along, across,
        )  # fmt: skip
        what = f"least depth of the {inlay.host} between its skins along {about}"
        if not each:
            return Measurement(id_, about, what, None, "mm", DEPTH, note="no place of it is inside")
        least = min(each, key=lambda d: d.skins)
        return Measurement(
            id_, about, what, least.skins, "mm", DEPTH,
            max(d.off for d in each),
            f"{about} at {place(least.at)}", (least.at,),
            "; ".join(f"at {line} {d.along:.0f}: {d.skins:.1f} mm between the skins, "
                      f"spar {d.spar:.1f} mm deep" for d in _some(each)),
            further=tuple(_figures(each)),
        )  # fmt: skip

    return _asked(id_, about, (*right, *hosts), measure, (along, across), 0.2)


def _some(each: Sequence[SparDepth]) -> Sequence[SparDepth]:
    return each[:: max(1, (len(each) - 1) // 4)]


def _figures(each: Sequence[SparDepth]) -> Iterator[tuple[str, float]]:
    for d in each:
        yield f"skins at {d.along:.1f}", d.skins
        yield f"spar at {d.along:.1f}", d.spar


def _to_others(
    model: Model, boxes: Boxes, name: str, parts: Sequence[str]
) -> Iterator[MeasurementQuestion]:
    about = f"spar_{name}"
    engines = _family(model, "engine", boxes)
    if engines:
        yield _gap_question(
            f"spar.to_engine.{name}", about, f"least distance of {about} to the engine",
            parts, engines, boxes,
        )  # fmt: skip
    if model.pilot:
        body = [limb for limb in model.pilot if not limb.name.startswith(REACH)]
        yield _limbs(f"spar.to_pilot.{name}", about, parts, body)


def _limbs(
    id_: str, about: str, parts: Sequence[str], limbs: Sequence[Limb]
) -> MeasurementQuestion:
    def measure(given: Given) -> Measurement:
        gap = least_to_limbs({name: given.bodies[name] for name in parts}, limbs)
        return _gap_record(id_, about, f"least distance of {about} to the pilot", gap, LIMBS)

    return _asked(id_, about, parts, measure, tuple(limbs), 0.5)


def _notches(
    model: Model, boxes: Boxes, name: str, inlay: Inlay, parts: Sequence[str]
) -> Iterator[MeasurementQuestion]:
    spars = [
        part
        for first in (SPAR, JOINT[0])
        for other, _ in _rows_of(model, first)
        if other.host == inlay.host
        for part in _parts(model, other, boxes)
    ]
    near = [
        spar for spar in spars if any(boxes_apart(boxes[spar], boxes[p]) <= NOTCHED for p in parts)
    ]
    if near:
        about = f"rib_{name}"
        yield _gap_question(
            f"rib.notch.{name}", about, f"least gap between {about} and the spars in its notches",
            parts, near, boxes,
        )  # fmt: skip


def _gap_question(
    id_: str, about: str, what: str, parts: Sequence[str], others: Sequence[str], boxes: Boxes
) -> MeasurementQuestion:
    each = [(boxes_apart(boxes[a], boxes[b]), (a, b)) for a in parts for b in others]
    pairs = [(pair, off) for off, pair in sorted(each)]

    def measure(given: Given) -> Measurement:
        gap = least_gap(given.bodies, pairs)
        return _gap_record(id_, about, what, gap, SOLIDS)

    return _asked(id_, about, (*parts, *others), measure, tuple(pairs), 0.5)


def _gap_record(id_: str, about: str, what: str, gap: PartGap, method: str) -> Measurement:
    a, b = gap.points
    return Measurement(
        id_, f"{gap.part}, {gap.other}", what, gap.gap, "mm", method, gap.bound,
        f"{gap.other} at {place(b)}", (a, b), f"{gap.part} and {gap.other}",
    )  # fmt: skip


def _said(by: Answered) -> list[Measurement]:
    found: list[Measurement] = []
    for first in (SPAR, RIB, *JOINT):
        for _, name in _rows_of(by.model, first):
            for figure in ("skin", "depth", "to_pilot", "to_engine", "notch"):
                id_ = _id(first, figure, name)
                found += joined_rows(id_, "mm", by.answers.get(id_))
    return found


WING_STRUCTURE = Subject(questions, _said)

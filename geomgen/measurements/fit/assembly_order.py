"""Whether each part can be put in along a straight way with the parts before it in place."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.interference.depth import triangles_of
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.model import Model
from geomgen.kernel.plain import AssemblyPlan, Plane, Vec3, vec
from geomgen.kernel.second_library import hull_of
from geomgen.kernel.visibility.straight_way import TOUCH, boxes_clear, met_on_the_way
from geomgen.measurements.answers import missing, refused, said_no
from geomgen.measurements.fit.questions import lodged
from geomgen.measurements.fit.straight_ways_in import (
    AXES,
    COARSE,
    Piece,
    PutIn,
    Ways,
    cause_of,
    means,
    order_in,
    unsure,
)
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject

ORDER = "assembly.order"
WHAT = "parts that no straight way leads to their place"
METHOD = (
    "every part's mesh moved straight out of all that are still there, along the axes, a sheet "
    "square to itself too; exact on the meshes, where they overlap by more than "
    f"{TOUCH:g} mm across the way and along it; not seen: what is turned or bent on its way, "
    "hands, tools, what is not drawn"
)
# A sheet nearer to square than this gets no way of its own [1]; boxes are loose by this [mm].
ALONG, LOOSE = 0.9999, 5.0
# The volumes of both halves of a skin add up to the whole within this share [1].
BALANCE = 1e-6
# Of so many that bar a part the names are told.
TOLD = 4
# So many meshes are kept as what is put in: of a machine's parts, and some more.
MESHES = 128


@dataclass(frozen=True, eq=False)
class MovedPiece:
    """What is put in as one: its outward triangles (n, 3, 3), the ends (2, 3) of its box [mm]."""

    corners: Floats
    ends: Floats


def _questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    if model.assembly is None:
        return
    there = _parts(model, tuple(boxes))
    for name in there:
        if _split(model, name) is not None:
            yield _pair(model, name, name, tuple(AXES.values()))
    for a, b in combinations(there, 2):
        ways = tuple(dict.fromkeys((*_ways(model, a).values(), *_ways(model, b).values())))
        if not lodged(model, a, b) and (len(ways) > len(AXES) or _may_meet(boxes, a, b)):
            yield _pair(model, a, b, ways)


def _parts(model: Model, names: Sequence[str]) -> list[str]:
    return [name for name in names if name != model.swept and name in model.families]


def _split(model: Model, part: str) -> Plane | None:
    """Return the plane in which a part is in two while it is put together; only the pod is."""
    assert model.assembly is not None
    return model.assembly.split if model.families[part] == "pod" else None


def _may_meet(boxes: Boxes, a: str, b: str) -> bool:
    """Say whether two parts are beside each other along two axes: they may meet on the third."""
    one, other = boxes[a], boxes[b]
    shared = [
        one.low[k] < other.high[k] + LOOSE and other.low[k] < one.high[k] + LOOSE for k in range(3)
    ]
    return sum(shared) >= 2


def _ways(model: Model, part: str) -> Ways:
    """Return the ways out of a part: the axes, and square to its sheet where that leans."""
    planes = [sheet.plane for name, sheet in model.sheets.items() if part in (name, sheet.part)]
    planes += [model.bolted[part].plane] if part in model.bolted else []
    own: Ways = {}
    for plane in planes[:1]:
        if max(map(abs, plane.normal)) < ALONG:
            own = {
                "its back, square": plane.normal,
                "its front, square": vec([-c for c in plane.normal]),
            }
    return {**AXES, **own}


def _pair(model: Model, a: str, b: str, ways: tuple[Vec3, ...]) -> MeasurementQuestion:
    splits = (_split(model, a), _split(model, b))

    def ask(given: Given) -> Answer:
        try:
            ones = _pieces(a, given.bodies[a], splits[0])
            others = _pieces(b, given.bodies[b], splits[1])
        except GeometryError as error:
            return refused(error)
        pairs = combinations(ones, 2) if a == b else ((x, y) for x in ones for y in others)
        met = [row for one, other in pairs for row in _met(one, other, ways)]
        return {"met": met, "off": sum(given.bodies[name].deviation for name in (a, b))}

    return MeasurementQuestion(
        _name(a, b), ask, bodies=tuple(dict.fromkeys((a, b))), plain=(ways, splits), weight=0.1,
        slow=True,
    )  # fmt: skip


def _name(a: str, b: str) -> str:
    return f"ways of {a} past {b}"


def _pieces(part: str, body: Body, split: Plane | None) -> list[tuple[str, MovedPiece]]:
    """Return what a part is put in as, by name."""
    made = _made(body.mesh, split)
    if made is None:
        raise GeometryError("its halves do not add up to the whole", part=part, step="assembly")
    return list(zip(_piece_names(part, split), made, strict=True))


@lru_cache(maxsize=MESHES)
def _made(mesh: Mesh, split: Plane | None) -> tuple[MovedPiece, ...] | None:
    """Return a mesh, or both its halves; None where these do not add up to the whole."""
    if split is None:
        return (_moved(mesh.corners),)
    hull, normal = hull_of(mesh), np.array(split.normal)
    halves = hull.split_by_plane(normal, float(normal @ np.array(split.origin)))
    whole = hull.volume()
    if abs(sum(half.volume() for half in halves) - whole) > BALANCE * whole:
        return None
    return tuple(_moved(triangles_of(half)[0]) for half in halves)


def _moved(corners: Floats) -> MovedPiece:
    return MovedPiece(corners, np.array([corners.min(axis=(0, 1)), corners.max(axis=(0, 1))]))


def _piece_names(part: str, split: Plane | None) -> tuple[str, ...]:
    if split is None:
        return (part,)
    words = ("upper", "lower") if split.normal[2] else ("right", "left")
    return tuple(f"{part}, {word} half" for word in words)


def _met(
    one: tuple[str, MovedPiece], other: tuple[str, MovedPiece], ways: Sequence[Vec3]
) -> list[Answer]:
    """Return the rows of what meets: the first part, the second, the first's way, where."""
    found = ((way, _where(one[1], other[1], way)) for way in ways)
    return [[one[0], other[0], way, at] for way, at in found if at is not None]


def _where(one: MovedPiece, other: MovedPiece, way: Vec3) -> Vec3 | None:
    if boxes_clear(one.ends, other.ends, way):
        return None
    return met_on_the_way(one.corners, other.corners, way)


def _said(by: Answered) -> list[Measurement]:
    model, plan = by.model, by.model.assembly
    if plan is None:
        return []
    parts = _parts(model, by.parts)
    asked = [by.answers.get(_name(a, b)) for a in parts for b in parts]
    answers = [answer for answer in asked if answer is not None]
    for answer in answers:
        if said_no(answer):
            return [missing(ORDER, "1", answer)]
    met: dict[tuple[str, str, Vec3], Vec3] = {}
    for answer in answers:
        for one, other, way, at in answer["met"]:
            met[one, other, vec(way)] = met[other, one, vec([-c for c in way])] = vec(at)
    pieces = [
        _piece(model, plan, part, name)
        for part in parts
        for name in _piece_names(part, _split(model, part))
    ]
    off = unsure(answer["off"] for answer in answers)
    if not pieces:
        return []
    order = order_in(pieces, met)
    return [_record(order, cause_of(order, pieces, met), off)]


def _piece(model: Model, plan: AssemblyPlan, part: str, name: str) -> Piece:
    family = model.families[part]
    ranks = [i for i, row in enumerate(plan.order) if means(row, part, family)]
    in_place = any(means(row, part, family) for row in plan.in_place)
    # The part's own name or row goes before its family.
    rank = min(ranks, key=lambda i: plan.order[i] == family, default=None)
    return Piece(name, family, _ways(model, part), rank, in_place)


def _record(order: Sequence[PutIn], cause: str, off: float) -> Measurement:
    barred = [one for one in order if one.bars]
    # Of one cause what it bars is told first.
    barred.sort(key=lambda one: cause not in (one.name, *(by for by, _ in one.bars)))
    points = tuple(at for one in barred for _, at in one.bars[:1])
    words = [f"all {len(barred)} for {cause}: without it all others go in"] if cause else []
    words += map(_barred, barred[: TOLD if cause else None])
    words += [f"{len(barred) - TOLD} more are barred"] if cause and len(barred) > TOLD else []
    words += [COARSE] if off else []
    note = "; ".join([*words, f"put in one after the other: {_told(order)}"])
    rows = tuple((one.name, (float(i + 1),)) for i, one in enumerate(order))
    part = cause or (barred[0].name if barred else "")
    return Measurement(
        ORDER, part, WHAT, float(len(barred)), "1", METHOD, off,
        f"{barred[0].name} at {place(points[0])}" if barred else "", points, note, rows=rows,
    )  # fmt: skip


def _barred(one: PutIn) -> str:
    names = [name for name, _ in one.bars]
    more = f" and {len(names) - TOLD} more" if len(names) > TOLD else ""
    return f"{one.name} from {one.side} is barred by {', '.join(names[:TOLD])}{more}"


def _told(order: Sequence[PutIn]) -> str:
    return ", ".join(f"{i}. {one.name} {_how(one)}" for i, one in enumerate(order, 1))


def _how(one: PutIn) -> str:
    if one.bars:
        return "(barred)"
    return f"from {one.side}" if one.side else "(built in place)"


ASSEMBLY_ORDER = Subject(_questions, _said)

"""Gear legs: a tube or a tapered leaf, the axle or the fork at its end, cut back at its root."""

from collections.abc import Callable, Sequence

from OCP.TopoDS import TopoDS_Solid

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import boxes_meet, loose_box
from geomgen.kernel.brep.plates import flat_face, plate
from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.lofting.sewing import sew
from geomgen.kernel.plain import Strut, Vec3, vec
from geomgen.kernel.solids.booleans import divide, fuse, sized, volume
from geomgen.kernel.solids.distance import closest, vertex
from geomgen.kernel.solids.fragments import Fragment, told
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.landing_gear import Leg, Wheel, travel_of
from geomgen.parameters.rules.leg_course import LegCourse, course, leaf_size, leaf_ways
from geomgen.shapes.gear import SPRING_LOAD, on_both_sides
from geomgen.shapes.piece import Cutter, NamedSolid

COLOUR = (0.52, 0.54, 0.57)
# The end of a leg keeps its distance to the wheel to this [mm].
NEAR = 1e-3


def legs(p: Parameters, cutters: Callable[[str], Sequence[Cutter]]) -> list[NamedSolid]:
    """Return the legs, unloaded; `cutters` gives what stands for the parts that they root in.

    GeometryError for a leg whose root runs right through that part.
    """
    pieces: list[NamedSolid] = []
    for i, w in enumerate(p.gear.wheels if p.gear else ()):
        if w.leg is None:
            continue
        both = on_both_sides(w)
        name = f"leg_{w.name}_right" if both else f"leg_{w.name}"
        whole = NamedSolid(name, "leg", whole_leg(w, w.leg, name), COLOUR)
        right = _cut_back(whole, w, w.leg, cutters(w.leg.rooted_in), f"gear.wheels.{i}.leg")
        pieces += [right, right.on_the_left()] if both else [right]
    return pieces


def struts(p: Parameters) -> list[Strut]:
    """Return what carries each wheel, and how far its axle may be drawn up [mm]."""
    found: list[Strut] = []
    for w in p.gear.wheels if p.gear else ():
        both = on_both_sides(w)
        for side, hand in ((1.0, "_right"), (-1.0, "_left")) if both else ((1.0, ""),):
            found.append(_strut(p, w, side, hand))
    return found


def _strut(p: Parameters, w: Wheel, side: float, hand: str) -> Strut:
    travel = travel_of(p.gear, w) if p.gear else 0.0
    rises = (
        ("standing", w.deflection),
        (f"{SPRING_LOAD:g} times the load", SPRING_LOAD * w.deflection),
        ("strut bottomed", w.deflection + travel),
    )
    axle = (w.station, side * w.buttock_line, w.waterline)
    if w.leg is None:
        return Strut(f"wheel_{w.name}{hand}", axle, rises, travel, flat=w.flat)
    root = (w.leg.station, side * w.leg.buttock_line, w.leg.waterline)
    leg, rooted_in = f"leg_{w.name}{hand}", w.leg.rooted_in
    return Strut(f"wheel_{w.name}{hand}", axle, rises, travel, leg, root, rooted_in, w.flat)


def whole_leg(w: Wheel, leg: Leg, part: str) -> TopoDS_Solid:
    """Return the right-hand leg from its root to the hub, before it is cut back at its root."""
    way = course(w, leg)
    straight = _tube(leg, way) if leg.kind == "tube" else leaf(leg, way, part)
    foot = _fork(w, leg, way) if leg.fork else _axle(w, leg, way)
    return fuse([straight, foot], part, "leg", ("the leg", "its fork" if leg.fork else "its axle"))


def _tube(leg: Leg, way: LegCourse) -> TopoDS_Solid:
    return cylinder(way.root, _between(way.root, way.end), (leg.diameter or 0.0) / 2, way.length)


def _between(a: Vec3, b: Vec3) -> Vec3:
    return vec(q - p for p, q in zip(a, b, strict=True))


def leaf(leg: Leg, way: LegCourse, part: str) -> TopoDS_Solid:
    """Return a leaf: flat sides between the oblongs at its root and its end, square to it."""
    breadth, thickness = leaf_ways(way.root, way.end)
    ends = []
    for middle, at_root in ((way.root, True), (way.end, False)):
        b, t = leaf_size(leg, at_root)
        ends.append(
            [
                _moved(middle, (breadth, i * b / 2), (thickness, j * t / 2))
                for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1))
            ]
        )
    root, end = ends
    sides = [[root[k - 1], root[k], end[k], end[k - 1]] for k in range(4)]
    return sew([flat_face(ring) for ring in (root, end, *sides)], part)


def _moved(at: Vec3, *by: tuple[Vec3, float]) -> Vec3:
    return vec(a + sum(w[k] * far for w, far in by) for k, a in enumerate(at))


def _axle(w: Wheel, leg: Leg, way: LegCourse) -> TopoDS_Solid:
    """Return the axle from the end of the leg to the side of the hub."""
    return cylinder(way.end, (0.0, -way.side, 0.0), leg.axle_diameter / 2, way.off - w.width / 2)


def _fork(w: Wheel, leg: Leg, way: LegCourse) -> TopoDS_Solid:
    """Return bridge, blades and what holds the hub between them, cut from one plate."""
    thick = leg.axle_diameter
    up = _moved((0.0, 0.0, 0.0), (_between(way.axle, way.end), 1.0 / way.off))
    fore = (-up[2], 0.0, up[0])
    hub, half = w.width / 2, thick / 2
    inner, outer = hub + leg.tyre_gap, hub + leg.tyre_gap + thick
    right = [
        *((outer, way.off + half), (outer, -half), (hub, -half)),
        *((hub, half), (inner, half), (inner, way.off - half)),
    ]
    ring = [*right, *((-y, r) for y, r in reversed(right))]
    start = _moved(way.axle, (fore, -half))
    face = flat_face([_moved(start, ((0.0, 1.0, 0.0), y), (up, r)) for y, r in ring])
    return plate(face, _moved((0.0, 0.0, 0.0), (fore, thick)))


def _cut_back(
    piece: NamedSolid, w: Wheel, leg: Leg, others: Sequence[Cutter], key: str
) -> NamedSolid:
    """Return a leg cut back to the skin of what it is rooted in, whole where it does not reach."""
    near = loose_box(piece.solid)
    knives = [other.knife(leg.gap, near) for other in others]
    met = [knife for knife in knives if boxes_meet(near, loose_box(knife))]
    outside, inside = divide(piece.solid, met, piece.name, "root") if met else ([], [])
    if not inside:
        short = min(closest(piece.solid, knife).distance for knife in knives) + leg.gap
        return piece.noted(
            f"{piece.name}: its root does not reach the {leg.rooted_in} ({key}): they stand "
            f"{short:.1f} mm apart"
        )
    pieces = sized(outside, volume(piece.solid))
    if not pieces:
        raise _refusal(piece, leg, key, f"the whole leg lies inside the {leg.rooted_in}")
    if len(pieces) > 1:
        each = told([Fragment(solid) for solid in pieces])
        raise _refusal(piece, leg, key, f"the {leg.rooted_in} cuts it into {len(pieces)}: {each}")
    if _far(pieces[0], w) > _far(piece.solid, w) + NEAR:
        raise _refusal(piece, leg, key, f"its end lies inside the {leg.rooted_in}")
    return piece.trimmed(pieces[0])


def _far(solid: TopoDS_Solid, w: Wheel) -> float:
    return closest(solid, vertex((w.station, w.buttock_line, w.waterline))).distance


def _refusal(piece: NamedSolid, leg: Leg, key: str, problem: str) -> GeometryError:
    return GeometryError(
        f"{problem}. Let its root end a little inside the skin of the {leg.rooted_in}, and the "
        "rest of the leg stand clear of it",
        part=piece.name,
        step=f"cut back to the {leg.rooted_in}",
        look_at=[key],
    )

"""Rules of the gear legs: keys that go with their kind, roots from which a leg misses the tyre."""

from collections.abc import Callable, Iterator
from math import ceil, dist, floor, hypot

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.landing_gear import Leg, Wheel
from geomgen.parameters.rules.clash import FieldClash, mm
from geomgen.parameters.rules.leg_course import course, leaf_size

TUBE, OF_TUBE = ("diameter",), ("diameter", "wall")
LEAF = ("root_breadth", "root_thickness", "tip_breadth", "tip_thickness")
# A leg is at least so long [mm]: own choice.
SHORTEST = 10.0


def gear_legs(p: Parameters) -> Iterator[FieldClash]:
    """Require that each leg has its kind's keys, and leads down to its wheel beside the tyre."""
    for i, w in enumerate(p.gear.wheels if p.gear else ()):
        if w.leg is not None:
            path: Path = ("gear", "wheels", i, "leg")
            wrong = list(_keys(path, w.leg))
            yield from wrong or _places(path, w, w.leg)


def _keys(path: Path, leg: Leg) -> Iterator[FieldClash]:
    own, due = (OF_TUBE, TUBE) if leg.kind == "tube" else (LEAF, LEAF)
    missing = [key for key in due if getattr(leg, key) is None]
    if missing:
        yield FieldClash(
            (*path, "kind"),
            f"a {leg.kind} without {' and '.join(missing)}",
            leg.kind,
            f"a {leg.kind} with {', '.join(due)}",
            f"write {' and '.join(missing)} into the leg's table",
        )
    for key in (*OF_TUBE, *LEAF):
        value = getattr(leg, key)
        if key not in own and value is not None:
            yield FieldClash(
                (*path, key),
                f"a {leg.kind} has no {key.replace('_', ' ')}",
                mm(value),
                f"for a {leg.kind}: {', '.join(own)}",
                f"leave {key} out, or write another kind",
                by=((*path, "kind"),),
            )
    if leg.kind == "tube" and leg.wall and leg.diameter and leg.wall >= leg.diameter / 2:
        yield FieldClash(
            (*path, "wall"),
            "the wall is as thick as the tube's radius",
            mm(leg.wall),
            f"less than {mm(leg.diameter / 2)}; leave it out for a solid bar",
            by=((*path, "diameter"),),
        )
    for end in ("breadth", "thickness") if leg.kind == "leaf" else ():
        root, tip = getattr(leg, f"root_{end}"), getattr(leg, f"tip_{end}")
        if root is not None and tip is not None and tip > root:
            yield FieldClash(
                (*path, f"tip_{end}"),
                f"the leaf's {end} grows towards its end",
                mm(tip),
                f"at most {mm(root)}, that of its root",
                by=((*path, f"root_{end}"),),
            )


def _places(path: Path, w: Wheel, leg: Leg) -> Iterator[FieldClash]:
    wheel = path[:-1]
    if leg.waterline <= w.waterline:
        yield FieldClash(
            (*path, "waterline"),
            "the root is not above the axle",
            mm(leg.waterline),
            f"more than {mm(w.waterline)}",
            by=((*wheel, "waterline"),),
        )
        return
    way = course(w, leg)
    if leg.fork:
        away = dist(way.root, (w.station, leg.buttock_line, w.waterline))
        if away < way.off + SHORTEST:
            yield FieldClash(
                (*path, "waterline"),
                "the root stands where the fork is, so the leg has no length: from the axle, seen "
                f"from the side, it is {mm(round(away, 1))}",
                mm(leg.waterline),
                f"a root at least {mm(_up(way.off + SHORTEST))} from the axle, seen from the side",
                "raise the root, or take a smaller tyre_gap or axle_diameter",
            )
        return
    if way.length < SHORTEST:
        yield FieldClash(
            (*path, "waterline"),
            f"the leg is only {mm(round(way.length, 1))} long",
            mm(leg.waterline),
            f"a root at least {mm(SHORTEST)} from the leg's end",
            "raise the root",
        )
        return
    yield from _beside(path, w, leg)


def _beside(path: Path, w: Wheel, leg: Leg) -> Iterator[FieldClash]:
    """Require that no place of the leg is over the tyre or nearer to its side than the gap.

    A leaf counts with the diagonal of its root, so that the limit holds whichever way it leads.
    """
    across = leg.diameter or 0.0 if leg.kind == "tube" else hypot(*leaf_size(leg, at_root=True))
    due = w.width / 2 + leg.tyre_gap + across / 2
    if abs(leg.buttock_line - w.buttock_line) >= due:
        return
    out, inward = w.buttock_line + due, w.buttock_line - due
    sides = f"at least {mm(_up(out))}"
    if inward >= 0.0:
        sides = f"at most {mm(floor(10 * inward) / 10)}, or {sides}"
    yield FieldClash(
        (*path, "buttock_line"),
        "the leg would run through the tyre or too near its side: its root stands over the wheel",
        mm(leg.buttock_line),
        f"{sides}; or fork = true, for a leg over the wheel",
        by=((*path, "fork"), (*path, "tyre_gap")),
    )


def _up(value: float) -> float:
    return ceil(10 * value) / 10


RULES: tuple[Callable[[Parameters], Iterator[FieldClash]], ...] = (gear_legs,)

"""Rules between fields: what no field can know by itself. Each rule yields clashes, as data."""

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.engine_bay import Scoop
from geomgen.parameters.records.landing_gear import Wheel
from geomgen.parameters.records.lifting import Wing
from geomgen.parameters.rules import (
    drawings,
    engine_bay,
    engine_bodies,
    joints,
    legs,
    masses,
    pilot,
    shops,
)
from geomgen.parameters.rules.clash import FieldClash, mm
from geomgen.parameters.rules.planform import hull_end, trailing_edge_at

Rule = Callable[[Parameters], Iterator[FieldClash]]


def clashes(p: Parameters) -> list[FieldClash]:
    """Return every clash between fields of the records."""
    more = (engine_bay, engine_bodies, legs, joints, drawings, shops, masses, pilot)
    every = (*RULES, *(rule for rules in more for rule in rules.RULES))
    return [clash for rule in every for clash in rule(p)]


def rising(path: Path, field: str, rows: Sequence[object]) -> Iterator[FieldClash]:
    """Yield a clash for each row whose `field` [mm] does not lie beyond that of the row before."""
    for i, (before, after) in enumerate(pairwise(rows), 1):
        low, value = getattr(before, field), getattr(after, field)
        if value <= low:
            yield FieldClash(
                (*path, i, field),
                "does not increase from one entry to the next",
                mm(value),
                f"more than {mm(low)}",
                by=((*path, i - 1, field),),
            )


def lists_increase(p: Parameters) -> Iterator[FieldClash]:
    """Require that stations run aft, sections outward or upward."""
    yield from rising(("pod", "stations"), "station", p.pod.stations)
    yield from rising(("booms", "stations"), "station", p.booms.stations)
    yield from rising(("wing", "sections"), "buttock_line", p.wing.sections)
    if p.tailplane:
        yield from rising(("tailplane", "sections"), "buttock_line", p.tailplane.sections)
    if p.fins:
        yield from rising(("fins", "sections"), "height", p.fins.sections)
    if p.exit and p.exit.tail_fairing:
        rows = p.exit.tail_fairing.stations
        yield from rising(("exit", "tail_fairing", "stations"), "station", rows)


def pod_sections(p: Parameters) -> Iterator[FieldClash]:
    """Require that crown, breadth line and keel lie in this order, with room for the wall."""
    last = len(p.pod.stations) - 1
    for i, s in enumerate(p.pod.stations):
        path: Path = ("pod", "stations", i)
        ends = (i == 0 and p.pod.nose == "round") or (i == last and p.pod.tail == "round")
        if ends:
            if not (s.crown == s.keel == s.breadth_height and s.breadth == 0.0):
                yield FieldClash(
                    path,
                    "a round end begins with a point",
                    f"{mm(s.crown - s.keel)} high, {mm(s.breadth)} broad",
                    "crown, keel and breadth_height equal, breadth 0 mm",
                )
            continue
        if not s.keel < s.breadth_height < s.crown:
            yield FieldClash(
                (*path, "breadth_height"),
                "not between keel and crown",
                mm(s.breadth_height),
                f"between {mm(s.keel)} and {mm(s.crown)}",
                by=((*path, "keel" if s.breadth_height <= s.keel else "crown"),),
            )
        elif 2 * p.pod.wall >= min(s.crown - s.keel, s.breadth):
            yield FieldClash(
                ("pod", "wall"),
                f"the walls meet at station {mm(s.station)}",
                mm(p.pod.wall),
                f"less than {mm(min(s.crown - s.keel, s.breadth) / 2)}",
                by=(path,),
            )


def boom_sections(p: Parameters) -> Iterator[FieldClash]:
    """Require that a boom has a size except at a round end, and stays on its side."""
    rows = p.booms.stations
    for i, s in enumerate(rows):
        round_end = (i == 0 and p.booms.nose == "round") or (
            i == len(rows) - 1 and p.booms.tail == "round"
        )
        for field in ("width", "height"):
            size = getattr(s, field)
            if round_end and size != 0.0:
                yield FieldClash(
                    ("booms", "stations", i, field),
                    "a round end begins with a point",
                    mm(size),
                    "0 mm",
                    by=(("booms", "nose" if i == 0 else "tail"),),
                )
            if not round_end and size < 5.0:
                yield FieldClash(
                    ("booms", "stations", i, field),
                    "too thin for a boom",
                    mm(size),
                    "at least 5 mm",
                )
    widest = max(s.width for s in rows)
    if p.booms.buttock_line <= widest / 2:
        yield FieldClash(
            ("booms", "buttock_line"),
            "the two booms run into each other",
            mm(p.booms.buttock_line),
            f"more than {mm(widest / 2)}",
            by=(("booms", "stations"),),
        )


def booms_reach_wing(p: Parameters) -> Iterator[FieldClash]:
    """Require that the booms stand within the span, begin ahead of its edge and end behind."""
    span = p.wing.sections[-1].buttock_line
    if p.booms.buttock_line >= span:
        yield FieldClash(
            ("booms", "buttock_line"),
            "outboard of the wing tip",
            mm(p.booms.buttock_line),
            f"less than {mm(span)}",
            by=(("wing", "sections", len(p.wing.sections) - 1, "buttock_line"),),
        )
        return
    edge, _ = trailing_edge_at(p.wing, p.booms.buttock_line)
    first, last = p.booms.stations[0].station, p.booms.stations[-1].station
    if first >= edge:
        yield FieldClash(
            ("booms", "stations", 0, "station"),
            "the booms begin behind the wing",
            mm(first),
            f"less than {mm(edge)}, the wing's trailing edge there",
            by=(("wing", "leading_edge"),),
        )
    if last <= edge:
        yield FieldClash(
            ("booms", "stations", len(p.booms.stations) - 1, "station"),
            "the booms end ahead of the wing's trailing edge",
            mm(last),
            f"more than {mm(edge)}",
            by=(("wing", "leading_edge"),),
        )


def roots_on_centre(p: Parameters) -> Iterator[FieldClash]:
    """Require that surfaces begin on the centre plane and that their edges are thin."""
    for table, surface in (("wing", p.wing), ("tailplane", p.tailplane)):
        if surface is not None:
            yield from _surface(table, surface)
    if p.fins:
        for i, s in enumerate(p.fins.sections):
            yield from _edge("fins", p.fins.trailing_edge_thickness, s.chord, i)
    if p.pylon:
        yield from _edge("pylon", p.pylon.trailing_edge_thickness, p.pylon.chord, None)
        low, high = p.pylon.waterline_low, p.pylon.waterline_high
        if high <= low:
            yield FieldClash(
                ("pylon", "waterline_high"),
                "not above its lower end",
                mm(high),
                f"more than {mm(low)}",
                by=(("pylon", "waterline_low"),),
            )


def _surface(table: str, surface: Wing) -> Iterator[FieldClash]:
    root = surface.sections[0].buttock_line
    if root != 0.0:
        yield FieldClash(
            (table, "sections", 0, "buttock_line"),
            "the first section is not on the centre plane",
            mm(root),
            "0 mm",
        )
    for i, s in enumerate(surface.sections):
        yield from _edge(table, surface.trailing_edge_thickness, s.chord, i)


def _edge(table: str, edge: float, chord: float, row: int | None) -> Iterator[FieldClash]:
    if edge > 0.03 * chord:
        at = "" if row is None else f" of section {row}"
        yield FieldClash(
            (table, "trailing_edge_thickness"),
            f"too thick for the chord{at}",
            mm(edge),
            f"at most {mm(0.03 * chord)}, 3 % of the chord",
            by=((table, "chord") if row is None else (table, "sections", row, "chord"),),
        )


def exit_rim(p: Parameters) -> Iterator[FieldClash]:
    """Require that the rim begins on the pod, behind the firewall; the fairing stands within it."""
    if p.exit is None:
        return
    if p.pod.tail != "open":
        yield FieldClash(("pod", "tail"), "an exit needs an open tail", p.pod.tail, '"open"')
    end = p.pod.stations[-1].station
    low = p.firewall.station
    aft: Path = ("pod", "stations", len(p.pod.stations) - 1, "station")
    if not low < p.exit.rim_station < end - p.exit.gap:
        yield FieldClash(
            ("exit", "rim_station"),
            "not between firewall and aft end of the pod",
            mm(p.exit.rim_station),
            f"between {mm(low)} and {mm(end - p.exit.gap)}",
            by=(("firewall", "station") if p.exit.rim_station <= low else aft,),
        )
    if p.exit.tail_fairing is None:
        return
    last = p.pod.stations[-1]
    outside = min(last.breadth, last.crown - last.keel)
    room = outside - 2 * p.pod.wall
    for i, s in enumerate(p.exit.tail_fairing.stations):
        path: Path = ("exit", "tail_fairing", "stations", i)
        if p.exit.rim_station <= s.station <= end and s.diameter >= room:
            yield FieldClash(
                (*path, "diameter"),
                f"closes the exit: the pod ends {mm(outside)} across, {mm(room)} inside its wall "
                f"of {mm(p.pod.wall)}",
                mm(s.diameter),
                f"less than {mm(room)}, or a thinner wall",
                by=(("pod", "wall"), ("pod", "stations", len(p.pod.stations) - 1)),
            )
        bore = p.exit.tail_fairing.bore
        if bore is not None and bore >= s.diameter:
            yield FieldClash(
                ("exit", "tail_fairing", "bore"),
                f"wider than the fairing at station {i}",
                mm(bore),
                f"less than {mm(s.diameter)}",
                by=((*path, "diameter"),),
            )


def propeller_place(p: Parameters) -> Iterator[FieldClash]:
    """Require that the blade plane is given one way, and stands behind pod and engine."""
    q = p.propeller
    if (q.station is None) == (q.behind_trailing_edge is None):
        both = "both are written" if q.station is not None else "neither is written"
        yield FieldClash(
            ("propeller",),
            "the blade plane is given in one of two ways",
            both,
            "station, or behind_trailing_edge",
        )
        return
    if q.hub_diameter >= q.diameter:
        yield FieldClash(
            ("propeller", "hub_diameter"),
            "the hub is as wide as the propeller",
            mm(q.hub_diameter),
            f"less than {mm(q.diameter)}",
            by=(("propeller", "diameter"),),
        )
    if p.spinner and p.spinner.diameter >= q.diameter:
        yield FieldClash(
            ("spinner", "diameter"),
            "the spinner is as wide as the propeller",
            mm(p.spinner.diameter),
            f"less than {mm(q.diameter)}",
            by=(("propeller", "diameter"),),
        )
    if q.station is not None:
        at, path, how = q.station, ("propeller", "station"), mm(q.station)
    else:
        span = p.wing.sections[-1].buttock_line
        if q.behind_at > span:
            yield FieldClash(
                ("propeller", "behind_at"),
                "outboard of the wing tip",
                mm(q.behind_at),
                f"at most {mm(span)}",
                by=(("wing", "sections", len(p.wing.sections) - 1, "buttock_line"),),
            )
            return
        edge, chord = trailing_edge_at(p.wing, q.behind_at)
        share = q.behind_trailing_edge or 0.0
        at = edge + share * chord
        path, how = ("propeller", "behind_trailing_edge"), f"{share:g} (station {mm(at)})"
    yield from _behind(p, at, path, how)


def _behind(p: Parameters, at: float, path: Path, how: str) -> Iterator[FieldClash]:
    front = at - p.propeller.blade_depth / 2 - p.propeller.mount_travel_axial
    last: Path = ("pod", "stations", len(p.pod.stations) - 1, "station")
    limits = [(hull_end(p), "the aft end of the pod", last)]
    if p.engine:
        # The shaft may run through the disc; boxes may not.
        limits += [
            (b.station + b.length, "the aft end of the engine", ("engine", "boxes", i, "station"))
            for i, b in enumerate(p.engine.boxes)
        ]
    edge, what, by = max(limits, key=lambda row: row[0])
    if front <= edge:
        yield FieldClash(
            path,
            f"the blades do not stand behind {what}",
            how,
            f"a blade plane behind station {mm(edge + at - front)}",
            by=(by,),
        )


def gear_wheels(p: Parameters) -> Iterator[FieldClash]:
    """Require that the wheels go with the layout, and tyres with themselves."""
    if p.gear is None:
        return
    roles = [w.role for w in p.gear.wheels]
    due, odd = ("nose", "tail") if p.gear.layout == "tricycle" else ("tail", "nose")
    for role in ("main", due):
        if role not in roles:
            yield FieldClash(
                ("gear", "wheels"),
                f"no {role} wheel",
                ", ".join(roles),
                f"a {p.gear.layout} gear has main and {due} wheels",
            )
    if odd in roles:
        yield FieldClash(
            ("gear", "wheels", roles.index(odd), "role"),
            f"does not go with {p.gear.layout}",
            odd,
            f"main, {due}",
        )
    if p.gear.take_off_pitch is not None and p.gear.take_off_pitch > p.gear.rotation:
        yield FieldClash(
            ("gear", "take_off_pitch"),
            "more than the nose-up pitch at rotation",
            f"{p.gear.take_off_pitch:g} deg",
            f"at most gear.rotation, {p.gear.rotation:g} deg",
            by=(("gear", "rotation"),),
        )
    yield from _names(("gear", "wheels"), p.gear.wheels)
    for i, w in enumerate(p.gear.wheels):
        if w.width >= w.diameter:
            yield FieldClash(
                ("gear", "wheels", i, "width"),
                "the tyre is wider than its diameter",
                mm(w.width),
                f"less than {mm(w.diameter)}",
                by=(("gear", "wheels", i, "diameter"),),
            )
        if w.role == "main" and w.buttock_line <= 0.0:
            yield FieldClash(
                ("gear", "wheels", i, "buttock_line"),
                "a main wheel stands off the centre plane",
                mm(w.buttock_line),
                "more than 0 mm",
                "main wheels come in pairs, one on each side; the checks on the ground need both: "
                "for a single one leave [gear] and the masses of its parts out",
            )


def names_differ(p: Parameters) -> Iterator[FieldClash]:
    """Require that scoops have different names: their files would be the same."""
    yield from _names(("scoops",), p.scoops)


def _names(path: Path, rows: Sequence[Scoop | Wheel]) -> Iterator[FieldClash]:
    """Require that no two rows make parts of one name: a mirrored one has a hand in its own."""
    made: dict[str, int] = {}
    for i, row in enumerate(rows):
        hands = (f"{row.name}_right", f"{row.name}_left") if row.mirrored else ()
        taken = [made[name] for name in (row.name, *hands) if name in made]
        if taken:
            other = rows[taken[0]].name
            same = f"a part of it would have the name of one of {other!r}"
            problem = "the name is taken" if other == row.name else same
            yield FieldClash((*path, i, "name"), problem, row.name, "a name of its own")
        made |= {name: i for name in (row.name, *hands)}


RULES: tuple[Rule, ...] = (
    lists_increase,
    pod_sections,
    boom_sections,
    booms_reach_wing,
    roots_on_centre,
    exit_rim,
    propeller_place,
    gear_wheels,
    names_differ,
)

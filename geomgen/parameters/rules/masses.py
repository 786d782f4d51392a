"""Rules of masses: parts that there are, one way to weigh each, places that are said once."""

import re
from collections.abc import Callable, Iterator

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.records.aircraft import FAMILIES, Parameters
from geomgen.parameters.records.conditions import BY_AIR, ESTIMATED
from geomgen.parameters.records.masses import (
    POWERPLANT,
    USEFUL,
    MassItem,
    PartMass,
    Tank,
    TankShape,
)
from geomgen.parameters.records.pilot import GLAZED
from geomgen.parameters.records.structure.framing import frame_parts
from geomgen.parameters.records.structure.wing import pieces_of, wing_joint_names
from geomgen.parameters.rules.clash import FieldClash, mm, perhaps
from geomgen.parameters.rules.off_machine import weights_stand_on_the_machine

PAIRS = ("boom", "fin")
# More would make thousands of loadings; the centre of a seated body lies so near the seat's corner
# [mm]: both own choice.
MOST_CARRIED, SEATED = 6, 250.0
NAMED = re.compile("[a-z0-9][a-z0-9_-]{0,39}")


def weighable(p: Parameters) -> list[str]:
    """Return the families and parts of a file that may be weighed; the swept volume is no part."""
    absent = {
        "tailplane": p.tailplane is None,
        "fin": p.fins is None,
        "pylon": p.pylon is None,
        "exit": p.exit is None,
    }
    names = [name for name in FAMILIES if not absent.get(name)]
    for pair in PAIRS:
        if pair in names:
            names += [f"{pair}_right", f"{pair}_left"]
    if p.exit and p.exit.tail_fairing:
        names.append("tail_fairing")
    if p.canopy and p.canopy.built_as == GLAZED:
        names.append("canopy")
    if p.engine:
        names.append("engine")
    if p.spinner:
        names.append("spinner")
    shaped = [tank.name for tank in p.tanks if tank.shape]
    names += ["tank", *(f"tank_{name}" for name in shaped)] if shaped else []
    names += ["frame"] if p.frames else []
    for frame in p.frames:
        names += _handed(f"frame_{frame.name}", len(frame_parts(frame)) == 2)
    names += ["stringer"] if p.stringers else []
    for stringer in p.stringers:
        names += _handed(f"stringer_{stringer.name}", stringer.mirrored)
    names += spars_and_ribs(p)
    names += ["fitting"] if p.fittings else []
    for fitting in p.fittings:
        names += _handed(f"fitting_{fitting.name}", fitting.mirrored)
    if p.scoops:
        names.append("scoop")
    for scoop in p.scoops:
        names += _handed(f"scoop_{scoop.name}", scoop.mirrored)
    if p.gear:
        names.append("wheel")
        for wheel in p.gear.wheels:
            both = wheel.mirrored and wheel.buttock_line != 0.0
            names += _handed(f"wheel_{wheel.name}", both)
            if wheel.leg is not None:
                names += ["leg", *_handed(f"leg_{wheel.name}", both)]
    return list(dict.fromkeys(names))


def spars_and_ribs(p: Parameters) -> list[str]:
    """Return the names by which spars, their pieces and joints, rows of ribs may be weighed."""
    names = ["spar"] if p.spars else []
    for spar in p.spars:
        names += [f"spar_{spar.name}", *(f"spar_{spar.name}_{piece}" for piece in pieces_of(spar))]
    joints = [spar for spar in p.spars if spar.wing_joint]
    names += ["joint_plate", "joint_pin"] if joints else []
    names += [name for spar in joints for name in wing_joint_names(spar)]
    return [*names, *(["rib"] if p.ribs else []), *(f"rib_{row.name}" for row in p.ribs)]


def _handed(name: str, both: bool) -> list[str]:
    return [name, f"{name}_right", f"{name}_left"] if both else [name]


def parts_are_there(p: Parameters) -> Iterator[FieldClash]:
    """Require that what is weighed is a part of the file, none twice, each in one way."""
    known = weighable(p)
    seen: set[str] = set()
    for i, row in enumerate(p.mass):
        path: Path = ("mass", i)
        if row.part not in known:
            yield FieldClash(
                (*path, "part"),
                "no such part",
                row.part,
                ", ".join(known),
                perhaps(row.part, known),
            )
        if row.part in seen:
            yield FieldClash((*path, "part"), "named twice", row.part, "one entry a part")
        seen.add(row.part)
        yield from _one_way(p, path, row)


def _one_way(p: Parameters, path: Path, row: PartMass) -> Iterator[FieldClash]:
    made = row.material is not None or row.density is not None
    skinned = row.laminate or row.skin is not None
    if row.weighed is None and not made and not skinned:
        yield FieldClash(
            path,
            "nothing says what it weighs",
            row.part,
            "material or density, laminate or skin, or weighed",
        )
    if row.wall is not None and not made:
        yield FieldClash(
            (*path, "wall"), "a wall of what?", "a wall alone", "with material or density"
        )
    if row.laminate and row.skin is not None:
        yield FieldClash(
            (*path, "skin"), "the skin is said twice", "laminate and skin", "one of the two"
        )
    if row.wall is not None and skinned:
        yield FieldClash(
            (*path, "wall"), "a wall and a skin", "both", "one of the two",
            "the skin of a tube stands in its wall",
        )  # fmt: skip
    if row.laminate and (p.handoff is None or p.handoff.laminate is None):
        yield FieldClash(
            (*path, "laminate"),
            "no laminate is described",
            "true",
            "with a [handoff.laminate] table",
            "add [handoff.laminate] with its plies, or write skin",
        )


def items_have_a_place(p: Parameters) -> Iterator[FieldClash]:
    """Require one place an item: in the centre of a part, or at a station and waterline."""
    known = weighable(p)
    seen: set[str] = set()
    for i, item in enumerate(p.items):
        path: Path = ("items", i)
        if item.name.casefold() in seen:
            yield FieldClash(
                (*path, "name"), "an item of this name is there already", item.name,
                "one name an item", "give each its own name, so that none is counted twice",
            )  # fmt: skip
        seen.add(item.name.casefold())
        yield from _place(path, item, known)
        if item.weight_of is not None and item.group != POWERPLANT:
            yield FieldClash(
                (*path, "weight_of"), f"the {item.weight_of} in another group", item.group,
                POWERPLANT, by=((*path, "group"),),
            )  # fmt: skip
        if item.band > item.mass:
            yield FieldClash(
                (*path, "band"), "more than the mass itself", f"{item.band:g} kg",
                f"up to {item.mass:g} kg", by=((*path, "mass"),),
            )  # fmt: skip


def _place(path: Path, item: MassItem, known: list[str]) -> Iterator[FieldClash]:
    told = item.station is not None and item.waterline is not None
    any_told = item.station is not None or item.waterline is not None
    if item.at is None and not told:
        yield FieldClash(
            path, "where it stands", item.name, "station and waterline, or at = a part"
        )
    if item.at is not None and any_told:
        yield FieldClash(
            (*path, "at"), "two places", f"{item.at} and a station or waterline", "one of the two"
        )
    if item.at is not None and item.at not in known:
        yield FieldClash(
            (*path, "at"), "no such part", item.at, ", ".join(known), perhaps(item.at, known)
        )
    if item.mirrored and item.at is not None:
        yield FieldClash(
            (*path, "mirrored"), "a pair has no one part to stand in", "true",
            "with station, buttock_line and waterline",
        )  # fmt: skip
    if item.mirrored and item.at is None and item.buttock_line == 0.0:
        yield FieldClash(
            (*path, "buttock_line"), "the second one would stand in the same place", "0 mm",
            "off the centre plane", "write mirrored = false and the mass of both",
        )  # fmt: skip


def loadings_can_be_worked_out(p: Parameters) -> Iterator[FieldClash]:
    """Require few enough useful loads: each doubles the loadings."""
    useful = [i for i, item in enumerate(p.items) if item.group == USEFUL]
    many = len(useful) + (len(p.loads.baggage) if p.loads else 0)
    if useful and many > MOST_CARRIED:
        yield FieldClash(
            ("items", useful[-1], "group"), "too many useful loads: each doubles the loadings",
            f"{many} with the places for baggage", f"up to {MOST_CARRIED}",
            "take those that are always carried together as one item",
        )  # fmt: skip


def pilot_sits_where_he_weighs(p: Parameters) -> Iterator[FieldClash]:
    """Require that the pilot who is weighed sits where the one sits whose room is measured."""
    if p.loads is None or p.pilot is None:
        return
    off = p.loads.station - p.pilot.seat_station
    if abs(off) > SEATED:
        yield FieldClash(
            ("loads", "station"), "far from the seat of [pilot]", mm(p.loads.station),
            f"from {mm(p.pilot.seat_station - SEATED)} to {mm(p.pilot.seat_station + SEATED)}",
            by=(("pilot", "seat_station"),),
        )  # fmt: skip


def loads_name_their_pilots(p: Parameters) -> Iterator[FieldClash]:
    """Require pilots and loadings by different names, of pilots there are; a place for ballast."""
    if p.loads is None:
        return
    names = [pilot.name for pilot in p.loads.pilots]
    for i, pilot in enumerate(p.loads.pilots):
        path: Path = ("loads", "pilots", i)
        if pilot.name in names[:i]:
            yield FieldClash((*path, "name"), "named twice", pilot.name, "one name a pilot")
        if pilot.ballast and p.loads.ballast_station is None:
            yield FieldClash(
                (*path, "ballast"), "no place for the ballast", f"{pilot.ballast:g} kg",
                "with loads.ballast_station",
            )  # fmt: skip
    cases = [case.name for case in p.loads.cases]
    for i, case in enumerate(p.loads.cases):
        if case.name in cases[:i]:
            yield FieldClash(
                ("loads", "cases", i, "name"), "named twice", case.name, "one name a loading"
            )
        if case.pilot not in names:
            yield FieldClash(
                ("loads", "cases", i, "pilot"), "no such pilot", case.pilot, ", ".join(names)
            )


def tanks_have_a_place(p: Parameters) -> Iterator[FieldClash]:
    """Require a name and a place a tank: that of its fuel, or a shape with what its kind has."""
    seen: set[str] = set()
    for i, tank in enumerate(p.tanks):
        path: Path = ("tanks", i)
        if tank.name.casefold() in seen:
            yield FieldClash(
                (*path, "name"), "named twice", tank.name, "one name a tank",
                "loadings and parts go by it",
            )  # fmt: skip
        seen.add(tank.name.casefold())
        for key in ("station", "waterline"):
            told = getattr(tank, key) is not None
            if tank.shape is None and not told:
                yield FieldClash((*path, key), "where the fuel is", "nothing", f"{key}, or a shape")
            if tank.shape is not None and told:
                yield FieldClash(
                    (*path, key), "two places: the fuel's is measured on the shape",
                    mm(getattr(tank, key)), f"left out: shape.{key} says where the tank is",
                )  # fmt: skip
        if tank.shape is None:
            continue
        if tank.buttock_line != 0.0:
            yield FieldClash(
                (*path, "buttock_line"), "two places: the fuel's is measured on the shape",
                mm(tank.buttock_line), "left out: shape.buttock_line says where the tank is",
            )  # fmt: skip
        if not NAMED.fullmatch(tank.name):
            yield FieldClash(
                (*path, "name"), "it becomes part of file names", tank.name,
                "1 to 40 lower-case letters, digits, - and _",
            )  # fmt: skip
        yield from _tank_shape((*path, "shape"), tank.shape)
        yield from _last_fuel(path, tank, tank.shape)
        yield from _named_parts(p, (*path, "shape"), tank.shape)


def _named_parts(p: Parameters, path: Path, shape: TankShape) -> Iterator[FieldClash]:
    """Require that the parts are there which carry a tank, and those that are taken off."""
    known = weighable(p)
    for key, names in (("rests_on", shape.rests_on), ("off", shape.off)):
        for i, name in enumerate(names):
            if name not in known:
                yield FieldClash(
                    (*path, key, i), "no such part", name, ", ".join(known), perhaps(name, known)
                )
    if shape.off and shape.out is None:
        yield FieldClash(
            (*path, "off"), "nothing is taken off for a tank that need not come out",
            ", ".join(shape.off), "left out, or out with the side on which it comes out",
        )  # fmt: skip


def _tank_shape(path: Path, shape: TankShape) -> Iterator[FieldClash]:
    box, round_ = ("width", "height"), ("diameter", "axis")
    own, other = (box, round_) if shape.kind == "box" else (round_, box)
    for key in own:
        if getattr(shape, key) is None and key != "axis":
            yield FieldClash((*path, key), f"a {shape.kind} needs it", "nothing", "a length")
    for key in other:
        if getattr(shape, key) is not None:
            yield FieldClash((*path, key), f"a {shape.kind} has none", "a value", "left out")
    sides = [shape.length, shape.width, shape.height, shape.diameter]
    least = min(side for side in sides if side is not None)
    if 2 * shape.wall >= least:
        yield FieldClash(
            (*path, "wall"), "no room is left inside", mm(shape.wall),
            f"less than {mm(least / 2)}, half of its least side",
        )  # fmt: skip


def _last_fuel(path: Path, tank: Tank, shape: TankShape) -> Iterator[FieldClash]:
    """Require that the last fuel is inside of the tank."""
    across = shape.diameter or 0.0
    long, high = (
        (shape.length, shape.height or 0.0)
        if shape.kind == "box"
        else (shape.length if axis == (shape.axis or "x") else across for axis in "xz")
    )
    for key, low, middle, side in (
        ("low_station", tank.low_station, shape.station, long),
        ("low_waterline", tank.low_waterline, shape.waterline, high),
    ):
        half = side / 2 - shape.wall
        if low is not None and half > 0.0 and abs(low - middle) > half:
            yield FieldClash(
                (*path, key), "the last fuel is outside of the tank's room", mm(low),
                f"from {mm(middle - half)} to {mm(middle + half)}",
                by=((*path, "shape", key.removeprefix("low_")),),
            )  # fmt: skip


def air_of_the_neutral_point_is_there(p: Parameters) -> Iterator[FieldClash]:
    """Require [air] where static margins are to count from the computed air's neutral point."""
    if p.rules.neutral_point == BY_AIR and p.air is None:
        yield FieldClash(
            ("rules", "neutral_point"),
            "the file has no [air], so no air is computed to take the neutral point from",
            BY_AIR,
            f'"{ESTIMATED}", or [air] with the mass that the wing carries: mass = "265 kg"',
        )


RULES: tuple[Callable[[Parameters], Iterator[FieldClash]], ...] = (
    parts_are_there,
    items_have_a_place,
    weights_stand_on_the_machine,
    tanks_have_a_place,
    loads_name_their_pilots,
    loadings_can_be_worked_out,
    pilot_sits_where_he_weighs,
    air_of_the_neutral_point_is_there,
)

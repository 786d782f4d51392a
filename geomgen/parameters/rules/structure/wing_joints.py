"""Rules of joints where the outer wing comes off: ribs beside them, plates and pins that fit."""

from collections.abc import Callable, Iterator
from itertools import combinations

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.wing import (
    BOTH,
    BOX,
    CHANNEL,
    TUBE,
    Spar,
    WingJoint,
    skin_gap_of,
)
from geomgen.parameters.rules.clash import FieldClash, mm

Row = tuple[Path, Spar, WingJoint]


def _rows(p: Parameters) -> Iterator[Row]:
    for i, spar in enumerate(p.spars):
        if spar.wing_joint is not None:
            yield ("spars", i, "wing_joint"), spar, spar.wing_joint


def joints_have_a_web(p: Parameters) -> Iterator[FieldClash]:
    """Require a flat web whose face is free of caps where the plates are to lie."""
    for path, spar, joint in _rows(p):
        if spar.kind == TUBE:
            yield FieldClash(
                path, f"the spar {spar.name} is a tube: plates have no flat web to lie on",
                spar.kind, "a spar of kind box, C or caps and web",
            )  # fmt: skip
        elif spar.kind == CHANNEL and joint.side != spar.web_side:
            yield FieldClash(
                (*path, "side"), f"the web of the spar {spar.name} has its caps on that side",
                joint.side, spar.web_side, by=((*path[:-1], "web_side"),),
            )  # fmt: skip
        end = spar.end if spar.end is not None else joint.at + 1.0
        if not spar.start < joint.at < end:
            yield FieldClash(
                (*path, "at"), f"the spar {spar.name} does not run across it", mm(joint.at),
                f"between {mm(spar.start)} and " + ("the tip" if spar.end is None else mm(end)),
            )  # fmt: skip


def joints_have_ribs(p: Parameters) -> Iterator[FieldClash]:
    """Require ribs on both sides of a joint, one place of all joints of a surface, and a joint."""
    for path, spar, _ in _rows(p):
        if not any(row.of == spar.of and row.beside_joint for row in p.ribs):
            yield FieldClash(
                path, f"no rib stands on either side of the joint of the spar {spar.name}: where "
                "such loads come in the wing needs a rib of its own", "nothing",
                f'[[ribs]] of = "{spar.of}" with beside_joint = true',
            )  # fmt: skip
    for (_, one, a), (path, other, b) in combinations(_rows(p), 2):
        if one.of != other.of:
            continue
        for key, mine, theirs in (
            ("at", a.at, b.at),
            ("gap", a.gap, b.gap),
            ("skin_gap", skin_gap_of(a), skin_gap_of(b)),
        ):
            if mine != theirs:
                yield FieldClash(
                    (*path, key), f"the outer {one.of} comes off in one plane, and the spar "
                    f"{one.name} has another one", mm(theirs), mm(mine),
                )  # fmt: skip
                break
    for i, row in enumerate(p.ribs):
        if row.beside_joint and not any(spar.of == row.of for _, spar, _ in _rows(p)):
            yield FieldClash(
                ("ribs", i, "beside_joint"), f"no spar of the {row.of} has a joint", "true",
                "false, or a spar with wing_joint",
            )  # fmt: skip


def skins_cover_the_ribs(p: Parameters) -> Iterator[FieldClash]:
    """Require that no rib beside a joint stands out of the skin."""
    for path, spar, joint in _rows(p):
        if skin_gap_of(joint) > joint.gap:
            yield FieldClash(
                (*path, "skin_gap"), f"the ribs beside the joint of the spar {spar.name} would "
                "stand out of the skin", mm(skin_gap_of(joint)), f"<= {mm(joint.gap)}",
                by=((*path, "gap"),),
            )  # fmt: skip


def pins_are_in_the_plates(p: Parameters) -> Iterator[FieldClash]:
    """Require pitches of several pins, holes apart, within the lap and clear of the gap."""
    for path, spar, joint in _rows(p):
        hole = joint.pin_diameter + joint.pin_clearance
        for many, key, size in (
            ("pin_rows", "pin_pitch", joint.plate_depth),
            ("pin_columns", "pin_pitch_along", 2 * (joint.overlap - abs(joint.pins_off))),
        ):
            count, pitch = getattr(joint, many), getattr(joint, key)
            if count > 1 and pitch is None:
                yield FieldClash(
                    (*path, key), f"how far the pins of the spar {spar.name} stand apart",
                    "nothing", f"a pitch, or {many} = 1",
                )  # fmt: skip
            elif count > 1 and pitch <= hole:
                yield FieldClash(
                    (*path, key), "the holes run into each other", mm(pitch), f"> {mm(hole)}"
                )
            elif (count - 1) * (pitch or 0.0) + hole >= size:
                yield FieldClash(
                    (*path, key if count > 1 else "pin_diameter"),
                    "the holes run out of the plates where they lap",
                    mm((count - 1) * (pitch or 0.0) + hole) + " over all", f"< {mm(size)}",
                    by=((*path, "plate_depth" if many == "pin_rows" else "overlap"),),
                )  # fmt: skip
        yield from _columns(path, joint, hole)
        if joint.overlap + joint.gap >= joint.plate_length:
            yield FieldClash(
                (*path, "overlap"), "a plate is no longer on its own half than on the other one",
                mm(joint.overlap), f"< {mm(joint.plate_length - joint.gap)}",
                by=((*path, "plate_length"),),
            )  # fmt: skip


def _columns(path: Path, joint: WingJoint, hole: float) -> Iterator[FieldClash]:
    pitch = joint.pin_pitch_along or 0.0
    for i in range(joint.pin_columns):
        along = joint.pins_off + (i - (joint.pin_columns - 1) / 2) * pitch
        # A web that leans by less than 45 deg is cut no farther along it than this.
        if abs(along) - hole / 2 <= 0.71 * joint.gap:
            yield FieldClash(
                (*path, "pins_off"), "a pin stands in the gap of the joint, where no web is",
                f"{mm(along)} from the joint", f"more than {mm(hole / 2 + 0.71 * joint.gap)}",
                "two pin_columns, or pins_off",
            )  # fmt: skip
            break


def openings_fit(p: Parameters) -> Iterator[FieldClash]:
    """Require a second web for holes for nuts, and openings that do not run into each other."""
    for path, spar, joint in _rows(p):
        if joint.nut_hole is not None and (spar.kind != BOX or joint.side == BOTH):
            yield FieldClash(
                (*path, "nut_hole"), f"the pins of the spar {spar.name} go through all its webs",
                mm(joint.nut_hole), "nothing; only a box with plates on one face has another web",
                by=((*path, "side"),),
            )  # fmt: skip
        pitches = [pitch for count, pitch in ((joint.pin_rows, joint.pin_pitch),
                   (joint.pin_columns, joint.pin_pitch_along)) if count > 1 and pitch]  # fmt: skip
        for key in ("nut_hole", "access_hole"):
            hole, least = getattr(joint, key), min(pitches, default=None)
            if hole is not None and least is not None and hole >= least:
                yield FieldClash(
                    (*path, key), f"the openings of the spar {spar.name} run into each other",
                    mm(hole), f"< {mm(least)}, the least pitch of the pins",
                )  # fmt: skip


RULES: tuple[Callable[[Parameters], Iterator[FieldClash]], ...] = (
    joints_have_a_web,
    joints_have_ribs,
    skins_cover_the_ribs,
    pins_are_in_the_plates,
    openings_fit,
)


def wing_joint_clashes(p: Parameters) -> list[FieldClash]:
    """Return every clash of joints of the outer wing with other fields."""
    return [clash for rule in RULES for clash in rule(p)]

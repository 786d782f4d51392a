"""Targets of the propeller: clearances, gap to the trailing edge, ground, tip speed."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from geomgen import units
from geomgen.sizing.declaring import Group, declared, to_read
from geomgen.sizing.formulas import clearances, limits, propeller
from geomgen.sizing.formulas.limits import Limit, limit
from geomgen.sizing.target import Conversion, Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters

# A shaft may end so far ahead of the hub [mm]: own choice.
SHORT = 5.0

DISC = Group(
    "PROPELLER",
    "Limits are those of rules.clearances: 14 CFR 23.925 as it stood before Amdt 23-64, or "
    "CS 22.925 (sailplanes and powered sailplanes; it knows no smaller clearance by "
    "substantiation). [rules] may set others, each with its source.",
)
GROUND = Group(
    "GROUND",
    "Heights over the plane that touches all wheels' tyres. The weight is taken to stand on the "
    "centre plane, an eighth of the wheel base from the mains. Not seen: where it really stands, "
    "struts that wheels share, and the worst load.",
)


@declared(
    DISC,
    {
        "prop.radial_clearance": "Least distance from the swept tips to whatever stands in the "
        "blades' axial range; shake included. Limit: 1 in (14 CFR), 25 mm (CS).",
        "prop.axial_clearance": "Least gap along the shaft, from the swept volume's own face at "
        "each radius, to whatever stands within the tip radius; flex and shake included. "
        "Limit: 1/2 in (14 CFR), 13 mm (CS).",
    },
)
def _apart(p: "Parameters") -> Iterator[Target]:
    shaken = "shake included in the swept volume"
    rows = (
        ("radial", "blade tips to structure, radially", limits.radial_clearance(p), shaken),
        ("axial", "blades to fixed parts, along the shaft", limits.axial_clearance(p),
         f"flex and {shaken}"),
    )  # fmt: skip
    for key, what, least, how in rows:
        yield Target(
            f"prop.{key}_clearance",
            what,
            "at least",
            "mm",
            low=least.value,
            formula=f"rules.{key}_clearance, {how}",
            source=least.source,
            notices=(*least.notices, *_unshaken(p, key)),
        )


def _unshaken(p: "Parameters", key: str) -> Iterator[str]:
    """Yield what the swept volume has nothing of: a clearance by it proves little in flight."""
    own = ["mount_travel_axial", "flex"] if key == "axial" else ["mount_travel_radial"]
    for name in own:
        if getattr(p.propeller, name) == 0.0:
            what = "the tips bend" if name == "flex" else "the engine on its mounts carries it"
            yield (
                f"propeller.{name} is 0 mm or left out, so the swept volume is that of blades "
                f"that stand still; write how far {what}"
            )


@declared(
    DISC,
    {
        "prop.clearance": "Least true distance between swept volume and any fixed part, so also "
        "round the corner of the two above; of the engine what lies outside the hub. Limit: the "
        "lesser of both (own choice)."
    },
)
def _true(p: "Parameters") -> Iterator[Target]:
    least = limits.true_clearance(p)
    yield Target(
        "prop.clearance",
        "swept volume to fixed parts, straight across",
        "at least",
        "mm",
        low=least.value,
        formula="the lesser of rules.radial_clearance and rules.axial_clearance",
        source=least.source,
    )


@declared(
    DISC,
    {
        "prop.leg_clearance": "Least true distance between swept volume and any leg or wheel, "
        "while the axles are drawn up from no load by the static deflection, as at 1.5 times the "
        "load and until the struts are bottomed. A leg moves stiffly about its root. "
        "Limit: that of radial clearance."
    },
)
def _legs(p: "Parameters") -> Iterator[Target]:
    if p.gear is None:
        return
    least = limits.radial_clearance(p)
    yield Target(
        "prop.leg_clearance",
        "swept volume to legs and wheels, axles drawn up",
        "at least",
        "mm",
        low=least.value,
        formula="rules.radial_clearance, with the gear deflected",
        source=f"{least.source}; that it holds for a deflected gear: own choice",
        notices=least.notices,
    )


@declared(
    DISC,
    {
        "prop.spinner_clearance": "Room left round the spinner wherever the mounts let it shake. "
        "Limit: positive (14 CFR 23.925(d)(3))."
    },
)
def _spinner(p: "Parameters") -> Iterator[Target]:
    if p.spinner is None:
        return
    yield Target(
        "prop.spinner_clearance",
        "room round the spinner that is left when the engine shakes",
        "more than",
        "mm",
        low=0.0,
        formula="positive clearance, less both mount travels (propeller.mount_travel_*)",
        source=clearances.SPINNER[p.rules.clearances],
    )


@declared(
    DISC,
    {
        "prop.shaft_end": "Where the engine ends in a shaft: from its end, on the thrust line, to "
        "the front of the hub; negative inside it. Limit: 5 mm (own choice)."
    },
)
def _shaft(p: "Parameters") -> Iterator[Target]:
    if p.engine is not None:
        yield Target(
            "prop.shaft_end",
            "end of the shaft to the front of the hub",
            "at most",
            "mm",
            high=SHORT,
            formula="where the engine ends in a shaft, it reaches the front of the blades' roots",
            source="own choice: the spigot of a hub",
            advice="lengthen the shaft in engine.cylinders until it meets the hub, or move the "
            "blade plane forward",
            if_any=True,
        )


@declared(
    DISC,
    {
        "prop.trailing_edge_gap": "From every part of a trailing edge inside the disc (wing, "
        "tailplane, pylon, fins) to the blades, in local chords. Booms, hull, scoops and wheels "
        "are judged in millimetres only, by the clearances above. Limit: your own, "
        "rules.trailing_edge_gap (common practice)."
    },
)
def _edge_gap(p: "Parameters") -> Iterator[Target]:
    own = limit(p.rules.trailing_edge_gap)
    yield Target(
        "prop.trailing_edge_gap",
        "blades to the trailing edge ahead, in local chords",
        "at least",
        "chord",
        low=own.value,
        formula="rules.trailing_edge_gap",
        inputs=(("local chord", f"{local_chord(p):.1f} mm at BL {p.propeller.behind_at:g} mm"),),
        source=own.source,
    )


def local_chord(p: "Parameters") -> float:
    """Return the wing's chord [mm] at the buttock line that the propeller's place counts from."""
    rows = [(section.buttock_line, section.chord) for section in p.wing.sections]
    return propeller.chord_at(rows, p.propeller.behind_at)


@declared(
    GROUND,
    {
        "prop.ground_clearance.static": "Swept volume, standing and level. Limit: the rule set's, "
        "for the level, normal take-off and taxying attitude. 14 CFR: 7 in with a nosewheel, 9 in "
        "with a tailwheel; CS: 180 mm and 230 mm.",
        "prop.ground_clearance.take_off": "Nosewheel: nose up at gear.take_off_pitch "
        "(gear.rotation when left out). Limit: the same.",
        "prop.ground_clearance.tail_down": "Tailwheel: on all wheels. Limit: the same.",
        "prop.ground_clearance.rotated": "Nosewheel: nose up at gear.rotation. Limit: positive.",
        "prop.ground_clearance.flat_tyre": "Each tyre flat in turn, its strut bottomed: the least, "
        "and which tyre it is. Limit: positive.",
        "prop.ground_clearance.spring": "Leaf springs bent as at 1.5 g. Limit: positive.",
    },
)
def _ground(p: "Parameters") -> Iterator[Target]:
    absent = no_ground(p)
    layout = p.gear.layout if p.gear else "none"
    for key, what, least in _attitudes(p, layout):
        yield Target(
            f"prop.ground_clearance.{key}",
            f"blade tips to the ground, {what}",
            "at least" if least.value else "more than",
            "mm",
            low=least.value,
            formula="rules.ground_clearance" if least.value else "positive clearance",
            inputs=(("gear", layout),),
            source=least.source,
            severity="fail" if p.gear else "warn",
            notices=(*least.notices, *absent, *_stiff(p, key)),
        )


def _stiff(p: "Parameters", key: str) -> Iterator[str]:
    """Yield the wheels that the file lets give way by nothing: the ground is nearer than told."""
    from geomgen.parameters.records.landing_gear import travel_of

    for w in p.gear.wheels if p.gear else ():
        if w.deflection == 0.0:
            yield (
                f"gear.wheels.{w.name}: deflection is 0 mm or left out, so it stands as with no "
                "load on it; write how far tyre and strut give way"
            )
        if key == "flat_tyre.*" and w.flat == 0.0:
            yield (
                f"gear.wheels.{w.name}: flat is 0 mm or left out, so its flat tyre is as high as a "
                "full one; write how far the axle drops further"
            )
        if key == "flat_tyre.*" and p.gear is not None and travel_of(p.gear, w) == 0.0:
            yield (
                f"gear.wheels.{w.name}: travel and gear.strut_travel are 0 mm or left out, so its "
                "strut is bottomed as it stands; write how far it travels from there"
            )


def no_ground(p: "Parameters") -> tuple[str, ...]:
    """Return why there is no ground to measure to; nothing where there is one."""
    if p.gear is None:
        return ("the file has no [gear]: no ground to measure to",)
    mains = [w for w in p.gear.wheels if w.role == "main"]
    off = [w for w in mains if w.buttock_line != 0.0]
    if mains and not off:
        return (
            "all main wheels stand on the centre plane: the machine leans over, so there is no "
            "ground to measure to and no figure of how it stands; write the outriggers as wheels "
            'too (role = "main", off the centre plane, mirrored = true)',
        )
    if not any(w.mirrored for w in off):
        return (
            "no main wheel stands on the left (mirrored = false): the machine can't stand, so "
            "there is no ground to measure to; write mirrored = true for a wheel on each side",
        )
    if len(mains) == len(p.gear.wheels):
        return (
            "no nose or tail wheel: the machine can't stand, so there is no ground to measure to; "
            'write a wheel with role = "nose" or "tail"',
        )
    return ()


def _attitudes(p: "Parameters", layout: str) -> Iterator[tuple[str, str, Limit]]:
    """Return attitude, words and limit: the full clearance where the rules ask for it."""
    own, rule_set = limits.ground_clearance(p), p.rules.clearances
    yield "static", "standing and level, gear statically deflected", own
    if layout == "tailwheel":
        from geomgen.parameters.records.landing_gear import on_all_wheels

        yield "tail_down", on_all_wheels(p.gear) if p.gear else "on all wheels", own
    else:
        yield "take_off", "nose up as in a normal take-off", _take_off(p, own)
        pitched = Limit(0.0, clearances.PITCHED[rule_set])
        yield "rotated", "nose-up at rotation", pitched
    yield "flat_tyre.*", "tyre flat, strut bottomed", Limit(0.0, clearances.FLAT[rule_set])
    yield "spring", "leaf springs bent as at 1.5 g", Limit(0.0, clearances.SPRING[rule_set])


def _take_off(p: "Parameters", own: Limit) -> Limit:
    """Return the limit with the pitch that it is held to, where the file leaves that open."""
    if p.gear is None or p.gear.take_off_pitch is not None:
        return own
    words = (
        f"gear.take_off_pitch is left out: held to gear.rotation, {p.gear.rotation:g} deg, "
        "the nose-up pitch at rotation"
    )
    return own._replace(notices=(*own.notices, words))


def _mach_of_radius(p: "Parameters") -> Conversion:
    return Conversion(
        "prop.tip_radius",
        "mm",
        "prop.tip_mach",
        "Mach number of the blade tips",
        "Mach",
        lambda radius: drawn_tip_mach(p, 2 * (radius - p.propeller.mount_travel_radial)),
        f"from the measured tip radius less propeller.mount_travel_radial, at "
        f"{p.powerplant.rpm:g} rpm and {p.flight.level_speed:.2f} m/s",
    )


@declared(
    DISC,
    {
        "prop.tip_mach": "From the measured tip radius (less the shake), the propeller's rpm and "
        "the level speed. Limit: your own, rules.tip_mach (common practice)."
    },
    _mach_of_radius,
)
def _tip_mach(p: "Parameters") -> Iterator[Target]:
    own = limit(p.rules.tip_mach)
    mach = drawn_tip_mach(p, p.propeller.diameter)
    notices: tuple[str, ...] = ()
    if mach > own.value:
        notices = (f"the propeller as drawn reaches Mach {mach:.3f}, more than {own.value:g}",)
    yield Target(
        "prop.tip_mach",
        "Mach number of the blade tips",
        "at most",
        "Mach",
        high=own.value,
        formula="sqrt((pi D n)^2 + V^2) / a at level speed",
        inputs=(
            ("diameter as drawn", units.both(p.propeller.diameter, "length")),
            ("rotation", units.both(p.powerplant.rpm, "rotation")),
            ("level speed", units.both(p.flight.level_speed, "speed")),
            ("speed of sound", units.both(p.flight.sound_speed, "speed")),
            ("as drawn", f"Mach {mach:.4f}"),
        ),
        source=own.source,
        notices=notices,
    )


def drawn_tip_mach(p: "Parameters", diameter: float) -> float:
    """Return the Mach number [1] of the tips of a diameter [mm] at the file's level speed."""
    return propeller.tip_mach(
        diameter, p.powerplant.rpm, p.flight.level_speed, p.flight.sound_speed
    )


PROPELLER = (
    *(_apart, _true, _legs, _spinner, _shaft, _edge_gap, _ground, _tip_mach),
    to_read(DISC, "prop.tip_radius", "mm"),
)

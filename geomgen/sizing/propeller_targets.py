"""Targets of the propeller: clearances, gap to the trailing edge, ground, tip speed."""

from collections.abc import Iterator

from geomgen import units
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.landing_gear import on_all_wheels
from geomgen.sizing import clearances, limits, propeller
from geomgen.sizing.limits import Limit, limit
from geomgen.sizing.shaft import ends_in_shaft
from geomgen.sizing.target import Target

# A shaft may end so far ahead of the hub [mm]: own choice.
SHORT = 5.0


def propeller_targets(p: Parameters) -> tuple[Target, ...]:
    """Return the targets of the propeller: clearances, gap to the trailing edge, tip speed."""
    shaken = "shake included in the swept volume"
    rows = (
        ("radial", "blade tips to structure, radially", limits.radial_clearance(p), shaken),
        ("axial", "blades to fixed parts, along the shaft", limits.axial_clearance(p),
         f"flex and {shaken}"),
    )  # fmt: skip
    return (
        *(
            Target(
                f"prop.{key}_clearance",
                what,
                "at least",
                "mm",
                low=least.value,
                formula=f"rules.{key}_clearance, {how}",
                source=least.source,
                notices=least.notices,
            )
            for key, what, least, how in rows
        ),
        _true(p),
        *_spinner(p),
        *_shaft(p),
        _edge_gap(p),
        *_ground(p),
        _tip_mach(p),
    )


def _true(p: Parameters) -> Target:
    least = limits.true_clearance(p)
    return Target(
        "prop.clearance",
        "swept volume to fixed parts, straight across",
        "at least",
        "mm",
        low=least.value,
        formula="the lesser of rules.radial_clearance and rules.axial_clearance",
        source=least.source,
    )


def _spinner(p: Parameters) -> Iterator[Target]:
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


def _shaft(p: Parameters) -> Iterator[Target]:
    if ends_in_shaft(p):
        yield Target(
            "prop.shaft_end",
            "end of the shaft to the front of the hub",
            "at most",
            "mm",
            high=SHORT,
            formula="the shaft reaches the hub, whose front is that of the blades' roots",
            source="own choice: the spigot of a hub",
            advice="lengthen the shaft in engine.cylinders until it meets the hub, or move the "
            "blade plane forward",
        )


def _edge_gap(p: Parameters) -> Target:
    own = limit(p.rules.trailing_edge_gap)
    return Target(
        "prop.trailing_edge_gap",
        "blades to the trailing edge ahead, in local chords",
        "at least",
        "chord",
        low=own.value,
        formula="rules.trailing_edge_gap",
        inputs=(("local chord", f"{local_chord(p):.1f} mm at BL {p.propeller.behind_at:g} mm"),),
        source=own.source,
    )


def local_chord(p: Parameters) -> float:
    """Return the wing's chord [mm] at the buttock line that the propeller's place counts from."""
    rows = [(section.buttock_line, section.chord) for section in p.wing.sections]
    return propeller.chord_at(rows, p.propeller.behind_at)


def _ground(p: Parameters) -> Iterator[Target]:
    absent = _no_ground(p)
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
            notices=least.notices + absent,
        )


def _no_ground(p: Parameters) -> tuple[str, ...]:
    if p.gear is None:
        return ("the file has no [gear]: no ground to measure to",)
    if not any(w.role == "main" and w.mirrored for w in p.gear.wheels):
        return (
            "no main wheel stands on the left (mirrored = false): the machine can't stand, so "
            "there is no ground to measure to; write mirrored = true for a wheel on each side",
        )
    return ()


def _attitudes(p: Parameters, layout: str) -> Iterator[tuple[str, str, Limit]]:
    """Return attitude, words and limit: the full clearance where the rules ask for it."""
    own, rule_set = limits.ground_clearance(p), p.rules.clearances
    yield "static", "standing and level, gear statically deflected", own
    if layout == "tailwheel":
        yield "tail_down", on_all_wheels(p.gear) if p.gear else "on all wheels", own
    else:
        yield "take_off", "nose up as in a normal take-off", _take_off(p, own)
        pitched = Limit(0.0, clearances.PITCHED[rule_set])
        yield "rotated", "nose-up at rotation", pitched
    yield "flat_tyre.*", "tyre flat, strut bottomed", Limit(0.0, clearances.FLAT[rule_set])
    yield "spring", "leaf springs bent as at 1.5 g", Limit(0.0, clearances.SPRING[rule_set])


def _take_off(p: Parameters, own: Limit) -> Limit:
    """Return the limit with the pitch that it is held to, where the file leaves that open."""
    if p.gear is None or p.gear.take_off_pitch is not None:
        return own
    words = (
        f"gear.take_off_pitch is left out: held to gear.rotation, {p.gear.rotation:g} deg, "
        "the nose-up pitch at rotation"
    )
    return own._replace(notices=(*own.notices, words))


def _tip_mach(p: Parameters) -> Target:
    own = limit(p.rules.tip_mach)
    mach = drawn_tip_mach(p, p.propeller.diameter)
    notices: tuple[str, ...] = ()
    if mach > own.value:
        notices = (f"the propeller as drawn reaches Mach {mach:.3f}, more than {own.value:g}",)
    return Target(
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


def drawn_tip_mach(p: Parameters, diameter: float) -> float:
    """Return the Mach number [1] of the tips of a diameter [mm] at the file's level speed."""
    return propeller.tip_mach(
        diameter, p.powerplant.rpm, p.flight.level_speed, p.flight.sound_speed
    )

"""Targets of the cooling air's way in: mouths, throats, turn; the warning about units of speed."""

from collections.abc import Iterator
from dataclasses import replace
from math import cos, pi, radians
from typing import TYPE_CHECKING

from geomgen import units
from geomgen.sizing.declaring import Group, declared
from geomgen.sizing.formulas import cooling
from geomgen.sizing.formulas.limits import limit
from geomgen.sizing.target import Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters
    from geomgen.parameters.records.engine_bay import Scoop

COOLING = Group("COOLING AIR", "SCOOP stands for the part's name, such as scoop_cheek_right.")

# How far a measured mouth may be off the drawn one, both ways; ours, a check of the build.
MOUTH_BAND = 0.02
OURS = "set by geomgen: the solid has to have the area that was drawn"
NO_FAN = "the file has no engine.fan_face: nothing to measure to"
NO_SCOOPS = "the file has no [[scoops]]: no inlet to measure"
INLET_RULE = "inlet [ft^2] = shaft power [bhp] / (2.2 x climb speed [ft/s])"


def part_names(scoop: "Scoop") -> tuple[str, ...]:
    """Return the names of the one or two parts that a scoop of the file stands for.

    On the centre plane (above or below the pod) a scoop is its own mirror image and stands once.

    >>> from types import SimpleNamespace
    >>> part_names(SimpleNamespace(name="side", mirrored=True, clock_angle=0.0))
    ('scoop_side_right', 'scoop_side_left')
    >>> part_names(SimpleNamespace(name="top", mirrored=True, clock_angle=90.0))
    ('scoop_top',)
    """
    name = f"scoop_{scoop.name}"
    if not scoop.mirrored or abs(cos(radians(scoop.clock_angle))) < 1e-9:
        return (name,)
    return (f"{name}_right", f"{name}_left")


def drawn_mouth(scoop: "Scoop") -> float:
    """Return the area of a mouth as drawn [mm2]: a rectangle with rounded corners.

    Equation: A = w h - (4 - pi) r^2. Source: plane geometry. Status: DERIVED.

    >>> from types import SimpleNamespace
    >>> round(drawn_mouth(SimpleNamespace(width=100.0, height=80.0, corner_radius=20.0)), 3)
    7656.637
    """
    return scoop.width * scoop.height - (4 - pi) * scoop.corner_radius**2


def needed_inlet(p: "Parameters") -> float:
    """Return the inlet area that the inlet rule of thumb asks for [mm2]."""
    return cooling.inlet_area(p.powerplant.power, p.flight.climb_speed)


def power_and_speed(p: "Parameters") -> tuple[tuple[str, str], ...]:
    """Return the inputs of the inlet rule of thumb in the units of its formula."""
    feet = cooling.FOOT_PER_SECOND
    written = p.written.get("flight.climb_speed")
    return (
        ("shaft power", f"{p.powerplant.power / cooling.HORSEPOWER:.2f} bhp"),
        (
            "climb speed",
            f"{p.flight.climb_speed / feet:.2f} ft/s"
            + (f" (written as {written})" if written else "")
            + f", +/- {p.flight.climb_speed_band / feet:.2f} ft/s",
        ),
    )


def unit_notice(p: "Parameters") -> str | None:
    """Return the warning that the climb speed was not written in ft/s; None when it was.

    It gives the right area, and what the number as it stands would have given.
    """
    written = p.written.get("flight.climb_speed", "")
    apart = units.taken_apart(written, "speed")
    if apart is None:
        return None
    factor = units.parse(f"1 {apart[1]}", "speed")
    if abs(factor / cooling.FOOT_PER_SECOND - 1) < 1e-9:
        return None
    number = p.flight.climb_speed / factor
    right = needed_inlet(p)
    wrong = cooling.inlet_area(p.powerplant.power, number * cooling.FOOT_PER_SECOND)
    off = (
        f"{(wrong / right - 1) * 100:.0f} % too much"
        if wrong > right
        else f"{(1 - wrong / right) * 100:.0f} % too little, and the engine runs hot"
    )
    return (
        f"UNITS: the climb speed is written as {written.strip()}, the inlet rule takes ft/s. "
        f"Right: {p.flight.climb_speed / cooling.FOOT_PER_SECOND:.2f} ft/s, which asks for "
        f"{units.both(right, 'area')}. Had {number:.6g} been fed in as it stands: "
        f"{units.both(wrong, 'area')}, {off}."
    )


@declared(
    COOLING,
    {
        "inlet.area, inlet.area.SCOOP": "The open area in the plane of each mouth, with everything "
        "that stands there. Limit: all mouths, bhp / (2.2 V), V in ft/s (inlet rule of thumb, "
        "source not checked); each mouth, as drawn."
    },
)
def _inlet(p: "Parameters") -> Iterator[Target]:
    need = needed_inlet(p)
    drawn = sum(drawn_mouth(s) * len(part_names(s)) for s in p.scoops)
    notices = [n for n in (NO_SCOOPS if not p.scoops else None, unit_notice(p)) if n]
    if p.scoops and drawn < need:
        notices.append(
            f"the mouths as drawn add up to {units.both(drawn, 'area')}, less than the "
            f"{units.both(need, 'area')} that the inlet rule asks for: enlarge scoops, width or "
            f"height"
        )
    band = cooling.inlet_band(p.powerplant.power, p.flight.climb_speed, p.flight.climb_speed_band)
    if band is None:
        notices.append("flight.climb_speed_band reaches down to standstill: no band can be given")
    yield Target(
        "inlet.area",
        "area of all mouths together",
        "at least",
        "mm2",
        low=need,
        formula=INLET_RULE,
        inputs=power_and_speed(p),
        band=band,
        source="inlet rule of thumb, source not checked",
        severity="fail" if p.scoops else "warn",
        notices=tuple(notices),
    )


@declared(
    COOLING,
    {
        "duct.throat_area.SCOOP": "Least area along the passage, in planes turned and moved until "
        "they cut the least (the error bound covers the least that was found); that the passage is "
        "open and reaches the bay. Limit: rules.throat_to_mouth x the mouth as drawn.",
        "duct.turn_angle.SCOOP": "Total turn from mouth to fan, with its parts at the mouth, in "
        "the passage, in the bay and at the fan. Limit: your own, rules.duct_turn.",
        "inlet.way.SCOOP, exit.way": "The least open area of the whole way, with every part that "
        "stands there: from the free air ahead of the mouth (as far as the mouth is large) to the "
        "fan; from the engine to the free air behind the rim. Looked for in cells, and by planes "
        "laid across the stream. A place that is narrower is named, with its own error bound; "
        "otherwise the figure of the planes holds, and the note says how much narrower a place "
        "could go unseen between those planes or round a plate's edge (on the saltmarsh example a "
        "third of a mouth, two fifths of the exit). Limit: as throat and exit.",
    },
)
def _scoops(p: "Parameters") -> list[Target]:
    return [t for s in p.scoops for name in part_names(s) for t in _scoop(p, s, name)]


def _scoop(p: "Parameters", s: "Scoop", name: str) -> tuple[Target, ...]:
    drawn = drawn_mouth(s)
    sides = (
        ("width", f"{s.width:g} mm"),
        ("height", f"{s.height:g} mm"),
        ("corner radius", f"{s.corner_radius:g} mm"),
    )
    throat, turn = limit(p.rules.throat_to_mouth), limit(p.rules.duct_turn)
    absent = () if p.engine and p.engine.fan_face else (NO_FAN,)
    passage = Target(
        f"duct.throat_area.{name}",
        f"least area along the passage of {name}",
        "at least",
        "mm2",
        low=throat.value * drawn,
        formula="rules.throat_to_mouth x mouth as drawn",
        inputs=(("throat to mouth", f"{throat.value:g}"), *sides),
        source=throat.source,
        notices=throat.notices,
    )
    return (
        Target(
            f"inlet.area.{name}",
            f"area of the mouth of {name}",
            "between",
            "mm2",
            low=drawn * (1 - MOUTH_BAND),
            high=drawn * (1 + MOUTH_BAND),
            formula="mouth as drawn = w h - (4 - pi) r^2, within 2 %",
            inputs=sides,
            source=OURS,
        ),
        passage,
        replace(
            passage,
            id=f"inlet.way.{name}",
            what=f"least area from the free air ahead of {name} to the fan",
            notices=(),
            advice=_wider(p, s),
        ),
        Target(
            f"duct.turn_angle.{name}",
            f"turn of the air from {name} into the fan",
            "at most",
            "deg",
            high=turn.value,
            formula="rules.duct_turn",
            source=turn.source,
            severity="warn" if absent else "fail",
            notices=absent,
            advice=_straighter(p, s),
        ),
    )


@declared(
    COOLING,
    {
        "inlet.way": "With more than one mouth, the least open area of all their ways to the fan "
        "together: the sum of the ways; where ways meet in a place that is narrower than they are "
        "in sum, that place once. Ways that stay apart (a fan each, separate bays) are the sum; "
        "how a fan shares its draught between them is not measured. Limit: rules.throat_to_mouth "
        "x all mouths as drawn."
    },
)
def _all_ways(p: "Parameters") -> tuple[Target, ...]:
    mouths = [drawn_mouth(scoop) for scoop in p.scoops for _ in part_names(scoop)]
    if len(mouths) < 2:
        return ()
    throat = limit(p.rules.throat_to_mouth)
    told = "what several mouths share has to serve them all: move what narrows it out of the way"
    return (
        Target(
            "inlet.way",
            "least area from the free air ahead of all mouths to the fan",
            "at least",
            "mm2",
            low=throat.value * sum(mouths),
            formula="rules.throat_to_mouth x all mouths as drawn",
            inputs=(
                ("throat to mouth", f"{throat.value:g}"),
                ("mouths", str(len(mouths))),
                ("together as drawn", units.both(sum(mouths), "area")),
            ),
            source=throat.source,
            advice=told,
        ),
    )


def _wider(p: "Parameters", s: "Scoop") -> str:
    """Return what to do where something stands in the way of a scoop's air."""
    told = f"move what narrows it out of the way, or let scoops.{s.name}.passage_length be longer"
    if p.firewall.flange > 0 and p.firewall.flange_direction == "aft":
        told += (
            "; if that is the firewall: its flange looks aft, where the passage opens, "
            'and firewall.flange_direction = "forward" turns it away'
        )
    return told


def _straighter(p: "Parameters", s: "Scoop") -> str:
    """Return which keys make the turn of a scoop's air less; empty without a fan face.

    The bay and the fan hold most of it: there the passage's end and the fan want to be far apart.
    """
    fan = p.engine.fan_face if p.engine else None
    if fan is None:
        return ""
    key, face = f"scoops.{s.name}", "engine.fan_face"
    if fan.facing != "forward":
        least = 180 if fan.facing == "aft" else 90
        return (
            f"to lower it: the fan looks {fan.facing}, which alone turns the air from ahead by "
            f'{least} deg; {face}.facing = "forward" asks for no turn of its own'
        )
    ahead = f"a larger {key}.mouth_ahead" if s.mouth == "at firewall" else f"a smaller {key}.mouth"
    return (
        f"to lower it: the fan farther aft (a larger {face}.station), the mouth farther ahead "
        f"({ahead}), a shorter {key}.passage_length, or the fan more in line with the passage "
        f"({face}.buttock_line, {face}.waterline)"
    )


AIR = (_inlet, _all_ways, _scoops)

"""Targets of the cooling air: mouths, exit, throats, turn; and the warning about units of speed."""

from dataclasses import replace
from math import cos, pi, radians

from geomgen import units
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.engine_bay import Scoop
from geomgen.sizing import cooling
from geomgen.sizing.limits import limit
from geomgen.sizing.target import Target

# How far a measured mouth may be off the drawn one, both ways; ours, a check of the build.
MOUTH_BAND = 0.02
OURS = "set by geomgen: the solid has to have the area that was drawn"
NO_FAN = "the file has no engine.fan_face: nothing to measure to"
NO_SCOOPS = "the file has no [[scoops]]: no inlet to measure"
INLET_RULE = "inlet [ft^2] = shaft power [bhp] / (2.2 x climb speed [ft/s])"


def air_targets(p: Parameters) -> tuple[Target, ...]:
    """Return the targets of inlet, exit and passages, areas in mm^2."""
    per_scoop = [
        t for scoop in p.scoops for name in part_names(scoop) for t in _scoop(p, scoop, name)
    ]
    return (_inlet(p), *_all_ways(p), *per_scoop, _exit(p), _exit_way(p), _ratio(p), _by_heat(p))


def part_names(scoop: Scoop) -> tuple[str, ...]:
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


def drawn_mouth(scoop: Scoop) -> float:
    """Return the area of a mouth as drawn [mm^2]: a rectangle with rounded corners.

    Equation: A = w h - (4 - pi) r^2. Source: plane geometry. Status: DERIVED.

    >>> from types import SimpleNamespace
    >>> round(drawn_mouth(SimpleNamespace(width=100.0, height=80.0, corner_radius=20.0)), 3)
    7656.637
    """
    return scoop.width * scoop.height - (4 - pi) * scoop.corner_radius**2


def needed_inlet(p: Parameters) -> float:
    """Return the inlet area that the inlet rule of thumb asks for [mm^2]."""
    return cooling.inlet_area(p.powerplant.power, p.flight.climb_speed)


def power_and_speed(p: Parameters) -> tuple[tuple[str, str], ...]:
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


def unit_notice(p: Parameters) -> str | None:
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


def _inlet(p: Parameters) -> Target:
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
    return Target(
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


def _scoop(p: Parameters, s: Scoop, name: str) -> tuple[Target, ...]:
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


def _all_ways(p: Parameters) -> tuple[Target, ...]:
    """Return the target of the ways from several mouths together; none where there is one mouth."""
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


def _wider(p: Parameters, s: Scoop) -> str:
    """Return what to do where something stands in the way of a scoop's air."""
    told = f"move what narrows it out of the way, or let scoops.{s.name}.passage_length be longer"
    if p.firewall.flange > 0 and p.firewall.flange_direction == "aft":
        told += (
            "; if that is the firewall: its flange looks aft, where the passage opens, "
            'and firewall.flange_direction = "forward" turns it away'
        )
    return told


def _straighter(p: Parameters, s: Scoop) -> str:
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


def _exit(p: Parameters) -> Target:
    ratio, spread = limit(p.rules.exit_to_inlet), limit(p.rules.exit_to_inlet_band)
    share = ratio.value * (1 - spread.value)
    band = cooling.inlet_band(p.powerplant.power, p.flight.climb_speed, p.flight.climb_speed_band)
    return Target(
        "exit.area",
        "least area of the exit",
        "at least",
        "mm2",
        low=cooling.exit_area(needed_inlet(p), share),
        formula="rules.exit_to_inlet x (1 - rules.exit_to_inlet_band) x inlet needed",
        inputs=(
            ("exit to inlet", f"{ratio.value:g}"),
            ("its band", f"{spread.value:g}"),
            *power_and_speed(p),
        ),
        band=None if band is None else (band[0] * share, band[1] * share),
        source=ratio.source,
        notices=_closed(p),
        severity="fail" if p.scoops else "warn",
    )


def _exit_way(p: Parameters) -> Target:
    same = _exit(p)
    what = "least area from the engine to the free air behind the rim"
    return replace(same, id="exit.way", what=what, notices=())


def _closed(p: Parameters) -> tuple[str, ...]:
    """Return a notice where the file leaves the cooling air no way out."""
    if p.pod.tail == "open":
        return ()
    return (
        f'NO EXIT: pod.tail is "{p.pod.tail}", which closes the aft end; the cooling air leaves '
        'through an open one (pod.tail = "open"), with or without an [exit]',
    )


def _by_heat(p: Parameters) -> Target:
    """Return the exit that engine heat and pressure need: a second opinion beside the ratio."""
    estimate, spread = estimate_of(p), p.cooling.spread
    area = estimate.area
    rule = cooling.exit_area(needed_inlet(p), p.rules.exit_to_inlet.value)
    return Target(
        "exit.area_by_heat",
        "least area of the exit, against that needed by engine heat and pressure",
        "at least",
        "mm2",
        low=None if area is None else area * (1 - spread),
        formula="(1 - cooling.spread) x flow / (density of the warm air x speed at the exit)",
        inputs=(
            ("estimate", estimate.words),
            ("spread of heat and warming", f"{spread:g}"),
            *(
                ()
                if area is None
                else (("as a multiple of the area by rules.exit_to_inlet", f"{area / rule:.2f}"),)
            ),
        ),
        band=None if area is None else (area * (1 - spread), area * (1 + spread)),
        source="energy balance and Bernoulli's equation; its inputs are the file's, or own choice",
        severity="fail" if p.scoops else "warn",
        wanted=area,
        hopeless="" if area is not None else f"{estimate.words}; check cooling.baffle_drop",
    )


def estimate_of(p: Parameters) -> cooling.ExitEstimate:
    """Return the exit by heat and pressure, see `cooling.exit_estimate`."""
    return cooling.exit_estimate(
        heat=p.cooling.heat_fraction * p.powerplant.power,
        rise=p.cooling.air_rise,
        density=p.flight.air_density,
        speed=p.flight.climb_speed,
        sound_speed=p.flight.sound_speed,
        recovery=p.cooling.recovery,
        drop=p.cooling.baffle_drop,
        exit_pressure=p.cooling.exit_pressure,
    )


def _ratio(p: Parameters) -> Target:
    ratio, spread = limit(p.rules.exit_to_inlet), limit(p.rules.exit_to_inlet_band)
    return Target(
        "exit.to_inlet_ratio",
        "exit area over inlet area",
        "at least",
        "1",
        low=ratio.value * (1 - spread.value),
        usual=ratio.value * (1 + spread.value),
        formula="rules.exit_to_inlet x (1 - rules.exit_to_inlet_band); warns above "
        "rules.exit_to_inlet x (1 + rules.exit_to_inlet_band)",
        inputs=(("exit to inlet", f"{ratio.value:g}"), ("its band", f"{spread.value:g}")),
        source=ratio.source,
        severity="fail" if p.scoops else "warn",
        notices=() if p.scoops else (NO_SCOOPS,),
    )

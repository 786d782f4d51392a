"""Rules of the pilot: his lengths are known and go together, legs and arms reach; the canopy."""

from collections.abc import Callable, Iterator
from itertools import pairwise
from math import sqrt

from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.pilot import GLAZED, LINE, SURVEY, Pilot, sitters
from geomgen.parameters.rules.clash import FieldClash, mm
from geomgen.parameters.rules.seated import (
    LimbBend,
    Point,
    arm_of,
    bones_of,
    fist_of,
    leg_of,
    lengths_of,
    pedal_of,
    trunk_of,
)

# The lesser length, the greater one.
ORDER = (
    ("shoulder_height", "eye_height"),
    ("eye_height", "sitting_height"),
    ("thigh_thickness", "hip_breadth"),
)


def pilot_is_known(p: Parameters) -> Iterator[FieldClash]:
    """Require every length of the pilot, by itself or by a percentile, in a possible order."""
    if p.pilot is None:
        return
    lengths = lengths_of(p.pilot)
    for key in SURVEY:
        if key not in lengths:
            yield FieldClash(
                ("pilot", key),
                "this length of the pilot is missing",
                "nothing",
                'a length, or pilot.percentile = "50th man" and the like',
                "measure yourself, seated upright",
            )
    for less, more in ORDER:
        if less in lengths and more in lengths and lengths[less] >= lengths[more]:
            written = more if getattr(p.pilot, more) is not None else less
            yield FieldClash(
                ("pilot", written),
                f"{less} and {more} don't go together",
                mm(lengths[written]),
                f"{less} ({mm(lengths[less])}) less than {more} ({mm(lengths[more])})",
                by=(("pilot", less if written == more else more),),
            )


def limbs_reach(p: Parameters) -> Iterator[FieldClash]:
    """Require that feet reach the pedals and hands the stick, knees and elbows not bent too far."""
    for whose, pilot in sitters(p.pilot) if p.pilot else ():
        lengths = lengths_of(pilot)
        if len(lengths) == len(SURVEY):
            yield from _limbs_reach(whose, pilot, lengths)


def _limbs_reach(whose: str, pilot: Pilot, lengths: dict[str, float]) -> Iterator[FieldClash]:
    trunk, bones = trunk_of(pilot, lengths), bones_of(lengths)
    pedal, fist = pedal_of(pilot), fist_of(pilot)
    if pedal[0] >= trunk.hip[0]:
        yield FieldClash(
            ("pilot", "pedal_station"),
            f"the pedals are not ahead of the hips{whose}",
            mm(pedal[0]),
            f"less than {mm(round(trunk.hip[0], 1))}",
            by=(("pilot", "seat_station"),),
        )
    else:
        words = (f"the legs{whose} don't reach the pedals", f"no knee{whose} bends so far")
        leg = leg_of(trunk, bones, pedal)
        yield from _reached(pilot, "pedal_station", trunk.hip, pedal, leg, words)
    words = (f"the arms{whose} don't reach the stick", f"no elbow{whose} bends so far")
    arm = arm_of(trunk, bones, fist)
    yield from _reached(pilot, "hand_station", trunk.shoulder, fist, arm, words)


def _reached(
    pilot: Pilot, key: str, start: Point, end: Point, found: LimbBend, words: tuple[str, str]
) -> Iterator[FieldClash]:
    if found.joint is not None:
        return
    far = found.apart > found.most
    off = found.apart - found.most if far else found.least - found.apart
    yield FieldClash(
        ("pilot", key),
        f"{words[0] if far else words[1]}: {off:.0f} mm too {'far' if far else 'near'}",
        mm(getattr(pilot, key)),
        _stations(start, end, found),
        f"from joint to joint {found.least:.0f} to {found.most:.0f} mm; here {found.apart:.0f} mm",
        by=(("pilot", "seat_station"), ("pilot", key.replace("station", "waterline"))),
    )


def _stations(start: Point, end: Point, found: LimbBend) -> str:
    """Return the stations that would do at this waterline and buttock line."""
    beside = (end[1] - start[1]) ** 2 + (end[2] - start[2]) ** 2
    if found.most**2 <= beside:
        return "nothing at this waterline and buttock line"
    fore = start[0] - sqrt(found.most**2 - beside)
    aft = start[0] - sqrt(max(found.least**2 - beside, 0.0))
    return f"from {fore:.0f} mm to {aft:.0f} mm at this waterline"


def canopy_lies_on_the_pod(p: Parameters) -> Iterator[FieldClash]:
    """Require that the glass begins ahead of its end, both on the pod."""
    if p.canopy is None:
        return
    first, last = p.pod.stations[0].station, p.pod.stations[-1].station
    if not first <= p.canopy.fore_station < last:
        yield FieldClash(
            ("canopy", "fore_station"),
            "not on the pod",
            mm(p.canopy.fore_station),
            f"from {mm(first)} to less than {mm(last)}",
            by=(("pod", "stations"),),
        )
    elif not p.canopy.fore_station < p.canopy.aft_station <= last:
        yield FieldClash(
            ("canopy", "aft_station"),
            "the glass must end behind its fore end, on the pod",
            mm(p.canopy.aft_station),
            f"more than {mm(p.canopy.fore_station)}, at most {mm(last)}",
            by=(("canopy", "fore_station"),),
        )


def sills_lie_on_the_pod(p: Parameters) -> Iterator[FieldClash]:
    """Require of both ends of the sill: not below the keel, above the crown there is no glass.

    Between two stations of the pod the lower of their keels counts and the higher of their crowns:
    the line drawn through them is not known here.
    """
    if p.canopy is None:
        return
    for end in ("fore", "aft"):
        at, sill = getattr(p.canopy, f"{end}_station"), getattr(p.canopy, f"{end}_sill")
        beside = _beside(p, at)
        if not beside:
            continue
        stations = p.pod.stations
        low = min(beside, key=lambda i: stations[i].keel)
        high = max(beside, key=lambda i: stations[i].crown)
        keel, crown = stations[low].keel, stations[high].crown
        if sill < keel:
            yield FieldClash(
                ("canopy", f"{end}_sill"),
                f"below the pod's keel, where the glass ends at station {mm(at)}",
                mm(sill),
                f"at least {mm(keel)}",
                by=(("pod", "stations", low, "keel"),),
            )
        if sill > crown:
            yield FieldClash(
                ("canopy", f"{end}_sill"),
                f"above the pod's crown, where the glass ends at station {mm(at)}: what lies above "
                "the sill is glass, and nothing of the pod does",
                mm(sill),
                f"at most {mm(crown)}",
                by=(("pod", "stations", high, "crown"),),
            )


def _beside(p: Parameters, at: float) -> list[int]:
    """Return the numbers of the pod's stations beside a station [mm], its own alone at one."""
    rows = [s.station for s in p.pod.stations]
    own = [i for i, station in enumerate(rows) if station == at]
    between = [i for i, (one, other) in enumerate(pairwise(rows)) if one < at < other]
    return own or [k for i in between for k in (i, i + 1)]


def glazing_is_described(p: Parameters) -> Iterator[FieldClash]:
    """Require of a canopy of its own how thick it is and what of; it ends ahead of the bay."""
    c = p.canopy
    if c is None or c.built_as == LINE:
        return
    for key in ("thickness", "material") if c.built_as == GLAZED else ():
        if getattr(c, key) is None:
            yield FieldClash(
                ("canopy", key),
                "nothing is said of the glazing",
                "nothing",
                f"a {key}",
                by=(("canopy", "built_as"),),
            )
    ends = {"fore_station": p.pod.stations[0].station, "aft_station": p.firewall.station}
    if c.fore_station <= ends["fore_station"] + p.pod.wall:
        yield FieldClash(
            ("canopy", "fore_station"),
            "the opening takes the pod's front end away",
            mm(c.fore_station),
            f"more than {mm(ends['fore_station'] + p.pod.wall)}",
            by=(("canopy", "built_as"), ("pod", "wall")),
        )
    if c.aft_station >= ends["aft_station"]:
        yield FieldClash(
            ("canopy", "aft_station"),
            "the opening reaches the firewall, which needs a closed pod round it",
            mm(c.aft_station),
            f"less than {mm(ends['aft_station'])}",
            by=(("canopy", "built_as"), ("firewall", "station")),
        )
    if c.built_as == GLAZED and 2 * c.gap >= c.aft_station - c.fore_station:
        yield FieldClash(
            ("canopy", "gap"),
            "the joint leaves no glazing",
            mm(c.gap),
            f"less than {mm((c.aft_station - c.fore_station) / 2)}",
            by=(("canopy", "fore_station"), ("canopy", "aft_station")),
        )


RULES: tuple[Callable[[Parameters], Iterator[FieldClash]], ...] = (
    pilot_is_known,
    limbs_reach,
    canopy_lies_on_the_pod,
    glazing_is_described,
    sills_lie_on_the_pod,
)

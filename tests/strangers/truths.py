"""What a parameter file says of sizes and places, worked out by hand from its numbers."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, dist, hypot, pi, radians, sin, tan

from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.engine_bay import Scoop
from geomgen.parameters.records.landing_gear import Leg, Wheel

Three = tuple[float | None, float | None, float | None]
NOTHING: Three = (None, None, None)


@dataclass(frozen=True)
class Expected:
    """A part's box, None where the file does not say; its least and largest volume [mm, mm3].

    `room` is how far the box may be off beside the tolerances.
    """

    part: str
    low: Three = NOTHING
    high: Three = NOTHING
    volume: tuple[float, float] | None = None
    room: float = 0.0


def expected(p: Parameters) -> Iterator[Expected]:
    """Yield what is known of parts without building them."""
    trimmed = {joint.trim for joint in p.joints}
    yield _disc(p)
    if p.spinner:
        yield _spinner(p)
    for wheel in p.gear.wheels if p.gear else ():
        yield _wheel(wheel)
        if wheel.leg is not None:
            yield _leg(wheel, wheel.leg)
    if p.engine:
        yield _engine(p)
    yield _pod(p)
    yield _booms(p, "boom" in trimmed)
    tip = p.wing.sections[-1].buttock_line
    yield Expected("wing", (None, -tip, None), (None, tip, None))
    if p.tailplane:
        free = "tailplane" not in trimmed
        tip = p.tailplane.sections[-1].buttock_line
        yield (
            Expected("tailplane", (None, -tip, None), (None, tip, None))
            if free
            else Expected("tailplane")
        )
    if p.fins:
        high = p.fins.waterline + p.fins.sections[-1].height
        yield Expected("fin", high=(None, None, high if "fin" not in trimmed else None))
    for scoop in p.scoops:
        # Where a leaning sheet meets the skin is the hull's lines' word, not the file's.
        leaning = isinstance(scoop.mouth, str) and p.firewall.tilt != 0.0
        at = None if leaning else mouth(p, scoop)
        yield Expected(f"scoop_{scoop.name}", (at, None, None))


def mouth(p: Parameters, scoop: Scoop) -> float:
    """Return the station of a scoop's mouth [mm]."""
    if isinstance(scoop.mouth, str):
        return p.firewall.station - scoop.mouth_ahead
    return scoop.mouth


def one_sided(p: Parameters) -> bool:
    """Tell whether a scoop off the centre has no other like it on the other side."""
    seen = []
    for s in p.scoops:
        across, up = cos(radians(s.clock_angle)), sin(radians(s.clock_angle))
        if not s.mirrored and abs(across) > 1e-6:
            sizes = (mouth(p, s), s.width, s.height, s.passage_length, s.boundary_layer_gap)
            seen.append((round(across, 6), round(up, 6), sizes))
    return any((-across, up, sizes) not in seen for across, up, sizes in seen)


def mouth_area(scoop: Scoop) -> float:
    """Return the area of one mouth with rounded corners [mm^2].

    One that stands on the skin is opened by the gap under it as well.
    """
    under = scoop.width * max(scoop.gap - scoop.boundary_layer_gap, 0.0)
    return scoop.width * scoop.height - (4 - pi) * scoop.corner_radius**2 + under


def boom_clearance(p: Parameters) -> float:
    """Return how far a boom beside the blades is off their tips at most [mm].

    Its far corner is taken, its rows joined by straight lines; infinite where none stands there.
    """
    at, q = blade_plane(p), p.propeller
    for fore, aft in zip(p.booms.stations, p.booms.stations[1:], strict=False):
        if fore.station < at < aft.station:
            t = (at - fore.station) / (aft.station - fore.station)
            level = fore.waterline + t * (aft.waterline - fore.waterline)
            away = hypot(p.booms.buttock_line, level - q.waterline)
            return away - q.diameter / 2 - q.mount_travel_radial
    return float("inf")


def tip_mach(p: Parameters) -> float:
    """Return the Mach number of the tips at level speed."""
    turning = pi * p.propeller.diameter / 1000 * p.powerplant.rpm / 60
    return hypot(turning, p.flight.level_speed) / p.flight.sound_speed


def blade_plane(p: Parameters) -> float:
    """Return the station of the blades [mm]; behind the wing's edge, worked at its section."""
    q = p.propeller
    if q.station is not None:
        return q.station
    rows, y = p.wing.sections, q.behind_at
    quarter, edges = p.wing.leading_edge, []
    for i, row in enumerate(rows):
        if i:
            quarter += (row.buttock_line - rows[i - 1].buttock_line) * tan(radians(row.sweep))
        turn = radians(p.wing.incidence - row.washout)
        if not i:
            quarter += row.chord / 4 * cos(turn)
        edges.append((row.buttock_line, quarter + 0.75 * row.chord * cos(turn), row.chord))
    for (y0, e0, c0), (y1, e1, c1) in zip(edges, edges[1:], strict=False):
        if y <= y1:
            t = (y - y0) / (y1 - y0)
            share = q.behind_trailing_edge or 0.0
            return e0 + t * (e1 - e0) + share * (c0 + t * (c1 - c0))
    raise ValueError("outboard of the tip")


def _disc(p: Parameters) -> Expected:
    q = p.propeller
    outer, root = q.diameter / 2 + q.mount_travel_radial, q.blade_depth / 2 + q.mount_travel_axial
    tip = root + q.flex
    volumes = []
    for inner in (q.hub_diameter / 2, max(q.hub_diameter, (p.spinner or q).diameter) / 2 + 2):
        if inner is None or (p.spinner is None):
            inner = q.hub_diameter / 2
        # Pappus: twice pi r over a profile that widens from the root to the tip.
        grow = (tip - root) / (outer - inner)
        rings = (outer**2 - inner**2) / 2 * (root - grow * inner)
        volumes.append(4 * pi * (rings + grow * (outer**3 - inner**3) / 3))
    lean = radians(abs(q.thrust_tilt))
    along, up = outer * sin(lean) + tip * cos(lean), outer * cos(lean) + tip * sin(lean)
    at, level = blade_plane(p), q.waterline
    # The edge's sections may be cambered; their blunt edge is not quite on the chord line.
    room = 0.0 if q.station is not None else 0.5
    low, high = (at - along, -outer, level - up), (at + along, outer, level + up)
    return Expected("prop_disc", low, high, (min(volumes), max(volumes)), room)


def _spinner(p: Parameters) -> Expected:
    assert p.spinner
    r, long = p.spinner.diameter / 2, p.spinner.length
    half = 2 / 3 * pi * r * r * long
    return Expected("spinner", (None, -r, None), (None, r, None), (0.995 * half, 1.005 * half))


def _wheel(w: Wheel) -> Expected:
    r, both = w.diameter / 2, w.mirrored and w.buttock_line > 0
    out = w.buttock_line + w.width / 2
    inner = -out if both else w.buttock_line - w.width / 2
    most = pi * r * r * w.width * (2 if both else 1)
    low, high = (w.station - r, inner, w.waterline - r), (w.station + r, out, w.waterline + r)
    return Expected(f"wheel_{w.name}", low, high, (0.5 * most, most))


def _leg(w: Wheel, leg: Leg) -> Expected:
    """A leg reaches to the hub of its wheel, and no farther down than its axle and end."""
    both = 2 if w.mirrored and w.buttock_line > 0 else 1
    a, gap, radius = leg.axle_diameter, leg.tyre_gap, w.diameter / 2
    thick = max(leg.diameter or 0.0, leg.root_breadth or 0.0, a)
    section = pi / 4 * (leg.diameter or 0.0) ** 2
    section += (leg.root_breadth or 0.0) * (leg.root_thickness or 0.0)
    ends = (leg.station, leg.buttock_line, leg.waterline), (w.station, w.buttock_line, w.waterline)
    straight = section * (dist(*ends) + w.width / 2 + gap + thick)
    foot = pi / 4 * a * a * gap
    # A fork: bridge, two blades and what holds the hub, all as thick as the axle.
    bars = 2 * (w.width / 2 + gap + a) + 2 * (radius + gap + thick + a) + 2 * gap
    most = straight + (bars * a * a if leg.fork else pi / 4 * a * a * (gap + thick))
    hub = w.buttock_line - w.width / 2
    inboard = not leg.fork and leg.buttock_line < w.buttock_line
    high = (None, hub, None) if inboard else NOTHING
    low = (None, -hub, None) if inboard and both == 2 else NOTHING
    return Expected(f"leg_{w.name}", low, high, (both * foot, both * most))


def _engine(p: Parameters) -> Expected:
    assert p.engine
    boxes = []
    for b in p.engine.boxes:
        y, z = b.width / 2, b.height / 2
        low = (b.station, b.buttock_line - y, b.waterline - z)
        high = (b.station + b.length, b.buttock_line + y, b.waterline + z)
        boxes.append((low, high, b.length * b.width * b.height))
    for c in p.engine.cylinders:
        r = c.diameter / 2
        half = [c.length / 2 if c.axis == axis else r for axis in "xyz"]
        middle = [c.station, c.buttock_line, c.waterline]
        if c.axis == "x":
            middle[0] += c.length / 2
        low, high = (
            tuple(m + sign * h for m, h in zip(middle, half, strict=True)) for sign in (-1, 1)
        )
        boxes.append((low, high, pi * r * r * c.length))  # type: ignore[arg-type]
    low = tuple(min(box[0][i] for box in boxes) for i in range(3))  # type: ignore[assignment]
    high = tuple(max(box[1][i] for box in boxes) for i in range(3))  # type: ignore[assignment]
    sizes = [box[2] for box in boxes]
    return Expected("engine", low, high, (max(sizes), sum(sizes)))


def _pod(p: Parameters) -> Expected:
    rows = p.pod.stations
    end = p.exit.rim_station if p.exit else rows[-1].station
    whole = all(joint.trim != "pod" for joint in p.joints)
    return Expected("pod", (rows[0].station, None, None), (end if whole else None, None, None))


def _booms(p: Parameters, trimmed: bool) -> Expected:
    b = p.booms
    first, last = b.stations[0], b.stations[-1]
    # No boom holds more than that of its largest sections all along.
    most = pi / 4 * max(s.width * s.height for s in b.stations) * (last.station - first.station)
    ends = (None, None) if trimmed else (first.station, last.station)
    return Expected("boom", (ends[0], None, None), (ends[1], None, None), (0.02 * most, 2.1 * most))

"""What the machine of a new file weighs and where: an estimate from its proportions.

It places what must balance, the battery and the wheels; what is judged is measured on the solids.
"""

from collections.abc import Iterable, Iterator
from itertools import pairwise
from math import pi, sqrt
from typing import NamedTuple

from geomgen.starting.body_tables import POD, station_of
from geomgen.starting.proportions import Proportions

# Cured skin of two plies of glass twill of 200 g/m^2, resin by volume [kg/m2]; foam [kg/m3].
SKIN, FOAM, POD_FOAM = 0.735, 20.0, 60.0
# Tubes of booms: carbon [kg/m3], wall and diameter [mm].
CARBON, TUBE, BOOM = 1406.0, 1.2, 93.0
PLYWOOD, PLY = 680.0, 3.0
# Section and outline of an aerofoil, of chord and thickness; its centre, in chords.
SECTION, OUTLINE, CENTRE = 0.685, 2.04, 0.42
# Centre of the aft loadings, in mean chords: a static margin of some nine hundredths.
AFT = 0.21
# From the most aft to the most forward centre [mm].
RANGE = 85.0
# The pilot's centre from the corner of the seat [mm]; pilots and ballast [kg].
SEATED = (30.0, 290.0)
LIGHTEST, HEAVIEST, BALLAST = 60.0, 95.0, 6.0
BALLAST_PLACE = (220.0, 740.0)
SQUARE_METRE = 1e-6


class Weight(NamedTuple):
    """A mass [kg] and where it is: station, waterline [mm]."""

    mass: float
    station: float
    waterline: float


class PlacedItem(NamedTuple):
    """An item without a solid: name, group, mass and band [kg], the part that it hangs on, place.

    `off` counts from the named place [mm], or from the datum where there is none. `includes` are
    the families of parts that it is the weight of, should they be drawn.
    """

    name: str
    group: str
    mass: float
    band: float
    anchor: str | None
    off: float
    waterline: float
    includes: tuple[str, ...] = ()
    weight_of: str | None = None


def together(weights: Iterable[Weight]) -> Weight:
    """Return some weights as one.

    >>> together([Weight(1.0, 0.0, 10.0), Weight(3.0, 400.0, 10.0)])
    Weight(mass=4.0, station=300.0, waterline=10.0)
    """
    rows = list(weights)
    mass = sum(row.mass for row in rows)
    return Weight(
        mass,
        sum(row.mass * row.station for row in rows) / mass,
        sum(row.mass * row.waterline for row in rows) / mass,
    )


def wanted(q: Proportions) -> float:
    """Return the station [mm] where the most aft centre of all loadings should be."""
    return q.mean_edge + AFT * q.mean_chord


def pilot(q: Proportions, mass: float) -> Weight:
    """Return the seated pilot [kg, mm]."""
    return Weight(mass, q.seat_station + SEATED[0], q.seat_waterline + SEATED[1])


def items(q: Proportions) -> list[PlacedItem]:
    """Return the items but battery and wheels; their masses are our own estimates."""
    return [*_engine_items(q), *_pod_items(q), *_other_items(q)]


def _engine_items(q: Proportions) -> Iterator[PlacedItem]:
    yield PlacedItem(
        "engine mount, shaft and bearings", "powerplant", 4.1, 0.5, "firewall", 600, 890
    )
    yield PlacedItem("muffler and exhaust", "powerplant", 2.2, 0.3, "firewall", 470, 732)
    yield PlacedItem("propeller and hub", "powerplant", 2.4, 0.2, "blades", 0, q.thrust_line,
                     weight_of="propeller")  # fmt: skip


def _pod_items(q: Proportions) -> Iterator[PlacedItem]:
    back, tank = q.seat_station + 230.0, q.tank_station
    yield PlacedItem("frames and floor of the pod", "structure", 7.5, 1.0, None, 1150, 560,
                     ("frame", "stringer"))  # fmt: skip
    yield PlacedItem("stick, pedals, cables", "systems", 3.6, 0.4, None, 660, 600)
    yield PlacedItem("seat and belts", "equipment", 3.8, 0.3, None, back, 640)
    yield PlacedItem("canopy and its frame", "structure", 3.2, 0.4, None, 850, 1060, ("canopy",))
    yield PlacedItem("instruments and wiring", "equipment", 2.6, 0.3, None, 500, 860)
    yield PlacedItem("tank, lines and pump", "systems", 2.1, 0.2, None, tank, q.tank_waterline)


def _other_items(q: Proportions) -> Iterator[PlacedItem]:
    edge, wing, tail = "wing leading edge", q.wing_waterline, q.boom_tail
    spar = "spar caps, web and root fittings"
    yield PlacedItem(spar, "structure", 11.0, 1.0, edge, 0.3 * q.chord, wing + 10.0,
                     ("spar",))  # fmt: skip
    yield PlacedItem(
        "hinges, horns and rods of the tail", "systems", 1.3, 0.2, "boom end", -380, tail
    )
    yield PlacedItem("paint and filler", "structure", 4.5, 1.5, edge, 500, wing - 100.0)


def station_of_item(q: Proportions, item: PlacedItem) -> float:
    """Return the station of an item [mm]."""
    anchors = {
        "firewall": q.firewall,
        "blades": q.blades,
        "wing leading edge": q.leading_edge,
        "boom end": q.boom_end,
    }
    return item.off + (anchors[item.anchor] if item.anchor else 0.0)


def fixed(q: Proportions) -> list[Weight]:
    """Return all of the empty machine but battery and gear, whose places follow from it."""
    own = [Weight(i.mass, station_of_item(q, i), i.waterline) for i in items(q)]
    engine = Weight(20.5, q.firewall + 510.0, 862.0)
    return [*own, engine, *_pod(q), *_wing(q), *_tail(q), *_bay(q)]


def _pod(q: Proportions) -> Iterator[Weight]:
    areal = 2 * SKIN + POD_FOAM * q.wall / 1000
    for first, second in pairwise(POD):
        ends = (station_of(q, first[0]), station_of(q, second[0]))
        girths = [_girth(crown - keel, breadth) for _, crown, keel, breadth, _ in (first, second)]
        area = (ends[1] - ends[0]) * sum(girths) / 2 * SQUARE_METRE
        yield Weight(areal * area, sum(ends) / 2, (first[4] + second[4]) / 2)


def _girth(height: float, breadth: float) -> float:
    """Return the girth of an ellipse [mm], by Ramanujan."""
    a, b = height / 2, breadth / 2
    return pi * (3 * (a + b) - sqrt((3 * a + b) * (a + 3 * b)))


def _wing(q: Proportions) -> Iterator[Weight]:
    for inner, outer in pairwise(q.wing_sections):
        span, chord = outer.out - inner.out, (inner.chord + outer.chord) / 2
        edge = (inner.edge + outer.edge) / 2
        mass = 2 * _surface(chord, 0.145, span)
        yield Weight(mass, edge + CENTRE * chord, q.wing_waterline + 10.0)


def _surface(chord: float, thick: float, span: float) -> float:
    """Return foam and skin of a surface [kg] by its chord [mm], thickness [1] and span [mm]."""
    foam = FOAM * SECTION * thick * chord**2 * span * 1e-9
    return foam + SKIN * OUTLINE * chord * span * SQUARE_METRE


def _tail(q: Proportions) -> Iterator[Weight]:
    length = q.boom_end - q.leading_edge - 0.25 * q.chord
    boom = CARBON * TUBE * pi * BOOM * length * 1e-9
    middle = q.boom_end - length / 2
    yield Weight(2 * boom, middle, (q.wing_waterline + q.boom_tail) / 2)
    high, chord = q.boom_tail, q.tail_chord
    if q.choices.tail == "high":
        high, chord = q.boom_tail + 0.86 * q.fin_height, 0.87 * q.tail_chord
    tail = 2 * _surface(chord, 0.08, q.boom_line)
    yield Weight(tail, q.boom_end - 120.0 - 0.58 * chord, high)
    if q.choices.tail != "inverted-v":
        fin = 2 * _surface((q.fin_chord + q.fin_tip) / 2, 0.08, q.fin_height)
        yield Weight(fin, q.boom_end - 340.0, q.boom_tail + 0.45 * q.fin_height)


def _bay(q: Proportions) -> Iterator[Weight]:
    """Return firewall, exit, fairing, spinner, scoops and pylon."""
    yield Weight(1.25, q.firewall, 850.0)
    yield Weight(0.9, q.rim, 900.0)
    yield Weight(0.3, q.blades, q.thrust_line)
    for _ in q.choices.scoops:
        yield Weight(0.6, q.firewall + 70.0, 850.0)
    if q.pylon_chord:
        high = q.wing_waterline + 30.0 - 1200.0
        area = OUTLINE * q.pylon_chord * high * SQUARE_METRE
        mass = PLYWOOD * PLY / 1000 * area
        yield Weight(mass, q.leading_edge + 0.41 * q.chord, 1200.0 + high / 2)

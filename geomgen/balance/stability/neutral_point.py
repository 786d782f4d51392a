"""Where the neutral point lies, from measured planforms: power off, stick fixed.

The centre of the lift that a change of angle brings: that of the wing at the quarter point of its
mean aerodynamic chord, that of the tailplane at its own in the flow that the wing leaves it, and
the pod's moment, which no lift goes with. The wing's wake is taken to run aft along the waterlines.
An estimate of first design, never a flight test.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from math import isfinite, sqrt

from geomgen.balance.stability.pod_moment import PodStrips, pod_moment
from geomgen.balance.stability.wing_flow import (
    LEAST_ASPECT_RATIO,
    MOST_SWEEP,
    WingFlow,
    lift_slope,
    lifting_share,
)
from geomgen.measurements.record import Measurement

WING, TAILPLANE, POD = "wing.mean_aerodynamic_chord", "tailplane.planform", "pod.breadths"
# A tailplane of more than this share of the wing's area is a second wing: own choice.
TANDEM = 0.4
# From this angle [deg] on a tailplane is a V tail, of which less is known: own choice.
V_TAIL = 15.0
# A surface whose edges are missing over more than this share of its span is not well known: own
# choice.
BRIDGED = 0.2
SOURCE = (
    "lift slopes by Helmbold with sections of 2 pi; flow at the tail of a wing with elliptic "
    "loading; pod by Munk and Multhopp (NACA TM 1036); dynamic pressure at the tail as ahead of "
    "the wing (own choice)"
)
LEFT_OUT = (
    "propeller and power left out: a propeller that turns behind the centre of gravity moves the "
    "neutral point aft, one ahead of it forward",
    "stick fixed: with the stick free the elevator floats and the neutral point lies further "
    "forward",
    "fins, booms, pylon, wheels and legs left out, and how high each part stands over the centre "
    "of gravity",
)


@dataclass(frozen=True)
class Guess:
    """Factors [1] on what the estimate takes for granted; `centre` is the wing's own, in chords."""

    wing: float = 1.0
    tail: float = 1.0
    downwash: float = 1.0
    pressure: float = 1.0
    pod: float = 1.0
    centre: float = 0.25


@dataclass(frozen=True)
class Spread:
    """How far a guess may be off both ways [1], in words, and why."""

    words: str
    low: float
    high: float
    why: str


# All own choice. Downwash: a vortex lattice gives 0.72 of it for a rectangular wing, 0.96 for one
# of taper 0.55.
SPREADS = {
    "wing": Spread(
        *("lift of the wing, times", 0.92, 1.02),
        "real sections lift less than 2 pi, and the pod covers some of the wing",
    ),
    "tail": Spread(
        *("lift of the tailplane, times", 0.85, 1.10),
        "hinge gaps and small chords take lift, fins at its ends give some",
    ),
    "downwash": Spread(
        *("downwash at the tail, times", 0.70, 1.15),
        "less behind a wing without taper; a wake that rolls up and sinks",
    ),
    "pressure": Spread(
        *("dynamic pressure at the tail, times", 0.85, 1.00),
        "the wake of pod and standing propeller slows the air",
    ),
    "pod": Spread(
        *("moment of the pod, times", 0.75, 1.25),
        "not slender, not round, open at the back; booms and wheels left out",
    ),
    "centre": Spread(
        *("centre of the wing's lift, in mean chords", 0.23, 0.27),
        "the sections' own centres lie there",
    ),
}


@dataclass(frozen=True)
class LiftingSurface:
    """A wing or tailplane as it was measured: area [mm2], lengths [mm], angles [deg].

    The names are those of the further figures of the measurement.
    """

    area: float
    span: float
    aspect_ratio: float
    mean_aerodynamic_chord: float
    leading_edge_station: float
    quarter_waterline: float
    quarter_chord_sweep: float
    half_chord_sweep: float
    dihedral: float
    bridged: float

    @property
    def lift(self) -> float:
        """Lift slope times area [mm2, a radian]."""
        slope = lift_slope(self.aspect_ratio, self.half_chord_sweep)
        return slope * self.area * lifting_share(self.dihedral)

    def station(self, share: float = 0.25) -> float:
        """Return the station [mm] of a share [1] of the mean aerodynamic chord."""
        return self.leading_edge_station + share * self.mean_aerodynamic_chord


@dataclass(frozen=True)
class Contribution:
    """What one part does: lift it brings [mm2, a radian], and how it moves the neutral point [mm].

    The wing's own move is that from its leading edge to its centre; aft is positive.
    """

    part: str
    lift: float
    moves: float


@dataclass(frozen=True)
class StaticMargin:
    """Neutral point aft of the centre of gravity, in mean chords [1], and the band it may be in."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class NeutralPoint:
    """An estimate: station and band [mm], of the mean aerodynamic chord that counts for all.

    `doubts` say where this machine lies outside of what the method was made for, `left_out` what
    it never looks at, `spreads` the reasons of the band with how far each moves it [mm].
    `downwash` is the share [1] of the angle of attack that is lost at the tail, `by` the word of
    the file for what it comes of.
    """

    station: float
    band: tuple[float, float]
    chord: float
    leading_edge: float
    contributions: tuple[Contribution, ...]
    downwash: float | None
    tail_volume: float | None
    spreads: tuple[tuple[str, float, float], ...]
    doubts: tuple[str, ...] = ()
    left_out: tuple[str, ...] = field(default=LEFT_OUT)
    source: str = SOURCE
    by: str = "estimate"

    def in_chords(self, station: float) -> float:
        """Return a station [mm] in mean chords [1] aft of the leading edge."""
        return (station - self.leading_edge) / self.chord

    def static_margin(self, centre: float) -> StaticMargin:
        """Return the static margin [1] with the centre of gravity at a station [mm].

        >>> point = NeutralPoint(500.0, (450.0, 520.0), 1000.0, 100.0, (), None, None, ())
        >>> point.static_margin(400.0)
        StaticMargin(value=0.1, low=0.05, high=0.12)
        """
        low, high = ((x - centre) / self.chord for x in self.band)
        return StaticMargin((self.station - centre) / self.chord, low, high)


@dataclass(frozen=True)
class _Machine:
    wing: LiftingSurface
    tail: LiftingSurface | None
    pod: PodStrips

    def flow(self, guess: Guess) -> WingFlow:
        wing = self.wing
        return WingFlow(
            guess.wing * lift_slope(wing.aspect_ratio, wing.half_chord_sweep),
            wing.aspect_ratio,
            wing.span,
            wing.station(),
            wing.quarter_waterline,
        )

    def downwash(self, guess: Guess) -> float:
        """Return the share [1] of the angle of attack that is lost at the tail."""
        if self.tail is None:
            return 0.0
        turn = self.flow(guess).turn_at(self.tail.station(), self.tail.quarter_waterline)
        return guess.downwash * (1.0 - turn)

    def parts(self, guess: Guess) -> list[Contribution]:
        """Return what each part does; their moves add up from the wing's leading edge."""
        wing, tail = self.wing, self.tail
        lift, behind = guess.wing * wing.lift, 0.0
        if tail is not None:
            behind = guess.tail * guess.pressure * tail.lift * (1.0 - self.downwash(guess))
        total, own = lift + behind, wing.station(guess.centre)
        found = [Contribution("wing", lift, own - wing.leading_edge_station)]
        if tail is not None:
            found.append(Contribution("tailplane", behind, behind / total * (tail.station() - own)))
        moment = guess.pod * pod_moment(self.pod, self.flow(guess))
        return [*found, Contribution("pod", 0.0, -moment / total)]

    def station(self, guess: Guess) -> float:
        return self.wing.leading_edge_station + sum(part.moves for part in self.parts(guess))


def neutral_point(measurements: Iterable[Measurement]) -> tuple[NeutralPoint | None, str]:
    """Return the neutral point by the measurements of a survey; None with the reason in words."""
    by_id = {m.id: m for m in measurements}
    try:
        wing = _surface(_needed(by_id, WING))
        pod = _strips(_needed(by_id, POD))
        tail = _surface(_needed(by_id, TAILPLANE)) if TAILPLANE in by_id else None
        machine = _Machine(wing, tail, pod)
        _behind(machine)
    except _UnknownError as error:
        return None, str(error)
    guess = Guess()
    station = machine.station(guess)
    spreads = tuple(_spread(machine, station, name) for name in SPREADS)
    low, high = (sqrt(sum(pick(0.0, *moved) ** 2 for _, *moved in spreads)) for pick in (min, max))
    found = NeutralPoint(
        station,
        (station - low, station + high),
        wing.mean_aerodynamic_chord,
        wing.leading_edge_station,
        tuple(machine.parts(guess)),
        None if tail is None else machine.downwash(guess),
        None if tail is None else _tail_volume(wing, tail),
        spreads,
        tuple(_doubts(machine)),
    )
    return found, ""


class _UnknownError(Exception):
    """Why there is no estimate."""


def _needed(by_id: Mapping[str, Measurement], id_: str) -> Measurement:
    found = by_id.get(id_)
    if found is None:
        raise _UnknownError(f"{id_} was not measured")
    if found.value is None:
        raise _UnknownError(f"{id_} could not be measured: {found.note}")
    return found


def _surface(measured: Measurement) -> LiftingSurface:
    names = [each.name for each in fields(LiftingSurface)]
    found = LiftingSurface(*_figures(measured, names))
    if min(found.area, found.span, found.aspect_ratio, found.mean_aerodynamic_chord) <= 0.0:
        raise _UnknownError(f"{measured.id}: area, span and chord are not all positive")
    return found


def _figures(measured: Measurement, names: Iterable[str]) -> list[float]:
    further = dict(measured.further)
    wanting = [name for name in names if not isfinite(further.get(name, float("nan")))]
    if wanting:
        raise _UnknownError(f"{measured.id} has no figure for {', '.join(wanting)}")
    return [further[name] for name in names]


def _strips(measured: Measurement) -> PodStrips:
    count = sum(name.startswith("breadth ") for name, _ in measured.further)
    front, back = _figures(measured, ("front", "back"))
    breadths, waterlines = (
        tuple(_figures(measured, [f"{name} {i + 1}" for i in range(count)]))
        for name in ("breadth", "waterline")
    )
    if not count or back <= front or min(breadths) < 0.0:
        raise _UnknownError(f"{measured.id} has no breadths between a front and a back end")
    return PodStrips(front, back, breadths, waterlines)


def _behind(machine: _Machine) -> None:
    """Refuse what stands beside the wing or ahead of it: it is not in the wing's wake."""
    if machine.tail is None:
        return
    edge, ahead = machine.tail.leading_edge_station, machine.wing.station(1.0)
    if edge < ahead:
        raise _UnknownError(
            f"the tailplane begins at STA {edge:.1f}, ahead of the wing's trailing edge at STA "
            f"{ahead:.1f} (both on the mean chords): this estimate is for a tail behind the wing"
        )


def _spread(machine: _Machine, station: float, name: str) -> tuple[str, float, float]:
    """Return the reason, and how far the two ends of a guess move the neutral point [mm]."""
    spread = SPREADS[name]
    ends = (replace(Guess(), **{name: end}) for end in (spread.low, spread.high))
    moved = [machine.station(guess) - station for guess in ends]
    words = f"{spread.words} {spread.low:g} to {spread.high:g}: {spread.why}"
    return words, min(moved), max(moved)


def _tail_volume(wing: LiftingSurface, tail: LiftingSurface) -> float:
    arm = tail.station() - wing.station()
    return tail.area * arm / (wing.area * wing.mean_aerodynamic_chord)


def _doubts(machine: _Machine) -> Iterable[str]:
    wing, tail = machine.wing, machine.tail
    for name, each in (("wing", wing), ("tailplane", tail)):
        if each is None:
            yield f"no {name}: the neutral point is that of wing and pod"
            continue
        if each.aspect_ratio < LEAST_ASPECT_RATIO:
            yield (
                f"{name}: aspect ratio {each.aspect_ratio:.2f} is below {LEAST_ASPECT_RATIO:g}, "
                "where its lift is another theory's"
            )
        if abs(each.quarter_chord_sweep) > MOST_SWEEP:
            yield (
                f"{name}: swept by {each.quarter_chord_sweep:.1f} deg, more than the "
                f"{MOST_SWEEP:g} deg that the estimate is made for"
            )
        if each.bridged > BRIDGED * each.span:
            yield (
                f"{name}: over {each.bridged / each.span:.0%} of its span an edge is cut away, and "
                "was drawn straight on"
            )
    if tail is not None and tail.area > TANDEM * wing.area:
        yield (
            f"tailplane: its area is {tail.area / wing.area:.0%} of the wing's, a second wing "
            "rather than a tail"
        )
    if tail is not None and abs(tail.dihedral) > V_TAIL:
        yield f"tailplane: a V of {tail.dihedral:.1f} deg, whose panels act on each other"

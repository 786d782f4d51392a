"""The whole of a machine's masses: its lines, the empty machine, every loading, the mean chord."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import hypot

from geomgen.balance.masses.entries import MassEntry, astray, entries, in_another, names_of
from geomgen.balance.masses.inertia import RigidBody, together
from geomgen.balance.masses.loadings import Loading, loadings
from geomgen.balance.masses.powerplant import (
    PowerplantMass,
    engine_items,
    no_engine,
    no_propeller,
    powerplant_mass,
    propeller_items,
)
from geomgen.balance.masses.solid_figures import SolidFigures, solids_measured, unmeasured
from geomgen.balance.masses.tanks import tanks_lost, tanks_placed
from geomgen.balance.masses.to_weigh import scale_name
from geomgen.balance.stability.air_neutral import neutral_point_by_air
from geomgen.balance.stability.neutral_point import NeutralPoint, neutral_point
from geomgen.balance.wing_loading import WingFigures, wing_figures
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.conditions import BY_AIR
from geomgen.parameters.records.masses import ENGINE, PROPELLER
from geomgen.parameters.rules.masses import weighable

# What may be an item in the centre of its solid; of all else only [[mass]] says what it weighs.
ITEMS = (ENGINE, "spinner", "wheel", "tank")
UNWEIGHED = "nothing in the file says what it weighs"
CHORD, EDGE = "wing.mean_aerodynamic_chord", "leading_edge_station"


@dataclass(frozen=True)
class MeanChord:
    """The wing's mean aerodynamic chord [mm] and the station of its leading edge [mm]."""

    length: float
    leading_edge: float

    def share(self, station: float) -> float:
        """Return where a station [mm] lies on the chord [1].

        >>> MeanChord(1200.0, 1300.0).share(1600.0)
        0.25
        """
        return (station - self.leading_edge) / self.length


@dataclass(frozen=True)
class LoadedState:
    """One loading with what the whole machine is in it [kg, mm]."""

    loading: Loading
    body: RigidBody


@dataclass(frozen=True)
class BalanceState:
    """All lines, who is carried, the mean chord where it was measured.

    `neutral` is the neutral point that counts, or `no_neutral` why there is none; `beside` the
    estimate where the air's counts. `lost` are the parts and items without which no sum is whole,
    with why. `powerplant` is what counts as engine and propeller, `wing` the measured wing.
    """

    lines: tuple[MassEntry, ...]
    every: tuple[Loading, ...]
    chord: MeanChord | None
    neutral: NeutralPoint | None = None
    no_neutral: str = ""
    lost: tuple[tuple[str, str], ...] = ()
    powerplant: tuple[PowerplantMass, ...] = ()
    beside: NeutralPoint | None = None
    wing: WingFigures | None = None

    @property
    def gross(self) -> float | None:
        """The mass of the heaviest loading [kg]; None where not all is known."""
        if self.lost or not self.loaded:
            return None
        return max(one.body.mass for one in self.loaded)

    @cached_property
    def empty(self) -> RigidBody:
        """The empty machine [kg, mm]: all but useful load; unusable fuel is in it."""
        return together([line.body for line in self.lines if line.empty])

    @cached_property
    def limited(self) -> RigidBody:
        """The empty machine as a rule counts it: without safety devices [kg, mm]."""
        return together([e.body for e in self.lines if e.empty and e.limited])

    @cached_property
    def loaded(self) -> tuple[LoadedState, ...]:
        """Every loading with the whole machine in it."""
        return tuple(LoadedState(one, one.with_(self.empty)) for one in self.every)

    @property
    def mass_band(self) -> float:
        """How far the empty mass may be off [kg]: the lines' bands, put together."""
        return self.mass_band_in(None)

    def mass_band_in(self, loading: Loading | None) -> float:
        """Return how far the mass in a loading may be off [kg]; without one, the empty mass."""
        return bands_together((line.cause, line.band) for line in self._weighing(loading))

    def station_band(self, body: RigidBody, loading: Loading | None = None) -> float:
        """Return how far the station of a whole machine's centre may be off [mm], by the lines'."""
        return self._centre_band(body, loading, 0)

    def side_band(self, body: RigidBody, loading: Loading | None = None) -> float:
        """Return how far its centre may be off to the side [mm], by the same."""
        return self._centre_band(body, loading, 1)

    def _weighing(self, loading: Loading | None) -> list[MassEntry]:
        """Return the lines that are in a loading: the empty machine's, and items carried in it."""
        carried = {(n, b.mass, b.centre) for n, b in loading.bodies} if loading else set()
        return [
            e
            for e in self.lines
            if e.empty or (e.name, e.body.mass, tuple(e.body.centre)) in carried
        ]

    def _centre_band(self, body: RigidBody, loading: Loading | None, axis: int) -> float:
        """Return the band of a centre along an axis [mm].

        A mass off by dm at an arm x moves the centre by dm (x - centre) / mass.
        """
        if not body.mass:
            return 0.0
        x = body.centre[axis]
        every = self._weighing(loading)
        return bands_together(
            (e.cause, e.band * (e.body.centre[axis] - x) / body.mass) for e in every
        )


def bands_together(moved: Iterable[tuple[str, float]]) -> float:
    """Return the band of a sum [any unit] from each line: its cause, what it moves it by.

    Of one cause they add straight, or by their squares where that is more: how far they are off
    together is not known. Causes, and lines without any, are independent and add by squares.
    Equations: (13) and (16) with r from 0 to 1. Source: JCGM 100:2008 (GUM), 5.2.2. Status: MEMORY.

    >>> bands_together([("spar", 2.0), ("spar", 1.0), ("wheels", 2.5), ("wheels", -2.5), ("", 2.0)])
    5.049752469181039
    """
    causes: dict[str, list[float]] = {}
    for cause, by in moved:
        causes.setdefault(cause, []).append(by)
    alone = causes.pop("", [])
    each = (max(abs(sum(by)), hypot(*by)) for by in causes.values())
    return hypot(*alone, *each)


def is_described(p: Parameters) -> bool:
    """Say whether a file says what anything weighs."""
    return bool(p.mass or p.items)


def balance_state(p: Parameters, measurements: Sequence[Measurement]) -> BalanceState | None:
    """Return the masses of a machine from its file and its measured solids; None if none are said.

    Lengths in [mm], masses in [kg].
    """
    if not is_described(p):
        return None
    whole, p = p, tanks_placed(p, measurements)
    solids = solids_measured(measurements)
    lines = tuple(entries(p, solids))
    carried = tuple((line.name, line.body) for line in lines if not line.empty)
    weighed = {line.name for line in lines}
    held = {item.at for item in p.items if item.at}
    engines = [s for s in solids.values() if s.family == ENGINE]
    parts = [name for s in engines for name in names_of(s)]
    engine, propeller = engine_items(p, parts), propeller_items(p, lines)
    own = [s for s in solids.values() if not in_another(p, s, solids)]
    known = set(weighable(p))
    unsaid = [s for s in own if s.name not in weighed and not _held(s, held)]
    forgotten = list(dict.fromkeys(scale_name(s, known) for s in unsaid))
    forgotten += [s.name for s in engines if s.name not in weighed and not engine]
    if p.engine is None and not engine:
        forgotten.append(no_engine())
    if not propeller:
        forgotten.append(no_propeller(p))
    lost = (
        *unmeasured(measurements).items(),
        *astray(p, solids),
        *tanks_lost(whole, measurements),
        *((name, UNWEIGHED) for name in forgotten),
    )
    point, why = neutral_point(measurements)
    chord, beside = _mean_chord(measurements), None
    if p.rules.neutral_point == BY_AIR:
        mean = None if chord is None else (chord.length, chord.leading_edge)
        beside = point
        point, why = neutral_point_by_air(measurements, mean, beside, why)
    power = (
        powerplant_mass(p, ENGINE, engine, lines, [s.name for s in engines]),
        powerplant_mass(p, PROPELLER, propeller, lines),
    )
    found = tuple(one for one in power if one is not None)
    wing = wing_figures(measurements, p.powerplant.power)
    every = tuple(loadings(p, carried))
    return BalanceState(lines, every, chord, point, why, lost, found, beside, wing)


def _held(solid: SolidFigures, held: set[str]) -> bool:
    """Say whether items may stand for a solid that no line weighs; an engine is told apart."""
    return solid.family == ENGINE or (solid.family in ITEMS and bool(held & set(names_of(solid))))


def _mean_chord(measurements: Sequence[Measurement]) -> MeanChord | None:
    for measured in measurements:
        if measured.id == CHORD and measured.value:
            edge = dict(measured.further).get(EDGE)
            if edge is not None:
                return MeanChord(measured.value, edge)
    return None

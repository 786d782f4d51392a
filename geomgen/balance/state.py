"""The whole of a machine's masses: its lines, the empty machine, every loading, the mean chord."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import sqrt

from geomgen.balance.entries import ITEM, POWERPLANT, MassEntry, astray, entries, names_of
from geomgen.balance.inertia import RigidBody, together
from geomgen.balance.loadings import Loading, loadings
from geomgen.balance.solid_figures import solids_measured, unmeasured
from geomgen.balance.stability.neutral_point import NeutralPoint, neutral_point
from geomgen.balance.tanks import tanks_lost, tanks_placed
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters
from geomgen.sizing.formulas.shaft import blade_plane

# What may be an item in the centre of its solid; of all else only [[mass]] says what it weighs.
ENGINE = "engine"
ITEMS = (ENGINE, "spinner", "wheel", "tank")
# So near the blade plane an item counts as the propeller or its hub [mm]: own choice.
AT_BLADES = 250.0
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

    `neutral` is the estimated neutral point, or `no_neutral` why there is none. `lost` are the
    parts and items without which no sum is whole, with why.
    """

    lines: tuple[MassEntry, ...]
    every: tuple[Loading, ...]
    chord: MeanChord | None
    neutral: NeutralPoint | None = None
    no_neutral: str = ""
    lost: tuple[tuple[str, str], ...] = ()

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
        """How far the empty mass may be off [kg]: the lines' bands, by their squares."""
        return sqrt(sum(line.band**2 for line in self.lines if line.empty))

    def station_band(self, body: RigidBody) -> float:
        """Return how far the station of a whole machine's centre may be off [mm], by the lines'.

        A mass off by dm at an arm x moves the centre by dm (x - centre) / mass.
        """
        if not body.mass:
            return 0.0
        x = body.centre[0]
        return sqrt(
            sum((e.band * (e.body.centre[0] - x) / body.mass) ** 2 for e in self.lines if e.empty)
        )


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
    power = {item.at for item in p.items if item.at and item.group == POWERPLANT}
    bare = [s for n, s in solids.items() if n not in weighed]
    forgotten = [
        s.name
        for s in bare
        if s.family not in ITEMS or not (power if s.family == ENGINE else held) & set(names_of(s))
    ]
    if not _has_propeller(p, lines):
        forgotten.append(f"propeller (no item of the powerplant within {AT_BLADES:g} mm of it)")
    lost = (
        *unmeasured(measurements).items(),
        *astray(p, solids),
        *tanks_lost(whole, measurements),
        *((name, UNWEIGHED) for name in forgotten),
    )
    point, why = neutral_point(measurements)
    chord = _mean_chord(measurements)
    return BalanceState(lines, tuple(loadings(p, carried)), chord, point, why, lost)


def _has_propeller(p: Parameters, lines: Sequence[MassEntry]) -> bool:
    """Say whether something of the powerplant is weighed where the blades turn.

    The propeller has no solid of its own that could be missed.
    """
    blades = blade_plane(p)
    return any(
        line.group == POWERPLANT
        and line.how == ITEM
        and abs(line.body.centre[0] - blades) <= AT_BLADES
        for line in lines
    )


def _mean_chord(measurements: Sequence[Measurement]) -> MeanChord | None:
    for measured in measurements:
        if measured.id == CHORD and measured.value:
            edge = dict(measured.further).get(EDGE)
            if edge is not None:
                return MeanChord(measured.value, edge)
    return None

"""What is judged of mass and centre, as measurements: over all loadings, in the limits' units."""

from collections.abc import Iterator, Sequence
from math import hypot

from geomgen.balance.masses.inertia import RigidBody
from geomgen.balance.masses.powerplant import powerplant_figures
from geomgen.balance.masses.tanks import tank_volumes
from geomgen.balance.stability.air_neutral import AIR
from geomgen.balance.standing_figures import standing_figures
from geomgen.balance.state import BalanceState, LoadedState, balance_state
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.values.centre_limit import CHORD, MARGIN, STATION, CentreLimit

# Raw figures of solids and wheels: what is worked out of them is judged, they are not.
RAW = ("body.", "gear.contact.", "tank.room.", "air.")
# The bound of a doubtful neutral point, in mean chords: own choice, more than any margin.
DOUBTED = 10.0
WORKED_OUT = "masses from the file and the measured solids: no weighing"
UNITS = {STATION: "mm", CHORD: "chord", MARGIN: "1"}


def balanced(
    p: Parameters, measurements: Sequence[Measurement], first: bool = False
) -> list[Measurement]:
    """Return the measurements that are judged: those of masses and standing worked out of others.

    Masses in [kg], lengths in [mm], angles in [deg], volumes in [mm3]. `first` says that the
    measurements are first answers, which exact ones follow.
    """
    plain = [m for m in measurements if not m.id.startswith(RAW)]
    state = balance_state(p, measurements)
    if state is None:
        return plain
    worked_out = figures_of(p, state, measurements, first)
    return [*plain, *worked_out, *tank_volumes(p, measurements)]


def figures_of(
    p: Parameters,
    state: BalanceState,
    measurements: Sequence[Measurement],
    first: bool = False,
) -> list[Measurement]:
    """Return the figures of masses and standing over the loadings of a state [kg, mm, deg, mm3]."""
    return [
        *_masses(p, state, first),
        *powerplant_figures(state.powerplant),
        *_centres(p, state),
        *standing_figures(p, state, measurements),
    ]


def _masses(p: Parameters, state: BalanceState, first: bool) -> Iterator[Measurement]:
    lost = _lost(state)
    empty = state.empty
    where = (
        f"with all safety devices {empty.mass:.2f} kg, centre at STA {empty.centre[0]:.1f} mm, "
        f"WL {empty.centre[2]:.1f} mm"
    )
    value = None if lost else state.limited.mass
    yield Measurement(
        "mass.empty", "", "empty mass, safety devices left out, unusable fuel in it", value, "kg",
        WORKED_OUT, state.mass_band, where, note="; ".join(lost),
    )  # fmt: skip
    if state.loaded:
        heavy = max(state.loaded, key=lambda one: one.body.mass)
        value = None if lost else heavy.body.mass
        yield Measurement(
            "mass.gross", "", "mass of the heaviest loading", value, "kg", WORKED_OUT,
            state.mass_band_in(heavy.loading), heavy.loading.name, note="; ".join(lost),
        )  # fmt: skip
        if p.air is not None:
            yield _flown(p.air.mass, state, lost, first)
    if p.tanks:
        volume = sum(tank.usable + tank.unusable for tank in p.tanks)
        yield Measurement(
            "fuel.volume", "", "volume of all fuel", volume, "mm3",
            "as the file gives it, usable and unusable", 0.0,
        )  # fmt: skip


def _flown(carried: float, state: BalanceState, lost: Sequence[str], first: bool) -> Measurement:
    """Return by which share the mass [kg] of the computed air lies outside the loadings'."""
    ends = sorted((one.body.mass, state.mass_band_in(one.loading)) for one in state.loaded)
    (light, light_band), (heavy, heavy_band) = ends[0], ends[-1]
    beyond = max(0.0, carried / heavy - 1.0, 1.0 - carried / light)
    # The limit leaves room for the masses' bands; but an exact answer moves the masses.
    bound = carried * max(heavy_band / heavy**2, light_band / light**2) if first else 0.0
    return Measurement(
        "mass.flown", "", "how far air.mass is outside the loadings", None if lost else beyond, "1",
        WORKED_OUT, bound, f"air.mass {carried:.1f} kg, loadings {light:.1f} to {heavy:.1f} kg",
        note="; ".join(lost),
    )  # fmt: skip


def _lost(state: BalanceState) -> list[str]:
    return [f"{name}: {why}" for name, why in state.lost]


def _centres(p: Parameters, state: BalanceState) -> Iterator[Measurement]:
    if not state.loaded:
        return
    fore = min(state.loaded, key=lambda one: one.body.centre[0])
    aft = max(state.loaded, key=lambda one: one.body.centre[0])
    side = max(state.loaded, key=lambda one: abs(one.body.centre[1]))
    yield _centre("balance.forward", "most forward centre", p.rules.forward_limit, state, fore)
    yield _centre("balance.aft", "most aft centre", p.rules.aft_limit, state, aft)
    margin = CentreLimit(MARGIN, 0.0)
    yield _centre("balance.static_margin", "static margin of the aft centre", margin, state, aft)
    lost = _lost(state)
    yield Measurement(
        "balance.lateral", "", "centre off the centre plane",
        None if lost else abs(side.body.centre[1]), "mm", WORKED_OUT,
        state.side_band(side.body, side.loading),
        f"{side.loading.name}: BL {_off(side.body.centre[1]):.1f} mm", note="; ".join(lost),
    )  # fmt: skip


def _centre(
    id_: str, what: str, limit: CentreLimit | None, state: BalanceState, one: LoadedState
) -> Measurement:
    kind = limit.kind if limit else STATION
    station, band = one.body.centre[0], state.station_band(one.body, one.loading)
    value, bound, why = _in_unit(kind, station, band, state)
    lost = _lost(state)
    note = "; ".join([*lost, *([why] if why else [])])
    by_air = kind == MARGIN and state.neutral is not None and state.neutral.by == AIR
    how = f"{WORKED_OUT}; neutral point by the computed air" if by_air else WORKED_OUT
    return Measurement(
        id_, "", what, None if lost else value, UNITS[kind], how, bound,
        f"{one.loading.name}: {centre_words(one.body, state)}", (one.body.centre,), note,
    )  # fmt: skip


def _in_unit(
    kind: str, station: float, band: float, state: BalanceState
) -> tuple[float | None, float | None, str]:
    """Return a station's figure and band [unit of the kind], or why there is none."""
    if kind == STATION:
        return station, band, ""
    if state.chord is None:
        return None, None, "the wing's mean chord could not be measured"
    if kind == CHORD:
        return state.chord.share(station), band / state.chord.length, ""
    if state.neutral is None:
        return None, None, f"no neutral point: {state.no_neutral}"
    margin = state.neutral.static_margin(station)
    spread = max(margin.value - margin.low, margin.high - margin.value)
    bound = hypot(spread, band / state.neutral.chord)
    if state.neutral.doubts:
        # Outside of what the estimate is made for its band says nothing: never a plain pass.
        bound = max(bound, DOUBTED)
    return margin.value, bound, "; ".join(state.neutral.doubts)


def centre_words(body: RigidBody, state: BalanceState) -> str:
    """Return where a machine's centre [mm] is, in words."""
    x, y, z = body.centre
    share = f", {100 * state.chord.share(x):.1f} % of the mean chord" if state.chord else ""
    return f"STA {x:.1f} mm{share}, BL {_off(y):.1f} mm, WL {z:.1f} mm, {body.mass:.1f} kg"


def _off(buttock_line: float) -> float:
    """Return a buttock line [mm] to a tenth, a nought without a sign."""
    return round(buttock_line, 1) + 0.0

"""What is judged of a machine on its wheels, as measurements, over all loadings."""

from collections.abc import Callable, Iterator, Sequence
from math import atan2, degrees

from geomgen.balance import standing
from geomgen.balance.standing import NOSE, Wheels, wheels_on_the_ground
from geomgen.balance.state import BalanceState, LoadedState
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.landing_gear import Wheel

METHOD = (
    "statics about the measured contacts, tyres and legs as they stand under the static load, "
    "centres of all loadings"
)
EMPTY = "empty, nobody in it"
# Wheels are round and their contacts known to this [mm]; own choice.
GIVEN = 1.0
Angle = Callable[[Wheels, tuple[float, float, float]], float]


def standing_figures(
    p: Parameters, state: BalanceState, measurements: Sequence[Measurement]
) -> Iterator[Measurement]:
    """Return the figures of standing: shares [1], angles [deg], loads [kg].

    None where no wheels stand.
    """
    wheels = wheels_on_the_ground(measurements)
    if wheels is None or not state.loaded or state.lost:
        return
    yield from _shares(wheels, state)
    yield from (_tyre(wheels, state, w) for w in p.gear.wheels if w.rated_load) if p.gear else ()
    yield _overturn(wheels, state)
    if wheels.third == NOSE:
        yield from _nosewheel(wheels, state)
    else:
        yield from _tailwheel(wheels, state)


def _shares(wheels: Wheels, state: BalanceState) -> Iterator[Measurement]:
    shares = [standing.share_on_third(wheels, one.body.centre) for one in state.loaded]
    least, most = standing.spread_of(shares)
    for end, k in (("least", least), ("most", most)):
        yield _figure(
            f"gear.load.{wheels.third}.{end}", f"share of the mass on the {wheels.third} wheel",
            shares[k], "1", state.loaded[k].loading.name,
            _arm(wheels, state.station_band(state.loaded[k].body, state.loaded[k].loading)),
        )  # fmt: skip
    if wheels.third == NOSE:
        yield _figure(
            "gear.load.nose.empty", "share of the empty mass on the nose wheel, nobody in it",
            standing.share_on_third(wheels, state.empty.centre), "1", EMPTY,
            _arm(wheels, state.station_band(state.empty)),
        )  # fmt: skip


def _arm(wheels: Wheels, band: float) -> float:
    """Return how far the share on the third wheel may be off [1], by the station's band [mm]."""
    base = abs(wheels.along(tuple(wheels.others.mean(axis=0)))[0])
    return (band + GIVEN) / base


def _tyre(wheels: Wheels, state: BalanceState, w: Wheel) -> Measurement:
    """Return the greatest load [kg] that a wheel, or one of a pair, carries in any loading."""
    own = [k for k, name in enumerate(wheels.names) if name in of_wheel(w)]
    each = [(_load(wheels, one, k), k, one) for one in state.loaded for k in own]
    most, k, one = max(each, key=lambda row: row[0])
    (x, y, z), mass = one.body.centre, one.body.mass
    along = state.station_band(one.body, one.loading) + GIVEN
    across = state.side_band(one.body, one.loading) + GIVEN
    heavy = state.mass_band_in(one.loading)
    off = (
        max(abs(_load(wheels, one, k, (x + way * along, y, z)) - most) for way in (-1.0, 1.0))
        + max(abs(_load(wheels, one, k, (x, y + way * across, z)) - most) for way in (-1.0, 1.0))
        + abs(most) * heavy / mass
    )
    return _figure(
        f"gear.tyre_load.{w.name}", f"greatest static load on the tyre of {wheels.names[k]}",
        most, "kg", one.loading.name, off,
    )  # fmt: skip


def _load(
    wheels: Wheels, one: LoadedState, k: int, centre: tuple[float, float, float] | None = None
) -> float:
    mains, others = standing.loads_of_wheels(wheels, centre or one.body.centre, one.body.mass)
    return [*mains, *others][k]


def of_wheel(w: Wheel) -> tuple[str, ...]:
    """Return the names that the parts of a wheel may have.

    >>> from types import SimpleNamespace
    >>> of_wheel(SimpleNamespace(name="main"))
    ('wheel_main', 'wheel_main_right', 'wheel_main_left')
    """
    return tuple(f"wheel_{w.name}{hand}" for hand in ("", "_right", "_left"))


def _overturn(wheels: Wheels, state: BalanceState) -> Measurement:
    found = [standing.overturn(wheels, one.body.centre) for one in state.loaded]
    _, k = standing.spread_of([angle for angle, _ in found])
    angle, side = found[k]
    words = f"over the {'right' if side > 0 else 'left'} main wheel, {state.loaded[k].loading.name}"
    off = _off(lambda w, c: standing.overturn(w, c)[0], wheels, state, state.loaded[k])
    return _figure("gear.overturn_angle", "overturn angle, the larger of both sides", angle, "deg",
                   words, off)  # fmt: skip


def _nosewheel(wheels: Wheels, state: BalanceState) -> Iterator[Measurement]:
    angles = [standing.tip_back(wheels, one.body.centre) for one in state.loaded]
    least, _ = standing.spread_of(angles)
    name = state.loaded[least].loading.name
    off = _off(standing.tip_back, wheels, state, state.loaded[least])
    yield _figure("gear.tip_back_angle", "nose up until the centre is over the mains",
                  angles[least], "deg", name, off)  # fmt: skip
    if wheels.touch is not None and wheels.touch.value is not None:
        spare = angles[least] - wheels.touch.value
        yield _figure(
            "gear.tip_back_spare",
            f"nose up from where {wheels.touch.part} touches to where it falls on its tail",
            spare, "deg", name, off + (wheels.touch.error_bound or 0.0),
        )  # fmt: skip


def _tailwheel(wheels: Wheels, state: BalanceState) -> Iterator[Measurement]:
    angles = [standing.mains_ahead(wheels, one.body.centre) for one in state.loaded]
    for end, k in zip(("least", "most"), standing.spread_of(angles), strict=True):
        yield _figure(
            f"gear.mains_ahead_of_cg.{end}", "mains ahead of the centre, waterlines level",
            angles[k], "deg", state.loaded[k].loading.name,
            _off(standing.mains_ahead, wheels, state, state.loaded[k]),
        )  # fmt: skip
    yield _figure("gear.tail_down_angle", "nose up as it stands, against the waterlines",
                  standing.tail_down(wheels), "deg", "", _tilt(wheels))  # fmt: skip


def _tilt(wheels: Wheels) -> float:
    """Return how far the pitch may be off [deg], by what the contacts may be."""
    base = abs(wheels.along(tuple(wheels.others.mean(axis=0)))[0])
    return degrees(atan2(2 * GIVEN, base))


def _off(angle: Angle, wheels: Wheels, state: BalanceState, one: LoadedState) -> float:
    """Return how far an angle [deg] may be off, by the band of the centre's station."""
    x, y, z = one.body.centre
    by = state.station_band(one.body, one.loading) + GIVEN
    ends = [angle(wheels, (x + way * by, y, z)) for way in (-1.0, 1.0)]
    return max(abs(end - angle(wheels, one.body.centre)) for end in ends)


def _figure(id_: str, what: str, value: float, unit: str, where: str, bound: float) -> Measurement:
    return Measurement(id_, "", what, value, unit, METHOD, bound, where)

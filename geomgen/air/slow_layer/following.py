"""The slow layer along one line: laminar from its start, turbulent from somewhere, then off."""

from dataclasses import dataclass

import numpy as np

from geomgen.air.slow_layer import laminar, transition, turbulent
from geomgen.air.slow_layer.edge_speed import FINE, EdgeSpeed, FineEdge
from geomgen.arrays import Bools, Floats
from geomgen.errors import ParameterError

# Above this acceleration number [1] a turbulent layer turns laminar again: Narasimha and
# Sreenivasan, 1979, MEMORY. It is said, not followed.
CALMS = 3e-6
# From this thickness on, as a share of the radius, a layer is not thin: own choice.
THICK = 0.25


@dataclass(frozen=True)
class LayerHere:
    """A layer at one station: thicknesses [mm], shape and friction coefficient [1]."""

    momentum: float
    displacement: float
    total: float
    shape: float
    friction: float
    turbulent: bool


@dataclass(frozen=True, eq=False)
class SlowLayer:
    """A slow layer at many stations (n,) [mm], up to its end or where it leaves the surface.

    `momentum`, `displacement` and `total` (to 0.99 of the speed) are thicknesses [mm]; `shape`
    and `friction` (by the edge's own dynamic pressure) have no unit. `turns` and `leaves` [mm]
    are the stations of transition and separation, None when there is none; `may_leave` [mm] is
    the earliest at which a turbulent layer might. `words` say what happens.
    """

    stations: Floats
    momentum: Floats
    displacement: Floats
    total: Floats
    shape: Floats
    friction: Floats
    turbulent: Bools
    turns: float | None
    leaves: float | None
    may_leave: float | None
    words: tuple[str, ...]

    def at(self, station: float) -> LayerHere:
        """Return the layer at a station [mm]; ParameterError off its line or past separation."""
        first, last = float(self.stations[0]), float(self.stations[-1])
        if not first <= station <= last:
            past = self.leaves is not None and station > last
            raise ParameterError(
                "the layer has left the surface there" if past else "the line does not reach there",
                written=f"{station:.1f} mm along the line",
                allowed=f"{first:.1f} to {last:.1f} mm",
                advice="take the air behind a separation for slow all through" if past else None,
            )
        values = (self.momentum, self.displacement, self.total, self.shape, self.friction)
        here = [float(np.interp(station, self.stations, each)) for each in values]
        later = self.turns is not None and station >= self.turns
        return LayerHere(here[0], here[1], here[2], here[3], here[4], later)


def follow(
    edge: EdgeSpeed, *, trip: float | None = None, bubbles: bool = True, count: int = FINE
) -> SlowLayer:
    """Return the slow layer [mm] along an edge.

    It turns turbulent by itself, or at `trip` [mm] if that comes first and it can hold there; and
    where it leaves the surface laminar and comes back after a short bubble (`bubbles`).
    Range: low speed, thin layers, lines that don't twist; nothing behind a separation.
    Source: see `laminar`, `transition` and `turbulent`.

    >>> plate = EdgeSpeed.of([0.0, 1000.0], [1.0, 1.0], speed=1.46, viscosity=1.46e-5)
    >>> layer = follow(plate)
    >>> round(layer.at(1000.0).momentum, 2), layer.turns, layer.words
    (2.12, None, ('laminar to the end of the line',))
    """
    fine = edge.fine(count)
    early = laminar.run(fine)
    turns, words = _turns(fine, early, trip, bubbles)
    before = _laminar_part(fine, early, turns)
    if turns is None:
        end = early.leaves
        said = (f"leaves the surface laminar at {end:.0f} mm",) if end is not None else ()
        return SlowLayer(
            *before, None, end, end, (*words, *(said or ("laminar to the end of the line",)))
        )
    onward = fine.onward(turns)
    late = turbulent.run(onward, float(before[1][-1]))
    after = _turbulent_part(onward, late)
    # The laminar part ends on the station at which the turbulent one begins.
    joined = [np.concatenate([a[:-1], b]) for a, b in zip(before, after, strict=True)]
    if late.leaves is not None:
        words = (*words, f"leaves the surface turbulent at {late.leaves:.0f} mm")
    elif late.may_leave is not None:
        words = (*words, f"might leave the surface from {late.may_leave:.0f} mm on")
    words = (*words, *_doubts(edge, onward, joined))
    stations, momentum, displacement, total, shape, friction, state = joined
    return SlowLayer(
        *(stations, momentum, displacement, total, shape, friction, state.astype(bool)),
        *(turns, late.leaves, late.may_leave, words),
    )


def _turns(
    fine: FineEdge, early: laminar.LaminarRun, trip: float | None, bubbles: bool
) -> tuple[float | None, tuple[str, ...]]:
    """Return where the layer turns turbulent [mm], and why in words."""
    many = len(early.thicknesses)
    at = fine.stations[:many]
    reynolds = fine.reynolds(np.pad(early.thicknesses, (0, len(fine.stations) - many)))[:many]
    natural = transition.crossing(at, reynolds - transition.limit(fine.reached()[:many]))
    if natural is not None and early.leaves is not None and natural > early.leaves:
        natural = None
    tripped = None
    if trip is not None:
        holds = transition.crossing(at, reynolds - transition.HOLDS)
        if holds is not None:
            tripped = max(trip, holds)
    last = float(at[-1]) if early.leaves is None else early.leaves
    if tripped is not None and tripped <= min(last, natural if natural is not None else last):
        later = trip is not None and tripped > trip
        why = f", tripped at {trip:.0f} mm, where it could not hold yet" if later else ", tripped"
        return tripped, (f"turns turbulent at {tripped:.0f} mm{why}",)
    if natural is not None:
        return natural, (f"turns turbulent at {natural:.0f} mm by itself",)
    if early.leaves is None or not bubbles:
        return None, ()
    displaced = float(np.interp(early.leaves, at, reynolds)) * float(
        laminar.shape(np.array([laminar.LEAVES]))[0]
    )
    if displaced < transition.SHORT_BUBBLE:
        return None, (
            f"does not lie on again: too slow there (Re of the displacement {displaced:.0f})",
        )
    return early.leaves, (
        f"leaves the surface laminar (still smooth) at {early.leaves:.0f} mm and is taken to lie "
        "on it again a little behind, turbulent",
    )


Part = tuple[Floats, Floats, Floats, Floats, Floats, Floats, Bools]


def _laminar_part(fine: FineEdge, early: laminar.LaminarRun, turns: float | None) -> Part:
    """Return the laminar stations and values, the last at transition, separation or the end."""
    many = len(early.thicknesses)
    at, end = fine.stations[:many], early.leaves if turns is None else turns
    momentum, pressures, speeds = early.thicknesses, early.pressures, fine.speeds[:many]
    if end is not None:
        kept = at < end

        def cut(values: Floats) -> Floats:
            return np.append(values[kept], np.interp(end, at, values))

        at, momentum, pressures, speeds = cut(at), cut(momentum), cut(pressures), cut(speeds)
    shape = laminar.shape(pressures)
    reynolds = speeds * momentum / fine.viscosity
    # At a stagnation point and at a sharp edge the coefficient has no end: the next one stands.
    friction = 2.0 * laminar.shear(pressures) / np.where(reynolds > 0, reynolds, np.inf)
    if len(friction) > 1 and reynolds[0] == 0:
        friction[0] = friction[1]
    total = laminar.fullness(pressures) * momentum
    return at, momentum, shape * momentum, total, shape, friction, np.zeros(len(at), bool)


def _turbulent_part(onward: FineEdge, late: turbulent.TurbulentRun) -> Part:
    """Return the turbulent stations and values, the last where it leaves or at the end."""
    many = len(late.thicknesses)
    at, momentum, drawn = onward.stations[:many], late.thicknesses, late.entrainments
    speeds = onward.speeds[:many]
    if late.leaves is not None:
        kept = at < late.leaves

        def cut(values: Floats) -> Floats:
            return np.append(values[kept], np.interp(float(late.leaves or 0.0), at, values))

        at, momentum, drawn, speeds = cut(at), cut(momentum), cut(drawn), cut(speeds)
    shape = np.array([turbulent.shape(float(each)) for each in drawn])
    reynolds = np.maximum(speeds * momentum / onward.viscosity, 1.0)
    pairs = zip(shape, reynolds, strict=True)
    friction = np.array([turbulent.friction(float(h), float(re)) for h, re in pairs])
    return (
        at,
        momentum,
        shape * momentum,
        (drawn + shape) * momentum,
        shape,
        friction,
        np.ones(len(at), bool),
    )


def _doubts(edge: EdgeSpeed, onward: FineEdge, joined: list[Floats]) -> tuple[str, ...]:
    """Return what the layer can't be trusted for, in words."""
    doubts = []
    calm = onward.viscosity * onward.slopes > CALMS * onward.speeds**2
    if np.any(calm):
        where = float(onward.stations[int(np.argmax(calm))])
        doubts.append(f"speeds up so fast from {where:.0f} mm that it may turn laminar again")
    if np.ptp(edge.widths) > 0:
        radius = np.interp(joined[0], edge.stations, edge.widths)
        thick = joined[3] > THICK * radius
        thick[0] = False
        if np.any(thick):
            where = float(joined[0][int(np.argmax(thick))])
            doubts.append(
                f"thick against the bend of the skin from {where:.0f} mm on: less sure there"
            )
    return tuple(doubts)

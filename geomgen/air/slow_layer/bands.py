"""How far a slow layer may be off: between its earliest and its own transition, and two methods."""

from dataclasses import dataclass
from math import inf

import numpy as np

from geomgen.air.slow_layer import transition, turbulent
from geomgen.air.slow_layer.edge_speed import EdgeSpeed
from geomgen.air.slow_layer.following import LayerHere, SlowLayer, follow
from geomgen.errors import ParameterError

# How far each thickness may be off by itself [1]: what solved wedge flows show of laminar ones,
# taken for turbulent ones too (own choice).
ITSELF = 0.05
BETWEEN = "from a layer that turns turbulent by itself to one that is turbulent from its start"
# Over the momentum thickness [1], by the one-seventh law: shape and total.
SEVENTH_SHAPE, SEVENTH_TOTAL = 9 / 7, 72 / 7


@dataclass(frozen=True)
class LayerBand:
    """A layer at one station and between what its thicknesses may lie [mm].

    `words` say what makes the band. Where the layer might have left the surface before the station
    its thickness has no upper end; `leaves` [mm] is where the best guess has, whose thickness is
    then that at this place, or None.
    """

    best: LayerHere
    displacement: tuple[float, float]
    total: tuple[float, float]
    words: tuple[str, ...]
    leaves: float | None = None


def band(edge: EdgeSpeed, station: float, *, trip: float | None = None) -> LayerBand:
    """Return the layer at a station [mm] with its band.

    The best guess turns turbulent at `trip` [mm] or by itself; the band holds that and a layer
    that is tripped at its start, each by two methods. ParameterError off the line.

    >>> plate = EdgeSpeed.of([0.0, 2000.0], [1.0, 1.0], speed=25.0, viscosity=1.46e-5)
    >>> found = band(plate, 2000.0)
    >>> found.total[0] < found.best.total < found.total[1]
    True
    """
    own = follow(edge, trip=trip)
    gone = own.leaves if own.leaves is not None and own.leaves < station else None
    # What leaves the surface is as thick as it was then, at least.
    at = station if gone is None else min(gone, float(own.stations[-1]))
    best = own.at(at)
    early = follow(edge, trip=float(edge.stations[0]))
    found, words, held = [best], [BETWEEN], gone is None
    if gone is not None:
        words.append(f"it leaves the surface at {gone:.0f} mm along its line")
    if early.leaves is not None and early.leaves < station:
        words.append(f"a layer tripped at its start leaves the surface at {early.leaves:.0f} mm")
        held = False
    else:
        found.append(early.at(station))
    for layer in (own, early):
        second = _second(edge, layer, at)
        if second is not None:
            found.append(second)
    if len(found) > 2:
        words.append("each worked out by two methods")
    if gone is None and own.may_leave is not None and own.may_leave <= station:
        words.append(f"it might have left the surface from {own.may_leave:.0f} mm on")
        held = False
    displaced = [each.displacement for each in found]
    totals = [each.total for each in found]
    return LayerBand(
        best,
        (min(displaced) / (1.0 + ITSELF), max(displaced) * (1.0 + ITSELF) if held else inf),
        (min(totals) / (1.0 + ITSELF), max(totals) * (1.0 + ITSELF) if held else inf),
        tuple(words),
        gone,
    )


def _second(edge: EdgeSpeed, layer: SlowLayer, station: float) -> LayerHere | None:
    """Return a turbulent layer by the other method; None where it is still laminar."""
    if layer.turns is None or station <= layer.turns:
        return None
    onward = edge.fine().onward(layer.turns)
    first = layer.at(layer.turns).momentum
    momentum = float(np.interp(station, onward.stations, turbulent.by_one_integral(onward, first)))
    speed = float(np.interp(station, onward.stations, onward.speeds))
    reynolds = max(speed * momentum / onward.viscosity, transition.HOLDS)
    return LayerHere(
        *(momentum, SEVENTH_SHAPE * momentum, SEVENTH_TOTAL * momentum, SEVENTH_SHAPE),
        *(turbulent.friction(SEVENTH_SHAPE, reynolds), True),
    )


def lost_share(layer: LayerHere, gap: float, height: float) -> float:
    """Return the share [1] of dynamic pressure that the layer takes from a mouth.

    The mouth stands from `gap` [mm] off the surface to `gap + height` [mm]. The speed in the
    layer is a power of the distance, its exponent (H - 1) / 2 by the shape H of the layer. One
    without an end takes all.
    Equation: 1 - the mean over the height of (u/ue)^2. Source: power law profiles, DERIVED.

    >>> here = LayerHere(2.0, 2.8, 20.0, 9 / 7, 0.003, True)
    >>> round(lost_share(here, 0.0, 20.0), 4), lost_share(here, 20.0, 50.0)
    (0.2222, 0.0)
    """
    if height <= 0 or gap < 0:
        raise ParameterError(
            "a mouth needs a height above zero and a gap of nought or more",
            written=f"height {height} mm, gap {gap} mm",
        )
    if layer.total <= gap:
        return 0.0
    if layer.total == inf:
        return 1.0
    power = layer.shape - 1.0  # twice the speed's exponent
    first, last = gap / layer.total, min(1.0, (gap + height) / layer.total)
    kept = (last ** (power + 1.0) - first ** (power + 1.0)) / (power + 1.0)
    return float((last - first - kept) * layer.total / height)

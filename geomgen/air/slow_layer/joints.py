"""Slow layers that have run along another part's joint, or come off it: between what they may lie.

In the corner of a wing and a body both have a layer of their own, and a vortex wraps round the
root. No layer along one line follows that. Behind the joint nothing is thinner than a layer that is
new there, and nothing that is still on the skin is taken to be thicker than both together (own
choice).
"""

from dataclasses import replace
from math import inf

import numpy as np

from geomgen.air.slow_layer.bands import ITSELF, LayerBand
from geomgen.air.slow_layer.edge_speed import EdgeSpeed
from geomgen.air.slow_layer.following import follow


def plate(length: float, speed: float, viscosity: float) -> float:
    """Return the thickness [mm] of a layer on a plate of a length [mm], turbulent all along.

    `speed` [m/s], `viscosity` [m2/s]. Equation: 0.37 x Re^-0.2, by the one-seventh law. Status:
    MEMORY (Prandtl).

    >>> round(plate(1000.0, 20.0, 1.46e-5), 1)
    21.9
    """
    reynolds = speed * length / 1000.0 / viscosity
    return float(0.37 * length * reynolds**-0.2) if reynolds > 0 else 0.0


def beside(found: LayerBand, edge: EdgeSpeed, first: float, last: float, part: str) -> LayerBand:
    """Return a layer's band at its edge's end, after a part's joint from `first` to `last` [mm].

    >>> from geomgen.air.slow_layer.bands import band
    >>> wall = EdgeSpeed.of([0.0, 2000.0], [1.0, 1.0], speed=25.0, viscosity=1.46e-5)
    >>> alone = band(wall, 2000.0)
    >>> wide = beside(alone, wall, 800.0, 1500.0, "wing")
    >>> wide.total[0] < alone.total[0] and wide.total[1] > alone.total[1]
    True
    """
    along = (edge.stations >= first) & (edge.stations <= last)
    speed = edge.speed * float(np.mean(edge.ratios[along])) if along.any() else edge.speed
    more = (1.0 + ITSELF) * plate(last - first, speed, edge.viscosity)
    new = _new(edge, last)
    return replace(
        found,
        displacement=(min(found.displacement[0], new / 8.0), found.displacement[1] + more / 8.0),
        total=(min(found.total[0], new), found.total[1] + more),
        words=(
            *found.words,
            f"it runs {last - first:.0f} mm along the joint of the {part}: between a layer that is "
            "new behind it and both parts' together, the vortex in the corner not followed "
            "(own choice)",
        ),
    )


def _new(edge: EdgeSpeed, station: float) -> float:
    """Return the least thickness [mm] of a layer that begins at a station [mm]."""
    after = edge.stations > station
    at = np.concatenate([[station], edge.stations[after]])
    ratios = np.concatenate([[np.interp(station, edge.stations, edge.ratios)], edge.ratios[after]])
    widths = np.concatenate([[np.interp(station, edge.stations, edge.widths)], edge.widths[after]])
    if len(at) < 2 or ratios[0] <= 0 or widths[0] <= 0:
        return 0.0
    cut = EdgeSpeed.of(at, ratios, speed=edge.speed, viscosity=edge.viscosity, widths=widths)
    return float(follow(cut).total[-1]) / (1.0 + ITSELF)


def off_another(found: LayerBand) -> LayerBand:
    """Return the band of a layer whose line begins at another part: from a new one to all."""
    words = "the air comes there off another part or from behind the open end"
    return replace(
        found,
        displacement=(found.displacement[0], inf),
        total=(found.total[0], inf),
        words=(*found.words, f"{words}: between a new layer and all slow air"),
    )

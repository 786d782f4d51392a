"""What drives a slow layer: the air's speed at its outer edge along one line of a surface."""

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import PchipInterpolator

from geomgen.arrays import Floats
from geomgen.errors import ParameterError

# Stations in between on which the layer is worked out, at least: own choice; twice as many move
# the separation of a cylinder by less than 0.03 deg.
FINE = 400
# A speed that can't be told from none, as a share of the largest: own choice.
STILL = 1e-9
# Digits to which the share of a step is told apart from a whole number: own choice.
EVEN = 5


@dataclass(frozen=True, eq=False)
class EdgeSpeed:
    """The edge speed along a line that begins where the layer begins.

    `stations` (n,) are arc lengths [mm], rising; `ratios` (n,) the speed there over the free
    stream's [1], nought at a stagnation point and above it elsewhere; `speed` [m/s] is the free
    stream's; `viscosity` [m2/s] is kinematic. `widths` (n,) [any unit] say how neighbouring lines
    spread: the radius of a body of revolution; left out for a plane flow.

    >>> EdgeSpeed.of([0.0, 500.0], [1.0, 1.0], speed=25.0, viscosity=1.46e-5).length
    500.0
    """

    stations: Floats
    ratios: Floats
    speed: float
    viscosity: float
    widths: Floats

    @classmethod
    def of(
        cls,
        stations: object,
        ratios: object,
        *,
        speed: float,
        viscosity: float,
        widths: object = None,
    ) -> "EdgeSpeed":
        """Return an edge speed of stations [mm], ratios [1], speed [m/s], viscosity [m2/s].

        Raises ParameterError for what no layer can follow.
        """
        at = _numbers("stations", stations)
        along = _numbers("ratios", ratios)
        across = np.ones_like(at) if widths is None else _numbers("widths", widths)
        if not len(at) == len(along) == len(across):
            raise ParameterError(
                "stations, speed ratios and widths differ in number",
                written=f"{len(at)}, {len(along)} and {len(across)}",
                allowed="one of each for each station",
            )
        if len(at) < 2 or np.any(np.diff(at) <= 0):
            raise ParameterError("a layer needs two stations or more, each further along")
        for name, value in (("speed", speed), ("viscosity", viscosity)):
            if not (np.isfinite(value) and value > 0):
                raise ParameterError(f"the {name} must be above zero", written=f"{value}")
        least = STILL * float(np.max(along))
        if np.any(along[1:-1] <= least) or along[0] < 0 or along[-1] < 0 or least <= 0:
            raise ParameterError(
                "the air stands still or runs back within the line",
                allowed="a speed ratio above zero; nought at the first or the last station",
                advice="begin the line at its stagnation point and end it at the next",
            )
        if np.any(across[1:-1] <= 0) or across[0] < 0 or across[-1] < 0 or np.max(across) <= 0:
            raise ParameterError(
                "the line has no width within",
                allowed="a width above zero; nought at the first or the last station",
            )
        return cls(at, along, float(speed), float(viscosity), across)

    @property
    def length(self) -> float:
        """The line's length [mm]."""
        return float(self.stations[-1] - self.stations[0])

    def fine(self, count: int = FINE) -> "FineEdge":
        """Return the same on many stations; a closed end (no speed or no width) is left out.

        Between the stations given, speed and width are monotone where those are (no overshoot).
        """
        at, still = self.stations, STILL * float(np.max(self.ratios))
        # Even steps are a whole number of times in it: no last digit may add a station to each.
        share = np.round(count * np.diff(at) / self.length, EVEN)
        each = np.maximum(1, np.ceil(share)).astype(int)
        parts = [
            np.linspace(at[i], at[i + 1], int(many), endpoint=False) for i, many in enumerate(each)
        ]
        stations = np.concatenate([*parts, at[-1:]])
        ratios = PchipInterpolator(at, self.ratios)
        widths = PchipInterpolator(at, self.widths)(stations)
        speeds = self.speed * ratios(stations)
        slopes = self.speed * ratios.derivative()(stations)
        open_end = speeds[-1] > self.speed * still and widths[-1] > 0
        last = len(stations) if open_end else len(stations) - 1
        if self.ratios[0] <= still:
            speeds[0] = 0.0
        return FineEdge(
            stations[:last],
            speeds[:last],
            slopes[:last],
            widths[:last] / float(np.max(self.widths)),
            1000.0 * self.viscosity,
        )


@dataclass(frozen=True, eq=False)
class FineEdge:
    """An edge speed on many stations [mm]: speeds [m/s], their slopes [(m/s)/mm], widths [1].

    `viscosity` is in mm m/s, so that speed times millimetres over it is a Reynolds number.
    """

    stations: Floats
    speeds: Floats
    slopes: Floats
    widths: Floats
    viscosity: float

    def reynolds(self, lengths: Floats) -> Floats:
        """Return the Reynolds numbers [1] of lengths (n,) [mm] at the stations."""
        return np.asarray(self.speeds * lengths / self.viscosity)

    def reached(self) -> Floats:
        """Return the Reynolds numbers [1] of the lengths run since the first station [mm]."""
        return self.reynolds(self.stations - self.stations[0])

    def onward(self, station: float) -> "FineEdge":
        """Return what lies from a station [mm] on, which becomes the first."""
        later = self.stations > station + 1e-9 * abs(station)

        def cut(values: Floats) -> Floats:
            first = np.interp(station, self.stations, values)
            return np.concatenate([[first], values[later]])

        return FineEdge(
            cut(self.stations), cut(self.speeds), cut(self.slopes), cut(self.widths), self.viscosity
        )


def _numbers(name: str, values: object) -> Floats:
    """Return finite numbers (n,), or refuse them by their name."""
    try:
        found = np.array(values, dtype=float)
    except (TypeError, ValueError):
        raise ParameterError(f"the {name} must be numbers") from None
    if found.ndim != 1 or not np.all(np.isfinite(found)):
        raise ParameterError(f"the {name} must be finite numbers in a row")
    return found

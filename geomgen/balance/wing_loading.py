"""Wing and loadings to read: area, span, mean chord as measured, what a square metre carries."""

from collections.abc import Sequence
from dataclasses import dataclass

from geomgen.balance.stability.neutral_point import WING
from geomgen.measurements.record import Measurement


@dataclass(frozen=True)
class WingFigures:
    """The measured wing: area [mm2], span and mean aerodynamic chord [mm], aspect ratio [1].

    `power` is the shaft power of the file [W].
    """

    area: float
    span: float
    mean_chord: float
    aspect_ratio: float
    power: float

    def wing_loading(self, gross: float) -> float:
        """Return what a square metre carries [kg/m2] of a mass [kg].

        >>> WingFigures(12e6, 10000.0, 1200.0, 25 / 3, 22000.0).wing_loading(264.0)
        22.0
        """
        return gross / (self.area * 1e-6)

    def power_loading(self, gross: float) -> float:
        """Return what a kilowatt carries [kg/kW] of a mass [kg].

        >>> WingFigures(12e6, 10000.0, 1200.0, 25 / 3, 22000.0).power_loading(264.0)
        12.0
        """
        return gross / (self.power * 1e-3)


def wing_figures(measurements: Sequence[Measurement], power: float) -> WingFigures | None:
    """Return the measured wing with the shaft power [W]; None where it was not measured."""
    found = next((m for m in measurements if m.id == WING and m.value), None)
    told = {} if found is None else dict(found.further)
    if found is None or found.value is None or not {"area", "span", "aspect_ratio"} <= set(told):
        return None
    return WingFigures(told["area"], told["span"], found.value, told["aspect_ratio"], power)

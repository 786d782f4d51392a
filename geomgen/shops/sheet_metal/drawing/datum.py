"""The datum that holes are placed from: two lines in the pattern's own plane."""

from dataclasses import dataclass

from geomgen.drafting.record import Path, line
from geomgen.shops.sheet_metal.flat_pattern.solid import MeasuredSheet

# The thrust line serves as long as it crosses the sheet so far from its ends, as a share of it.
INSIDE = 0.05


@dataclass(frozen=True)
class Datum:
    """The point u, v [mm] of the pattern that X (to the right) and Y (up the sheet) count from.

    `buttock_line` and `waterline` say where it lies on the sheet's front face in the aircraft.
    """

    u: float
    v: float
    buttock_line: float
    waterline: float

    def of(self, place: tuple[float, float]) -> tuple[float, float]:
        """Return X and Y [mm] of a place u, v.

        >>> Datum(0.0, 800.0, 0.0, 800.0).of((-90.0, 640.0))
        (-90.0, -160.0)
        """
        return place[0] - self.u + 0.0, place[1] - self.v + 0.0

    @property
    def words(self) -> str:
        """Return where the datum lies in the aircraft."""
        return f"BL {self.buttock_line + 0.0:.1f}, WL {self.waterline:.1f} on the front face"


def datum_of(sheet: MeasuredSheet) -> Datum:
    """Return the datum: the centre plane and the thrust line, or half the sheet's height."""
    low, high = float(sheet.outline[:, 1].min()), float(sheet.outline[:, 1].max())
    room = INSIDE * (high - low)
    v = sheet.frame.origin[2]
    if not low + room < v < high - room:
        v = float(round((low + high) / 2))
    bl, wl = sheet.on_front((0.0, v))
    return Datum(0.0, v, bl, wl)


def datum_lines(sheet: MeasuredSheet, datum: Datum, layer: str) -> list[Path]:
    """Return both lines through the datum, as far as the sheet goes."""
    (x0, y0), (x1, y1) = sheet.outline.min(axis=0).tolist(), sheet.outline.max(axis=0).tolist()
    return [
        line((datum.u, y0), (datum.u, y1), layer, "X 0"),
        line((x0, datum.v), (x1, datum.v), layer, "Y 0"),
    ]

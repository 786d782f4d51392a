"""The scale of colours of pressures, in the units of a drawing in a page."""

from dataclasses import dataclass

from geomgen.documents.pressure_bands import COUNT, TICKS, UNFELT, UNSURE, colours, css
from geomgen.documents.pressure_bands import MOUTH as AIR_IN

# The drawing's own units: breadth, height of the colours, of all.
WIDE, HIGH, ALL, EDGE = 240.0, 18.0, 40.0, 14.0
# Every so many ticks has a number.
NAMED = 2


@dataclass(frozen=True)
class PressureLegend:
    """The scale in the drawing's units: (left, breadth, colour), (place, number), greys, words."""

    bands: tuple[tuple[float, float, str], ...]
    ticks: tuple[tuple[float, str], ...]
    others: tuple[tuple[str, str], ...]
    wide: float = WIDE
    high: float = HIGH
    whole: float = ALL


def pressure_legend() -> PressureLegend:
    """Return the scale of colours.

    >>> pressure_legend().ticks[0]
    (14.0, '-1.2')
    """
    step = (WIDE - 2 * EDGE) / COUNT
    low, span = TICKS[0], TICKS[-1] - TICKS[0]
    named = TICKS[::NAMED] if TICKS[-1] in TICKS[::NAMED] else (*TICKS[::NAMED], TICKS[-1])
    return PressureLegend(
        tuple((round(EDGE + step * k, 3), round(step, 3), css(c)) for k, c in enumerate(colours())),
        tuple(
            (round(EDGE + (v - low) / span * (WIDE - 2 * EDGE), 3), f"{v:g}" if v else "0")
            for v in named
        ),
        (
            (css(UNFELT), "not felt in the computation"),
            (css(UNSURE), "cut short by another part, not shown"),
            (css(AIR_IN), "air goes in"),
        ),
    )

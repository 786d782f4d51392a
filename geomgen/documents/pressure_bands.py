"""Colours of pressure coefficients: one scale for all machines and states, in bands.

Blue sucks, brown presses, near white is the free air; the blue end is much darker than the brown
one, so that both are told apart in grey and by who is blind to some colours. All own choice.
"""

from bisect import bisect_right

Colour = tuple[int, int, int]
LOW, STEP, COUNT = -1.2, 0.1, 22
# Coefficients [1] and the colours there; straight between them.
STOPS = (
    (-1.2, (10, 16, 60)),
    (-0.6, (24, 82, 160)),
    (-0.2, (122, 178, 222)),
    (0.0, (244, 244, 236)),
    (0.2, (240, 196, 120)),
    (0.6, (204, 112, 24)),
    (1.0, (120, 52, 10)),
)
# Nothing was felt there; it was, but no value is told; air goes in.
UNFELT, UNSURE, MOUTH = (150, 150, 150), (196, 196, 196), (40, 40, 40)
# Coefficients with a number in the legend.
TICKS = (-1.2, -1.0, -0.8, -0.6, -0.4, -0.2, 0.0, 0.2, 0.4, 0.6, 0.8, 1.0)
ENDS = "the last colour at each end stands for all beyond it"


def edges() -> tuple[float, ...]:
    """Return the coefficients [1] between which the bands lie, one more than bands.

    >>> edges()[0], edges()[12], edges()[-1]
    (-1.2, 0.0, 1.0)
    """
    return tuple(round(LOW + STEP * at, 9) + 0.0 for at in range(COUNT + 1))


def band(coefficient: float) -> int:
    """Return the band [1] of a pressure coefficient [1]; what lies beyond an end is in its band.

    >>> band(-7.0), band(0.0), band(0.05), band(2.0)
    (0, 12, 12, 21)
    """
    return min(max(bisect_right(edges(), coefficient) - 1, 0), COUNT - 1)


def colours() -> tuple[Colour, ...]:
    """Return the colour of each band, that of its middle: red, green, blue to 255 [1]."""
    return tuple(_at(LOW + STEP * (at + 0.5)) for at in range(COUNT))


def css(colour: Colour) -> str:
    """Return a colour, to 255 [1], as a style sheet writes it."""
    return f"rgb({colour[0]},{colour[1]},{colour[2]})"


def _at(coefficient: float) -> Colour:
    for (a, one), (b, other) in zip(STOPS, STOPS[1:], strict=False):
        if coefficient <= b:
            share = (coefficient - a) / (b - a)
            r, g, b_ = (round(c + share * (d - c)) for c, d in zip(one, other, strict=True))
            return (r, g, b_)
    return STOPS[-1][1]

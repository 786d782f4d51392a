"""How a place is written: station, buttock line, waterline."""

import re

from geomgen.kernel.plain import Vec3

_WRITTEN = re.compile(r"STA (-?[\d.]+) BL (-?[\d.]+) WL (-?[\d.]+)")


def place(point: Vec3) -> str:
    """Return a point [mm] in the trade's words.

    >>> place((2145.02, 710.3, -302.149))
    'STA 2145.0 BL 710.3 WL -302.1'
    """
    x, y, z = (round(c, 1) + 0.0 for c in point)
    return f"STA {x:.1f} BL {y:.1f} WL {z:.1f}"


def places_in(text: str) -> list[Vec3]:
    """Return the points [mm, to a tenth] that a text names the way `place` writes them.

    >>> places_in("exit at STA 3000.0 BL 110.0 WL -820.5")
    [(3000.0, 110.0, -820.5)]
    """
    return [(float(x), float(y), float(z)) for x, y, z in _WRITTEN.findall(text)]

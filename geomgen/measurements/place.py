"""How a place is written: station, buttock line, waterline."""

from geomgen.kernel.plain import Vec3


def place(point: Vec3) -> str:
    """Return a point [mm] in the trade's words.

    >>> place((2145.02, 710.3, -302.149))
    'STA 2145.0 BL 710.3 WL -302.1'
    """
    x, y, z = (round(c, 1) + 0.0 for c in point)
    return f"STA {x:.1f} BL {y:.1f} WL {z:.1f}"

"""Do finished parts share space? Every pair, by meshes that are proven and by the solids."""

from collections.abc import Sequence

from geomgen.kernel.interference.meeting import Meeting
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

WHAT = "depth to which parts run into each other: a point of one below the skin of the other"
METHOD = (
    "every pair: gap of verified meshes against their deviations; where that does not settle it, "
    "shared solid and points of each skin in the other solid"
)
LODGED = "; spars and ribs and what holds them are not counted (spar.skin, rib.skin)"
# Of one pair so many places are named, the deepest first.
NAMED = 5


def meeting_record(
    found: Sequence[tuple[str, str, Meeting]], parts: int, lodged: int = 0
) -> Measurement:
    """Return the deepest meeting of two parts, out of all pairs of so many parts, as a record.

    `lodged` pairs do not count: one part of them is made to stand inside the other.
    """
    met = list(found)
    if not met:
        pairs = parts * (parts - 1) // 2 - lodged
        return Measurement(
            "parts.interference",
            "all parts",
            WHAT,
            0.0,
            "mm",
            METHOD,
            0.0,
            note=f"{pairs} pair{'' if pairs == 1 else 's'}, none shares space"
            + (LODGED if lodged else ""),
        )
    met.sort(key=lambda item: -item[2].depth)
    a, b, worst = met[0]
    return Measurement(
        "parts.interference",
        f"{a}, {b}",
        WHAT,
        -worst.depth,
        "mm",
        worst.method,
        worst.error,
        place(worst.at),
        (worst.at,),
        "; ".join(_said(*item) for item in met),
    )


def _said(a: str, b: str, met: Meeting) -> str:
    """Say of two parts how deep they meet, how much they share, and each place if several."""
    passed = "".join(
        f", {one} goes in at one face of {other} and comes out at another"
        for one, other, through in ((b, a, met.through[0]), (a, b, met.through[1]))
        if through
    )
    text = f"{a} and {b} by {met.depth:.2f} mm ({met.shared:.0f} mm^3{passed})"
    if len(met.places) == 1:
        return text
    each = ", ".join(f"{depth:.2f} mm at {place(at)}" for depth, at in met.places[:NAMED])
    more = len(met.places) - NAMED
    return f"{text} in {len(met.places)} places: {each}" + (f" and {more} less" * (more > 0))

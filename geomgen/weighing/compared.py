"""What the scales said beside what was computed, with a word on the difference."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from geomgen.balance.masses.to_weigh import ScalePiece
from geomgen.parameters.records.aircraft import Parameters
from geomgen.units import DIMENSIONS
from geomgen.weighing.target import ITEM, ScaleTarget

POUND = DIMENSIONS["mass"].factors["lb"]
LOOK_AGAIN = "look again"


@dataclass(frozen=True)
class ScaleDifference:
    """One piece: the mass before [kg] and its band [kg], None where nothing said it; the scales'.

    `before` says how that mass came about; `told` says whether the difference is within the band,
    and by how much it is not.
    """

    name: str
    computed: float | None
    band: float | None
    before: str
    scales: float
    written: str
    told: str

    @property
    def share(self) -> float | None:
        """The difference as a share of what was computed [1]."""
        return None if not self.computed else self.scales / self.computed - 1.0

    @property
    def within(self) -> bool:
        """Say whether there is nothing to look at again."""
        return LOOK_AGAIN not in self.told

    def as_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        return {**asdict(self), "difference": self.share, "within_band": self.within}


def difference(p: Parameters, pieces: Sequence[ScalePiece], target: ScaleTarget) -> ScaleDifference:
    """Return how the scales differ from what a file with these pieces computed."""
    computed, band, before = _before(p, pieces, target)
    scales = target.reading.mass
    told = words_of(computed, band, scales)
    return ScaleDifference(
        target.name, computed, band, before, scales, target.reading.written, told
    )


def _before(
    p: Parameters, pieces: Sequence[ScalePiece], target: ScaleTarget
) -> tuple[float | None, float | None, str]:
    if target.table == ITEM:
        assert target.row is not None
        item = p.items[target.row]
        return item.mass, item.band, item.source or "written in the file"
    # Both of a pair are alike: the first stands for the one on the scales.
    piece = next((piece for piece in pieces if piece.name in target.within), None)
    if piece is None:
        return None, None, "nothing in the file said what it weighs"
    if not piece.weighed:
        return piece.body.mass, piece.band, piece.how
    former = f"weighed: {piece.body.mass:.3f} kg"
    if piece.worked_out is None or target.like is None:
        return piece.body.mass, piece.band, former
    return piece.worked_out, p.mass[target.like].band * piece.worked_out, former


def words_of(computed: float | None, band: float | None, scales: float) -> str:
    """Return what there is to say of masses [kg] that differ.

    >>> words_of(3.0, 0.3, 3.2), words_of(3.0, 0.3, 3.66)
    ('within its band', '12 % over the band: look again')
    >>> words_of(3.0, 0.3, 6.6)
    '110 % over the band: look again; as lb it would be within: what did the scales show?'
    """
    if not computed:
        return "nothing to compare it with"
    off = scales - computed
    if _within(off, band or 0.0):
        return "within its band" if band else "as it was written"
    beyond = (abs(off) - (band or 0.0)) / computed
    shown = f"{100 * beyond:.0f} %" if beyond >= 0.005 else "less than 1 %"
    over = "over" if off > 0 else "under"
    named = "the band" if band else "what was written, which has no band"
    return f"{shown} {over} {named}: {LOOK_AGAIN}{_mistaken(computed, band or 0.0, scales)}"


def _within(off: float, band: float) -> bool:
    """Say whether a difference [kg] is within a band [kg], a computer's rounding left aside."""
    return abs(off) <= band * (1 + 1e-9) + 1e-9


def _mistaken(computed: float, band: float, scales: float) -> str:
    """Return a word where the other unit would have been within the band."""
    for unit, mass in (("lb", scales * POUND), ("kg", scales / POUND)):
        if _within(mass - computed, band):
            return f"; as {unit} it would be within: what did the scales show?"
    return ""

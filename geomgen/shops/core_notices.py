"""Foam of the wing that is weighed with one density and cut of another: said, never mended."""

from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.masses import PartMass
from geomgen.parameters.values.materials import MATERIALS

# Two densities of one core that differ by more than this share of the lesser are told: own choice.
APART = 0.1


def core_notices(p: Parameters) -> tuple[str, ...]:
    """Return a notice where the wing's mass and its hot-wire cores have two densities.

    Not of a wing that was weighed, nor of one that is a wall: there the density is not the core's.
    """
    if p.handoff is None or p.handoff.cores is None:
        return ()
    cut = p.handoff.cores.density
    return tuple(
        _told(row, own, cut)
        for row in p.mass
        if row.part == "wing" and row.weighed is None and row.wall is None
        if (own := _density(row)) is not None and abs(own - cut) > APART * min(own, cut)
    )


def _density(row: PartMass) -> float | None:
    """Return the density [kg/m3] that the part's mass is worked out with."""
    if row.density is not None or row.material is None:
        return row.density
    return MATERIALS[row.material].density


def _told(row: PartMass, own: float, cut: float) -> str:
    key = "density" if row.density is not None else f'material "{row.material}"'
    return (
        f'two densities of the wing\'s foam: {key} of [[mass]] part = "wing" is {own:g} kg/m^3, '
        f"handoff.cores.density is {cut:g} kg/m^3: mass and balance go by the first, the blanks of "
        "the parts list by the second. Write the density of the foam that is bought for both"
    )

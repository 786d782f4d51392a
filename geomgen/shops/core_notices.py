"""Foam of the wing that is weighed with one density and cut of another: said, never mended."""

from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.masses import PartMass
from geomgen.parameters.records.structure.wing import TUBE
from geomgen.parameters.values.materials import MATERIALS

# Two densities of one core that differ by more than this share of the lesser are told: own choice.
APART = 0.1
# A trough whose middle is further from that of every spar than this share of the chord is told: own
# choice, a few millimetres.
BESIDE = 0.005


def core_notices(p: Parameters) -> tuple[str, ...]:
    """Return notices of hot-wire cores: slots and troughs for spars, two densities of one foam.

    Not of a wing that was weighed, nor of one that is a wall: there the density is not the core's.
    """
    if p.handoff is None or p.handoff.cores is None:
        return ()
    cut = p.handoff.cores.density
    densities = tuple(
        _told(row, own, cut)
        for row in p.mass
        if row.part == "wing" and row.weighed is None and row.wall is None
        if (own := _density(row)) is not None and abs(own - cut) > APART * min(own, cut)
    )
    return (*_no_slots(p), *_astray(p), *densities)


def _no_slots(p: Parameters) -> tuple[str, ...]:
    """Return what has to be cut by hand for spars and ribs of the wing; nothing without any."""
    slots = p.handoff is not None and p.handoff.cores is not None and p.handoff.cores.spar_slots
    own = [spar for spar in p.spars if spar.of == "wing"]
    names = [f"spar {spar.name}" for spar in own if not slots or spar.kind == TUBE]
    names += [f"ribs {row.name}" for row in p.ribs if row.of == "wing"]
    if not names:
        return ()
    how = "parted at the webs of spars alone" if slots else "cut whole"
    return (
        f"CORES: they are {how}, without slots for {', '.join(names)}. Part the cores there "
        "yourself before they are skinned; handoff.cores.caps cuts troughs for caps alone.",
    )


def _astray(p: Parameters) -> tuple[str, ...]:
    """Return the troughs that no spar of the wing lies in; nothing where one runs by stations."""
    own = [spar for spar in p.spars if spar.of == "wing" and spar.kind != TUBE]
    shares = {spar.name: spar.chord_share for spar in own if spar.chord_share is not None}
    if p.handoff is None or p.handoff.cores is None or not own or len(shares) < len(own):
        return ()
    stands = ", ".join(f"spar {name} at {share:g}" for name, share in shares.items())
    astray = {
        cap.at: None
        for cap in p.handoff.cores.caps
        if all(abs(cap.at - share) > BESIDE for share in shares.values())
    }
    return tuple(
        f"CORES: the trough of handoff.cores.caps at {at:g} of the chord holds no spar cap: "
        f"{stands} of the chord. Write one place for both before a core is cut."
        for at in astray
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

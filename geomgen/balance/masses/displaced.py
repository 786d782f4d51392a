"""The foam that spars and ribs take the place of: it must not be weighed with the wing as well."""

from collections.abc import Mapping

from geomgen.balance.masses.inertia import RigidBody, together
from geomgen.balance.masses.solid_figures import SolidFigures
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.wing import wing_joint_names

# Families that have spars and ribs inside; of fins there is one on each side, with its own.
HOSTS, HANDED = ("wing", "tailplane", "fin"), ("fin",)
HANDS = ("_left", "_right")


def displaced(
    p: Parameters, figures: SolidFigures, every: Mapping[str, SolidFigures]
) -> RigidBody | None:
    """Return the volume [m3] that spars and ribs take out of a solid; None where they take none.

    Where joints have cut a wing apart each piece gives a share by its volume. The room inside a box
    or a tube stays full.
    """
    if figures.family not in HOSTS:
        return None
    hand = hand_of(figures.name) if figures.family in HANDED else ""
    own = [f for f in every.values() if not hand or hand_of(f.name) == hand]
    inside = [f.volume for f in own if host_of(p, f.name) == figures.family]
    if not inside:
        return None
    whole = sum(f.volume.mass for f in own if f.family == figures.family)
    gone = together(inside)
    return gone.scaled(gone.mass * figures.volume.mass / whole)


def host_of(p: Parameters, part: str) -> str | None:
    """Return the family that a spar's piece or joint, a rib or a fitting stands in; else None."""
    for stem, rows in (("spar", p.spars), ("rib", p.ribs)):
        for row in rows:
            if part.startswith(f"{stem}_{row.name}_"):
                return row.of
    for spar in p.spars:
        if spar.wing_joint and part.startswith(tuple(f"{n}_" for n in wing_joint_names(spar))):
            return spar.of
    for fitting in p.fittings:
        if part in (name := f"fitting_{fitting.name}", *(f"{name}{hand}" for hand in HANDS)):
            return fitting.inside if fitting.inside in HOSTS else None
    return None


def hand_of(part: str) -> str:
    """Return the end of a part's name that says its hand, or nothing.

    >>> hand_of("fin_left"), hand_of("pod")
    ('_left', '')
    """
    return next((hand for hand in HANDS if part.endswith(hand)), "")

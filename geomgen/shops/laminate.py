"""The skin: how thick and how heavy a laminate comes out of its plies.

Closed form: a ply of areal weight W with fibre of density rho_f at the volume fraction Vf is
W / (rho_f Vf) thick and holds W / rho_f (1 - Vf) / Vf rho_r of resin (derived: the fibre fills the
share Vf of the volume, the resin the rest).
"""

from geomgen.parameters.records.shops import Laminate, Ply

# The axis that directions of fibre count from: along the wing, and on every other part.
SPAN, BODY = "the span", "fore and aft"
WING_PARTS = ("wing", "wing_tip")


def ply_thickness(areal_weight: float, fibre_density: float, fraction: float) -> float:
    """Return the thickness [mm] of one ply from W [kg/m2], rho_f [kg/m3] and Vf [1].

    >>> round(ply_thickness(0.200, 2560.0, 0.35), 3)
    0.223
    """
    return 1000 * areal_weight / (fibre_density * fraction)


def resin_mass(areal_weight: float, fibre_density: float, fraction: float, resin: float) -> float:
    """Return the resin [kg/m2] in one ply whose cured resin has the density `resin` [kg/m3].

    >>> round(resin_mass(0.200, 2560.0, 0.35, 1150.0), 4)
    0.1669
    """
    return areal_weight / fibre_density * (1 - fraction) / fraction * resin


def thickness(laminate: Laminate) -> float:
    """Return the thickness [mm] of the whole skin."""
    return sum(
        ply.count
        * ply_thickness(ply.areal_weight, laminate.fibre_density, ply.fibre_volume_fraction)
        for ply in laminate.plies
    )


def areal_weight(laminate: Laminate) -> float:
    """Return the mass [kg/m2] of the whole cured skin, cloth and resin."""
    return sum(ply.count * _ply_mass(laminate, ply) for ply in laminate.plies)


def _ply_mass(laminate: Laminate, ply: Ply) -> float:
    resin = resin_mass(
        ply.areal_weight, laminate.fibre_density, ply.fibre_volume_fraction, laminate.resin_density
    )
    return ply.areal_weight + resin


def axis_of(part: str) -> str:
    """Return the axis of a part that directions of fibre count from.

    >>> axis_of("wing_tip"), axis_of("scoop_cheek")
    ('the span', 'fore and aft')
    """
    return SPAN if part in WING_PARTS else BODY


def fibre_words(angle: float, axis: str) -> str:
    """Return which way the fibre of a ply runs, at an angle [deg] to an axis.

    >>> fibre_words(0.0, SPAN), fibre_words(-45.0, BODY)
    ('fibre along the span', 'fibre -45 deg from fore and aft')
    """
    if angle:
        return f"fibre {angle:+g} deg from {axis}"
    return f"fibre along {axis}" if axis == SPAN else f"fibre {axis}"


def schedule(laminate: Laminate, part: str) -> tuple[str, ...]:
    """Return the ply schedule of a part, a line for each kind of cloth from the outside in."""
    return tuple(
        f"{ply.count} x {ply.cloth}, {1000 * ply.areal_weight:.0f} g/m², fibre volume fraction "
        f"{ply.fibre_volume_fraction:.2f}, {fibre_words(ply.fibre_angle, axis_of(part))}"
        for ply in laminate.plies
    )


def skin_note(laminate: Laminate, part: str) -> str:
    """Return the line of a sheet that says what skin a part gets, and how its fibre is counted."""
    turned = any(ply.fibre_angle for ply in laminate.plies)
    plus = (
        "; plus is counter-clockwise as seen from outside on the right, mirrored on the left"
        if turned
        else ""
    )
    return f"skin, from the outside in: {'; '.join(schedule(laminate, part))}{plus}"

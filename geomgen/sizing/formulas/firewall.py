"""What a firewall may be made of, how thin, and what it weighs: 14 CFR 23.1191(h).

The rule binds certified aeroplanes and is used here as a yardstick. Aluminium is not on its list:
it melts far below the flame of 2,000 F that a firewall has to stand for 15 minutes.
"""

from geomgen.units import INCH

SOURCE = "14 CFR 23.1191(h): accepted without a fire test"
# Least thickness [in] of each sheet on the list.
LEAST_INCHES = {
    "stainless steel": 0.015,
    "mild steel": 0.018,
    "terne plate": 0.018,
    "monel": 0.018,
    "titanium": 0.016,
}
FITTINGS = ("steel", "stainless steel", "brass", "copper")


def permitted_materials() -> tuple[str, ...]:
    """Return the sheets that the rule accepts without a fire test.

    Source: 14 CFR 23.1191(h). Status: PUBLISHED.

    >>> "aluminium" in permitted_materials()
    False
    """
    return tuple(LEAST_INCHES)


def permitted_fittings() -> tuple[str, ...]:
    """Return the metals that a fitting through the firewall may have: steel or copper alloy.

    Source: 14 CFR 23.1191(h). Status: PUBLISHED.

    >>> permitted_fittings()
    ('steel', 'stainless steel', 'brass', 'copper')
    """
    return FITTINGS


def least_thickness(material: str) -> float | None:
    """Return the least thickness [mm] of a sheet; None when no thickness makes it acceptable.

    Source: 14 CFR 23.1191(h), given in inches. Status: PUBLISHED.

    >>> round(least_thickness("stainless steel") or 0, 6), least_thickness("aluminium")
    (0.381, None)
    """
    inches = LEAST_INCHES.get(material)
    return None if inches is None else inches * INCH


def solid_mass(volume: float, density: float) -> float:
    """Return the mass [kg] of a volume [mm3] at a density [kg/m3].

    Equation: m = rho V. Status: DERIVED.

    >>> round(solid_mass(381000.0, 8000.0), 3)
    3.048
    """
    return volume * 1e-9 * density

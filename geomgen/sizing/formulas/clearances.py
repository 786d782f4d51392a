"""Propeller clearances of the two rule sets, kept apart: 14 CFR 23.925 in inches, CS 22.925 in mm.

Both bind certified aircraft only and serve here as yardsticks. 14 CFR 23.925 is cited as it stood
before Amdt 23-64; it lets smaller clearances be substantiated. CS 22 is for sailplanes and powered
sailplanes; its 22.925 has no such words. Both ask for the clearance over the ground in the level,
the normal take-off or the taxying attitude, whichever is worst: read here as standing on all
wheels, level, and nose up by `gear.take_off_pitch` (tailwheels: level and on all wheels).
"""

from dataclasses import dataclass

AMERICAN = "14 CFR 23.925"
EUROPEAN = "CS 22.925"
# Where the rule asks for no more than "positive": the blade must not touch.
PITCHED = {
    AMERICAN: "14 CFR 23.925(b), before Amdt 23-64: no contact nose-up at rotation",
    EUROPEAN: "common practice (CS 22.925 has no such case): no contact nose-up at rotation",
}
FLAT = {
    AMERICAN: "14 CFR 23.925(a), before Amdt 23-64: positive, tyre flat and strut bottomed",
    EUROPEAN: "CS 22.925(a): positive; stricter here, its two cases (tyre flat, strut bottomed) "
    "taken together",
}
SPRING = {
    AMERICAN: "14 CFR 23.925(a), before Amdt 23-64: positive, leaf springs bent as at 1.5 g",
    EUROPEAN: "common practice (from 14 CFR 23.925(a)): positive, leaf springs bent as at 1.5 g",
}
SPINNER = {
    AMERICAN: "14 CFR 23.925(d)(3), before Amdt 23-64: positive, spinner to fixed parts",
    EUROPEAN: "common practice (from 14 CFR 23.925(d)(3)): positive, spinner to fixed parts",
}
# What a rule set says of less than it asks for.
SMALLER = {
    AMERICAN: "a smaller clearance has to be substantiated",
    EUROPEAN: "CS 22.925 knows no smaller clearance",
}


@dataclass(frozen=True)
class Clearance:
    """The least clearance [mm] and where it stands."""

    value: float
    source: str


def _of_rules(rule_set: str, what: str) -> Clearance:
    from geomgen.parameters.records.conditions import CLEARANCES

    return Clearance(*CLEARANCES[rule_set][what])


def radial(rule_set: str) -> Clearance:
    """Return the least radial clearance of the blade tips to structure [mm].

    What shake and flex add stands in the swept volume, not here.
    Source: 14 CFR 23.925 before Amdt 23-64, CS 22.925. Status: PUBLISHED.

    >>> radial("14 CFR 23.925").value, radial("CS 22.925").value
    (25.4, 25.0)
    """
    return _of_rules(rule_set, "radial_clearance")


def axial(rule_set: str) -> Clearance:
    """Return the least lengthwise clearance of the blades to fixed parts [mm].

    Source: 14 CFR 23.925 before Amdt 23-64, CS 22.925. Status: PUBLISHED.

    >>> axial("14 CFR 23.925").value, axial("CS 22.925").value
    (12.7, 13.0)
    """
    return _of_rules(rule_set, "axial_clearance")


def ground(rule_set: str, layout: str) -> Clearance:
    """Return the least clearance to the ground [mm], gear statically deflected, by gear layout.

    It holds in the level, the normal take-off and the taxying attitude, whichever is worst.
    Source: 14 CFR 23.925(a) before Amdt 23-64, CS 22.925(a). Status: PUBLISHED.

    >>> ground("14 CFR 23.925", "tailwheel").value, ground("CS 22.925", "tricycle").value
    (228.6, 180.0)
    """
    return _of_rules(rule_set, layout)

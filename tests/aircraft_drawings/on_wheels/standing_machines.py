"""The plain machine on its wheels, with its checks by closed forms."""

from math import atan2, cos, degrees, radians, sin

from aircraft_drawings.plain_machine import machine

from geomgen.aircraft_drawings.on_wheels.stance import LoadedCentre
from geomgen.kernel.plain import Ground, Limb, Plane
from geomgen.verdicts.check import Check, Limits

# Mains at 1900, nose wheel at 400, ground at 20; the swept volume hangs down to 150 [mm].
FORWARD = LoadedCentre("heavy, no fuel", (1500.0, 0.0, 900.0))
AFT = LoadedCentre("light, full fuel", (1650.0, 0.0, 920.0))
CENTRES = (FORWARD, AFT)
TIP_BACK = degrees(atan2(1900.0 - 1650.0, 920.0 - 20.0))
LOW, EYE, NOSE = (3050.0, 0.0, 150.0), (900.0, 0.0, 1300.0), (100.0, 0.0, 1200.0)
SIGHT = degrees(atan2(100.0, 800.0))


def overturn(centre=FORWARD):
    """Return the angle [deg] over the axis from (400, 0) to (1900, 700), by its distance."""
    x, _, z = centre.at
    return degrees(atan2(z - 20.0, (x - 400.0) * 700.0 / (1500.0**2 + 700.0**2) ** 0.5))


def leaning(name, pitch=0.0, roll=0.0):
    """Return a ground through the mean of the mains with the nose up, or to the side [deg]."""
    p, r = radians(pitch), radians(roll)
    normal = (-sin(p) * cos(r), sin(r), cos(p) * cos(r))
    return Ground(name, Plane((1900.0, 0.0, 20.0), normal), f"{name} ground")


def standing_machine(*without):
    """Return the plain machine with all that a sheet of it on its wheels can show."""
    model = machine("fin", *without)
    roles = {"wheel_left": "main", "wheel_right": "main", "wheel_nose": "nose"}
    model.wheels = {name: role for name, role in roles.items() if name in model.parts}
    if model.grounds:
        model.grounds = [*model.grounds, leaning("rotated", 8.0), leaning("flat_tyre.main", 0, 4)]
    model.eye = EYE
    model.pilot = [Limb("trunk", (900.0, 0.0, 700.0), (950.0, 0.0, 950.0), 90.0, 120.0)]
    return model


def check(id_, value, *points, unit="deg"):
    """Return a check that measured a value."""
    return Check(id_, "", id_, value, unit, Limits(""), "none", None, "info", points=points)


def checks(centres=CENTRES):
    """Return what a check of the plain machine says."""
    foot = (LOW[0], 0.0, 20.0)
    found = [
        check("prop.ground_clearance.static", 130.0, LOW, foot, unit="mm"),
        check("sight.over_nose.static", SIGHT, EYE, NOSE),
    ]
    if centres:
        found.append(check("gear.tip_back_angle", TIP_BACK))
        found.append(check("gear.overturn_angle", max(map(overturn, centres))))
    return found

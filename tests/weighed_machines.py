"""Machines for the tests of mass and balance: measured figures by hand, no solids."""

from pathlib import Path

from geomgen.balance.judged import checks_of
from geomgen.measurements.record import Measurement
from geomgen.parameters import load

CONFIGS = Path(__file__).parents[1] / "configs"
PLACE = (1700.0, 0.0, 900.0)
PARTS = ("pod", "wing", "boom_right", "engine", "pylon", "firewall")
CHORD = Measurement(
    "wing.mean_aerodynamic_chord", "wing", "", 1000.0, "mm", "",
    further=(("leading_edge_station", 1300.0),),
)  # fmt: skip


def machine(*overrides):
    return load(CONFIGS / "saltmarsh.toml", list(overrides))


def solid(name, volume, centre, area=0.0, joint=0.0, family=None):
    """Return what is measured of a solid [mm3, mm, mm2], all of it in one place."""
    further = [("body", volume), ("skin", area), ("skin error", 0.0), ("joint error", 0.0)]
    for what in ("body", "skin", *(("joint",) if joint else ())):
        further += [(f"{what} {axis}", c) for axis, c in zip("xyz", centre, strict=True)]
        further += [(f"{what} {pair}", 0.0) for pair in ("xx", "yy", "zz", "xy", "yz", "zx")]
    if joint:
        further.append(("joint", joint))
    return Measurement(
        f"body.{name}",
        name,
        "",
        volume,
        "mm3",
        "",
        0.0,
        family or name.split("_")[0],
        points=(centre,),
        further=tuple(further),
    )


def measured(*more):
    return [*(solid(name, 1e7, (1700.0, 0.0, 900.0), area=1e6) for name in PARTS), CHORD, *more]


def contacts(main=1850.0):
    normal = (("normal x", 0.0), ("normal y", 0.0), ("normal z", 1.0))
    wheels = {
        "wheel_main_right": (main, 750.0),
        "wheel_main_left": (main, -750.0),
        "wheel_nose": (380.0, 0.0),
    }
    for name, (x, y) in wheels.items():
        points = ((x, y, -140.0), (x, y, 10.0))
        yield Measurement(
            f"gear.contact.{name}",
            name,
            "",
            150.0,
            "mm",
            "",
            where=name.split("_")[1],
            points=points,
            further=normal,
        )


def checked(p, *more):
    rows = [*measured(), *contacts(), *more]
    return {check.id: check for check in checks_of(p, rows)}

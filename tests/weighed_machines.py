"""Machines for the tests of mass and balance: measured figures by hand, no solids."""

from pathlib import Path
from types import SimpleNamespace

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
    """Return the example; its tank has a place in the file, for no solid of it is measured here."""
    p = load(CONFIGS / "saltmarsh.toml", list(overrides))
    place = {"station": 1600.0, "waterline": 620.0}
    items = [item.model_copy(update={**place, "at": None}) if item.at == "tank" else item
             for item in p.items]  # fmt: skip
    tanks = [tank.model_copy(update={**place, "shape": None}) for tank in p.tanks]
    return p.model_copy(update={"items": tuple(items), "tanks": tuple(tanks)})


def room(name, volume, centre):
    """Return what is measured of the room inside a tank [mm3, mm]."""
    id_ = f"tank.room.{name}"
    return Measurement(id_, name, "", volume, "mm3", "", 0.0, points=(centre,))


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


# The example's larger parts, each in one place.
SOLIDS = (
    solid("pod", 2e7, (1500.0, 0.0, 800.0), area=6e6),
    solid("wing", 4e8, (1650.0, 0.0, 1350.0), area=2e7),
    solid("boom_right", 2e7, (3000.0, 780.0, 1280.0), area=9e5),
    solid("boom_left", 2e7, (3000.0, -780.0, 1280.0), area=9e5),
    solid("pylon", 1e7, (1700.0, 0.0, 1200.0), area=4e5),
    solid("firewall", 2e5, (1800.0, 0.0, 800.0)),
    solid("engine", 1e7, (2400.0, 0.0, 800.0)),
    solid("wheel_main_right", 4e6, (1850.0, 750.0, 10.0)),
    solid("wheel_main_left", 4e6, (1850.0, -750.0, 10.0)),
    room("tank_main", 19e6, (1600.0, 0.0, 620.0)),
)


def unbuilt(p, *_):
    """Stand in for `regenerate`: the same solids whatever the file says of shapes."""
    return SimpleNamespace(measured=SOLIDS, checks=checks_of(p, SOLIDS))


# A file of its own over the example: what is rewritten is short, and so quick.
SMALL = """\
extends = "saltmarsh.toml"

[[mass]]                                  # by family or part
part = "pod"
material = "PVC foam 60"
laminate = true
band = 0.15                               # how far off

[[mass]]
part = "wing"
density = "20 kg/m^3"
laminate = true
source = "own block of foam"

[[mass]]
part = "boom"
material = "carbon laminate"
wall = "1.2 mm"

[[mass]]
part = "pylon"
material = "birch plywood"
wall = "3 mm"

[[mass]]
part = "wheel_main"
weighed = "3.1 kg"

[[items]]
name = "engine with reduction gear and fan"
group = "powerplant"
mass = "20.5 kg"
band = "0.5 kg"
at = "engine"

[[items]]
name = "propeller and hub"
group = "powerplant"
mass = "2.4 kg"
station = "3080 mm"
waterline = "820 mm"

[[items]]
name = "battery"
group = "systems"
mass = "2.1 kg"
station = "firewall - 1560 mm"
waterline = "640 mm"
"""

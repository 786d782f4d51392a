"""Machines for the tests of mass and balance: measured figures by hand, no solids."""

from pathlib import Path

from geomgen.measurements.record import Measurement
from geomgen.parameters import load

CONFIGS = Path(__file__).parents[1] / "configs"


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

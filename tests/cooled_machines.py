"""Cooling parts for tests: a plain pusher's two mouths, fins and exit, and its climb."""

from geomgen.air.cooling.losses import PressureLoss, passage
from geomgen.air.cooling.parts import AirExit, AirMouth, AirState, CoolingParts, FinDrop

NO_FINS = FinDrop((1.0,), (0.0,))


def mouth(name="left", area=12000.0, **changed):
    way = passage(area, angle=40.0, throat=0.92 * area, end=1.25 * area, spread=14.0, bay=2e5)
    usual = {"pressure": -0.2, "caught": 0.9, "angle": 5.0, "slow": 0.08, "lip": 0.05}
    return AirMouth(name, area, way, **{**usual, **changed})


def plain_mouth(name, area, factor, **changed):
    """A mouth with one loss on its own dynamic pressure."""
    return AirMouth(name, area, (PressureLoss("all", factor, area, "test"),), **changed)


def machine(mouths=None, fins=None, exit_=None, leakage=0.1):
    return CoolingParts(
        tuple(mouths or (mouth("left"), mouth("right"))),
        fins or FinDrop((0.25,), (150.0,)),
        exit_ or AirExit(20000.0, 0.9, -0.1),
        leakage,
    )


def climb(**changed):
    usual = {"speed": 25.0, "heat": 13000.0, "allowed": 60.0, "pull": -20.0}
    return AirState("climb", **{**usual, **changed})

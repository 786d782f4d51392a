"""What was measured of a part's solid, as the sums of masses want it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from geomgen.balance.masses.inertia import Products, RigidBody
from geomgen.measurements.record import Measurement

# As the measurements name them: `body.pod`, with `body`, `skin`, `joint`, `slit` among its further
# figures.
ID = "body."
AXES, PAIRS = ("x", "y", "z"), ("xx", "yy", "zz", "xy", "yz", "zx")
TO_M3, TO_M2 = 1e-9, 1e-6


@dataclass(frozen=True)
class SolidFigures:
    """A part's family, volume [m3], its skin less what is in joints [m2], with centre and spread.

    Masses of one [kg/m3] or [kg/m2], so that a density makes them what they weigh. `whole_skin` is
    the skin with its joints but for slits that part it, `joint` what is in joints [m2]; `errors`
    are the bounds on volume [m3] and skin [m2].
    """

    name: str
    family: str
    volume: RigidBody
    skin: RigidBody
    whole_skin: RigidBody
    joint: float
    errors: tuple[float, float]

    @property
    def centre(self) -> tuple[float, float, float]:
        """The centre of the solid [mm]."""
        return self.volume.centre


def solids_measured(measurements: Iterable[Measurement]) -> dict[str, SolidFigures]:
    """Return the figures of each part that was measured, by its name."""
    return {
        m.part: _figures(m)
        for m in measurements
        if m.id.startswith(ID) and m.value is not None and m.further
    }


def unmeasured(measurements: Iterable[Measurement]) -> dict[str, str]:
    """Return, by part, why its solid could not be measured."""
    return {
        m.part: f"could not be measured: {m.note}"
        for m in measurements
        if m.id.startswith(ID) and m.value is None
    }


def _figures(measured: Measurement) -> SolidFigures:
    named = dict(measured.further)
    skin = _body(named, "skin", TO_M2)
    joint = _body(named, "joint", TO_M2) if "joint" in named else None
    bare = skin if joint is None else less(skin, joint)
    whole = less(skin, _body(named, "slit", TO_M2)) if "slit" in named else skin
    volume_error = TO_M3 * (measured.error_bound or 0.0)
    skin_error = TO_M2 * (named["skin error"] + named["joint error"])
    return SolidFigures(
        measured.part,
        measured.where or measured.part,
        _body(named, "body", TO_M3),
        bare,
        whole,
        joint.mass if joint else 0.0,
        (volume_error, skin_error),
    )


def _body(named: Mapping[str, float], what: str, factor: float) -> RigidBody:
    x, y, z = (named[f"{what} {axis}"] for axis in AXES)
    xx, yy, zz, xy, yz, zx = (factor * named[f"{what} {pair}"] for pair in PAIRS)
    return RigidBody(factor * named[what], (x, y, z), (xx, yy, zz, xy, yz, zx))


def less(whole: RigidBody, part: RigidBody) -> RigidBody:
    """Return what is left of a body [kg, mm] when a part of it is taken away; never less than none.

    >>> from geomgen.balance.masses.inertia import together
    >>> pair = [RigidBody(1.0, (0.0, 0.0, 0.0)), RigidBody(3.0, (100.0, 0.0, 0.0))]
    >>> less(together(pair), pair[1]).centre
    (0.0, 0.0, 0.0)
    """
    mass = whole.mass - part.mass
    if mass <= 1e-12 * whole.mass:
        return RigidBody(0.0, whole.centre)
    a, b = np.array(whole.centre), np.array(part.centre)
    centre = (whole.mass * a - part.mass * b) / mass
    off, away = a - centre, b - centre
    square = whole.mass * np.outer(off, off) - part.mass * np.outer(away, away)
    pairs = np.array(
        [square[0, 0], square[1, 1], square[2, 2], square[0, 1], square[1, 2], square[2, 0]]
    )
    xx, yy, zz, xy, yz, zx = (
        float(v) for v in np.array(whole.spread) - np.array(part.spread) + pairs
    )
    spread: Products = (xx, yy, zz, xy, yz, zx)
    x, y, z = (float(c) for c in centre)
    return RigidBody(mass, (x, y, z), spread)

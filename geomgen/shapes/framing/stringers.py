"""Stringers and longerons: strips along the inside of the pod's skin, a bond's gap off it."""

import numpy as np

from geomgen.arrays import Floats
from geomgen.errors import GeometryError, looking_at
from geomgen.kernel.lofting.panels import strip_solid
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.framing import Stringer
from geomgen.shapes.framing.course import sections
from geomgen.shapes.framing.frames import CAUTION
from geomgen.shapes.hull import PodLines
from geomgen.shapes.piece import NamedSolid

COLOUR = (0.78, 0.66, 0.42)
# Sections are laid no further apart than this [mm], and at least so many.
APART, FEWEST = 50.0, 6


def stringers(p: Parameters, pod: PodLines) -> list[NamedSolid]:
    """Return all stringers; GeometryError names the one that can't be made."""
    pieces: list[NamedSolid] = []
    for i, stringer in enumerate(p.stringers):
        with looking_at(f"stringers.{i}"):
            right = _stringer(stringer, pod)
        if not pieces and not p.frames:
            right = right.noted(CAUTION)
        pieces += [right, right.on_the_left()] if stringer.mirrored else [right]
    return pieces


def _stringer(stringer: Stringer, pod: PodLines) -> NamedSolid:
    name = f"stringer_{stringer.name}"
    x = rows(stringer.start, stringer.end)
    corners = sections(stringer, pod, x).corners
    if stringer.mirrored and float(corners[..., 1].min()) <= 0.0:
        raise GeometryError(
            "it runs over the centre plane into its own mirror",
            part=name,
            step="course",
            look_at=[f"stringers.{stringer.name}"],
        )
    solid = strip_solid(corners, x, name)
    return NamedSolid(f"{name}_right" if stringer.mirrored else name, "stringer", solid, COLOUR)


def rows(start: float, end: float) -> Floats:
    """Return stations (m,) [mm] from one to another at which sections are laid.

    >>> len(rows(0.0, 1000.0)), len(rows(0.0, 10.0))
    (21, 6)
    """
    return np.linspace(start, end, max(FEWEST, int(np.ceil((end - start) / APART)) + 1))

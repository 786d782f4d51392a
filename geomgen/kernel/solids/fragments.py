"""The pieces that a cut leaves of a body: how large they are and where, as figures and in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from OCP.TopoDS import TopoDS_Solid

from geomgen.kernel.brep.boxes import Box, loose_box
from geomgen.kernel.mesh_part import MeshPart
from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.properties import centroid, kernel_box, volume

EPS = 1e-6
# So many pieces are told one by one in a message.
TOLD = 4


@dataclass(frozen=True)
class Fragment:
    """One piece of a cut [mm]; its figures are worked out when they are asked for.

    >>> from geomgen.kernel.brep.primitives import box
    >>> Fragment(box((0, 0, 0), (100, 20, 10))).words
    '20 cm^3, 100 x 20 x 10 mm, at STA 50, BL 10, WL 5 mm'
    """

    solid: TopoDS_Solid

    @cached_property
    def volume(self) -> float:
        """Return the volume [mm3]."""
        if isinstance(self.solid, MeshPart):
            return self.solid.volume
        return volume(self.solid, EPS).value

    @cached_property
    def centre(self) -> Vec3:
        """Return the centroid [mm]."""
        if isinstance(self.solid, MeshPart):
            return self.solid.centre
        return centroid(self.solid, EPS)

    @cached_property
    def box(self) -> Box:
        """Return the box [mm], never too small."""
        if isinstance(self.solid, MeshPart):
            return loose_box(self.solid)
        return kernel_box(self.solid)

    def area_along(self, axis: int) -> float:
        """Return the mean area [mm2] of the sections across an axis."""
        return self.volume / max(self.box.size[axis], EPS)

    @property
    def words(self) -> str:
        """Return size and place in words."""
        long, wide, high = (f"{size:.0f}" for size in self.box.size)
        x, y, z = (round(place) for place in self.centre)
        return f"{_cm3(self.volume)}, {long} x {wide} x {high} mm, at STA {x}, BL {y}, WL {z} mm"


def _cm3(volume: float) -> str:
    size = volume / 1000
    return f"{size:.0f} cm^3" if size >= 10 else f"{size:.2g} cm^3"


def told(fragments: Sequence[Fragment]) -> str:
    """Return all pieces in words, the largest first.

    >>> from geomgen.kernel.brep.primitives import box
    >>> told([Fragment(box((0, 0, 0), (100, 20, 10)))])
    '(1) 20 cm^3, 100 x 20 x 10 mm, at STA 50, BL 10, WL 5 mm'
    """
    ordered = sorted(fragments, key=lambda each: -each.volume)
    rows = [f"({i}) {each.words}" for i, each in enumerate(ordered[:TOLD], start=1)]
    more = len(ordered) - TOLD
    return "; ".join(rows) + (f"; and {more} smaller" if more > 0 else "")

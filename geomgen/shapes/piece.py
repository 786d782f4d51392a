"""A part on its way into the model, and what others are trimmed to."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from OCP.TopoDS import TopoDS_Shape, TopoDS_Solid

from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.brep.primitives import mirrored
from geomgen.kernel.lofting.halves import doubled

Colour = tuple[float, float, float]
Knife = Callable[[float, Box], TopoDS_Shape]


@dataclass(frozen=True)
class Cutter:
    """What parts are trimmed to.

    `knife(gap, near)` is the untrimmed shape grown by `gap` [mm] all round, at least as far as it
    comes near a box; a short knife cuts faster.
    """

    name: str
    knife: Knife

    def on_the_left(self) -> "Cutter":
        """Return the mirrored cutter, `_right` in its name turned to `_left`."""
        return Cutter(
            left_of(self.name), lambda gap, near: mirrored(self.knife(gap, _flipped(near)))
        )


@dataclass(frozen=True)
class NamedSolid:
    """One named solid [mm].

    `half` is the right-hand half of a part that is its own mirror image, capped in the centre
    plane: cutting it costs half. `notes` are what a builder has to know of how it came about.
    """

    name: str
    family: str
    solid: TopoDS_Solid
    colour: Colour = (0.75, 0.75, 0.75)
    half: TopoDS_Solid | None = None
    notes: tuple[str, ...] = ()

    @property
    def on_the_right(self) -> bool:
        """Say whether it has a hand, and a mirror image on the left."""
        return self.name.endswith("_right")

    def noted(self, note: str) -> "NamedSolid":
        """Return the piece with one more note."""
        return replace(self, notes=(*self.notes, note))

    def trimmed(self, solid: TopoDS_Solid) -> "NamedSolid":
        """Return the piece with another solid."""
        return replace(self, solid=solid, half=None)

    def trimmed_half(self, half: TopoDS_Solid) -> "NamedSolid":
        """Return the piece with another half, and the solid of both."""
        return replace(self, solid=doubled(half, self.name), half=half)

    def on_the_left(self) -> "NamedSolid":
        """Return the mirrored piece, `_right` in its name turned to `_left`, without the notes."""
        return replace(self, name=left_of(self.name), solid=mirrored(self.solid), notes=())


def left_of(name: str) -> str:
    """Return the name of the part on the left.

    >>> left_of("boom_right")
    'boom_left'
    """
    return name.removesuffix("_right") + "_left"


def _flipped(box: Box) -> Box:
    (x0, y0, z0), (x1, y1, z1) = box.low, box.high
    return Box((x0, -y1, z0), (x1, -y0, z1))

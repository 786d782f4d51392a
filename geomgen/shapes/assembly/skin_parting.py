"""The skin of a wing, tailplane or fin, parted in the plane where its outer part comes off."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from OCP.TopoDS import TopoDS_Solid

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.brep.primitives import mirrored, slab
from geomgen.kernel.lofting.halves import capped
from geomgen.kernel.plain import Axis, Vec3, vec
from geomgen.kernel.solids.fragments import Fragment, told
from geomgen.kernel.trimming.cutting import divide, sized
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.wing import Spar, skin_gap_of
from geomgen.shapes.assembly.skin_openings import with_openings
from geomgen.shapes.piece import Colour, NamedSolid, left_of
from geomgen.shapes.wing_structure.inner_room import room_of

# A part of the skin is at least so long along the span [mm]: own choice.
LEAST = 20.0
# The knife reaches so far past what it cuts [mm].
PAST = 50.0
# What its inner and outer part are called, of a skin that is whole and of one that a joint has cut
# apart before.
NAMES = {
    "wing": ("wing_inner", "wing_outer"),
    "wing_centre": ("wing_centre", "wing_middle"),
    "wing_inner": ("wing_inner", "wing_middle"),
    "wing_outer": ("wing_middle", "wing_outer"),
    "tailplane": ("tailplane_inner", "tailplane_outer"),
    "tailplane_centre": ("tailplane_centre", "tailplane_middle"),
    "tailplane_inner": ("tailplane_inner", "tailplane_middle"),
    "tailplane_outer": ("tailplane_middle", "tailplane_outer"),
    "fin": ("fin_lower", "fin_upper"),
    "fin_lower": ("fin_lower", "fin_middle"),
    "fin_upper": ("fin_middle", "fin_upper"),
    "ventral_fin": ("ventral_fin_lower", "ventral_fin_upper"),
}
STEP = "parting of the skin"


@dataclass(frozen=True)
class SkinParting:
    """The plane in which the right-hand skin parts: its place along an axis [mm], gap, the spar."""

    span: Vec3
    at: float
    gap: float
    spar: Spar

    @property
    def axis(self) -> int:
        """The axis that the place is counted along."""
        return int(np.argmax(self.span))

    def knife(self, near: Box) -> TopoDS_Solid:
        """Return the slab between the two parts, broader than a box [mm]."""
        middle = np.array(near.centre)
        middle += (self.at - middle @ np.array(self.span)) * np.array(self.span)
        axis = Axis(vec(middle), self.span)
        return slab(axis, -self.gap / 2, self.gap / 2, max(near.size) + PAST)


def parting_of(p: Parameters, host: str) -> SkinParting:
    """Return where the skin of a host with a joint is parted on the right."""
    spar = next(spar for spar in p.spars if spar.of == host and spar.wing_joint is not None)
    assert spar.wing_joint is not None
    room = room_of(p, host)
    at, gap = room.base + spar.wing_joint.at, skin_gap_of(spar.wing_joint)
    return SkinParting(room.sections[0].span, at, gap, spar)


def skins_apart(p: Parameters, host: str, pieces: Sequence[NamedSolid]) -> list[NamedSolid]:
    """Return the pieces of a host's skin, what the plane of its joint meets in two parts.

    GeometryError where it leaves slivers, or more than two parts on a side.
    """
    parting = parting_of(p, host)
    found: list[NamedSolid] = []
    done: dict[str, list[NamedSolid]] = {}
    for piece in pieces:
        fellow = next((name for name in done if left_of(name) == piece.name != name), None)
        if fellow is None:
            own = done[piece.name] = _apart(piece, parting)
        else:
            own = [one if one.name.endswith("_left") else one.on_the_left() for one in done[fellow]]
        found += own
    return with_openings(p, host, found)


def _apart(piece: NamedSolid, parting: SkinParting) -> list[NamedSolid]:
    body = piece.solid if piece.half is None else piece.half
    near, axis = Fragment(body).box, parting.axis
    low, high = parting.at - parting.gap / 2, parting.at + parting.gap / 2
    if near.high[axis] <= low or near.low[axis] >= high:
        return [piece]
    both = not piece.on_the_right and piece.half is None
    knife = parting.knife(near)
    knives = [knife, mirrored(knife)] if both else [knife]
    rest = [Fragment(one) for one in sized(divide(body, knives, piece.name, STEP)[0], body)]
    if both:
        rest = [one for one in rest if one.centre[axis] > -parting.at]
    inner, outer = ([one for one in rest if (one.centre[axis] > parting.at) == far]
                    for far in (False, True))  # fmt: skip
    if not rest or max(len(inner), len(outer)) > 1:
        raise _refused(piece, parting, f"the plane of the joint leaves these pieces: {told(rest)}")
    short = min(one.box.size[axis] for one in rest)
    if short < LEAST:
        raise _refused(piece, parting, f"a piece of the skin is {short:.1f} mm long there, and at "
                       f"least {LEAST:g} mm are needed")  # fmt: skip
    if len(rest) == 1:
        return [_again(piece, rest[0].solid)]
    return _named(piece, inner[0].solid, outer[0].solid, parting)


def _refused(piece: NamedSolid, parting: SkinParting, problem: str) -> GeometryError:
    return GeometryError(
        f"{problem}: move the joint along the span, away from where another part meets the skin",
        part=piece.name, step=STEP, look_at=[f"spars.{parting.spar.name}.wing_joint.at"],
    )  # fmt: skip


def _again(piece: NamedSolid, solid: TopoDS_Solid) -> NamedSolid:
    if piece.half is not None and capped(solid):
        return piece.trimmed_half(solid)
    return piece.trimmed(solid)


def _named(
    piece: NamedSolid, inner: TopoDS_Solid, outer: TopoDS_Solid, parting: SkinParting
) -> list[NamedSolid]:
    """Return the inner and outer part by name; of one that crosses the centre both outer ones."""
    stem = piece.name.removesuffix("_right")
    a, b = NAMES[stem]
    if piece.on_the_right:
        names = (f"{a}_right", f"{b}_right")
    else:
        names = (stem if stem.endswith("_centre") else f"{stem}_centre", f"{b}_right")
    bare = replace(piece, notes=())
    first = _again(replace(bare, name=names[0]), inner)
    other = replace(bare, name=names[1], colour=_tinted(piece.colour)).trimmed(outer)
    found = [first, other] if piece.on_the_right else [first, other, other.on_the_left()]
    told_ = ", ".join(one.name for one in found)
    first = replace(first, notes=piece.notes).noted(
        f"{piece.name}: the joint of the spar {parting.spar.name} makes {len(found)} parts of its "
        f"skin, {parting.gap:g} mm apart: {told_}" + ("; the same on the left" if piece.on_the_right
                                                    else "")
    )  # fmt: skip
    return [first, *found[1:]]


def _tinted(colour: Colour) -> Colour:
    """Return the colour of an outer part: that of the inner one, a little darker."""
    r, g, b = (0.86 * c for c in colour)
    return (r, g, b)

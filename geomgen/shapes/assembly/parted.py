"""What a joint leaves of a part that it cuts apart: named parts, offcuts, or a refusal in words.

A part that falls into pieces becomes as many parts where a builder wants them: right and left half,
centre section and outer panels of a wing or tailplane; fin and ventral fin; fore and aft boom. An
offcut is left out, and said. Anything else is refused, and the message says where the pieces are.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from OCP.TopoDS import TopoDS_Solid

from geomgen.errors import GeometryError
from geomgen.kernel.lofting.halves import capped
from geomgen.kernel.solids.fragments import Fragment, told
from geomgen.shapes.piece import NamedSolid

# What is at most this share of its part and at most so large [mm3] is an offcut, and all offcuts
# together are no more than that: own choice.
OFFCUT_SHARE, OFFCUT_VOLUME = 0.01, 50e3
# A part of its own is at least so long [mm], has sections at least this share of the whole's mean
# one, and shares at most this share of its length with its neighbour: own choice, so that slivers
# off a skin are none.
LEAST, STOUT, OVERLAP = 20.0, 0.3, 0.25
# Two pieces are each other's mirror image to this share of their volume and this distance [mm].
ALIKE, NEAR = 1e-4, 0.1
# The axis along which the parts of a family are divided.
ALONG = {"wing": 1, "tailplane": 1, "fin": 2, "boom": 0}
SYMMETRIC = ("wing", "tailplane")


@dataclass(frozen=True)
class JointCut:
    """A joint that was cut: its key in the file, the family trimmed to, and what would do.

    `advice` is asked for when the outcome is refused; `body` is what was cut: the part, or its
    right-hand half.
    """

    key: str
    to: str
    body: TopoDS_Solid
    advice: Callable[[], str]
    look_at: tuple[str, ...] = ()

    def refusal(self, part: str, problem: str) -> GeometryError:
        """Return the error of a part that this joint spoils."""
        keys = list(dict.fromkeys([self.key, *self.look_at]))
        what_to_do = self.advice()
        text = f"{problem}. {what_to_do}" if what_to_do else problem
        return GeometryError(text, part=part, step=f"trim to the {self.to}", look_at=keys)


def parted(piece: NamedSolid, rest: Sequence[TopoDS_Solid], cut: JointCut) -> list[NamedSolid]:
    """Return the parts that a joint leaves of a piece; GeometryError when they are not to be had.

    `rest` are the solids that are left of the body: of the right-hand half where it has one.
    """
    whole = Fragment(cut.body)
    pieces = [Fragment(solid) for solid in rest]
    if not pieces:
        raise cut.refusal(
            piece.name, f"the whole part lies inside the {cut.to}: let it reach out of it"
        )
    large = [each for each in pieces if not _is_offcut(each, whole)]
    offcuts = [each for each in pieces if _is_offcut(each, whole)]
    if not large:
        raise cut.refusal(piece.name, f"the joint leaves offcuts only: {told(pieces)}")
    if sum(each.volume for each in offcuts) > _offcut_volume(whole):
        raise cut.refusal(
            piece.name,
            f"the offcuts of this joint are too large together to be left out (at most "
            f"{_offcut_volume(whole) / 1000:.2f} cm^3): {told(offcuts)}",
        )
    if piece.family == "pylon":
        large = [_between(piece, large, cut)]
    found = _named(piece, large, whole, cut)
    return _noted(piece, found, offcuts, cut)


def _is_offcut(each: Fragment, whole: Fragment) -> bool:
    return each.volume <= _offcut_volume(whole)


def _offcut_volume(whole: Fragment) -> float:
    return min(OFFCUT_SHARE * whole.volume, OFFCUT_VOLUME)


def _noted(
    piece: NamedSolid, found: list[NamedSolid], offcuts: list[Fragment], cut: JointCut
) -> list[NamedSolid]:
    by = f"the joint with the {cut.to} ({cut.key})"
    first = replace(found[0], notes=piece.notes)
    if len(found) > 1:
        names = ", ".join(each.name for each in found)
        first = first.noted(f"{piece.name}: {by} makes {len(found)} parts of it: {names}")
    if offcuts:
        alike = "; the same on the left" if piece.on_the_right or piece.half is not None else ""
        first = first.noted(
            f"{piece.name}: {by} makes offcuts, which are left out: {told(offcuts)}{alike} "
            f"(at most {OFFCUT_SHARE * 100:g} % of the part and {OFFCUT_VOLUME / 1000:g} cm^3)"
        )
    return [first, *found[1:]]


def _between(piece: NamedSolid, large: list[Fragment], cut: JointCut) -> Fragment:
    """Return the piece of a pylon between pod and wing; what is left beyond them is refused."""
    kept = sorted(large, key=lambda each: each.centre[2], reverse=cut.to == "pod")[0]
    beyond = [each for each in large if each is not kept]
    if beyond:
        side = "below the pod" if cut.to == "pod" else f"above the {cut.to}"
        raise cut.refusal(piece.name, f"a piece stands {side}: {told(beyond)}")
    return kept


def _named(
    piece: NamedSolid, large: list[Fragment], whole: Fragment, cut: JointCut
) -> list[NamedSolid]:
    """Return the pieces that are parts, each with its name."""
    symmetric = piece.family in SYMMETRIC and not piece.on_the_right
    if len(large) == 1 and (piece.half is None or capped(large[0].solid)):
        only = large[0].solid
        return [piece.trimmed(only) if piece.half is None else piece.trimmed_half(only)]
    axis = ALONG.get(piece.family)
    if axis is None:
        raise _falls_apart(piece, large, cut)
    right = _right_hand(piece, large, cut) if symmetric else large
    right = sorted(right, key=lambda each: each.centre[axis])
    centre = symmetric and _crosses(piece, right[0])
    _prove_parts(piece, right, large, whole, axis, cut)
    names = _names(piece, len(right), centre, cut.to)
    if len(names) != len(right):
        raise _falls_apart(piece, large, cut)
    return _made(piece, right, names, symmetric, centre)


def _falls_apart(piece: NamedSolid, large: list[Fragment], cut: JointCut) -> GeometryError:
    return cut.refusal(
        piece.name,
        f"it falls into {len(large)} pieces, not all of which can be parts: {told(large)}",
    )


def _crosses(piece: NamedSolid, each: Fragment) -> bool:
    """Say whether a piece of a symmetric part reaches over the centre plane."""
    if piece.half is not None:
        return capped(each.solid)
    return bool(each.box.low[1] < -NEAR and each.box.high[1] > NEAR)


def _right_hand(piece: NamedSolid, large: list[Fragment], cut: JointCut) -> list[Fragment]:
    """Return the pieces on the right and across the centre; the left ones must mirror them."""
    if piece.half is not None:
        return large
    right = [each for each in large if _crosses(piece, each) or each.centre[1] > 0.0]
    left = [each for each in large if each not in right]
    for each in right:
        if not _crosses(piece, each) and not any(_mirrors(each, other) for other in left):
            raise _falls_apart(piece, large, cut)
    if len(left) != sum(not _crosses(piece, each) for each in right):
        raise _falls_apart(piece, large, cut)
    return right


def _mirrors(right: Fragment, left: Fragment) -> bool:
    (x, y, z), (a, b, c) = right.centre, left.centre
    apart = max(abs(x - a), abs(y + b), abs(z - c))
    return abs(right.volume - left.volume) <= ALIKE * right.volume and apart <= NEAR


def _prove_parts(
    piece: NamedSolid,
    right: list[Fragment],
    large: list[Fragment],
    whole: Fragment,
    axis: int,
    cut: JointCut,
) -> None:
    """Refuse slivers, and pieces that lie beside each other instead of one behind the other."""
    for each in right:
        slim = each.area_along(axis) < STOUT * whole.area_along(axis)
        if slim or each.box.size[axis] < LEAST:
            raise _falls_apart(piece, large, cut)
    for a, b in zip(right[:-1], right[1:], strict=True):
        shared = a.box.high[axis] - b.box.low[axis]
        if shared > OVERLAP * min(a.box.size[axis], b.box.size[axis]):
            raise _falls_apart(piece, large, cut)


def _names(piece: NamedSolid, count: int, centre: bool, to: str) -> list[str]:
    """Return the names of a part's pieces, inner or lower or foremost first; none if there are not.

    Of a symmetric part they are those across the centre and on the right.
    """
    stem = piece.name.removesuffix("_right")
    if piece.family in SYMMETRIC:
        kinds = _across_span(piece, stem, count, centre)
        return [name if name.endswith("_centre") else f"{name}_right" for name in kinds]
    if count != 2 or stem not in ("fin", "boom"):
        return []
    kinds = {
        "boom": ["boom_fore", "boom_aft"],
        "fin": ["ventral_fin", "fin"] if to == "boom" else ["fin_lower", "fin_upper"],
    }[stem]
    return [f"{name}_right" for name in kinds]


def _across_span(piece: NamedSolid, stem: str, count: int, centre: bool) -> list[str]:
    family = piece.family
    if stem == f"{family}_centre" and count == 1 and not centre:
        return [f"{family}_inner"]
    if stem != family:
        return []
    if centre:
        return [f"{family}_centre", f"{family}_outer"] if count == 2 else []
    return {1: [family], 2: [f"{family}_inner", f"{family}_outer"]}.get(count, [])


def _made(
    piece: NamedSolid, right: list[Fragment], names: list[str], symmetric: bool, centre: bool
) -> list[NamedSolid]:
    found: list[NamedSolid] = []
    for number, (each, name) in enumerate(zip(right, names, strict=True)):
        own = replace(piece, name=name, half=None, notes=())
        if symmetric and centre and number == 0:
            if piece.half is None:
                found.append(own.trimmed(each.solid))
            else:
                found.append(own.trimmed_half(each.solid))
            continue
        found.append(own.trimmed(each.solid))
        if symmetric:
            found.append(found[-1].on_the_left())
    return found

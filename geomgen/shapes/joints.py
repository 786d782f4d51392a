"""Joints: parts trimmed to others, each with its gap."""

from collections.abc import Sequence

from geomgen.kernel.booleans import cut
from geomgen.kernel.boxes import boxes_meet, loose_box
from geomgen.kernel.primitives import mirrored
from geomgen.parameters.records import Joint
from geomgen.shapes.piece import Cutter, Piece, left_of


def trimmed(pieces: Sequence[Piece], others: Sequence[Cutter], joint: Joint) -> list[Piece]:
    """Return pieces of a family trimmed to the others, with the gap of the joint.

    A part on the left whose right-hand fellow is there is its mirror image again.
    """
    done: dict[str, Piece] = {}
    for piece in pieces:
        fellow = next((name for name in done if left_of(name) == piece.name != name), None)
        if fellow is None:
            done[piece.name] = _trimmed(piece, others, joint)
        else:
            done[piece.name] = piece.trimmed(mirrored(done[fellow].solid))
    return list(done.values())


def _trimmed(piece: Piece, others: Sequence[Cutter], joint: Joint) -> Piece:
    """Return a part cut back to the others; only its half where all of it is symmetric."""
    right = [other for other in others if other.name.endswith("_right")]
    half = piece.half if len(others) == 2 * len(right) else None
    body = piece.solid if half is None else half
    near = loose_box(body)
    knives = [other.knife(joint.gap, near) for other in (others if half is None else right)]
    knives = [knife for knife in knives if boxes_meet(near, loose_box(knife))]
    if not knives:
        return piece
    rest = cut(body, knives, piece.name, f"trim to the {joint.to}")
    return piece.trimmed(rest) if half is None else piece.trimmed_half(rest)

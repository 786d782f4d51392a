"""Joints: parts trimmed to others, each with its gap."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from OCP.TopoDS import TopoDS_Shape, TopoDS_Solid

from geomgen.kernel.brep.boxes import boxes_meet, loose_box
from geomgen.kernel.mesh_part import MeshPart
from geomgen.kernel.solids.distance import closest
from geomgen.kernel.trimming.cutting import divide, sized
from geomgen.parameters.records.aircraft import Joint
from geomgen.shapes.assembly.parted import JointCut, parted
from geomgen.shapes.piece import Cutter, NamedSolid, left_of


def trimmed(
    pieces: Sequence[NamedSolid],
    others: Sequence[Cutter],
    joint: Joint,
    key: str = "joints",
    advice: Callable[[], str] = lambda: "",
    look_at: tuple[str, ...] = (),
) -> list[NamedSolid]:
    """Return pieces of a family trimmed to the others, with the gap of the joint.

    A part on the left whose right-hand fellow is there is its mirror image again. A part that falls
    apart becomes several (`parted.py`); what is to be known of it stands in the notes. `key` is
    the joint's in the file, `advice` and `look_at` say what would do where a part can't be trimmed.
    """
    done: dict[str, list[NamedSolid]] = {}
    missed: list[tuple[TopoDS_Solid, Sequence[TopoDS_Shape]]] = []
    for piece in pieces:
        fellow = next((name for name in done if left_of(name) == piece.name != name), None)
        if fellow is not None:
            done[piece.name] = [each.on_the_left() for each in done[fellow]]
            continue
        body, knives, half = _prepared(piece, others, joint.gap)
        cut = JointCut(key, joint.to, body, advice, look_at)
        rest = _rest(body, knives, piece.name, cut)
        if rest is None:
            missed.append((body, knives))
            done[piece.name] = [piece]
        else:
            done[piece.name] = parted(replace(piece, half=half), rest, cut)
    found = [each for some in done.values() for each in some]
    if not found or len(missed) < len([name for name in done if not name.endswith("_left")]):
        return found
    return [found[0].noted(_cuts_nothing(missed, joint, key)), *found[1:]]


def _prepared(
    piece: NamedSolid, others: Sequence[Cutter], gap: float
) -> tuple[TopoDS_Solid, list[TopoDS_Shape], TopoDS_Solid | None]:
    """Return what is cut, its knives, and the half where that alone is cut: all is symmetric."""
    right = [other for other in others if other.name.endswith("_right")]
    half = piece.half if len(others) == 2 * len(right) else None
    body = piece.solid if half is None else half
    near = loose_box(body)
    return body, [other.knife(gap, near) for other in (others if half is None else right)], half


def _rest(
    body: TopoDS_Solid, knives: Sequence[TopoDS_Shape], part: str, cut: JointCut
) -> list[TopoDS_Solid] | None:
    """Return what knives leave of a body, largest first; None where they cut nothing."""
    near = loose_box(body)
    met = [knife for knife in knives if boxes_meet(near, loose_box(knife))]
    if not met:
        return None
    outside, inside = divide(body, met, part, f"trim to the {cut.to}")
    return sized(outside, body) if inside else None


def _cuts_nothing(
    missed: Sequence[tuple[TopoDS_Solid, Sequence[TopoDS_Shape]]], joint: Joint, key: str
) -> str:
    words = f"{joint.trim}: the joint with the {joint.to} ({key}) cuts nothing: they stand"
    if any(isinstance(body, MeshPart) for body, _ in missed):
        # How far is no matter of a first answer: it would have the whole of it wait.
        return f"{words} apart"
    near = min(closest(body, knife).distance for body, knives in missed for knife in knives)
    return f"{words} {joint.gap + near:.1f} mm apart"

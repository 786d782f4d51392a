"""The lines on the pieces of a mould: drill points in their solids, grooves in their meshes."""

from collections.abc import Sequence
from dataclasses import replace

from geomgen.errors import GeometryError
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import DRILLED, GROOVES, RAISED, Mould
from geomgen.shops.figures import plain
from geomgen.shops.laminate import thickness
from geomgen.shops.moulds.bodies import key_of
from geomgen.shops.moulds.pieces import MouldPiece
from geomgen.shops.moulds.skin import Moulded
from geomgen.shops.skin_lines.curves import SkinLines
from geomgen.shops.skin_lines.drill_points import drill_points, drilled, off_dowels, points_finding
from geomgen.shops.skin_lines.grooves import mark_of, marked, marks_findings, skin_runs
from geomgen.verdicts.check import Check

Cut = list[tuple[Moulded, list[MouldPiece]]]
INNER = "the skin's inner face"
# What a mark leaves on the part, by what is made of the tool and by how it is marked.
LEAVES = {
    ("plug_outside", GROOVES): "a ridge in the mould taken off it, a groove in the part's outside",
    ("plug_outside", RAISED): "a groove in the mould taken off it, a raised line on the part",
    ("core_minus_skin", GROOVES): f"a raised line of resin on {INNER}",
    ("core_minus_skin", RAISED): f"a groove in {INNER}",
    ("male_mould", GROOVES): f"a raised line on {INNER}",
    ("male_mould", RAISED): f"a groove in {INNER}",
}


def piece_words(mould: Mould, piece: MouldPiece) -> str:
    """Return what is said of the marks on a piece, that there are none where no line lies on it."""
    if mould.lines in (GROOVES, RAISED) and not mould.stock and piece.marked is None:
        return f"no {mould.lines}: no line to build to lies on this half"
    return mark_words(mould)


def mark_words(mould: Mould) -> str:
    """Return what is said of the marks on a mould; nothing where none were asked for."""
    if mould.lines not in (DRILLED, GROOVES, RAISED):
        return ""
    if mould.stock:
        return f"no {mould.lines}, there is stock on: mark the lines by the drawing once it is off"
    if mould.lines == DRILLED:
        return (
            f"drill points along the lines: holes of {plain(mould.line_hole)} mm, as deep, at most "
            f"{plain(mould.line_pitch)} mm apart"
        )
    high = "high" if mould.lines == RAISED else "deep"
    return (
        f"{mould.lines} along the lines, a V {plain(mould.line_depth)} mm {high} and "
        f"{plain(mould.line_width)} mm wide, in the mesh _marked alone: the STEP is smooth; each "
        f"leaves {LEAVES[mould.treatment, mould.lines]}"
    )


def require_shallow(p: Parameters, mould: Mould) -> None:
    """Raise GeometryError where marks would reach through the skin, or none is described."""
    if mould.lines not in (GROOVES, RAISED):
        return
    laminate = p.handoff.laminate if p.handoff else None
    skin = thickness(laminate) if laminate else None
    if skin is not None and mould.line_depth < skin:
        return
    most = (
        f"a skin of {skin:.2f} mm, and they have to be less than that"
        if skin is not None
        else "a skin that no laminate describes: add [handoff.laminate] with its plies"
    )
    raise GeometryError(
        f"{mould.lines} of {plain(mould.line_depth)} mm in {most}",
        part=mould.part,
        step="marks along lines",
        look_at=[key_of(p, mould, "line_depth"), "handoff.laminate"],
    )


def marked_pieces(
    cut: Cut, lines: Sequence[SkinLines], mould: Mould, tolerance: float
) -> tuple[Cut, list[Check]]:
    """Return pieces with what they are marked with, and what was measured on it.

    `tolerance` is how far meshes may lie off their solids [mm].
    """
    if mould.stock:
        return cut, []
    if mould.lines == DRILLED:
        return _with_points(cut, lines, mould)
    if mould.lines in (GROOVES, RAISED):
        return _with_grooves(cut, lines, mould, tolerance)
    return cut, []


def _with_points(cut: Cut, lines: Sequence[SkinLines], mould: Mould) -> tuple[Cut, list[Check]]:
    shares, made, left_out = [], [], 0
    for (each, found), half in zip(cut, lines, strict=True):
        every = drill_points(half, mould.line_pitch, mould.line_hole, mould.line_hole)
        dowels = [axis for piece in found for axis in piece.dowels]
        points, near = off_dowels(every, dowels, mould.dowel_diameter)
        left_out += near
        done = [drilled(piece.solid, points, mould.part, piece.cuts) for piece in found]
        shares += [(count, share) for _, count, share in done]
        both = zip(found, done, strict=True)
        made.append((each, [replace(piece, solid=solid) for piece, (solid, _, _) in both]))
    return made, [points_finding(mould.part, shares, left_out)]


def _with_grooves(
    cut: Cut, lines: Sequence[SkinLines], mould: Mould, tolerance: float
) -> tuple[Cut, list[Check]]:
    mark, made, every = mark_of(mould), [], []
    for (each, found), half in zip(cut, lines, strict=True):
        runs = skin_runs(half, mark)
        if not runs:
            made.append((each, found))
            continue
        done = [
            marked(piece.solid, half.side, runs, mark, piece.cuts, tolerance, mould.part)
            for piece in found
        ]
        every += done
        both = zip(found, done, strict=True)
        made.append((each, [replace(piece, marked=marks.mesh) for piece, marks in both]))
    return made, marks_findings(mould.part, mark, every)

"""Grooves or raised lines along the lines, in the mesh of each piece of a mould, measured there.

In the mesh alone: of sixteen grooves that the kernel was asked to cut into the solid of an
example's pod, fifteen took a second each and one had not ended after two minutes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

import numpy as np
from OCP.TopoDS import TopoDS_Solid
from scipy.spatial import cKDTree

from geomgen.arrays import Floats
from geomgen.kernel.mesh import cross
from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.solids.skin_distance import feet_on
from geomgen.kernel.trimming.scribed import MarkedMesh, SkinRun, VMark, scribed
from geomgen.parameters.records.shops import RAISED, Mould
from geomgen.shops.product import found
from geomgen.shops.skin_lines.curves import SkinLines, SkinSide, clipped
from geomgen.verdicts.check import Check

# Points of a run stand no further apart, and its chords no further off the skin [mm]; a chord is
# halved so often for that.
APART, SAG, HALVINGS = 20.0, 0.01, 8
# Points nearer than this are one [mm].
ONE = 1e-3
# How near to its solid the mesh is that is marked: this share of a mark's depth.
FINE = 0.1
# Off the border of the skin, so many widths aside, the foot of a point is this share of that away.
ASIDE, OFF = 1.0, 0.25
# A mark may be so much deeper or shallower than asked for, the skin beside it so far off [mm].
LIMIT, MOVED = 0.05, 0.01
# Places further than so many widths from all lines are beside the marks.
BESIDE = 1.5
# A ray begins this far over the highest that a mark stands [mm].
OVER = 1.0
FREE = (-inf, inf)


@dataclass(frozen=True)
class PieceMarks:
    """A piece's marked mesh, how deep or high (n,) its marks are at places (n, 3), all in [mm].

    `moved` [mm] is how far the mesh is off the unmarked one beside the marks.
    """

    mesh: MarkedMesh
    at: Floats
    depths: Floats
    moved: float


def mark_of(mould: Mould) -> VMark:
    """Return the section of the marks that a mould is to have."""
    return VMark(mould.line_depth, mould.line_width, mould.lines == RAISED)


def skin_runs(half: SkinLines, mark: VMark) -> list[SkinRun]:
    """Return the runs of a half's lines with normals, so fine that their chords keep to the skin.

    Raised ones end a width short of where the skin does, so that halves and flanges still meet.
    """
    ends = 1.5 * mark.width if mark.raised else 0.0
    runs = [_laid(half.side, run, ends) for line in half.lines for run in line.runs]
    if mark.raised:
        runs = [part for run in runs for part in _off_border(half.side, run, ASIDE * mark.width)]
    return [run for run in runs if len(run.points) > 1]


def _laid(side: SkinSide, run: Floats, ends: float) -> SkinRun:
    """Return a run on the skin, chords halved until they keep to it; points `ends` off both ends.

    Both in [mm].
    """
    given = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(run, axis=0), axis=1))]
    more = [ends, given[-1] - ends] if 0.0 < 2 * ends < given[-1] else []
    s = np.unique(np.r_[given, more])
    for turn in range(HALVINGS):
        feet = feet_on(side.faces, np.stack([np.interp(s, given, q) for q in run.T], axis=-1))
        chords = feet_on(side.faces, (feet.points[1:] + feet.points[:-1]) / 2)
        long = (np.diff(s) > APART) | (chords.off > SAG)
        if not long.any() or turn == HALVINGS - 1:
            break
        s = np.sort(np.r_[s, (s[1:] + s[:-1])[long] / 2])
    kept = np.r_[True, np.linalg.norm(np.diff(feet.points, axis=0), axis=1) > ONE]
    return SkinRun(feet.points[kept], feet.normals[kept])


def _off_border(side: SkinSide, run: SkinRun, aside: float) -> list[SkinRun]:
    """Return what of a run lies further than `aside` [mm] from where the skin ends."""
    if len(run.points) < 2:
        return []
    way = np.gradient(run.points, axis=0)
    way *= aside / np.linalg.norm(way, axis=1)[:, None]
    square = cross(run.normals, way)
    round_it = [run.points + by for by in (way, -way, square, -square)]
    off = np.max([feet_on(side.faces, at).off for at in round_it], axis=0)
    rows = np.c_[run.points, run.normals, OFF * aside - off]
    return [_run(part) for part in clipped(rows, (*[FREE] * 6, (0.0, inf)))]


def _run(rows: Floats) -> SkinRun:
    return SkinRun(rows[:, :3], rows[:, 3:6])


def between_cuts(
    runs: Sequence[SkinRun], cuts: Sequence[tuple[float, float]], clear: float
) -> list[SkinRun]:
    """Return what of runs lies `clear` [mm] or more inside planes across x, y and z [mm]."""
    within = [(low + clear, high - clear) for low, high in cuts]
    parts = (part for run in runs for part in clipped(np.c_[run.points, run.normals], within))
    return [_run(part) for part in parts if len(part) > 1]


def marked(
    piece: TopoDS_Solid,
    side: SkinSide,
    runs: Sequence[SkinRun],
    mark: VMark,
    cuts: Sequence[tuple[float, float]],
    tolerance: float,
    part: str,
) -> PieceMarks:
    """Return a piece's mesh, within a tolerance [mm] of its solid, with the marks along its runs.

    `cuts` are the planes across x, y and z that the piece was cut at [mm]: grooves go through them,
    raised lines end short of them. GeometryError where the marks part it or no mesh of it closes.
    """
    here = between_cuts(runs, cuts, mark.width)
    plain = meshed(piece, min(tolerance, FINE * mark.depth), part=part).mesh
    made = scribed(plain, here if mark.raised else runs, mark, part)
    at, depths = _depths(made, side, here, mark)
    return PieceMarks(made, at, depths, _moved(made, plain.corners, runs, mark))


def _depths(
    made: MarkedMesh, side: SkinSide, runs: Sequence[SkinRun], mark: VMark
) -> tuple[Floats, Floats]:
    """Return how far the mesh is below, of raised lines above, the skin between a run's points."""
    inner = [(run.points[1:] + run.points[:-1]) / 2 for run in runs]
    if not inner:
        return np.zeros((0, 3)), np.zeros(0)
    feet = feet_on(side.faces, np.concatenate(inner))
    start = feet.points + (mark.depth + OVER) * feet.normals
    far = MeshSearch(made.corners).first_hit(start, -feet.normals, 2 * (mark.depth + OVER))
    return feet.points, mark.outward * (mark.depth + OVER - far)


def _moved(made: MarkedMesh, plain: Floats, runs: Sequence[SkinRun], mark: VMark) -> float:
    """Return how far [mm] the mesh is off the unmarked one, corners (m, 3, 3), beside the marks."""
    dense = np.concatenate([np.zeros((0, 3)), *(_dense(run.points, mark.width) for run in runs)])
    far = np.ones(len(made.vertices), dtype=bool)
    if len(dense):
        far = cKDTree(dense).query(made.vertices)[0] > (BESIDE + 0.5) * mark.width + mark.depth
    return float(MeshSearch(plain).nearest(made.vertices[far]).distance.max(initial=0.0))


def _dense(points: Floats, apart: float) -> Floats:
    s = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))]
    at = np.linspace(0.0, s[-1], int(np.ceil(s[-1] / apart)) + 1)
    return np.stack([np.interp(at, s, q) for q in points.T], axis=-1)


def marks_findings(part: str, mark: VMark, every: Sequence[PieceMarks]) -> list[Check]:
    """Return how far marks are off the depth asked for, and the skin beside them off itself.

    [] where a part has no line.
    """
    at = np.concatenate([np.zeros((0, 3)), *(each.at for each in every)])
    if not len(at):
        return []
    off = np.abs(np.concatenate([each.depths for each in every]) - mark.depth)
    off[np.isnan(off)] = inf
    worst = int(off.argmax())
    x, y, z = at[worst]
    what = "raised lines: height" if mark.raised else "grooves: depth"
    return [
        found(
            f"mould.marks.{part}", part, f"{what}, off the {mark.depth:g} mm asked for",
            float(off[worst]), "mm", high=LIMIT, where=f"STA {x:.0f} BL {y:.0f} WL {z:.0f}",
            method=f"{len(at)} rays square to the skin onto the marked meshes", source="own bound",
            advice="leave lines at its default: mark by the drawing",
        ),
        found(
            f"mould.beside_marks.{part}", part, "skin beside the marks, off the unmarked mesh",
            max(each.moved for each in every), "mm", high=MOVED,
            method=f"vertices further than {BESIDE:g} widths beside all lines, nearest places",
            source="own bound", advice="leave lines at its default: mark by the drawing",
        ),
    ]  # fmt: skip

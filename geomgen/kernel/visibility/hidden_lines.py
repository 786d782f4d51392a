"""Named solids seen along a direction, hidden lines removed.

The lines are exact: sharp edges and outlines come from the surfaces (`outlines.py`). What
hides them is told from meshes of all parts together (`sight.py`), so a line dives behind
another part within `SLIP` mesh tolerances of the mesh. What is shorter than a step of the test
(a `STEPS`th of the view's diagonal, under a pen's width on paper) may be missed.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from OCP.TopoDS import TopoDS_Shape

import geomgen.kernel.brep.shape_bytes  # noqa: F401 - with it solids can be pickled
from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, loose_box
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshing.by_faces import grid_mesh
from geomgen.kernel.meshing.kernel_mesher import kernel_mesh
from geomgen.kernel.meshing.proven import is_closed
from geomgen.kernel.solids.extent import exact_box
from geomgen.kernel.visibility.look import Look
from geomgen.kernel.visibility.outlines import outlines
from geomgen.kernel.visibility.runs import chained, spaced, without_doubles
from geomgen.kernel.visibility.seams import Seams, seams
from geomgen.kernel.visibility.sight import Cover

# Mesh tolerance [mm] of the meshes that hide.
SAG = 0.25
ANGULAR = 0.8
# In mesh tolerances of the meshes: how far beside a point it is looked, and how far before it
# something must stand to hide it.
SLIP, MARGIN = 2.0, 2.0
# Steps along the diagonal of the view at which lines are tested.
STEPS = 900
HALVINGS = 7
# Lines nearer than this are one and the same [mesh tolerances of the lines].
SAME_LINE = 3.0


@dataclass(frozen=True)
class SeenLine:
    """A run through points (n, 2) [mm of the view] of a part's lines, seen or hidden."""

    part: str
    seen: bool
    points: Floats

    @property
    def length(self) -> float:
        """Return its length [mm]."""
        return float(np.linalg.norm(np.diff(self.points, axis=0), axis=1).sum())


@dataclass
class Scene:
    """Named solids with what several views of them need, made when it is asked for.

    `translucent` names parts that hide nothing and that nothing hides. `given` are meshes that
    stand already, each within its own mesh tolerance, `known` are exact boxes; the others are
    made. `drawn_on` are lines (n, 3) [mm] on the skin of a part that no edge of it has.
    """

    parts: Mapping[str, TopoDS_Shape]
    translucent: Collection[str] = ()
    given: Mapping[str, Mesh] = field(default_factory=dict)
    known: Mapping[str, Box] = field(default_factory=dict)
    drawn_on: Mapping[str, Sequence[Floats]] = field(default_factory=dict)
    _meshes: dict[str, Mesh] = field(default_factory=dict)
    _boxes: dict[str, Box] = field(default_factory=dict)
    _seams: dict[str, Seams] = field(default_factory=dict)

    def __getstate__(self) -> dict[str, Any]:
        # Seams are edges of the very solids here; those of a solid that was sent are found anew.
        return {**self.__dict__, "_seams": {}}

    def mesh(self, name: str) -> Mesh:
        """Return a part's mesh; GeometryError when none can be made."""
        if name in self.given:
            return self.given[name]
        if name not in self._meshes:
            self._meshes[name] = _meshed(self.parts[name], SAG, name)
        return self._meshes[name]

    def box(self, name: str) -> Box:
        """Return the exact box [mm] of a part's solid."""
        if name in self.known:
            return self.known[name]
        if name not in self._boxes:
            shape = self.parts[name]
            diagonal = float(np.linalg.norm(loose_box(shape).size))
            made = self._meshes.get(name)
            self._boxes[name] = exact_box(shape, diagonal, made)
        return self._boxes[name]

    def seams(self, name: str) -> Seams:
        """Return the edges of a part at which its faces meet smoothly."""
        if name not in self._seams:
            self._seams[name] = seams(self.parts[name])
        return self._seams[name]

    @property
    def sag(self) -> float:
        """Return how far [mm] the meshes may be off their solids."""
        return max([SAG, *(mesh.mesh_tolerance for mesh in self.given.values())])

    def opaque(self) -> list[str]:
        """Return the names of the parts that hide."""
        return [name for name in self.parts if name not in self.translucent]


def _meshed(shape: TopoDS_Shape, sag: float, part: str) -> Mesh:
    one = np.array([sag])
    try:
        made = grid_mesh(shape, sag, one, one, ANGULAR)
        if is_closed(made):
            return made
    except GeometryError:
        pass  # The kernel's own mesher has the next word; its error is the user's.
    made = kernel_mesh(shape, sag, sag, ANGULAR)
    if not is_closed(made):
        raise GeometryError("no closed mesh of it can be made", part=part, step="view")
    return made


def lines_seen(
    scene: Scene,
    look: Look,
    tolerance: float = 0.1,
    with_hidden: bool = False,
    smooth: bool = False,
) -> list[SeenLine]:
    """Return the lines of a scene along `look`, in view coordinates [mm], all parts together.

    Lines keep within `tolerance` [mm] of the true ones. Hidden ones come `with_hidden`, seams
    between faces that meet smoothly with `smooth`. All lines of a translucent part are given as
    seen. What one line draws no other draws again. GeometryError when a part has no lines.

    >>> from geomgen.kernel.brep.primitives import box
    >>> scene = Scene({"box": box((0.0, 0.0, 0.0), (3.0, 2.0, 1.0))})
    >>> round(sum(line.length for line in lines_seen(scene, Look((1, 0, 0), (0, 1, 0)))), 6)
    10.0
    """
    raw = [
        (name, look.seen(line.points))
        for name, shape in scene.parts.items()
        for line in outlines(shape, look, tolerance, None if smooth else scene.seams(name), name)
    ]
    raw += [(name, look.seen(points)) for name, lines in scene.drawn_on.items() for points in lines]
    every = np.concatenate([points for _, points in raw])[:, :2]
    step = max(float(np.hypot(*np.ptp(every, axis=0))) / STEPS, 2 * tolerance)
    names = [name for name, _ in raw]
    lines = [spaced(points, step) for _, points in raw]
    cover = Cover([scene.mesh(name) for name in scene.opaque()], look)
    clear = [name in scene.translucent for name in names]
    pieces = _stretches(lines, clear, cover, scene.sag)
    return _drawn(names, pieces, tolerance, with_hidden)


def _stretches(
    lines: list[Floats], clear: list[bool], cover: Cover, sag: float
) -> list[tuple[int, bool, Floats]]:
    """Return the place of its line, whether it is seen, and the points (n, 2) of each stretch."""
    many = np.array([len(line) - 1 for line in lines])
    owner = np.repeat(np.arange(len(lines)), many)
    start = np.concatenate([line[:-1] for line in lines])
    end = np.concatenate([line[1:] for line in lines])
    asked = ~np.array(clear)[owner]
    hidden = np.zeros(len(owner), dtype=bool)

    def is_hidden(points: Floats) -> np.ndarray:
        return cover.hidden(points, MARGIN * sag, SLIP * sag)

    hidden[asked] = is_hidden(0.5 * (start + end)[asked])
    turns = np.flatnonzero((hidden[1:] != hidden[:-1]) & (owner[1:] == owner[:-1]))
    crossing = _crossings(turns, hidden, start, end, is_hidden)
    cuts = dict(zip(turns.tolist(), crossing.tolist(), strict=True))
    found, first = [], 0
    for place, line in enumerate(lines):
        steps = len(line) - 1
        mine = [i for i in range(first, first + steps - 1) if i in cuts]
        found += _cut(line, place, [(i - first + cuts[i]) for i in mine], bool(hidden[first]))
        first += steps
    return found


def _crossings(
    turns: Ints,
    hidden: np.ndarray,
    start: Floats,
    end: Floats,
    is_hidden: Callable[[Floats], np.ndarray],
) -> Floats:
    """Return where, as a share of a step from the middle of `turns`, the state changes."""
    low, high = np.full(len(turns), 0.5), np.full(len(turns), 1.5)
    for _ in range(HALVINGS):
        half = 0.5 * (low + high)
        before = half[:, None] < 1.0
        share = np.where(before, half[:, None], half[:, None] - 1.0)
        a = np.where(before, start[turns], start[turns + 1])
        b = np.where(before, end[turns], end[turns + 1])
        same = is_hidden(a + share * (b - a)) == hidden[turns]
        low, high = np.where(same, half, low), np.where(same, high, half)
    return np.asarray(0.5 * (low + high))


def _cut(line: Floats, place: int, at: list[float], hidden: bool) -> list[tuple[int, bool, Floats]]:
    """Cut a line at places counted in steps from its first point; the state turns at each."""
    found = []
    marks = [0.0, *at, float(len(line) - 1)]
    for a, b in zip(marks[:-1], marks[1:], strict=True):
        inner = np.arange(int(np.floor(a)) + 1, int(np.ceil(b)))
        numbers = np.concatenate([[a], inner, [b]])
        whole = np.minimum(numbers.astype(np.int64), len(line) - 2)
        points = line[whole] + (numbers - whole)[:, None] * (line[whole + 1] - line[whole])
        found.append((place, not hidden, points[:, :2]))
        hidden = not hidden
    return found


def _drawn(
    names: list[str],
    pieces: list[tuple[int, bool, Floats]],
    tolerance: float,
    with_hidden: bool,
) -> list[SeenLine]:
    """Drop what is drawn already, seen lines first, and chain the rest part by part."""
    same = SAME_LINE * tolerance
    wanted = [piece for piece in pieces if piece[1] or with_hidden]
    order = sorted(wanted, key=lambda piece: not piece[1])
    kept = without_doubles([points for _, _, points in order], same)
    groups: dict[tuple[str, bool], list[Floats]] = {}
    for place, points in kept:
        line, seen, _ = order[place]
        groups.setdefault((names[line], seen), []).append(points)
    return [
        SeenLine(part, seen, run)
        for (part, seen), runs in groups.items()
        for run in chained(runs, same)
        if np.ptp(run, axis=0).max() > 2 * same
    ]

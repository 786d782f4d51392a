"""The outside of a machine as panels: which parts count, what hides what, where air goes through.

A machine is taken as the same on both sides: its right-hand half is drawn. Wheels, legs, engine and
firewall are left out, and so is the spinner, which stands in the air that leaves.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from geomgen.air.paneling.sections import SpanStretch, lifting_surface
from geomgen.air.paneling.stations import TAIL_ROWS, long_body
from geomgen.air.potential.grids import closed, grid, lid
from geomgen.air.potential.hidden import inside, without_hidden
from geomgen.air.potential.panels import Panels, together
from geomgen.arrays import Bools, Floats
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.plain import Opening, Plane

POD, SCOOP, PYLON = "pod", "scoop", "pylon"
# What makes the outside of the pod with it.
WITH_POD = ("exit", "canopy")
# Cells along and around a body, or round one side of a section and across the span, at fineness 1.
CELLS = {
    "pod": (40, 12),
    "scoop": (8, 10),
    "wing": (12, 16),
    "tailplane": (8, 8),
    "pylon": (10, 4),
}
SURFACES = {"wing": 1, "tailplane": 1, "pylon": 2}
CUTTING = ("pod", "exit", "canopy", "boom", "wing", "tailplane", "fin", "pylon", "scoop")
# What is nearer than this to a part may have been cut by it, beyond the joint [mm]: own choice.
BESIDE = 2.0
# What stands no further than this off the pod's skin is no scoop any more [mm]: own choice.
DEEP = 12.0
# A mouth's panels face along it, by this cosine, and stand off its plane by this share of its size.
FACING, OFF = 0.6, 0.35


@dataclass(frozen=True)
class Outside:
    """Panels of a machine's right-hand half with what they are.

    `grids` are the points of each body's grid [mm]; `mouths` say by name through which panels (n,)
    air goes in, `drawn` which are no skin: the tail that stands for the air that leaves. `rim` is
    the station [mm] of the open end, `left_out` the parts that nobody feels.
    """

    panels: Panels
    grids: Mapping[str, Floats]
    mouths: Mapping[str, Bools]
    drawn: Bools
    rim: float | None
    left_out: tuple[str, ...] = field(default=())


def outside(
    meshes: Mapping[str, Mesh],
    families: Mapping[str, str],
    mouths: Sequence[Opening],
    open_behind: bool,
    joint: float,
    fineness: float = 1.0,
    tail: float = 1.0,
) -> Outside:
    """Return the outside of named parts [mm]; `fineness` times as many panels each way.

    `joint` [mm] is the widest gap of a joint, `tail` how many times as long as usual the tail is
    drawn that stands for the air that leaves. GeometryError where a part can't be drawn.
    """
    right = {n: m for n, m in meshes.items() if float(m.vertices[:, 1].max()) > 1.0}
    grids: dict[str, Floats] = {}
    made: list[Panels] = []
    for name, points, lifting in _grids(right, families, open_behind, joint, fineness, tail):
        grids[name] = points
        made.append(grid(name, points, trailing=lifting))
        made += [lid(name, end) for end in _ends(name, points)]
    if not made:
        raise GeometryError("there is no pod or wing whose outside could be drawn", step="air")
    panels = closed(together(made))
    rim = _rim(grids, open_behind)
    shown = without_hidden(panels.kept(~_hugging(panels)))
    through = {m.name: _through(shown, m.name, m.plane) for m in mouths}
    left = tuple(name for name in meshes if families.get(name) not in (*CELLS, *WITH_POD))
    return Outside(
        shown, grids, {n: t for n, t in through.items() if t.any()}, _drawn(shown, rim), rim, left
    )


Grid = tuple[str, Floats, bool]


def _grids(
    right: Mapping[str, Mesh],
    families: Mapping[str, str],
    open_behind: bool,
    joint: float,
    fineness: float,
    tail: float,
) -> Iterator[Grid]:
    def of(*wanted: str) -> list[Mesh]:
        return [mesh for name, mesh in right.items() if families.get(name) in wanted]

    def cells(family: str) -> tuple[int, int]:
        one, other = CELLS[family]
        return max(4, round(one * fineness)), max(2, 2 * round(other * fineness / 2))

    if of(POD):
        yield _drawn_as(POD, long_body, of(POD, *WITH_POD), *cells(POD), True, open_behind, tail)
    for name, mesh in right.items():
        if families.get(name) == SCOOP:
            centred = float(mesh.vertices[:, 1].min()) < -1.0
            yield _drawn_as(name, long_body, [mesh], *cells(SCOOP), centred)
    for family, axis in SURFACES.items():
        if of(family):
            yield _surface(right, families, family, axis, cells(family), joint)


def _drawn_as(name: str, draw: Callable[..., Floats], *given: object) -> Grid:
    try:
        return name, draw(*given), False
    except GeometryError as error:
        raise GeometryError(error.problem, part=name, step="air") from error


def _surface(
    right: Mapping[str, Mesh],
    families: Mapping[str, str],
    family: str,
    axis: int,
    cells: tuple[int, int],
    joint: float,
) -> Grid:
    own = [mesh for name, mesh in right.items() if families.get(name) == family]
    every = np.concatenate([mesh.vertices for mesh in own])
    low, high = every.min(axis=0), every.max(axis=0)
    reach = joint + BESIDE
    cut: list[tuple[float, float]] = []
    for name, mesh in right.items():
        other = families.get(name)
        if other == family or other not in CUTTING:
            continue
        bottom, top = mesh.vertices.min(axis=0) - reach, mesh.vertices.max(axis=0) + reach
        if (bottom < high).all() and (top > low).all():
            cut.append((float(bottom[axis]), float(top[axis])))
    span = SpanStretch(
        axis, float(max(low[axis], 0.0) if axis == 1 else low[axis]), float(high[axis])
    )
    start = 0.0 if axis == 1 else None
    try:
        points = lifting_surface(own, span, cut, *cells, start=start)
    except GeometryError as error:
        raise GeometryError(error.problem, part=family, step="air") from error
    if family != PYLON:
        return family, points, True
    # Of a strut on the plane of symmetry the right-hand side, from the top down.
    half = points[len(points) // 2 :, ::-1].copy()
    half[..., 1] = np.maximum(half[..., 1], 0.0)
    half[[0, -1], :, 1] = 0.0
    return family, half, False


def _ends(name: str, points: Floats) -> Iterator[Floats]:
    """Return the section of a surface's free end, the last line of its grid."""
    if name in SURFACES and name != PYLON:
        yield points[:, -1]


def _rim(grids: Mapping[str, Floats], open_behind: bool) -> float | None:
    if not open_behind or POD not in grids:
        return None
    return float(grids[POD][-1 - TAIL_ROWS, 0, 0])


def _drawn(panels: Panels, rim: float | None) -> Bools:
    if rim is None:
        return np.zeros(len(panels), dtype=bool)
    return np.asarray(panels.of(POD) & (panels.centres[:, 0] > rim))


def _hugging(panels: Panels) -> Bools:
    """Say which panels of scoops run out along the pod's skin: no shape of their own."""
    hugging = np.zeros(len(panels), dtype=bool)
    scoops = [k for k, n in enumerate(panels.names) if n not in CELLS]
    own = np.flatnonzero(np.isin(panels.body, scoops))
    if POD in panels.names and len(own):
        pod = panels.kept(panels.of(POD))
        for way in (-DEEP, DEEP):
            hugging[own] |= inside(pod, panels.spots[own] + way * panels.normals[own])
    return hugging


def _through(panels: Panels, name: str, plane: Plane) -> Bools:
    """Say through which panels air goes in: those of the scoop that face the air at its mouth."""
    own = panels.of(name) if name in panels.names else np.zeros(len(panels), dtype=bool)
    if not own.any():  # no scoop of that name, or all of it inside other parts
        return own
    normal = np.array(plane.normal)
    off = (panels.centres - np.array(plane.origin)) @ normal
    size = float(np.ptp(panels.corners[own], axis=(0, 1)).min())
    return np.asarray(own & (panels.normals @ normal < -FACING) & (np.abs(off) < OFF * size))

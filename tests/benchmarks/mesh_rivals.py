"""Other ways to mesh the same solid, each adjusted until its measured deviation is the same."""

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from benchmarks.mesh_measure import Patch, Soup, deviation, faces, patch_of
from OCP.BRep import BRep_Tool
from OCP.BRepGProp import BRepGProp
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepTools import BRepTools
from OCP.GProp import GProp_GProps
from OCP.IMeshTools import IMeshTools_Parameters
from OCP.TopLoc import TopLoc_Location
from scipy.interpolate import BSpline

# A measured deviation within this share of the one aimed at is taken as equal.
EQUAL, TRIES, ROUNDS = 0.04, 6, 3
# No finer than this: the machine is wanted for other things.
MOST = 600_000


@dataclass(frozen=True)
class Made:
    """What a mesher took: triangles, deviation [mm] by `mesh_measure`, seconds of both clocks."""

    triangles: int
    deviation: float
    seconds: float
    wall: float
    setting: float


def timed(work: Callable[[], object]) -> tuple[object, float, float]:
    """Return a result with seconds of the process and of the wall."""
    wall, own = time.perf_counter(), time.process_time()
    found = work()
    return found, time.process_time() - own, time.perf_counter() - wall


def adjusted(
    make: Callable[[float], tuple[Soup, float, float, int]],
    patches: list[Patch],
    aim: float,
    setting: float,
    power: float,
) -> Made:
    """Return the coarsest mesh of the tries that keeps `aim` [mm]; deviation goes as setting^power.

    Tries end once the deviation is equal to the aim; without one that keeps it, the nearest is
    returned, and its deviation says so.
    """
    best: Made | None = None
    low, high = 0.0, np.inf
    for _ in range(TRIES):
        soup, own, wall, count = make(setting)
        found = Made(count, deviation(soup, patches), own, wall, setting)
        kept = found.deviation <= aim * 1.001
        if best is None or _rank(found, aim) < _rank(best, aim):
            best = found
        if (kept and found.deviation > (1 - EQUAL) * aim) or count > MOST:
            break
        finer = found.deviation > aim
        if finer == (power > 0):
            high = min(high, setting)
        else:
            low = max(low, setting)
        wanted = setting * (0.985 * aim / max(found.deviation, 1e-9)) ** (1 / power)
        if not low < wanted < high:
            wanted = np.sqrt(low * high) if low > 0 and np.isfinite(high) else 0.5 * (low + high)
        setting = float(wanted)
    return best


def _rank(made: Made, aim: float) -> tuple[bool, float]:
    """Return what sorts meshes: those that keep the aim first, fewest triangles; then nearest."""
    kept = made.deviation <= aim * 1.001
    return not kept, made.triangles if kept else made.deviation


def kernel_mesher(shape) -> Callable[[float], tuple[Soup, float, float, int]]:
    """Return the kernel's own mesher; its setting is the absolute tolerance [mm]."""

    def make(tolerance: float) -> tuple[Soup, float, float, int]:
        BRepTools.Clean_s(shape)
        asked = IMeshTools_Parameters()
        asked.Deflection, asked.Angle = tolerance, 0.8
        asked.Relative, asked.InParallel = False, False
        _, own, wall = timed(lambda: BRepMesh_IncrementalMesh(shape, asked))
        soup = _kernel_soup(shape)
        BRepTools.Clean_s(shape)
        return soup, own, wall, len(soup.face)

    return make


def _kernel_soup(shape) -> Soup:
    corners, numbers = [], []
    for number, face in enumerate(faces(shape)):
        where = TopLoc_Location()
        found = BRep_Tool.Triangulation_s(face, where)
        if found is None:
            continue
        moved = where.Transformation()
        nodes = np.array(
            [found.Node(i).Transformed(moved).Coord() for i in range(1, found.NbNodes() + 1)]
        )
        three = np.array([found.Triangle(i).Get() for i in range(1, found.NbTriangles() + 1)])
        corners.append(nodes[three - 1])
        numbers.append(np.full(len(three), number))
    return Soup(np.concatenate(corners), np.concatenate(numbers))


def gmsh_mesher(brep: str) -> Callable[[float], tuple[Soup, float, float, int]]:
    """Return gmsh with sizes from curvature; its setting is the elements to a full turn."""
    import gmsh

    def make(turn: float) -> tuple[Soup, float, float, int]:
        gmsh.initialize(interruptible=False)
        try:
            for name, value in {
                "General.Terminal": 0,
                "General.NumThreads": 1,
                "Mesh.MeshSizeFromCurvature": turn,
                "Mesh.MinimumCircleNodes": turn,
                "Mesh.MeshSizeMin": 0.05,
                "Mesh.Algorithm": 6,
            }.items():
                gmsh.option.setNumber(name, value)
            gmsh.model.occ.importShapes(brep)
            gmsh.model.occ.synchronize()
            _, own, wall = timed(lambda: gmsh.model.mesh.generate(2))
            soup = _gmsh_soup(gmsh)
        finally:
            gmsh.finalize()
        return soup, own, wall, len(soup.face)

    return make


def _gmsh_soup(gmsh) -> Soup:
    tags, points, _ = gmsh.model.mesh.getNodes()
    place = np.zeros(int(tags.max()) + 1, dtype=int)
    place[tags.astype(int)] = np.arange(len(tags))
    at = points.reshape(-1, 3)
    corners, numbers = [], []
    for number, (_, tag) in enumerate(gmsh.model.getEntities(2)):
        kinds, _, nodes = gmsh.model.mesh.getElements(2, tag)
        for kind, node in zip(kinds, nodes, strict=True):
            if kind == 2:
                three = place[node.astype(int).reshape(-1, 3)]
                corners.append(at[three])
                numbers.append(np.full(len(three), number))
    return Soup(np.concatenate(corners), np.concatenate(numbers))


def floor(shape, aim: float) -> Made:
    """Return what grids straight from the surfaces take, each face's held to `aim` [mm].

    Faces count with the share of their surface that they keep. Nothing is joined, trimmed, closed
    or proved: no mesh of a solid can be had for so little.
    """
    found = faces(shape)
    patches = [patch_of(face) for face in found]
    laid = [_adjusted_grid(patch, aim) for patch in patches]
    shares = [_kept(face, patch) for face, patch in zip(found, patches, strict=True)]
    # The least of as many rounds as ours has: a single one under load would flatter us.
    rounds = [
        timed(lambda: [_grid(p, one[1], one[2]) for p, one in zip(patches, laid, strict=True)])[1:]
        for _ in range(ROUNDS)
    ]
    own, wall = min(rounds)
    count = sum(max(2.0, share * one[0]) for share, one in zip(shares, laid, strict=True))
    return Made(round(count), max(one[3] for one in laid), own, wall, 0.0)


def _adjusted_grid(patch: Patch, aim: float) -> tuple[int, float, int, float]:
    """Return triangles, sag [mm], rows added to both directions and deviation [mm] of a face."""
    best = (10**9, aim, 0, np.inf)
    for more in (0, 1, 3, 7):
        sag = aim
        for _ in range(4):
            corners = _grid(patch, sag, more)
            if len(corners) > best[0] and best[3] <= aim:
                break
            off = deviation(Soup(corners, np.zeros(len(corners), dtype=int)), [patch])
            one = (len(corners), sag, more, off)
            best = min(best, one, key=lambda x: (x[3] > aim, x[0] if x[3] <= aim else x[3]))
            if off <= aim and (off > 0.9 * aim or len(corners) <= 8):
                break
            sag *= float(np.clip(0.97 * aim / max(off, 1e-9), 0.05, 1.6))
        if best[3] <= aim and more == 0 and best[1] > 0.5 * aim:
            break
    return best


def _kept(face, patch: Patch) -> float:
    """Return the share of the surface over its box of parameters that the face keeps."""
    size = GProp_GProps()
    BRepGProp.SurfaceProperties_s(face, size, 1e-6)
    u, v = (np.linspace(patch.low[i], patch.high[i], 81) for i in (0, 1))
    middle = [(x[1:] + x[:-1]) / 2 for x in (u, v)]
    uv = np.stack(np.meshgrid(*middle, indexing="ij"), axis=-1).reshape(-1, 2)
    _, su, sv = patch.at(uv, 1)
    whole = np.linalg.norm(np.cross(su, sv), axis=1).sum() * (u[1] - u[0]) * (v[1] - v[0])
    return float(min(1.0, abs(size.Mass()) / whole))


def _border(patch: Patch, axis: int, at: np.ndarray) -> np.ndarray:
    """Return how the surface's two borders along one direction bend, also within the surface."""
    found = np.zeros(len(at))
    for end in (patch.low[1 - axis], patch.high[1 - axis]):
        uv = np.full((len(at), 2), end)
        uv[:, axis] = at
        rows = patch.at(uv, 2)
        way, second = rows[1 + axis], rows[3 + 2 * axis]
        size = np.maximum((way * way).sum(axis=1), 1e-300)
        off = second - ((second * way).sum(axis=1) / size)[:, None] * way
        found = np.maximum(found, np.linalg.norm(off, axis=1))
    return found


def _grid(patch: Patch, sag: float, more: int = 0) -> np.ndarray:
    """Return the triangles (m, 3, 3) of a grid whose spacing follows the curvature."""
    borders = [patch.steps(axis, 24, 2) for axis in (0, 1)]
    middle = [(x[1:] + x[:-1]) / 2 for x in borders]
    uv = np.stack(np.meshgrid(*middle, indexing="ij"), axis=-1).reshape(-1, 2)
    _, su, sv, suu, _, svv = patch.at(uv, 2)
    normal = np.cross(su, sv)
    size = np.linalg.norm(normal, axis=1)
    unit = normal / np.maximum(size, 1e-300)[:, None] * (size > 1e-9 * size.max())[:, None]
    shape = len(middle[0]), len(middle[1])
    bends = [np.abs((second * unit).sum(axis=1)).reshape(shape) for second in (suu, svv)]
    wanted = [
        np.maximum(bends[axis].max(axis=1 - axis), _border(patch, axis, middle[axis]))
        for axis in (0, 1)
    ]
    least = [
        float(np.sqrt(x / (8 * sag)) @ np.diff(b)) for x, b in zip(wanted, borders, strict=True)
    ]
    # Bent one way only, that way may have all of the sag; else each has half.
    halved = 4 if min(least) > 0.5 else 8
    nodes = []
    for bend, border in zip(wanted, borders, strict=True):
        running = np.r_[0.0, np.cumsum(np.sqrt(bend / (halved * sag)) * np.diff(border))]
        running += 1e-6 * np.linspace(0, 1, len(running)) * max(running[-1], 1.0)
        count = more + max(1, int(np.ceil(running[-1] - 1e-3)))
        nodes.append(np.interp(np.linspace(0, running[-1], count + 1), running, border))
    design = [
        BSpline.design_matrix(np.clip(x, lo, hi), t, k)
        for x, t, k, lo, hi in zip(
            nodes, patch.knots, patch.degrees, patch.low, patch.high, strict=True
        )
    ]
    across = patch.poles.shape[1] * 4
    half = (design[0] @ patch.poles.reshape(len(patch.poles), across)).reshape(
        -1, *patch.poles.shape[1:]
    )
    flat = design[1] @ half.transpose(1, 0, 2).reshape(patch.poles.shape[1], -1)
    points = flat.reshape(len(nodes[1]), len(nodes[0]), 4)
    at = points[..., :3] / points[..., 3:]
    a, b, c, d = at[:-1, :-1], at[:-1, 1:], at[1:, 1:], at[1:, :-1]
    return np.concatenate([np.stack(x, axis=-2).reshape(-1, 3, 3) for x in ((a, b, c), (a, c, d))])

"""A whole shape meshed face by face on stretched parameter planes, edges shared."""

from dataclasses import dataclass

import numpy as np
from OCP.TopAbs import TopAbs_REVERSED
from OCP.TopoDS import TopoDS_Shape
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.surface_points import SurfacePoints, surface_points
from geomgen.kernel.mesh import EdgeLine, Mesh, assembled, cross
from geomgen.kernel.meshing.density import FaceGrid, grid_of
from geomgen.kernel.meshing.edges import (
    EdgeSide,
    MeshedEdge,
    edges_of,
    inner_points,
    loops_of,
    settle,
    vertex_points,
)
from geomgen.kernel.meshing.flat_faces import FlatGrid, flat_grid
from geomgen.kernel.meshing.triangulate import triangulate

# An inner point keeps this distance from the outline, in cells.
CLEAR = 0.35
# Triangles are too large when their circumscribed circle is larger than this, in cells.
ROUND = 0.8
# Sides of a loop must meet within this share of a cell or of the outline's extent.
MEET = 0.02


class FacesError(GeometryError):
    """Some faces, by their `places`, have no triangles on grids so coarse."""

    def __init__(self, problem: str, places: list[int]) -> None:
        self.places = places
        super().__init__(problem, step="mesh")


@dataclass(frozen=True)
class FaceBound:
    """A face on its stretched plane."""

    surface: SurfacePoints
    loops: list[list[EdgeSide]]
    grid: FaceGrid | FlatGrid
    reversed: bool


def grid_mesh(
    shape: TopoDS_Shape,
    mesh_tolerance: float,
    face_sag: Floats,
    edge_sag: Floats,
    angular: float,
    surfaces: list[SurfacePoints] | None = None,
) -> Mesh:
    """Return the mesh for chord sags [mm] by face and by edge; GeometryError where it can't.

    A FacesError where finer sags may help. A scalar-like array of one value serves all faces or
    all edges.
    """
    faces = faces_of(shape)
    surfaces = surfaces or [surface_points(face) for face in faces]
    vertex_map, points = vertex_points(shape)
    numbers, edges = edges_of(shape, vertex_map)
    for edge, sag in zip(edges, np.broadcast_to(edge_sag, len(edges)), strict=True):
        edge.demand = np.maximum(edge.bend / np.sqrt(sag), edge.turn / angular)
    bounds = []
    sags = np.broadcast_to(face_sag, len(faces))
    for face, surface, sag in zip(faces, surfaces, sags, strict=True):
        loops = loops_of(face, numbers)
        backwards = face.Orientation() == TopAbs_REVERSED
        bounds.append(_bound(surface, loops, edges, float(sag), angular, backwards))
    lines, points = _lay_edges(edges, points)
    rows: list[tuple[Ints, int, Floats]] = []
    parts = [points]
    count = len(points)
    beyond: list[int] = []
    reason = ""
    for place, bound in enumerate(bounds):
        try:
            triangles, uv, inner = _face(bound, edges, lines, count)
        except GeometryError as error:
            beyond.append(place)
            reason = error.problem
            continue
        rows.append((triangles, place, uv))
        parts.append(inner)
        count += len(inner)
    if beyond:
        raise FacesError(reason, beyond)
    return assembled(
        np.concatenate(parts),
        np.concatenate([t for t, _, _ in rows]),
        np.concatenate([np.full(len(t), place, dtype=np.int64) for t, place, _ in rows]),
        np.concatenate([uv for _, _, uv in rows]),
        [
            EdgeLine(i, line, edge.parameters)
            for i, (edge, line) in enumerate(zip(edges, lines, strict=True))
            if edge.used and not edge.degenerate and not edge.tiny
        ],
        mesh_tolerance,
        "grid",
    )


def _bound(
    surface: SurfacePoints,
    loops: list[list[EdgeSide]],
    edges: list[MeshedEdge],
    sag: float,
    angular: float,
    backwards: bool,
) -> FaceBound:
    """Lay the face's grid and let it ask its edges for points."""
    sampled = [(side, side.uv(edges[side.edge].samples)) for loop in loops for side in loop]
    every = np.concatenate([uv for _, uv in sampled])
    low, high = every.min(axis=0), every.max(axis=0)
    if np.any(high - low <= 0) or all(edges[side.edge].tiny for side, _ in sampled):
        raise GeometryError("a face has no area in its parameter plane", step="mesh")
    plane = flat_grid(surface, low, high)
    for side, _ in sampled:
        edges[side.edge].used = True
    if plane is not None:
        return FaceBound(surface, loops, plane, backwards)
    grid = grid_of(surface, (low[0], high[0]), (low[1], high[1]), sag, angular)
    flat, ends = grid.stretch(every), np.cumsum([len(uv) for _, uv in sampled])[:-1]
    rows = surface.at(every, 1)[1:]
    for (side, uv), place, slope in zip(
        sampled, np.split(flat, ends), np.split(rows, ends, axis=1), strict=True
    ):
        edge = edges[side.edge]
        pieces = np.linalg.norm(np.diff(place, axis=0), axis=1)
        edge.demand = np.maximum.reduce([edge.demand, pieces, _lens(slope[:, 1:-1], uv, sag)])
    for loop in loops:
        if len(loop) == 2:
            for side in loop:
                edges[side.edge].least = max(edges[side.edge].least, 2)
    return FaceBound(surface, loops, grid, backwards)


def _lens(slopes: Floats, uv: Floats, sag: float) -> Floats:
    """Return the pieces wanted so that chords in the plane keep to the edge on the surface.

    `slopes` (2, n-2, 3) are the surface's derivatives at the inner ones of the samples `uv` (n, 2).
    The surface over a chord of the parameter plane leaves the edge sideways by what three
    successive samples show.
    """
    wanted = np.zeros(len(uv) - 1)
    bulge = uv[1:-1] - 0.5 * (uv[:-2] + uv[2:])
    along = 0.5 * (uv[2:] - uv[:-2])
    off, way = (d[:, :1] * slopes[0] + d[:, 1:] * slopes[1] for d in (bulge, along))
    size = np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-300)
    aside = np.linalg.norm(cross(off, way / size), axis=1)
    pieces = 0.5 * np.sqrt(aside / sag)
    wanted[:-1] = pieces
    wanted[1:] = np.maximum(wanted[1:], pieces)
    return wanted


def _vertex_names(edges: list[MeshedEdge], count: int) -> Ints:
    """Return each vertex's number, the ends of tiny edges sharing one."""
    tiny = [edge.vertices for edge in edges if edge.tiny]
    pairs = np.array(tiny, dtype=np.int64).reshape(-1, 2)
    graph = coo_matrix((np.ones(len(pairs)), pairs.T), shape=(count, count))
    label = connected_components(graph, directed=False)[1]
    _, first = np.unique(label, return_index=True)
    return np.asarray(first[label])


def _lay_edges(edges: list[MeshedEdge], points: Floats) -> tuple[list[Ints], Floats]:
    """Settle all edges; return each one's point numbers and all points so far."""
    lines, parts, count = [], [points], len(points)
    names = _vertex_names(edges, count)
    for edge in edges:
        settle(edge)
        first, last = (int(names[place]) for place in edge.vertices)
        if edge.tiny:
            lines.append(np.array([first, last], dtype=np.int64))
            continue
        if edge.degenerate:
            lines.append(np.full(len(edge.parameters), first, dtype=np.int64))
            continue
        inner = inner_points(edge)
        lines.append(np.r_[first, np.arange(count, count + len(inner)), last].astype(np.int64))
        parts.append(inner)
        count += len(inner)
    return lines, np.concatenate(parts)


def _face(
    bound: FaceBound, edges: list[MeshedEdge], lines: list[Ints], count: int
) -> tuple[Ints, Floats, Floats]:
    """Return triangles (m, 3) of point numbers, their uv (m, 3, 2) and the new points (n, 3)."""
    outlines, numbers, uvs = [], [], []
    for loop in bound.loops:
        # A hole of nothing but tiny edges is closed: they have become one vertex.
        if all(edges[side.edge].tiny for side in loop):
            continue
        uv, number = _outline(bound, loop, edges, lines)
        uvs.append(uv)
        numbers.append(number)
        outlines.append(bound.grid.stretch(uv))
    flat, inner_uv = bound.grid.lattice()
    if len(flat):
        apart = cKDTree(_dense(outlines)).query(flat, distance_upper_bound=CLEAR)[0] >= CLEAR
        flat, inner_uv = flat[apart], inner_uv[apart]
    triangles = triangulate(outlines, flat)
    added = _between(np.concatenate([*outlines, flat]), triangles, outlines) if len(flat) else flat
    if len(added):
        flat = np.concatenate([flat, added])
        inner_uv = np.concatenate([inner_uv, bound.grid.relax(added)])
        triangles = triangulate(outlines, flat)
    if bound.reversed:
        triangles = triangles[:, ::-1]
    inner = bound.surface.at(inner_uv)[0] if len(flat) else np.empty((0, 3))
    number = np.concatenate([*numbers, np.arange(count, count + len(inner))])
    uv = np.concatenate([*uvs, inner_uv])
    return number[triangles], uv[triangles], inner


def _between(points: Floats, triangles: Ints, outlines: list[Floats]) -> Floats:
    """Return points (n, 2) for the triangles that are too large, off the outlines and apart."""
    a, b, c = (points[triangles[:, i]] for i in range(3))
    sides = [np.linalg.norm(q - p, axis=1) for p, q in ((a, b), (b, c), (c, a))]
    cross = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    radius = sides[0] * sides[1] * sides[2] / np.maximum(2 * np.abs(cross), 1e-300)
    large = (radius > ROUND) & (np.maximum.reduce(sides) > ROUND)
    middle = (a + b + c)[large] / 3
    if not len(middle):
        return np.asarray(middle)
    apart = cKDTree(_dense(outlines)).query(middle, distance_upper_bound=CLEAR)[0] >= CLEAR
    middle = middle[apart]
    pairs = cKDTree(middle).query_pairs(2 * CLEAR, output_type="ndarray") if len(middle) else []
    keep = np.ones(len(middle), dtype=bool)
    for first, second in np.sort(np.asarray(pairs).reshape(-1, 2), axis=1).tolist():
        keep[second] &= not keep[first]
    return np.asarray(middle[keep])


def _outline(
    bound: FaceBound, loop: list[EdgeSide], edges: list[MeshedEdge], lines: list[Ints]
) -> tuple[Floats, Ints]:
    """Return a loop's uv (k, 2) and its point numbers (k,), each corner once."""
    uvs, numbers = [], []
    for side in loop:
        if edges[side.edge].tiny:
            continue
        turn = slice(None) if side.forward else slice(None, None, -1)
        uvs.append(side.uv(edges[side.edge].parameters[turn]))
        numbers.append(lines[side.edge][turn])
    extent = np.ptp(bound.grid.stretch(np.concatenate(uvs)), axis=0).max()
    for here, after in zip(uvs, [*uvs[1:], uvs[0]], strict=True):
        ends = bound.grid.stretch(np.stack([here[-1], after[0]]))
        if np.abs(ends[1] - ends[0]).max() > MEET * min(1.0, float(extent)):
            raise GeometryError("the edges of a face do not meet in its plane", step="mesh")
    return (
        np.concatenate([uv[:-1] for uv in uvs]),
        np.concatenate([number[:-1] for number in numbers]),
    )


def _dense(outlines: list[Floats]) -> Floats:
    """Return points along the outlines no more than a tenth of a cell apart."""
    parts = []
    for outline in outlines:
        step = np.roll(outline, -1, axis=0) - outline
        count = max(1, int(np.ceil(10 * np.linalg.norm(step, axis=1).max())))
        shares = np.arange(min(count, 400)) / min(count, 400)
        parts.append((outline[:, None] + shares[None, :, None] * step[:, None]).reshape(-1, 2))
    return np.concatenate(parts)

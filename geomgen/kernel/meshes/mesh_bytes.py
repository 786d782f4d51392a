"""Meshes with their measured deviation as bytes and back, exact."""

import io

import numpy as np

from geomgen.kernel.mesh import EdgeLine, Mesh
from geomgen.kernel.meshing.deviation import Deviation
from geomgen.kernel.meshing.proven import Meshed

ARRAYS = (
    "vertices",
    "triangles",
    "face",
    "uv",
    "collapsed_triangles",
    "collapsed_face",
    "collapsed_uv",
)


def mesh_bytes(made: Meshed) -> bytes:
    """Return a mesh and its deviation as bytes; the same mesh gives the same bytes.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> from geomgen.kernel.meshing.proven import meshed
    >>> made = meshed(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape(), 0.1)
    >>> again = mesh_from(mesh_bytes(made))
    >>> again.mesh.triangles.tolist() == made.mesh.triangles.tolist()
    True
    """
    mesh, off = made.mesh, made.deviation
    lines = mesh.edges
    arrays = {name: getattr(mesh, name) for name in ARRAYS}
    arrays |= {
        "edges": np.array([line.edge for line in lines], dtype=np.int64),
        "lengths": np.array([len(line.vertices) for line in lines], dtype=np.int64),
        "edge_vertices": _joined([line.vertices for line in lines], np.int64),
        "edge_parameters": _joined([line.parameters for line in lines], np.float64),
        "about": np.array([mesh.mesh_tolerance, mesh.tries, mesh.method == "grid"], dtype=float),
        "off": np.array([off.mesh_to_solid, off.solid_to_mesh, *off.worst]),
        "samples": np.array([off.samples], dtype=np.int64),
        "facing": off.facing_by_face,
        "by_face": off.by_face,
        "by_edge": off.by_edge,
    }
    out = io.BytesIO()
    for array in arrays.values():
        np.save(out, array, allow_pickle=False)
    return out.getvalue()


def mesh_from(body: bytes) -> Meshed:
    """Return the mesh and its deviation that bytes stand for."""
    file = io.BytesIO(body)
    parts = {name: np.load(file, allow_pickle=False) for name in ARRAYS}
    edges, lengths, vertices, parameters, about, off, samples, facing, by_face, by_edge = (
        np.load(file, allow_pickle=False) for _ in range(10)
    )
    ends = np.cumsum(lengths)[:-1]
    rows = zip(edges, np.split(vertices, ends), np.split(parameters, ends), strict=False)
    lines = tuple(EdgeLine(int(edge), corners, at) for edge, corners, at in rows)
    tolerance, tries, grid = about.tolist()
    mesh = Mesh(
        **parts,
        edges=lines,
        mesh_tolerance=tolerance,
        method="grid" if grid else "kernel",
        tries=int(tries),
    )
    there, back, x, y, z = off.tolist()
    measured = Deviation(there, back, int(samples[0]), (x, y, z), facing, by_face, by_edge)
    return Meshed(mesh, measured)


def _joined(arrays: list[np.ndarray], kind: type) -> np.ndarray:
    return np.concatenate(arrays) if arrays else np.empty(0, dtype=kind)

"""A set of files read back from the disk as it will be used: solids, meshes, places."""

from pathlib import Path
from typing import Any

import numpy as np
from OCP.TopAbs import TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Solid

from geomgen.errors import FileWriteError
from geomgen.files.disk import disk_errors
from geomgen.files.manifest import read_manifest
from geomgen.files.places import read_places
from geomgen.files.step import read_step, step_name
from geomgen.files.stl import read_stl, stl_name
from geomgen.kernel.deviation import Deviation
from geomgen.kernel.mesh_record import Mesh
from geomgen.kernel.meshing import is_closed
from geomgen.kernel.plain import Model
from geomgen.kernel.properties import area, volume

# Meshes are compared to this share; their own deviation is coarser by far.
ROUGH = 1e-5
Meshes = dict[str, tuple[Mesh, Deviation]]


def solid_in(path: Path) -> TopoDS_Solid:
    """Return the one solid of a part's STEP; FileWriteError when it holds none or several."""
    found = []
    for part in read_step(path):
        walk = TopExp_Explorer(part.shape, TopAbs_SOLID)
        while walk.More():
            found.append(TopoDS.Solid_s(walk.Current()))
            walk.Next()
    if len(found) != 1:
        raise FileWriteError(
            f"it holds {len(found)} solids, not one", path=path.name, advice="build the set again"
        )
    return found[0]


def mesh_in(path: Path, chord_tolerance: float) -> Mesh:
    """Return the triangles of a part's STL as a mesh whose corners are joined again."""
    with disk_errors(path.name):
        corners = read_stl(path).astype(np.float64)
    vertices, numbers = np.unique(corners.reshape(-1, 3), axis=0, return_inverse=True)
    triangles = numbers.reshape(-1, 3).astype(np.int64)
    none = np.zeros((0, 3), dtype=np.int64)
    return Mesh(
        vertices,
        triangles,
        np.zeros(len(triangles), dtype=np.int64),
        np.zeros((len(triangles), 3, 2)),
        none,
        np.zeros(0, dtype=np.int64),
        np.zeros((0, 3, 2)),
        (),
        chord_tolerance,
        "read back",
    )


def read_set(folder: Path, entries: list[dict[str, Any]] | None = None) -> tuple[Model, Meshes]:
    """Return the solids of a set and its meshes as they stand on the disk.

    The deviation of each mesh is the proven one: it is tied to the file by its hash, which
    `manifest.verify` holds. `entries` are the manifest's rows where it is not written yet.
    """
    model, names = read_places(folder)
    rows = read_manifest(folder)["files"] if entries is None else entries
    known = {row.get("part"): row for row in rows if row.get("what") == "mesh"}
    meshes: Meshes = {}
    for name in names:
        model.parts[name] = solid_in(folder / step_name(name))
        if name not in known:
            raise FileWriteError(
                "the manifest does not know its mesh", path=stl_name(name), advice="build it again"
            )
        row = known[name]
        mesh = mesh_in(folder / stl_name(name), float(row["chord_tolerance_mm"]))
        meshes[name] = (mesh, _deviation(row))
    return model, meshes


def strange_meshes(model: Model, meshes: Meshes) -> list[str]:
    """Return what is wrong with meshes that are not those of their solids: size, or not closed.

    A mesh within its deviation of the solid has the solid's volume but for that skin.
    """
    found = []
    for name, (mesh, off) in meshes.items():
        solid = model.parts[name]
        give = 1.1 * off.largest * area(solid, ROUGH).value + ROUGH * abs(mesh.volume)
        apart = abs(mesh.volume - volume(solid, ROUGH).value)
        if not is_closed(mesh) or apart > give:
            found.append(f"{stl_name(name)}: it is not a closed mesh of its solid")
    return found


def _deviation(row: dict[str, Any]) -> Deviation:
    x, y, z = (float(value) for value in row["deviation_at_mm"])
    return Deviation(
        float(row["deviation_mesh_to_solid_mm"]),
        float(row["deviation_solid_to_mesh_mm"]),
        int(row["deviation_samples"]),
        (x, y, z),
        np.zeros(0),
        np.zeros(0),
        np.zeros(0),
    )

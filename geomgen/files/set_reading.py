"""A set of files read back from the disk as it will be used: solids, meshes, places."""

from pathlib import Path
from typing import Any

import numpy as np
from OCP.TopoDS import TopoDS_Solid

from geomgen.errors import FileWriteError
from geomgen.files.disk import disk_errors
from geomgen.files.manifest import read_manifest
from geomgen.files.places import read_places
from geomgen.files.step import read_step, step_name
from geomgen.files.stl import read_stl, stl_name
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.on_solid import on_solid
from geomgen.kernel.meshing.deviation import Deviation
from geomgen.kernel.meshing.proven import holds, is_closed
from geomgen.kernel.model import Model
from geomgen.kernel.solids.booleans import solids_of

Meshes = dict[str, tuple[Mesh, Deviation]]


def solid_in(path: Path) -> TopoDS_Solid:
    """Return the one solid of a part's STEP; FileWriteError when it holds none or several."""
    found = [solid for part in read_step(path) for solid in solids_of(part.shape)]
    if len(found) != 1:
        raise FileWriteError(
            f"it holds {len(found)} solids, not one", path=path.name, advice="build the set again"
        )
    return found[0]


def mesh_in(path: Path, mesh_tolerance: float) -> Mesh:
    """Return a part's STL as a mesh [mm], corners joined again, that keeps a tolerance [mm]."""
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
        mesh_tolerance,
        "read back",
    )


def read_set(folder: Path, entries: list[dict[str, Any]] | None = None) -> tuple[Model, Meshes]:
    """Return the solids of a set and its meshes as they stand on the disk.

    Each mesh is held to its solid anew: its deviation is measured, not taken from the manifest.
    `entries` are the manifest's rows where it is not written yet.
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
        mesh = mesh_in(folder / stl_name(name), float(known[name]["mesh_tolerance_mm"]))
        made = on_solid(model.parts[name], mesh, name)
        meshes[name] = (made.mesh, made.deviation)
    return model, meshes


def strange_meshes(meshes: Meshes) -> list[str]:
    """Return what is wrong with meshes that are not those of their solids: too far off, or open."""
    found = []
    for name, (mesh, off) in meshes.items():
        if not is_closed(mesh):
            found.append(f"{stl_name(name)}: it is not a closed mesh")
        elif not holds(mesh, off):
            found.append(
                f"{stl_name(name)}: it is not a mesh of its solid: {off.largest:.3f} mm off, "
                f"at most {mesh.mesh_tolerance} mm is allowed"
            )
    return found

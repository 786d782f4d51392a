"""A mesh of a shape that keeps its mesh tolerance: measured, and finer until it does.

Faces are meshed on stretched parameter planes (few, long triangles where the surface is straight),
edges once for both faces. Where that can't be done, or doesn't hold, the kernel's own mesher
takes over; what comes out is measured all the same, and the record says which it was.
"""

from dataclasses import dataclass, replace

import numpy as np
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopoDS import TopoDS_Shape

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.surface_points import SurfacePoints, surface_points
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshing.by_faces import FacesError, grid_mesh
from geomgen.kernel.meshing.deviation import Deviation, deviation
from geomgen.kernel.meshing.edges import mapped
from geomgen.kernel.meshing.kernel_mesher import kernel_mesh

# Share of the tolerance that is aimed at; trimmed cells and 32-bit rounding take some of the rest.
AIM = 0.85
TRIES = 6
# Sags of what crosses itself or faces away come down by this, and what is far off by no more.
FINER = 0.2
KERNEL_AIMS = (0.9, 0.6, 0.35, 0.1)
ANGULAR = 0.8
FACING = 0.7


@dataclass(frozen=True)
class Meshed:
    """A mesh and the measured deviation that it was accepted on."""

    mesh: Mesh
    deviation: Deviation


def mesh(
    shape: TopoDS_Shape, mesh_tolerance_mm: float, angular: float = ANGULAR, part: str = ""
) -> Mesh:
    """Return a closed mesh within `mesh_tolerance_mm` [mm] of the shape; see `meshed`.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> made = mesh(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape(), 0.1)
    >>> len(made.triangles), round(made.volume, 9)
    (12, 6.0)
    """
    return meshed(shape, mesh_tolerance_mm, angular, part).mesh


def meshed(
    shape: TopoDS_Shape, mesh_tolerance_mm: float, angular: float = ANGULAR, part: str = ""
) -> Meshed:
    """Return mesh and deviation [mm]; neighbours of a triangle turn by about `angular` [rad].

    Raises GeometryError naming `part` when no mesh keeps the tolerance.
    """
    if not mesh_tolerance_mm > 0:
        raise GeometryError(
            f"a mesh tolerance of {mesh_tolerance_mm} mm can't be kept",
            part=part,
            step="mesh",
            look_at=["output.mesh_tolerance"],
        )
    faces = faces_of(shape)
    if not faces:
        raise GeometryError("an empty shape has no mesh", part=part, step="mesh")
    surfaces = [surface_points(face) for face in faces]
    best: Deviation | None = None
    try:
        found, best, reason = _on_grids(shape, mesh_tolerance_mm, angular, surfaces)
        if found is not None:
            return found
    except GeometryError as error:
        reason = error.problem
    tries = TRIES
    for aim in KERNEL_AIMS:
        tries += 1
        made = kernel_mesh(shape, mesh_tolerance_mm, aim * mesh_tolerance_mm, angular)
        made = replace(made, tries=tries)
        measured = deviation(shape, made, surfaces)
        if holds(made, measured):
            return Meshed(made, measured)
        if best is None or measured.largest < best.largest:
            best = measured
    found_mm = "unknown" if best is None else f"{best.largest:.4f} mm"
    raise GeometryError(
        f"no mesh keeps {mesh_tolerance_mm} mm (best deviation: {found_mm}; {reason})",
        part=part,
        step="mesh",
        look_at=["output.mesh_tolerance"],
    )


def first_mesh(
    shape: TopoDS_Shape, mesh_tolerance_mm: float, surfaces: list[SurfacePoints]
) -> Mesh:
    """Return the mesh that `meshed` tries first for a tolerance [mm], not measured.

    GeometryError where there is none.
    """
    face_sag: Floats = np.full(len(surfaces), AIM * mesh_tolerance_mm)
    edge_sag: Floats = np.full(mapped(shape, TopAbs_EDGE).Size(), AIM * mesh_tolerance_mm)
    return grid_mesh(shape, mesh_tolerance_mm, face_sag, edge_sag, ANGULAR, surfaces)


def holds(made: Mesh, measured: Deviation) -> bool:
    """Return whether a mesh is closed, faces outward and keeps its tolerance."""
    return (
        measured.largest <= made.mesh_tolerance
        and measured.facing > FACING
        and made.volume > 0
        and is_closed(made)
    )


def is_closed(made: Mesh) -> bool:
    """Return whether every side is used once in each direction.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> is_closed(mesh(BRepPrimAPI_MakeBox(1.0, 1.0, 1.0).Shape(), 0.1))
    True
    """
    return sides_close(made.triangles, len(made.vertices))


def sides_close(triangles: Ints, count: int) -> bool:
    """Return whether triangles (m, 3) of `count` vertices use every side once in each direction.

    >>> sides_close(np.array([[0, 1, 2], [0, 2, 1]]), 3), sides_close(np.array([[0, 1, 2]]), 3)
    (True, False)
    """
    ahead = triangles.reshape(-1)
    behind = np.roll(triangles, -1, axis=1).reshape(-1)
    keys, back = np.sort(ahead * count + behind), np.sort(behind * count + ahead)
    return bool(len(keys)) and bool(np.all(np.diff(keys) > 0)) and np.array_equal(keys, back)


def _open_faces(made: Mesh, faces: int) -> np.ndarray:
    """Return which faces (faces,) have a side that is used twice the same way, or never back.

    Two edges between the same corners become one where both are a single chord.
    """
    ahead = made.triangles.reshape(-1)
    behind = np.roll(made.triangles, -1, axis=1).reshape(-1)
    count = len(made.vertices)
    _, place, uses = np.unique(ahead * count + behind, return_inverse=True, return_counts=True)
    bad = (uses[place] > 1) | ~np.isin(behind * count + ahead, ahead * count + behind)
    return np.bincount(np.repeat(made.face, 3)[bad], minlength=faces) > 0


def _on_grids(
    shape: TopoDS_Shape, tolerance: float, angular: float, surfaces: list[SurfacePoints]
) -> tuple[Meshed | None, Deviation | None, str]:
    """Mesh and measure; make finer what is beyond the tolerance, crosses itself or faces away.

    What is smaller than the tolerance allows shapes that are no mesh of it: a finer one is due
    there however coarse the tolerance is.
    """
    face_sag: Floats = np.full(len(surfaces), AIM * tolerance)
    edge_sag: Floats = np.full(mapped(shape, TopAbs_EDGE).Size(), AIM * tolerance)
    measured = None
    reason = ""
    for turn in range(1, TRIES + 1):
        try:
            made = grid_mesh(shape, tolerance, face_sag, edge_sag, angular, surfaces)
        except FacesError as error:
            reason = error.problem
            away = np.isin(np.arange(len(surfaces)), error.places)
        else:
            made = replace(made, tries=turn)
            measured = deviation(shape, made, surfaces)
            if holds(made, measured):
                return Meshed(made, measured), measured, ""
            reason = "the finest mesh is too far off"
            away = (measured.facing_by_face <= FACING) | _open_faces(made, len(surfaces))
            if measured.largest <= tolerance and not np.any(away):
                raise GeometryError("its faces do not close", step="mesh")
            for sag, by in ((face_sag, measured.by_face), (edge_sag, measured.by_edge)):
                beyond = by > tolerance
                sag[beyond] *= np.clip(0.9 * tolerance / by[beyond], FINER, 0.8)
            beyond = (measured.by_face > tolerance) & ~away
            _tighten_edges(shape, beyond, face_sag, edge_sag)
        face_sag[away] *= FINER
        _tighten_edges(shape, away, face_sag, edge_sag)
    return None, measured, reason


def _tighten_edges(
    shape: TopoDS_Shape, beyond: np.ndarray, face_sag: Floats, edge_sag: Floats
) -> None:
    """Let the edges of faces that are too far off follow their faces."""
    numbers = mapped(shape, TopAbs_EDGE)
    for place, face in enumerate(faces_of(shape)):
        if beyond[place]:
            sides = mapped(face, TopAbs_EDGE)
            for i in range(1, sides.Size() + 1):
                number = numbers.FindIndex(sides.FindKey(i)) - 1
                edge_sag[number] = min(edge_sag[number], face_sag[place])

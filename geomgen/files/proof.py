"""Nothing leaves before it is proved: files are read back from the disk and held to the solid."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from OCP.TopoDS import TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.files.disk import proof_failed, sha256
from geomgen.files.step import MILLIMETRE, SCHEMA, Colour, read_step
from geomgen.files.stl import read_stl
from geomgen.kernel.brep.boxes import Box, loose_box
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.meshing.proven import Meshed, holds
from geomgen.kernel.plain import Vec3
from geomgen.kernel.second_library import second_library
from geomgen.kernel.solids.likeness import alike, likeness
from geomgen.kernel.solids.properties import (
    FIGURES,
    Figures,
    bounding_box,
    figures,
    kernel_box,
    union,
    volume,
)
from geomgen.kernel.solids.validity import shells_in, validity

# A STEP read back holds the same numbers to twelve digits or more; volumes differ by some 1e-12.
# The skin may have shifted, in the mean, by the kernel's confusion distance [mm]: 5e-9 was seen.
# Where booleans left edges that fit their faces to 1e-5 mm or worse, reading fits them anew: within
# `seams` (on a scoop with an edge of 1e-4 mm 2e-8 of the volume was seen, a six hundredth of it).
SAME_VOLUME = 1e-9
SAME_SKIN = 1e-7
SAME_BOX = 0.01
SAME_POINT = 1e-6
SAME_COLOUR = 2e-3
# The meshes' volumes are sums over the same triangles; single precision inside the library counts.
LIBRARY = 1e-5


@dataclass(frozen=True)
class StlProof:
    """What was proved of an STL as it stands on the disk [mm, mm3].

    `mesh_to_solid` and `solid_to_mesh` are measured; `volume_bound` is what that deviation allows
    the mesh's volume to differ from the solid's.
    """

    name: str
    sha256: str
    bytes: int
    triangles: int
    shells: int
    volume: float
    library_volume: float
    solid_volume: float
    volume_bound: float
    box: Box
    mesh_tolerance: float
    mesh_to_solid: float
    solid_to_mesh: float
    samples: int
    method: str
    worst: Vec3 = (0.0, 0.0, 0.0)


@dataclass(frozen=True)
class MarkedProof:
    """What was proved of an STL with marks, as it stands on the disk [mm, mm3]."""

    name: str
    sha256: str
    bytes: int
    triangles: int
    volume: float
    box: Box


@dataclass(frozen=True)
class StepProof:
    """What was proved of a STEP as it stands on the disk: [mm3] by part, box [mm] of the whole."""

    name: str
    sha256: str
    bytes: int
    volumes: dict[str, float]
    box: Box
    schema: str
    unit: str


@dataclass(frozen=True)
class SeenSolid:
    """One solid as read back from a STEP: [mm3], [mm], likeness, faces, what is wrong with it.

    `volume` and `box` are None where they were not asked for.
    """

    name: str
    volume: float | None
    likeness: Floats
    faces: int
    loose: Box
    box: Box | None
    colour: Colour | None
    problems: tuple[str, ...]


def prove_stl(
    path: Path,
    made: Meshed,
    shape: TopoDS_Shape,
    mesh_tolerance: float,
    known: Figures | None = None,
) -> StlProof:
    """Read the STL back and prove it against the mesh it was written from and the solid.

    `mesh_tolerance` is how far the mesh may lie off the solid [mm]; `known` are the solid's
    `figures` where they have been measured already.

    FileWriteError says which proof failed: content, deviation, closed, orientation, bodies, volume,
    the independent library, size.
    """
    corners = read_stl(path)
    if not np.array_equal(corners, made.mesh.corners.astype(np.float32)):
        raise proof_failed(path, "the file does not hold the triangles that were measured")
    measured = made.deviation
    if not measured.largest <= mesh_tolerance:
        raise proof_failed(
            path, f"it is {measured.largest:.4f} mm off the solid, {mesh_tolerance:g} mm stated"
        )
    if not holds(made.mesh, measured):
        raise proof_failed(path, "its mesh is open or inside out")
    shells = shells_in(shape)
    inside = _closed_bodies(path, corners, shells)
    library = _library_volume(path, corners, inside)
    known = known or figures(shape)
    solid = known.volume
    bound = measured.largest * known.area.value * 1.1 + solid.error
    if abs(inside - solid.value) > bound:
        raise proof_failed(
            path, f"its volume {inside:.1f} mm^3 is not the solid's {solid.value:.1f} mm^3"
        )
    box = _box(corners)
    if _apart(box, known.box) > mesh_tolerance + 1e-3:
        raise proof_failed(path, "its size is not the solid's")
    return StlProof(
        path.name,
        sha256(path),
        path.stat().st_size,
        len(corners),
        shells,
        inside,
        library,
        solid.value,
        bound,
        box,
        mesh_tolerance,
        measured.mesh_to_solid,
        measured.solid_to_mesh,
        measured.samples,
        made.mesh.method,
        measured.worst,
    )


def prove_marked(path: Path, corners: Floats) -> MarkedProof:
    """Read a mesh with marks back: the triangles (m, 3, 3) [mm] measured, one closed body.

    FileWriteError says which proof failed: content, closed, orientation, bodies, the independent
    library.
    """
    read = read_stl(path)
    if not np.array_equal(read, corners.astype(np.float32)):
        raise proof_failed(path, "the file does not hold the triangles that were measured")
    inside = _closed_bodies(path, read, 1)
    _library_volume(path, read, inside)
    size = path.stat().st_size
    return MarkedProof(path.name, sha256(path), size, len(read), inside, _box(read))


def _merged(corners: NDArray[np.float32]) -> tuple[NDArray[np.float32], NDArray[np.int64]]:
    """Return vertices (n, 3) and triangles (m, 3); corners with the same bytes are one."""
    rows = np.ascontiguousarray(corners.reshape(-1, 3) + np.float32(0.0))
    keys = rows.view(np.dtype((np.void, 12))).reshape(-1)
    _, first, place = np.unique(keys, return_index=True, return_inverse=True)
    return rows[first], place.reshape(-1, 3).astype(np.int64)


def _closed_bodies(path: Path, corners: NDArray[np.float32], shells: int) -> float:
    """Prove closed, wound alike, outward and as many bodies as shells; return the volume [mm3]."""
    import trimesh

    vertices, triangles = _merged(corners)
    if np.any(triangles == np.roll(triangles, 1, axis=1)):
        raise proof_failed(path, "a triangle is shrunk to a line")
    found = trimesh.Trimesh(vertices.astype(np.float64), triangles, process=False)
    if not found.is_watertight:
        raise proof_failed(path, "it is not watertight")
    if not found.is_winding_consistent:
        raise proof_failed(path, "some triangles face the other way than their neighbours")
    if found.body_count != shells:
        raise proof_failed(path, f"it falls into {found.body_count} bodies, the solid has {shells}")
    if not found.volume > 0:
        raise proof_failed(path, "it is inside out")
    return float(found.volume)


def _library_volume(path: Path, corners: NDArray[np.float32], inside: float) -> float:
    """Let an independent solid modeller take the mesh; return its volume [mm3]."""
    manifold3d = second_library()
    vertices, triangles = _merged(corners)
    middle = (vertices.max(axis=0) + vertices.min(axis=0)) / 2
    points = vertices.astype(np.float64) - middle
    taken = manifold3d.Manifold(
        manifold3d.Mesh64(vert_properties=points, tri_verts=triangles.astype(np.uint64))
    )
    if taken.status() != manifold3d.Error.NoError:
        raise proof_failed(path, f"the mesh library refuses it: {taken.status().name}")
    if abs(taken.volume() - inside) > LIBRARY * inside:
        raise proof_failed(
            path, f"the mesh library finds {taken.volume():.1f} mm^3 instead of {inside:.1f} mm^3"
        )
    return float(taken.volume())


def _box(corners: NDArray[np.float32]) -> Box:
    low = corners.reshape(-1, 3).min(axis=0).tolist()
    high = corners.reshape(-1, 3).max(axis=0).tolist()
    return Box((low[0], low[1], low[2]), (high[0], high[1], high[2]))


def _apart(a: Box, b: Box) -> float:
    pairs = [*zip(a.low, b.low, strict=True), *zip(a.high, b.high, strict=True)]
    return max(abs(x - y) for x, y in pairs)


def see_step(
    path: Path, closely: Mapping[str, Box] | None = None, volumes: bool = True
) -> tuple[SeenSolid, ...]:
    """Read a STEP back and measure its solids, their `volumes` if wanted.

    Solids named in `closely` are given the kernel's own check too, and their optimal box is
    measured; the box expected there saves the exact way round where the quick one agrees.
    """
    closely = closely or {}
    text = path.read_text(encoding="ascii", errors="replace")
    schema = re.search(r"FILE_SCHEMA\s*\(\s*\(\s*'([^']*)'", text)
    if schema is None or not schema.group(1).startswith(SCHEMA):
        raise proof_failed(path, f"its schema is not {SCHEMA}")
    units = re.findall(r"LENGTH_UNIT\s*\(\s*\)[^;]*;", text)
    if not units or any(MILLIMETRE not in re.sub(r"\s", "", unit) for unit in units):
        raise proof_failed(path, "its unit is not the millimetre")
    return tuple(
        SeenSolid(
            part.name,
            volume(part.shape, FIGURES).value if volumes else None,
            likeness(part.shape),
            len(faces_of(part.shape)),
            loose_box(part.shape),
            _box_of(part.shape, closely[part.name]) if part.name in closely else None,
            part.colour,
            validity(part.shape, fully=part.name in closely, signs=False).problems,
        )
        for part in read_step(path)
    )


def _box_of(shape: TopoDS_Shape, expected: Box) -> Box:
    """Return the optimal box: the kernel's is never too small, so where it agrees it is right."""
    box = kernel_box(shape)
    return box if _apart(box, expected) <= SAME_BOX else bounding_box(shape)


def judge_assembly(
    path: Path,
    seen: Sequence[SeenSolid],
    parts: Mapping[str, tuple[Figures, SeenSolid]],
    colours: Mapping[str, Colour],
) -> StepProof:
    """Prove an assembly by its parts: the same edges and surfaces as in their own, proven files.

    Where they are not point for point the same, the volumes are measured after all. Colours are
    shares [1].
    """
    known = {name: figures for name, (figures, _) in parts.items()}
    same = [solid.name for solid in seen] == list(parts) and all(
        alike(solid.likeness, parts[solid.name][1].likeness, SAME_POINT) for solid in seen
    )
    return judge_step(path, seen if same else see_step(path), known, colours)


def judge_step(
    path: Path,
    seen: Sequence[SeenSolid],
    known: Mapping[str, Figures],
    colours: Mapping[str, Colour],
) -> StepProof:
    """Hold what was read back to the solids' figures, in the same order, and to colours [1]."""
    if [solid.name for solid in seen] != list(known):
        names = ", ".join(solid.name for solid in seen) or "nothing"
        raise proof_failed(path, f"it holds {names} instead of {', '.join(known)}")
    for solid in seen:
        fault = _fault(solid, known[solid.name], colours.get(solid.name))
        if fault:
            raise proof_failed(path, f"{solid.name}: {fault}")
    return StepProof(
        path.name,
        sha256(path),
        path.stat().st_size,
        {name: item.volume.value for name, item in known.items()},
        union([known[solid.name].box for solid in seen]),
        SCHEMA,
        "mm",
    )


def _fault(solid: SeenSolid, known: Figures, colour: Colour | None) -> str:
    """Return what is wrong with one solid as read back, or nothing."""
    if solid.problems:
        return "; ".join(solid.problems)
    wanted = known.volume.value
    slack = SAME_VOLUME * abs(wanted) + SAME_SKIN * known.area.value
    # A small face that was lost could hide in what the seams are allowed, but not in the count.
    slack += known.seams if solid.faces == known.faces else 0.0
    if solid.volume is not None and abs(solid.volume - wanted) > slack:
        return f"its volume is {solid.volume:.6f} mm^3 instead of {wanted:.6f} mm^3"
    if _apart(solid.loose, known.loose) > SAME_BOX:
        return "it is not in its place, or of another size"
    if solid.box is not None and _apart(solid.box, known.box) > SAME_BOX:
        return "its size is not that of the solid"
    if colour is not None:
        seen = solid.colour or (-1.0, -1.0, -1.0)
        if max(abs(a - b) for a, b in zip(seen, colour, strict=True)) > SAME_COLOUR:
            return "it has lost its colour"
    return ""

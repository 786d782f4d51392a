"""GLB: the assembly for viewers, glTF 2.0 in one binary file, in metres, y up.

Layout, axes, units and colour as in the published glTF 2.0 specification of the Khronos Group
(ISO/IEC 12113): metres, right-handed, y up, the front of a thing looks along z. So forward (against
x here) becomes z, up becomes y, and the right-hand side stays the right-hand side.
"""

import json
import struct
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from geomgen.arrays import Floats
from geomgen.errors import FileWriteError
from geomgen.files.disk import proof_failed, write_bytes
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.normals import shaded

Colour = tuple[float, float, float]
MAGIC, VERSION = 0x46546C67, 2
JSON_CHUNK, BIN_CHUNK = 0x4E4F534A, 0x004E4942
FLOAT, UNSIGNED_INT, TRIANGLES = 5126, 5125, 4
VERTICES, INDICES = 34962, 34963
# Rows are x, y, z of the file in our x aft, y right, z up; the determinant is +1.
AXES = np.array([[0.0, -1.0, 0.0], [0.0, 0.0, 1.0], [-1.0, 0.0, 0.0]])
METRE = 1000.0
PLAIN: Colour = (0.72, 0.74, 0.76)
VEIL = 0.3
ROUGHNESS = 0.65
# Coordinates in 32 bits [m]; share of volume and size that may be off.
FLOAT32 = 1e-5
ROUNDING = 2.0**-24


def write_glb(
    path: Path,
    meshes: Mapping[str, Mesh],
    colours: Mapping[str, Colour],
    transparent: tuple[str, ...] = (),
    name: str = "assembly",
) -> Path:
    """Write all meshes [mm] as one file, a node a part, and prove it by reading it back.

    `colours` are sRGB from 0 to 1; parts in `transparent`, such as a swept volume, let light
    through. FileWriteError when it can't be written or does not hold what was meant.
    """
    write_bytes(path, glb_bytes(meshes, colours, transparent, name))
    prove_glb(path, meshes, colours, transparent)
    return path


def glb_bytes(
    meshes: Mapping[str, Mesh],
    colours: Mapping[str, Colour],
    transparent: tuple[str, ...] = (),
    name: str = "assembly",
) -> bytes:
    """Return the file's content: the same bytes for the same meshes [mm] and colours [1]."""
    if not meshes:
        raise FileWriteError("there is no mesh to write", path=f"{name}.glb")
    content = _Content()
    for part, mesh in meshes.items():
        content.add(part, mesh, _material(part, colours, transparent))
    binary = b"".join(content.blocks)
    head = {
        "asset": {"version": "2.0", "generator": "geomgen"},
        "scene": 0,
        "scenes": [{"name": name, "nodes": list(range(len(content.nodes)))}],
        "nodes": content.nodes,
        "meshes": content.meshes,
        "materials": content.materials,
        "accessors": content.accessors,
        "bufferViews": content.views,
        "buffers": [{"byteLength": len(binary)}],
    }
    text = json.dumps(head, ensure_ascii=True, allow_nan=False, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    size = 12 + 8 + len(text) + 8 + len(binary)
    return b"".join(
        [
            struct.pack("<III", MAGIC, VERSION, size),
            struct.pack("<II", len(text), JSON_CHUNK),
            text,
            struct.pack("<II", len(binary), BIN_CHUNK),
            binary,
        ]
    )


def in_file_axes(points: Floats) -> Floats:
    """Return points (..., 3) [mm], x aft, y right, z up, as the file has them (..., 3) [m].

    >>> in_file_axes(np.array([-1000.0, 0.0, 0.0])).tolist()  # one metre ahead
    [0.0, 0.0, 1.0]
    >>> in_file_axes(np.array([0.0, 1000.0, 0.0])).tolist()  # to the right of one who looks ahead
    [-1.0, 0.0, 0.0]
    """
    return np.asarray(points @ AXES.T / METRE) + 0.0


class _Content:
    """The lists of the file as they grow."""

    def __init__(self) -> None:
        self.nodes: list[dict[str, Any]] = []
        self.meshes: list[dict[str, Any]] = []
        self.materials: list[dict[str, Any]] = []
        self.accessors: list[dict[str, Any]] = []
        self.views: list[dict[str, Any]] = []
        self.blocks: list[bytes] = []
        self.length = 0

    def add(self, part: str, mesh: Mesh, material: dict[str, Any]) -> None:
        made = shaded(mesh.vertices, mesh.triangles, mesh.mesh_tolerance)
        points = in_file_axes(made.points).astype("<f4")
        normals = (made.normals @ AXES.T).astype("<f4")
        primitive = {
            "attributes": {
                "POSITION": self._accessor(points, "VEC3", FLOAT, VERTICES, limits=True),
                "NORMAL": self._accessor(normals, "VEC3", FLOAT, VERTICES),
            },
            "indices": self._accessor(
                made.triangles.astype("<u4").reshape(-1), "SCALAR", UNSIGNED_INT, INDICES
            ),
            "material": len(self.materials),
            "mode": TRIANGLES,
        }
        self.materials.append(material)
        self.nodes.append({"name": part, "mesh": len(self.meshes)})
        self.meshes.append({"name": part, "primitives": [primitive]})

    def _accessor(
        self, values: np.ndarray, kind: str, component: int, target: int, limits: bool = False
    ) -> int:
        data = values.tobytes()
        self.views.append(
            {"buffer": 0, "byteOffset": self.length, "byteLength": len(data), "target": target}
        )
        self.blocks.append(data)
        # All components are 4 bytes long, so every view begins on a multiple of 4.
        self.length += len(data)
        accessor = {
            "bufferView": len(self.views) - 1,
            "componentType": component,
            "count": len(values),
            "type": kind,
        }
        if limits:
            accessor["min"] = [float(v) for v in values.min(axis=0)]
            accessor["max"] = [float(v) for v in values.max(axis=0)]
        self.accessors.append(accessor)
        return len(self.accessors) - 1


def linear(colour: Colour) -> Colour:
    """Return an sRGB colour [1] as the linear one [1] that the file wants (IEC 61966-2-1).

    >>> linear((0.0, 0.5, 1.0))
    (0.0, 0.2140411, 1.0)
    """
    r, g, b = (
        round(c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4, 7) for c in colour
    )
    return (r, g, b)


def _material(
    part: str, colours: Mapping[str, Colour], transparent: tuple[str, ...]
) -> dict[str, Any]:
    through = part in transparent
    made: dict[str, Any] = {
        "name": part,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*linear(colours.get(part, PLAIN)), VEIL if through else 1.0],
            "metallicFactor": 0.0,
            "roughnessFactor": ROUGHNESS,
        },
        "alphaMode": "BLEND" if through else "OPAQUE",
        "doubleSided": False,
    }
    return made


def prove_glb(
    path: Path,
    meshes: Mapping[str, Mesh],
    colours: Mapping[str, Colour],
    transparent: tuple[str, ...] = (),
) -> None:
    """Read a file back with another library and hold it to the meshes [mm].

    FileWriteError if a part is missing or has another name, material, place, size, hand or
    volume, or is not closed.
    """
    import trimesh

    try:
        scene: Any = trimesh.load_scene(path, file_type="glb", process=False)
    except (ValueError, KeyError, IndexError, TypeError, struct.error) as error:
        raise proof_failed(path, f"it can't be read ({error})") from error
    seen = {}
    for node in scene.graph.nodes_geometry:
        matrix, geometry = scene.graph[node]
        seen[str(node)] = (np.asarray(matrix), scene.geometry[geometry])
    if set(seen) != set(meshes):
        odd = ", ".join(sorted(set(seen) ^ set(meshes)))
        raise proof_failed(path, f"its parts are not those of the assembly: {odd}")
    for part, mesh in meshes.items():
        matrix, found = seen[part]
        points = np.asarray(found.vertices) @ matrix[:3, :3].T + matrix[:3, 3]
        fault = _shape_fault(points, np.asarray(found.faces), mesh) or _material_fault(
            found.visual.material, _material(part, colours, transparent)
        )
        if fault:
            raise proof_failed(path, f"{part}: {fault}")


def _shape_fault(points: Floats, triangles: np.ndarray, mesh: Mesh) -> str:
    """Return what is wrong with a part's triangles [m] beside its mesh [mm], or nothing."""
    due = in_file_axes(mesh.vertices)
    give = 4 * ROUNDING * float(np.abs(due).max())
    if len(triangles) != len(mesh.triangles):
        return f"{len(triangles)} triangles, not {len(mesh.triangles)}"
    size, right = np.ptp(points, axis=0), np.ptp(due, axis=0)
    if np.any(np.abs(size - right) > FLOAT32 * right + give):
        shown, meant = (" x ".join(f"{v:.4f}" for v in box) for box in (size, right))
        return f"it is {shown} m, not {meant}"
    corners = points[triangles]
    if np.abs(corners - due[mesh.triangles]).max() > give:
        return "it is not where it should be, or mirrored"
    a, b, c = (corners - points.mean(axis=0)).transpose(1, 0, 2)
    across = np.cross(b - a, c - a)
    volume = float((a * np.cross(b, c)).sum() / 6)
    meant_volume = mesh.volume / METRE**3
    skin = float(np.linalg.norm(across, axis=1).sum() / 2)
    if meant_volume <= 0 or abs(volume - meant_volume) > FLOAT32 * meant_volume + skin * give:
        return f"its volume is {volume:.6g} m^3, not {meant_volume:.6g}"
    return "" if _closes(points, triangles) else "it is not closed"


def _closes(points: Floats, triangles: np.ndarray) -> bool:
    """Say whether every side has its counterpart once doubled vertices are one again."""
    _, place = np.unique(points.astype(np.float32) + np.float32(0.0), axis=0, return_inverse=True)
    joined = place.reshape(-1)[triangles].astype(np.int64)
    ahead, behind = joined.reshape(-1), np.roll(joined, -1, axis=1).reshape(-1)
    # What 32 bits shrink to nothing is its own counterpart.
    real = ahead != behind
    many = len(points)
    one = np.sort((ahead * many + behind)[real])
    return np.array_equal(one, np.sort((behind * many + ahead)[real]))


def _material_fault(found: Any, due: dict[str, Any]) -> str:
    factor = due["pbrMetallicRoughness"]["baseColorFactor"]
    given = np.asarray(found.baseColorFactor, dtype=np.float64)
    # The reader keeps colours in whole numbers up to 255.
    if len(given) != 4 or np.abs(given / 255 - factor).max() > 1 / 255:
        return f"its colour is {given.tolist()} of 255, not {factor} of 1"
    if (found.alphaMode or "OPAQUE") != due["alphaMode"] or found.doubleSided:
        return "its material lets light through where it should not, or the other way round"
    return ""

"""Binary STL: 84 + 50 N bytes, little-endian, counter-clockwise outward, no unit inside.

The unit therefore stands in the file's name and in the header's text.
"""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from geomgen.arrays import Floats
from geomgen.errors import FileWriteError
from geomgen.files.disk import write_bytes
from geomgen.kernel.mesh import Mesh

HEAD = 80
TRIANGLE = np.dtype([("normal", "<f4", (3,)), ("corners", "<f4", (3, 3)), ("rest", "<u2")])


def stl_name(part: str) -> str:
    """Return the file name of a part's STL, the unit in it.

    >>> stl_name("pod")
    'pod_mm.stl'
    """
    return f"{part}_mm.stl"


def header(part: str, mesh_tolerance: float) -> bytes:
    """Return the 80 bytes of the header: no time stamp, and never "solid" at the start.

    `mesh_tolerance` [mm] stands in it.

    >>> header("pod", 0.1).rstrip()
    b'geomgen part pod, unit mm, mesh tolerance 0.1 mm'
    """
    text = f"geomgen part {part[:28]}, unit mm, mesh tolerance {mesh_tolerance:g} mm"
    return text.encode("ascii", "replace")[:HEAD].ljust(HEAD)


def stl_bytes(mesh: Mesh, part: str) -> bytes:
    """Return the file's content for a mesh [mm]."""
    return _content(mesh.corners, header(part, mesh.mesh_tolerance))


def _content(corners: Floats, head: bytes) -> bytes:
    rows = np.zeros(len(corners), dtype=TRIANGLE)
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(normal, axis=1, keepdims=True)
    rows["normal"] = normal / np.where(size > 0, size, 1.0)
    rows["corners"] = corners
    number = np.array([len(rows)], dtype="<u4").tobytes()
    return head + number + rows.tobytes()


def write_stl(folder: Path, mesh: Mesh, part: str) -> Path:
    """Write `<part>_mm.stl` into `folder`; FileWriteError when that fails."""
    path = folder / stl_name(part)
    write_bytes(path, stl_bytes(mesh, part))
    return path


def write_corners(folder: Path, corners: Floats, part: str, mesh_tolerance: float) -> Path:
    """Write triangles (m, 3, 3) [mm], as `write_stl` those of a mesh; `mesh_tolerance` [mm]."""
    path = folder / stl_name(part)
    write_bytes(path, _content(corners, header(part, mesh_tolerance)))
    return path


def read_stl(path: Path) -> NDArray[np.float32]:
    """Return the corners (m, 3, 3) [unit of the file] of a binary STL.

    Raises FileWriteError when the size and the number of triangles don't agree.
    """
    data = path.read_bytes()
    number = int.from_bytes(data[HEAD : HEAD + 4], "little") if len(data) >= HEAD + 4 else -1
    if len(data) != HEAD + 4 + TRIANGLE.itemsize * number:
        raise FileWriteError(
            f"not a whole binary STL: {len(data)} bytes for {number} triangles",
            path=path.name,
            advice="write it again",
        )
    rows = np.frombuffer(data, dtype=TRIANGLE, offset=HEAD + 4)
    return np.array(rows["corners"], dtype=np.float32)

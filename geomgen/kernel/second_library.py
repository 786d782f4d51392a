"""The second library of meshes (manifold3d), held to one thread.

Its threads would be left behind when a process forks: where one was at work just then, the child
waits for it for ever. With two processes at work there is nothing to win by threads either.
"""

from threading import Lock
from typing import Any

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.plain import Vec3
from geomgen.kernel.plane_frame import Frame
from geomgen.processes.processors import on_one_processor

# Rays end so far beyond the box of what they pass [mm].
BEYOND = 1.0
_lock = Lock()
_made: list[Any] = []


def second_library() -> Any:
    """Return the library; whoever makes solids of it gets it from here.

    >>> round(second_library().Manifold.cube([1.0, 2.0, 3.0]).volume(), 9)
    6.0
    """
    if not _made:
        with _lock:
            if not _made:
                _made.append(_held())
    return _made[0]


def hull_of(mesh: Mesh) -> Any:
    """Return a mesh [mm] as one of the library's solids; its status says whether it is one."""
    return solid_of(mesh.vertices, mesh.triangles)


def solid_of(vertices: Floats, triangles: Ints) -> Any:
    """Return vertices (n, 3) [mm] and triangles (m, 3) as one of the library's solids."""
    library = second_library()
    return library.Manifold(
        library.Mesh64(vertices.astype(np.float64), triangles.astype(np.uint64))
    )


def cross_section(hull: Any, frame: Frame) -> Any:
    """Return the library's flat section of one of its solids, in a plane's coordinates [mm].

    >>> from geomgen.kernel.plane_frame import at_station
    >>> block = second_library().Manifold.cube([9.0, 3.0, 2.0])
    >>> round(cross_section(block, at_station(4.0)).area(), 9)
    6.0
    """
    return turned(hull, frame).slice(0.0)


def turned(hull: Any, frame: Frame) -> Any:
    """Return a solid in a plane's coordinates [mm]: the library cuts across z only.

    Of many sections beside each other it is turned once, which takes most of the time of each.

    >>> from geomgen.kernel.plane_frame import at_station
    >>> block = turned(second_library().Manifold.cube([9.0, 3.0, 2.0]), at_station(4.0))
    >>> [round(block.slice(ahead).area(), 9) for ahead in (-3.0, 0.0, 6.0)]
    [6.0, 6.0, 0.0]
    """
    turn = np.array([frame.across, frame.up, frame.normal])
    return hull.transform(np.c_[turn, -turn @ np.array(frame.origin)])


def passes(hull: Any, start: Vec3, way: Vec3) -> int:
    """Return how often a ray from a place [mm] in a direction passes the skin of a solid.

    It ends where it leaves the solid's box: the library looks through the box of all of a ray.

    >>> block = second_library().Manifold.cube([9.0, 3.0, 2.0])
    >>> [passes(block, (x, 1.0, 1.0), (0.8, 0.6, 0.0)) for x in (-1.0, 1.0, 10.0)]
    [2, 1, 0]
    """
    ends = hull.bounding_box()
    sides = [ends[k + 3 if w > 0.0 else k] for k, w in enumerate(way)]
    far = min((end - c) / w for end, c, w in zip(sides, start, way, strict=True) if w)
    if far < 0.0:
        return 0
    return len(
        hull.ray_cast(start, [c + (far + BEYOND) * w for c, w in zip(start, way, strict=True)])
    )


def _held() -> Any:
    """Import the library and have it count one processor: it counts once, when it is first used.

    Where a system can't hold a process to one the library keeps its threads; nothing forks there.
    """
    import manifold3d

    with on_one_processor():
        cube = manifold3d.Manifold.cube([2.0, 2.0, 2.0])
        (cube ^ cube.translate([1.0, 1.0, 1.0])).is_empty()
    return manifold3d

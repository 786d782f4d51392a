"""A body out of a store: its solid is read and its hull is made when somebody asks for it."""

from collections.abc import Callable
from functools import cached_property
from typing import Any

from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.second_library import hull_of, second_library


class KeptHull:
    """The second library's solid of a mesh, made when it is first asked for."""

    def __init__(self, mesh: Mesh) -> None:
        self._mesh = mesh

    @cached_property
    def made(self) -> Any:
        """Return it; GeometryError when the library refuses the mesh."""
        hull = hull_of(self._mesh)
        if hull.status() != second_library().Error.NoError:
            raise GeometryError(f"its mesh is refused: {hull.status()}", step="meeting of parts")
        return hull


class KeptBody(Body):
    """A `Body` whose solid comes of `read`; what only looks at its mesh waits for neither.

    Bodies of one mesh share its hull, each reads its solid anew: nobody else has worked on it.
    """

    def __init__(
        self,
        read: Callable[[], TopoDS_Shape],
        mesh: Mesh,
        deviation: float,
        rough: bool = False,
        hull: KeptHull | None = None,
    ) -> None:
        about = {"mesh": mesh, "deviation": deviation, "rough": rough, "_read": read}
        self.__dict__.update(about, _hull=hull or KeptHull(mesh))

    @cached_property
    def solid(self) -> TopoDS_Shape:
        """Return its solid, read when it is first asked for."""
        read: Callable[[], TopoDS_Shape] = self.__dict__["_read"]
        return read()

    @property
    def hull(self) -> Any:
        """Return its mesh as the second library's; GeometryError when that refuses it."""
        kept: KeptHull = self.__dict__["_hull"]
        return kept.made

    def fresh(self, read: Callable[[], TopoDS_Shape]) -> "KeptBody":
        """Return it with a solid that is yet to be read."""
        return KeptBody(read, self.mesh, self.deviation, self.rough, self.__dict__["_hull"])

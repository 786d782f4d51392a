"""The shadow of a mesh along one of the machine's axes: its outline as it is seen from far away."""

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.second_library import hull_of, second_library

View = Literal["side", "plan", "front"]
# Which axis runs to the right, up and towards the eye, with its sign.
AXES: dict[View, tuple[tuple[int, int], ...]] = {
    # Seen from the left; from above with the nose down; from the nose.
    "side": ((0, 1), (2, 1), (1, -1)),
    "plan": ((1, -1), (0, 1), (2, 1)),
    "front": ((1, -1), (2, 1), (0, -1)),
}


@dataclass(frozen=True)
class Silhouette:
    """Closed outlines (n, 2) [mm]: outer ones counter-clockwise, holes clockwise."""

    outlines: tuple[Floats, ...]


def flat(points: Floats, view: View) -> Floats:
    """Return where points (n, 3) [mm] stand in a view (n, 2) [mm].

    >>> flat(np.array([[1.0, 2.0, 3.0]]), "front").tolist()
    [[-2.0, 3.0]]
    """
    (right, one), (up, two), _ = AXES[view]
    return np.stack([one * points[:, right], two * points[:, up]], axis=1)


class DrawnBody:
    """A closed mesh, ready to be seen from several sides; GeometryError when it is not closed."""

    def __init__(self, mesh: Mesh, part: str = "") -> None:
        whole = hull_of(mesh)
        if whole.status() != second_library().Error.NoError or whole.is_empty():
            raise GeometryError("its mesh is not closed", part=part, step="outline")
        self._whole = whole

    def _turned(self, view: View) -> Any:
        turn = np.zeros((3, 4))
        for row, (axis, sign) in enumerate(AXES[view]):
            turn[row, axis] = sign
        return self._whole.transform(turn)

    def silhouette(self, view: View, within: float = 0.05) -> Silhouette:
        """Return the shadow, its corners thinned to `within` [mm].

        >>> from geomgen.kernel.meshing.proven import mesh
        >>> from geomgen.kernel.brep.primitives import box
        >>> block = mesh(box((0.0, 0.0, 0.0), (10.0, 20.0, 30.0)), 0.1)
        >>> shadow = DrawnBody(block).silhouette("side")
        >>> np.ptp(shadow.outlines[0], axis=0).tolist()
        [10.0, 30.0]
        """
        return _outlines(self._turned(view).project().simplify(within))

    def section(self, view: View, depth: float) -> Silhouette:
        """Return the outlines where a plane across the view cuts it.

        `depth` [mm] is the plane's place along the axis: STA for front, BL for side, WL for plan.
        """
        _, sign = AXES[view][2]
        return _outlines(self._turned(view).slice(sign * depth))


def _outlines(section: Any) -> Silhouette:
    return Silhouette(tuple(np.asarray(line, dtype=np.float64) for line in section.to_polygons()))

"""What is measured on the machine's solids for its three-view: true extremes, no parameters."""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Ground, Vec3
from geomgen.kernel.solids.distance import closest, vertex
from geomgen.kernel.visibility.hidden_lines import Scene

STATIC = "static"


@dataclass(frozen=True)
class Measures:
    """The solids of a model by family, and their exact boxes [mm]."""

    model: Model
    scene: Scene

    def family(self, name: str) -> list[str]:
        """Return the names of the parts of a family."""
        return [part for part in self.model.parts if self.model.families.get(part, part) == name]

    def box(self, parts: list[str]) -> Box | None:
        """Return the box [mm] round parts, exact where it matters; None for no part."""
        boxes = [self.scene.box(part) for part in parts]
        if not boxes:
            return None
        low, high = (np.array([getattr(b, side) for b in boxes]) for side in ("low", "high"))
        (a, b, c), (d, e, f) = low.min(axis=0).tolist(), high.max(axis=0).tolist()
        return Box((a, b, c), (d, e, f))

    def whole(self) -> Box:
        """Return the box [mm] of the machine without the swept volume."""
        found = self.box([part for part in self.model.parts if part != self.model.swept])
        assert found is not None
        return found

    def extreme(self, part: str, axis: int, high: bool) -> Vec3:
        """Return the point [mm] of a part that reaches furthest along an axis.

        Along that axis it is exact; across it, it is a corner of the part's mesh.
        """
        box, corners = self.scene.box(part), self.scene.mesh(part).vertices
        along = corners[:, axis]
        point = corners[int(np.argmax(along) if high else np.argmin(along))].tolist()
        point[axis] = (box.high if high else box.low)[axis]
        return (point[0], point[1], point[2])

    def gap(self, part: str, point: Vec3) -> float:
        """Return how far a point is from a part [mm]."""
        return closest(vertex(point), self.model.parts[part]).distance

    def furthest(self, axis: int, high: bool) -> Vec3:
        """Return the point [mm] of the machine that reaches furthest along an axis."""
        sign = 1.0 if high else -1.0
        parts = [part for part in self.model.parts if part != self.model.swept]
        rough = {p: float((sign * self.scene.mesh(p).vertices[:, axis]).max()) for p in parts}
        near = max(rough.values()) - 4 * self.scene.sag
        points = [self.extreme(part, axis, high) for part in parts if rough[part] >= near]
        return max(points, key=lambda point: sign * point[axis])

    def ground(self) -> Ground | None:
        """Return the ground that the machine stands on, or None."""
        return next((g for g in self.model.grounds if g.name == STATIC), None)

    def highest(self, ground: Ground) -> Vec3:
        """Return the point [mm] that stands highest over a ground."""
        if ground.plane.normal[2] > 1.0 - 1e-12:
            return self.furthest(2, True)
        normal, best = np.array(ground.plane.normal), (-np.inf, (0.0, 0.0, 0.0))
        for part in self.model.parts:
            if part != self.model.swept:
                corners = self.scene.mesh(part).vertices
                place = int(np.argmax(corners @ normal))
                x, y, z = corners[place].tolist()
                best = max(best, (float(corners[place] @ normal), (x, y, z)))
        return best[1]

    def trailing_edge(self) -> tuple[Vec3, Vec3] | None:
        """Return the wing's aftmost point within the blades' reach, the disc's foremost one [mm].

        None without a wing or disc, or where the wing does not end before the disc.
        """
        disc, line = self.box(self.family(self.model.swept)), self.model.thrust_line
        wings = self.family("wing")
        if disc is None or line is None or not wings:
            return None
        reach = max(disc.size[1], disc.size[2]) / 2
        within = [_between(self.scene.mesh(p).corners, disc.centre[1], reach) for p in wings]
        points = np.concatenate(within)
        if not len(points):
            return None
        x, y, z = points[int(np.argmax(points[:, 0]))].tolist()
        front = self.extreme(self.family(self.model.swept)[0], 0, False)
        return ((x, y, z), front) if x < front[0] else None


def _between(corners: Floats, middle: float, reach: float) -> Floats:
    """Return all corners (n, 3) of triangles cut to buttock lines within `reach` of `middle`."""
    sides = np.concatenate([corners[:, [0, 1]], corners[:, [1, 2]], corners[:, [2, 0]]])
    start, end = sides[:, 0], sides[:, 1]
    found = [start[np.abs(start[:, 1] - middle) <= reach]]
    for wall in (middle - reach, middle + reach):
        cross = (start[:, 1] - wall) * (end[:, 1] - wall) < 0
        share = (wall - start[cross, 1]) / (end[cross, 1] - start[cross, 1])
        found.append(start[cross] + share[:, None] * (end[cross] - start[cross]))
    return np.concatenate(found)

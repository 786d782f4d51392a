"""Where text fits on a sheet without running into lines or other text."""

import math
from dataclasses import dataclass, field

import numpy as np
import shapely

from geomgen.drafting.lettering import LINE, block_size
from geomgen.drafting.record import TEXT, Label, Point

# Places tried each way, and so many at a time.
STEPS, MANY = 70, 200


@dataclass
class Room:
    """A free area [mm] that shrinks with all that is put into it; `clear` is left round it."""

    free: shapely.Geometry
    clear: float = 2.0
    labels: list[Label] = field(default_factory=list)

    def block(self, shape: shapely.Geometry) -> None:
        """Take a shape out of what is free."""
        self.free = shapely.difference(self.free, shapely.buffer(shape, self.clear))

    def place(
        self, size: tuple[float, float], near: Point, reach: float = math.inf
    ) -> Point | None:
        """Take a rectangle out of the free area as near to a place as it fits.

        Return its middle [mm], None where there is no such room within `reach` [mm].
        """
        half = (size[0] / 2 + self.clear, size[1] / 2 + self.clear)
        x0, y0, x1, y1 = self.free.bounds
        if not (x1 - x0 > 2 * half[0] and y1 - y0 > 2 * half[1]):
            return None
        x0, y0 = max(x0, near[0] - reach), max(y0, near[1] - reach)
        x1, y1 = min(x1, near[0] + reach), min(y1, near[1] + reach)
        steps = np.linspace(0.0, 1.0, STEPS)
        xs, ys = np.meshgrid(x0 + steps * (x1 - x0), y0 + steps * (y1 - y0))
        spots = np.r_[np.array([near]), np.stack([xs.ravel(), ys.ravel()], axis=-1)]
        off = np.hypot(*(spots - near).T)
        nearest = np.argsort(off, kind="stable")
        spots = spots[nearest[off[nearest] <= reach]]
        shapely.prepare(self.free)
        # Most find room near by; only where it is crowded all places need to be looked at.
        for some in np.array_split(spots, max(1, len(spots) // MANY)):
            x, y = some.T
            boxes = shapely.box(x - half[0], y - half[1], x + half[0], y + half[1])
            fits = np.nonzero(shapely.contains_properly(self.free, boxes))[0]
            if len(fits):
                self.free = shapely.difference(self.free, boxes[fits[0]])
                return float(x[fits[0]]), float(y[fits[0]])
        return None

    def write(
        self, lines: tuple[str, ...], height: float, near: Point, reach: float = math.inf
    ) -> bool:
        """Write lines as near to a place [mm] as they fit, about it; False if not within reach."""
        size = block_size(lines, height)
        at = self.place(size, near, reach)
        if at is None:
            return False
        first = at[1] + size[1] / 2 - height
        self.labels += [
            Label((at[0], first - i * LINE * height), text, height, 0.0, "middle", TEXT)
            for i, text in enumerate(lines)
        ]
        return True

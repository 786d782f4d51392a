"""Places for figures on a drawing: none over another, none over a line that matters."""

from collections.abc import Iterable, Sequence

import numpy as np
import shapely

from geomgen.drafting.lettering import text_corners
from geomgen.drafting.record import Label, Path, Point

# What a text keeps free round it, over the height of its letters.
ROUND = 0.4
# Chords of arcs, over the height of the letters.
CHORDS = 0.05


class Spots:
    """What a drawing has taken so far: lines and texts that no further text may touch."""

    def __init__(self, paths: Iterable[Path], labels: Iterable[Label], letters: float) -> None:
        self.letters = letters
        lines = [shapely.LineString(p.dense(CHORDS * letters)) for p in paths if len(p.points) > 1]
        self.tree = shapely.STRtree(lines)
        self.boxes = [self._box(label) for label in labels]

    def take(self, tries: Iterable[Label]) -> Label | None:
        """Return the first label that meets nothing and take its place; None where all do."""
        for label in tries:
            box = self._box(label)
            if len(self.tree.query(box, predicate="intersects")):
                continue
            if not any(box.intersects(other) for other in self.boxes):
                self.boxes.append(box)
                return label
        return None

    def _box(self, label: Label) -> shapely.Geometry:
        return shapely.Polygon(text_corners(label)).buffer(ROUND * label.height, join_style="mitre")


def without_texts(paths: Sequence[Path], labels: Sequence[Label]) -> list[Path]:
    """Return lines with a gap wherever a text stands on them."""
    holes = shapely.union_all(
        [shapely.Polygon(text_corners(one)).buffer(ROUND * one.height) for one in labels]
    )
    kept: list[Path] = []
    for path in paths:
        left = shapely.difference(shapely.LineString(path.dense()), holes)
        kept += [
            Path(tuple((float(x), float(y)) for x, y in part.coords), (), False, path.layer,
                 path.name)
            for part in shapely.get_parts(left)
            if part.length > 0
        ]  # fmt: skip
    return kept


def along(points: Sequence[Point], text: str, height: float) -> list[Label]:
    """Return labels centred on places along a line [mm], its middle first."""
    line = shapely.LineString(points)
    shares = sorted(np.linspace(0.06, 0.94, 23), key=lambda share: abs(share - 0.5))
    spots = [line.interpolate(share, normalized=True) for share in shares]
    return [Label((p.x, p.y - height / 2), text, height, 0.0, "middle") for p in spots]


def about(at: Point, text: str, height: float) -> list[Label]:
    """Return labels of a height [mm] round a place [mm], the nearest first."""
    turns = np.radians(np.arange(0, 360, 30))
    return [
        Label(
            (at[0] + far * height * float(np.cos(t)), at[1] + far * height * float(np.sin(t))),
            text,
            height,
            0.0,
            "middle",
        )
        for far in (3, 5, 8, 12, 18, 26)
        for t in turns
    ]

"""The flat pattern of a sheet: what its solid measures at both faces, as lines and arcs to cut."""

from dataclasses import dataclass
from math import radians

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Shape
from shapely.geometry.polygon import orient

from geomgen.drafting.arcs import fitted
from geomgen.drafting.record import CUT, REF, Path
from geomgen.errors import GeometryError
from geomgen.kernel.plain import FlatSheet
from geomgen.kernel.plane_frame import Frame, front_of_sheet
from geomgen.kernel.sections.section import regions

# Both faces are looked at so far below them [mm], and outlines follow the edges within this [mm].
BELOW, CHORD = 0.01, 0.01
# Lines and arcs follow an outline within this [mm]; a turn by more than this is a corner [deg].
TRUE, CORNER = 0.02, 8.0
# An edge that leans by less than this from face to face needs no bevel line [mm].
SQUARE = 0.2
# Slivers smaller than this are rounding of the two faces against each other [mm2].
SLIVER = 0.5


@dataclass(frozen=True)
class PlyPattern:
    """A part as it is cut: what must be left standing, the smaller face, lines to cut and bevel.

    `whole` holds both faces, `least` what both have [mm], in the plane of the front face seen from
    behind. `thickness` [mm] is measured, too. `larger` says which face reaches out further.
    """

    name: str
    frame: Frame
    thickness: float
    whole: shapely.Polygon
    least: shapely.Polygon
    cuts: tuple[Path, ...]
    bevel: tuple[Path, ...]
    larger: str

    @property
    def size(self) -> tuple[float, float]:
        """Return width and height of the blank [mm]."""
        x0, y0, x1, y1 = self.whole.bounds
        return float(x1 - x0), float(y1 - y0)

    def drawn(self) -> shapely.Polygon:
        """Return what the lines to cut enclose [mm]."""
        outer, *holes = [path.dense(0.002) for path in self.cuts]
        return shapely.Polygon(outer, holes)


def pattern(name: str, solid: TopoDS_Shape, sheet: FlatSheet) -> PlyPattern:
    """Return the pattern of a sheet that is measured on its solid.

    GeometryError where the solid is not one sheet in its plane, of its thickness.
    """
    frame, thick = front_of_sheet(sheet), sheet.thickness
    faces = [_face(name, solid, frame.moved(at)) for at in (BELOW, thick - BELOW)]
    if any(regions(frame.moved(at), solid, name) for at in (-BELOW, thick + BELOW)):
        raise GeometryError(
            f"it is thicker than {thick:g} mm, or does not lie in its plane", part=name, step="ply"
        )
    whole, least = _one(shapely.union_all(faces)), _one(shapely.intersection_all(faces))
    cuts = tuple(_path(ring, CUT, words) for ring, words in _rings(whole))
    leans = whole.exterior.hausdorff_distance(least.exterior) > SQUARE
    bevel = (_path(least.exterior, REF, "bevel to this line on the other face"),) if leans else ()
    return PlyPattern(name, frame, thick, whole, least, cuts, bevel, _larger(*faces))


def _larger(front: shapely.Polygon, aft: shapely.Polygon) -> str:
    """Say which of a sheet's faces reaches out further, all round or in places."""
    little = SQUARE * front.length / 20
    ahead, behind = (a.difference(b).area > little for a, b in ((front, aft), (aft, front)))
    if ahead and behind:
        return "front in places, aft in others"
    return "front" if ahead else "aft" if behind else "none: the edge is square"


def _face(name: str, solid: TopoDS_Shape, plane: Frame) -> shapely.Polygon:
    found = regions(plane, solid, name, CHORD)
    if len(found) != 1:
        raise GeometryError(
            f"a face of it is in {len(found)} pieces: no pattern can be cut by",
            part=name,
            step="ply",
        )
    return found[0].polygon()


def _one(shape: shapely.Geometry) -> shapely.Polygon:
    """Return the one large piece of a shape, without holes that are mere slivers."""
    piece = max(shapely.get_parts(shape), key=lambda part: part.area)
    holes = [ring for ring in piece.interiors if shapely.Polygon(ring).area > SLIVER]
    return orient(shapely.Polygon(piece.exterior, holes))


def _rings(shape: shapely.Polygon) -> list[tuple[shapely.LinearRing, str]]:
    return [(shape.exterior, "outline"), *((ring, "opening") for ring in shape.interiors)]


def _path(ring: shapely.LinearRing, layer: str, name: str) -> Path:
    points = np.array(ring.simplify(1e-3).coords)[:-1]
    step = np.roll(points, -1, axis=0) - points
    heading = np.arctan2(step[:, 1], step[:, 0])
    turn = (heading - np.roll(heading, 1) + np.pi) % (2 * np.pi) - np.pi
    corners = np.nonzero(np.abs(turn) > radians(CORNER))[0].tolist()
    return fitted(points, TRUE, True, corners, layer, name)

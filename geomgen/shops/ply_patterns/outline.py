"""The flat pattern of a sheet: what its solid measures at both faces, as lines and arcs to cut."""

from dataclasses import dataclass, replace
from math import hypot, radians

import numpy as np
import shapely
import shapely.affinity
from OCP.TopoDS import TopoDS_Shape
from shapely.geometry.polygon import orient

from geomgen.drafting.arcs import fitted
from geomgen.drafting.record import CUT, REF, Path
from geomgen.errors import GeometryError
from geomgen.kernel.plain import FlatSheet, Plane
from geomgen.kernel.plane_frame import Frame, front_of_sheet
from geomgen.kernel.sections.section import faces_in_plane
from geomgen.kernel.solids.properties import volume
from geomgen.shops.flat_areas import shared, united

# Outlines follow the edges within this [mm].
CHORD = 0.01
# A full sheet's volume may be off by this share: the rims of its faces lean and bend.
GIVE = 5e-3
# Lines and arcs follow an outline within this [mm]; a turn by more than this is a corner [deg].
TRUE, CORNER = 0.02, 8.0
# How far lines to cut may be off the solid's outline [mm], and gaps in a nest short of what is
# asked: lines and arcs keep within TRUE of points that keep within CHORD of the edges.
OFF = 2 * (TRUE + CHORD)
# An edge that leans by less than this from face to face needs no bevel line [mm].
SQUARE = 0.2
# Slivers smaller than this are rounding of the two faces against each other [mm2].
SLIVER = 0.5
FAR = 1e5


@dataclass(frozen=True)
class PlyPattern:
    """A part as it is cut: what must be left standing, the smaller face, lines to cut and bevel.

    `whole` holds both faces, `least` what both have [mm], in the plane of the front face seen from
    behind. `thickness` [mm] is measured, too. `larger` says which face reaches out further. Of a
    piece, `joints` are the lines that it was cut along: 0 across or 1 up, and where [mm]; of a
    whole part, `faces` are its front and its aft face, each in its own plane. A butt strap over
    such a line has the `face` of the part that it is glued to, front or aft.
    """

    name: str
    frame: Frame
    thickness: float
    whole: shapely.Polygon
    least: shapely.Polygon
    cuts: tuple[Path, ...]
    bevel: tuple[Path, ...]
    larger: str
    joints: tuple[tuple[int, float], ...] = ()
    faces: tuple[shapely.Polygon, ...] = ()
    face: str = ""

    @property
    def size(self) -> tuple[float, float]:
        """Return width and height of the blank [mm]."""
        x0, y0, x1, y1 = self.whole.bounds
        return float(x1 - x0), float(y1 - y0)

    def turned(self, turn: float) -> tuple[float, float]:
        """Return width and height of its box [mm] where it lies turned by an angle [deg]."""
        x0, y0, x1, y1 = shapely.affinity.rotate(self.whole, turn, origin=(0.0, 0.0)).bounds
        return float(x1 - x0), float(y1 - y0)

    def drawn(self) -> shapely.Polygon:
        """Return what the lines to cut enclose [mm]."""
        outer, *holes = [path.dense(0.002) for path in self.cuts]
        return shapely.Polygon(outer, holes)


def pattern(name: str, solid: TopoDS_Shape, sheet: FlatSheet) -> PlyPattern:
    """Return the pattern of a sheet that is measured on its solid: its own two faces.

    GeometryError where the solid is not one sheet in its plane, of its thickness.
    """
    frame, thick = front_of_sheet(sheet), sheet.thickness
    faces = [_face(name, solid, frame.moved(at), sheet) for at in (0.0, thick)]
    whole, least = one_piece(united(faces)), one_piece(shared(faces))
    if not sheet.within:
        _require_full(name, solid, thick * least.area, thick * whole.area)
    made = PlyPattern(name, frame, thick, whole, least, (), (), _larger(*faces))
    return drawn(replace(made, faces=tuple(faces)))


def _require_full(name: str, solid: TopoDS_Shape, low: float, high: float) -> None:
    """Raise GeometryError where a solid holds less or more than a full sheet [mm3]."""
    held = volume(solid).value
    if not low * (1.0 - GIVE) <= held <= high * (1.0 + GIVE):
        raise GeometryError(
            f"it holds {held / 1e3:.2f} cm³, and a full sheet between its faces {low / 1e3:.2f} to "
            f"{high / 1e3:.2f} cm³",
            part=name,
            step="ply",
        )


def drawn(made: PlyPattern) -> PlyPattern:
    """Return a pattern with its lines to cut and its bevel."""
    cuts = tuple(_path(ring, CUT, words) for ring, words in _rings(made.whole))
    leans = made.whole.exterior.hausdorff_distance(made.least.exterior) > SQUARE
    words = "bevel to this line on the other face"
    bevel = (_path(made.least.exterior, REF, words),) if leans else ()
    return replace(made, cuts=cuts, bevel=bevel)


def mirror_gap(one: PlyPattern, other: PlyPattern) -> float:
    """Return how far [mm] the outline of one is off that of another turned over."""
    turned = shapely.affinity.scale(other.whole, -1.0, 1.0, origin=(0.0, 0.0))
    if len(turned.interiors) != len(one.whole.interiors):
        return FAR
    return float(one.whole.boundary.hausdorff_distance(turned.boundary))


def _larger(front: shapely.Polygon, aft: shapely.Polygon) -> str:
    """Say which of a sheet's faces reaches out further, all round or in places."""
    little = SQUARE * front.length / 20
    ahead, behind = (a.difference(b).area > little for a, b in ((front, aft), (aft, front)))
    if ahead and behind:
        return "front in places, aft in others"
    return "front" if ahead else "aft" if behind else "none: the edge is square"


def _face(name: str, solid: TopoDS_Shape, plane: Frame, sheet: FlatSheet) -> shapely.Polygon:
    """Return a face of a sheet, of a part that bends that of one run."""
    own = united([face.polygon() for face in faces_in_plane(plane, solid, name, CHORD)])
    for end in sheet.within:
        own = own.intersection(_side(plane, end))
    found = [part for part in shapely.get_parts(own) if part.area > SLIVER]
    if len(found) != 1:
        raise GeometryError(
            "it has no face in its plane: no pattern can be cut by"
            if not found
            else f"a face of it is in {len(found)} pieces: no pattern can be cut by",
            part=name,
            step="ply",
        )
    return found[0]


def _side(plane: Frame, end: Plane) -> shapely.Polygon:
    """Return the part of a plane [mm] on the side of another that its normal looks to."""
    normal, origin = np.array(end.normal), np.array(plane.origin)
    way = np.array([normal @ np.array(plane.across), normal @ np.array(plane.up)])
    size = hypot(*way)
    way /= size
    near = way * (normal @ (np.array(end.origin) - origin)) / size
    along = FAR * np.array([-way[1], way[0]])
    corners = [near - along, near + along, near + along + FAR * way, near - along + FAR * way]
    return shapely.Polygon(corners)


def one_piece(shape: shapely.Geometry) -> shapely.Polygon:
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

"""Rough sections of the air between bodies, quick enough to look for the least of them.

What meshes leave of a box is made once; cutting it with a plane then takes a millisecond.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import shapely

from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.brep.planes import frame_round
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.plain import Plane, Vec3
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.second_library import second_library
from geomgen.kernel.sections.section import cross_section

# So far off the walls counts as reaching them, beside what the slits took [mm].
AT_BORDER = 1e-3
# Walls may lean so much against a section's plane that it is off by so many deviations.
LEANING = 1.5


@dataclass(frozen=True)
class RoughSection:
    """An opening told from meshes: area [mm2], how far they may be off [mm2], centroid [mm].

    `region` is its outline in the plane `frame` [mm], whose border may be `blur` [mm] off.
    """

    area: float
    off: float
    centroid: Vec3
    frame: Frame
    region: shapely.Geometry
    blur: float

    def round_it(self, count: int) -> np.ndarray:
        """Return places (count, 3) [mm] along the opening's border, evenly spaced."""
        border = self.region.boundary
        share = (np.arange(count) + 0.5) / count
        places = shapely.line_interpolate_point(border, share, normalized=True)
        flat = shapely.get_coordinates(places)
        return np.asarray(
            np.array(self.frame.origin) + flat @ np.array([self.frame.across, self.frame.up])
        )


@dataclass(frozen=True)
class Void:
    """What bodies leave of a box; `deviation` [mm] is the largest of their meshes'.

    Slits up to `slit` [mm] wide count as closed.
    """

    box: Box
    air: Any
    deviation: float
    slit: float

    @cached_property
    def corners(self) -> np.ndarray:
        """Return the corners (n, 3) [mm] of the air."""
        return np.asarray(self.air.to_mesh().vert_properties[:, :3], dtype=float)

    def section(self, seed: Vec3, normal: Vec3) -> RoughSection | None:
        """Return the opening round a seed [mm] in a plane; None where it is blocked or open."""
        return self.pieces(frame_round(Plane(seed, normal), seed), np.array([seed]))

    def pieces(self, frame: Frame, points: np.ndarray) -> RoughSection | None:
        """Return the openings in a plane that hold some of the points (n, 3) [mm] laid onto it.

        None where there is none of them, or one of them is open.
        """
        manifold3d = second_library()
        flat = cross_section(self.air, frame)
        shrink, where, held = self.slit / 2, frame.flat(points), []
        miter = manifold3d.JoinType.Miter
        for piece in flat.offset(-shrink, miter).decompose():
            region = _region(piece)
            shapely.prepare(region)
            if not np.any(shapely.contains_xy(region, where)):
                continue
            if self._at_border(frame, shapely.get_coordinates(region)):
                return None
            held.append(_region(piece.offset(shrink, miter)))
        if not held:
            return None
        whole = shapely.union_all(held)
        blur = LEANING * self.deviation
        off, middle = blur * float(whole.length), frame.lifted((whole.centroid.x, whole.centroid.y))
        return RoughSection(float(whole.area), off, middle, frame, whole, blur)

    def _at_border(self, frame: Frame, flat: np.ndarray) -> bool:
        places = np.array(frame.origin) + flat @ np.array([frame.across, frame.up])
        room = AT_BORDER + 2 * self.slit
        low, high = np.array(self.box.low) + room, np.array(self.box.high) - room
        return bool(np.any((places < low) | (places > high)))


def void_of(
    box: Box, bodies: Sequence[Body], slit: float = 0.0, also: Sequence[np.ndarray] = ()
) -> Void:
    """Return what bodies leave of a box, and `also` convex ones by their corners (n, 3) [mm].

    >>> from geomgen.kernel.solids.booleans import cut
    >>> from geomgen.kernel.interference.meeting import body_of
    >>> from geomgen.kernel.meshing.proven import meshed
    >>> from geomgen.kernel.brep.primitives import box
    >>> wall, hole = box((0, -9, -9), (5, 9, 9)), box((-1, -2, -3), (6, 2, 3))
    >>> made = meshed(cut(wall, [hole], "wall", "hole"), 0.1)
    >>> body = body_of(wall, made.mesh, made.deviation.largest)
    >>> air = void_of(Box((0.0, -8.0, -8.0), (5.0, 8.0, 8.0)), [body])
    >>> round(air.section((2.0, 0.0, 0.0), (1.0, 0.0, 0.0)).area, 6)
    24.0
    """
    manifold3d = second_library()
    low = np.array(box.low)
    block = manifold3d.Manifold.cube((np.array(box.high) - low).tolist()).translate(low.tolist())
    hulls = [body.hull for body in bodies]
    hulls += [manifold3d.Manifold.hull_points(corners) for corners in also]
    air = manifold3d.Manifold.batch_boolean([block, *hulls], manifold3d.OpType.Subtract)
    return Void(box, air, max((body.deviation for body in bodies), default=0.0), slit)


def _region(piece: Any) -> shapely.Geometry:
    rings = [shapely.Polygon(ring) for ring in piece.to_polygons() if len(ring) >= 3]
    if not rings:
        return shapely.Polygon()
    outer = max(rings, key=lambda ring: float(ring.area))
    holes = [ring.exterior for ring in rings if ring is not outer]
    return shapely.Polygon(outer.exterior, holes)

"""How a mouth stands on the skin: its real opening in strips, how far each is off the skin."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import reduce

import numpy as np
import shapely

from geomgen.air.paneling.machine import POD, WITH_POD
from geomgen.air.slow_layer.bands import lost_share
from geomgen.air.slow_layer.following import LayerHere
from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.openings.sealing import sealed_width
from geomgen.kernel.plain import Opening, vec
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.sections.section import mesh_rings

# The opening in so many strips up from the skin: odd, so that one stands in the middle. Own choice.
STRIPS = 31
# A mouth whose plane lies along the skin has no way up in it, told by this sine [1]: own choice.
ALONG = 0.02
# The plane is cut so far inside the mouth [mm]: a lip may begin in it. Own choice.
INSIDE = 0.1
# No strip is lower than this [mm]: one along the skin takes in what is at that distance.
LEAST = 1e-6
PART = "its opening can't be measured, so nothing is told of the air there: "
CLOSED = f"{PART}it is not closed all round (see inlet.area)"
BLOCKED = f"{PART}a part stands in its middle (see inlet.area)"


@dataclass(frozen=True)
class MouthStand:
    """The opening of a mouth in strips square to the skin, each from `gaps` to `tops` (n,) [mm].

    Both count from the skin that is nearest; `shares` (n,) [1] are the strips' of the opening's
    area. `breadth` [mm] is that of the opening along the skin.
    """

    shares: Floats
    gaps: Floats
    tops: Floats
    breadth: float

    @property
    def gap(self) -> float:
        """Return how far the opening stands off the skin where it comes nearest [mm]."""
        return float(self.gaps.min())

    @property
    def height(self) -> float:
        """Return how high the opening is where it is highest, away from the skin [mm]."""
        return float((self.tops - self.gaps).max())

    def lost(self, layer: LayerHere, total: float) -> float:
        """Return the share [1] of dynamic pressure that a layer takes that is `total` [mm] thick.

        >>> flat = MouthStand(np.ones(1), np.zeros(1), np.array([20.0]), 100.0)
        >>> round(flat.lost(LayerHere(2.0, 2.8, 20.0, 9 / 7, 0.003, True), 20.0), 4)
        0.2222
        """
        thick, rows = replace(layer, total=total), zip(self.gaps, self.tops, strict=True)
        each = [lost_share(thick, float(low), float(top - low)) for low, top in rows]
        return float(self.shares @ np.array(each))


def mouth_stands(
    mouths: Sequence[Opening], bodies: Mapping[str, Mesh], families: Mapping[str, str]
) -> tuple[dict[str, MouthStand], dict[str, str]]:
    """Return by name how mouths stand among bodies [mm], and why some can't be measured."""
    skin = [name for name in bodies if families.get(name) in (POD, *WITH_POD)]
    found, why = {}, {}
    for mouth in mouths:
        try:
            found[mouth.name] = mouth_stand(mouth, bodies, skin)
        except GeometryError as error:
            why[mouth.name] = error.problem
    return found, why


def mouth_stand(mouth: Opening, bodies: Mapping[str, Mesh], skin: Sequence[str]) -> MouthStand:
    """Return how a mouth stands among bodies [mm], `skin` the names of those whose skin counts.

    GeometryError where the opening is not closed all round, or blocked.
    """
    under = MeshSearch(_near(mouth, [bodies[name] for name in skin]))
    frame = _frame(mouth, under)
    opening = _opening(mouth, frame, list(bodies.values()))
    low, bottom, high, top = opening.bounds
    step = (high - low) / STRIPS
    lines = [
        shapely.LineString([(x, bottom - 1.0), (x, top + 1.0)])
        for x in low + step * (np.arange(STRIPS) + 0.5)
    ]
    pieces = [
        shapely.get_coordinates(piece)
        for line in lines
        for piece in shapely.get_parts(shapely.intersection(line, opening))
        if piece.geom_type == "LineString"
    ]
    ends = np.array([piece[[0, -1]] for piece in pieces])
    long = np.abs(np.ptp(ends[..., 1], axis=1))
    places = np.array([frame.lifted((float(x), float(y))) for x, y in ends.reshape(-1, 2)])
    off = np.sort(under.nearest(places).distance.reshape(-1, 2), axis=1)
    tops = np.maximum(off[:, 1], off[:, 0] + LEAST)
    return MouthStand(long / long.sum(), off[:, 0], tops, float(high - low))


def _near(mouth: Opening, skin: Sequence[Mesh]) -> Floats:
    """Return the triangles (n, 3, 3) [mm] of a skin among which the nearest to a mouth are."""
    middle = np.array(mouth.plane.origin)
    corners = np.concatenate([mesh.corners for mesh in skin])
    far = float(np.sqrt(np.square(corners - middle).sum(axis=2).min())) + 4.0 * mouth.reach
    near = (corners.min(axis=1) < middle + far).all(axis=1)
    near &= (corners.max(axis=1) > middle - far).all(axis=1)
    return np.asarray(corners[near])


def _frame(mouth: Opening, under: MeshSearch) -> Frame:
    """Return the mouth's plane, a hair inside, with its up away from the skin."""
    normal = np.array(mouth.plane.normal) / np.linalg.norm(mouth.plane.normal)
    middle = np.array(mouth.seed) + INSIDE * normal
    away = middle - under.nearest(middle[None]).foot[0]
    size = max(float(np.linalg.norm(away)), LEAST)
    up = away / size - (away @ normal / size) * normal
    if np.linalg.norm(up) < ALONG:
        least = np.eye(3)[int(np.abs(normal).argmin())]
        up = least - (least @ normal) * normal
    up = up / np.linalg.norm(up)
    return Frame(vec(middle), vec(np.cross(up, normal)), vec(up))


def _opening(mouth: Opening, frame: Frame, bodies: Sequence[Mesh]) -> shapely.Polygon:
    """Return what bodies leave open round a mouth's seed, in the coordinates of its plane [mm]."""
    seed = frame.flat([mouth.seed])[0]
    window = shapely.Point(seed).buffer(mouth.reach, quad_segs=16)
    near = [mesh for mesh in bodies if _within_reach(mesh, mouth)]
    left = shapely.difference(window, shapely.union_all([_material(m, frame) for m in near]))
    found = _round_seed(left, seed)
    if found is not None and not shapely.within(found, window.buffer(-1e-6)):
        # Two parts that are trimmed to each other leave a joint, which sealant closes.
        slit = 0.5 * sealed_width(mouth.joint)
        found = _round_seed(left.buffer(-slit).buffer(slit, join_style="mitre"), seed)
    if found is None:
        raise GeometryError(BLOCKED, part=mouth.name, step="air")
    if not shapely.within(found, window.buffer(-1e-6)):
        raise GeometryError(CLOSED, part=mouth.name, step="air")
    return found


def _round_seed(left: shapely.Geometry, seed: Floats) -> shapely.Polygon | None:
    pieces = [g for g in shapely.get_parts(left) if shapely.contains_xy(g, *seed.tolist())]
    return pieces[0] if pieces else None


def _within_reach(mesh: Mesh, mouth: Opening) -> bool:
    seed = np.array(mouth.seed)
    low, high = mesh.vertices.min(axis=0), mesh.vertices.max(axis=0)
    return bool((low < seed + mouth.reach).all() and (high > seed - mouth.reach).all())


def _material(mesh: Mesh, frame: Frame) -> shapely.Geometry:
    """Return what a plane cuts of a closed mesh: what lies in an odd number of its rings."""
    rings = mesh_rings(mesh, frame)
    if rings is None:
        raise GeometryError("a mesh is not closed where a mouth's plane cuts it", step="air")
    flat = [shapely.make_valid(shapely.Polygon(r.points)) for r in rings if len(r.points) > 2]
    return reduce(shapely.symmetric_difference, flat, shapely.Polygon())

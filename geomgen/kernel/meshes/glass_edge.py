"""The edge of the glass on a pod that is not cut there: sill on both sides, fore and aft end."""

from collections.abc import Iterator, Mapping
from math import hypot

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Glass
from geomgen.kernel.plane_frame import Frame, at_station
from geomgen.kernel.second_library import cross_section, hull_of

# Places along a sill: own choice.
FAR, PLACES = 1e5, 161


def edges_drawn(model: Model, meshes: Mapping[str, Mesh]) -> dict[str, list[Floats]]:
    """Return the lines (n, 3) [mm] of the glass on each piece of a pod that has no edge there.

    None where the file says of no glass, or the pod is cut out: its edges draw themselves.
    """
    if model.glass is None or model.glazed_skin is not None:
        return {}
    pods = [name for name in meshes if model.families.get(name) == "pod"]
    return {name: glass_edge(meshes[name], model.glass) for name in pods}


def glass_edge(mesh: Mesh, glass: Glass) -> list[Floats]:
    """Return the lines (n, 3) [mm] in which the planes of the sill and of both ends meet a skin.

    Only the outside is drawn. None where the sill stands above it.
    """
    hull = hull_of(mesh)
    long, rise = glass.aft - glass.fore, glass.aft_sill - glass.fore_sill
    size = hypot(long, rise)
    along = (long / size, 0.0, rise / size)
    sill = Frame((glass.fore, 0.0, glass.fore_sill), (0.0, 1.0, 0.0), along)
    found = list(_sides(hull, sill, size))
    for station in (glass.fore, glass.aft):
        above = shapely.box(-FAR, glass.sill(station), FAR, FAR)
        found += _outside(hull, at_station(station), above)
    return found


def _sides(hull: object, frame: Frame, size: float) -> Iterator[Floats]:
    """Yield the outermost line on each side: a pod that is open behind has no ring there."""
    section = shapely.union_all(
        [shapely.Polygon(ring) for ring in cross_section(hull, frame).to_polygons()]
    )
    ends = []
    for along in np.linspace(0.0, size, PLACES).tolist():
        across = section.intersection(shapely.LineString([(-FAR, along), (FAR, along)]))
        if not across.is_empty:
            ends.append((across.bounds[0], across.bounds[2], along))
    for side in (0, 1):
        if len(ends) > 1:
            yield np.array([frame.lifted((row[side], row[2])) for row in ends])


def _outside(hull: object, frame: Frame, kept: shapely.Polygon) -> Iterator[Floats]:
    rings = [shapely.LinearRing(ring) for ring in cross_section(hull, frame).to_polygons()]
    if not rings:
        return
    outer = max(rings, key=lambda ring: shapely.Polygon(ring).area)
    for line in shapely.get_parts(shapely.line_merge(outer.intersection(kept))):
        if line.geom_type == "LineString" and line.length > 0.0:
            yield np.array([frame.lifted((x, y)) for x, y in line.coords])

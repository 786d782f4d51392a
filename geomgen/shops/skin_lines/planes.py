"""The planes whose crossing with a mould's skin is a line to build to, measured on the solids."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, sqrt

import numpy as np

from geomgen.kernel.brep.faces import faces_of, plane_of
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Glass, Plane, Vec3, vec
from geomgen.kernel.plane_frame import Frame, at_station
from geomgen.kernel.solids.properties import area, volume
from geomgen.shops.layout_lines import InsidePart, inside_parts

# Families that stand as flat sheets inside a skin; those that run along it have no plane.
IN_POD = ("firewall", "frame", "stringer")
IN_WING = ("rib", "spar", "web")
ALONG = ("stringer",)
# Lines are drawn where the skin is no further than this from the part's own box [mm].
REACH = 60.0
# Planes this parallel are the two faces of one sheet; a sheet is thin against its size, and its
# faces and thickness make up this share of its volume at least.
PARALLEL, THIN, SHARE = 1e-6, 0.25, 0.4
ALL = ((-inf, inf),) * 3
FORE_END, AFT_END, SILL = "canopy, fore end", "canopy, aft end", "canopy, sill"
Bounds = tuple[tuple[float, float], ...]
TRIM, BUILD, OPENING = "trim line", "line", "opening"


@dataclass(frozen=True)
class SkinPlane:
    """A plane whose crossing with the skin is a line; `within` bounds x, y, z of it [mm]."""

    name: str
    frame: Frame
    within: Bounds = ALL
    kind: str = BUILD


def sheet_planes(
    model: Model, families: Sequence[str] = (*IN_POD, *IN_WING)
) -> tuple[list[SkinPlane], tuple[str, ...]]:
    """Return both faces of every flat sheet of some families, and the names of others in them."""
    found: list[SkinPlane] = []
    without: list[str] = []
    for part in inside_parts(model, (), families):
        family = model.families.get(part.name, part.name)
        two = None if family in ALONG else _two_faces(part)
        if two is None:
            without.append(part.name)
            continue
        axis = int(np.abs(two[0].normal).argmax())
        sides = sorted(two, key=lambda plane: abs(plane.origin[axis]))
        around = tuple(
            (low - REACH, high + REACH)
            for low, high in zip(part.box.low, part.box.high, strict=True)
        )
        sheet = model.sheets.get(part.name)
        for word, plane in zip(_sides(axis), sides, strict=True):
            within = _cut_off(around, plane, sheet.ends if sheet else ())
            found.append(SkinPlane(f"{part.name}, {word}", frame_on(plane), within))
    return found, tuple(without)


def _cut_off(around: Bounds, plane: Plane, ends: Sequence[Plane]) -> Bounds:
    """Return bounds [mm] of a sheet's face that go no further than its level straight ends."""
    (low, high), n = around[2], np.array(plane.normal)
    for end in ends:
        up = np.array(end.normal)
        off = float((np.array(plane.origin) - np.array(end.origin)) @ n)
        # The cut is square to the sheet: along the normal, from the plane that it is given in.
        level = end.origin[2] + off * plane.normal[2]
        low, high = (low, min(high, level)) if up[2] > 0.0 else (max(low, level), high)
    return (*around[:2], (low, high))


def _sides(axis: int) -> tuple[str, str]:
    return (("front face", "aft face"), ("inboard face", "outboard face"),
            ("lower face", "upper face"))[axis]  # fmt: skip


def _two_faces(part: InsidePart) -> tuple[Plane, Plane] | None:
    """Return the planes of a sheet's two faces; None where a part is not one flat sheet."""
    flat = [(area(face).value, plane) for face in faces_of(part.solid)
            if (plane := plane_of(face)) is not None]  # fmt: skip
    if not flat:
        return None
    size, first = max(flat, key=lambda row: row[0])
    n, at = np.array(first.normal), np.array(first.origin)
    others = [
        (other, plane, abs(float((np.array(plane.origin) - at) @ n)))
        for other, plane in flat
        if abs(abs(float(np.array(plane.normal) @ n)) - 1.0) < PARALLEL
    ]
    apart = [row for row in others if row[2] > PARALLEL]
    if not apart:
        return None
    _, second, thick = max(apart, key=lambda row: row[0])
    if thick > THIN * sqrt(size) or size * thick < SHARE * volume(part.solid).value:
        return None
    return _on_axis(first), _on_axis(second)


def _on_axis(plane: Plane) -> Plane:
    """Return a plane by its point on the loft's axis that it crosses most squarely [mm]."""
    n, axis = np.array(plane.normal), int(np.abs(plane.normal).argmax())
    at = np.zeros(3)
    at[axis] = float(np.array(plane.origin) @ n) / n[axis]
    return Plane(vec(at), plane.normal)


def frame_on(plane: Plane) -> Frame:
    """Return a plane [mm] with two directions of its own, its normal kept.

    >>> frame_on(Plane((5.0, 0.0, 0.0), (1.0, 0.0, 0.0))).normal
    (1.0, 0.0, 0.0)
    """
    n = np.array(plane.normal)
    upright = np.eye(3)[1 if abs(n[2]) > 0.9 else 2]
    across = np.cross(upright, n)
    across /= np.linalg.norm(across)
    return Frame(plane.origin, vec(across + 0.0), vec(np.cross(n, across) + 0.0))


def canopy_planes(edge: Glass) -> list[SkinPlane]:
    """Return the planes of a canopy's ends and of its sill [mm], each as far as the next."""
    way = np.array([edge.aft - edge.fore, 0.0, edge.aft_sill - edge.fore_sill])
    way /= np.linalg.norm(way)
    sill = Frame((edge.fore, 0.0, edge.fore_sill), (0.0, 1.0, 0.0), vec(way))
    free = (-inf, inf)
    return [
        SkinPlane(FORE_END, at_station(edge.fore),
                  (free, free, (edge.fore_sill, inf)), OPENING),
        SkinPlane(AFT_END, at_station(edge.aft),
                  (free, free, (edge.aft_sill, inf)), OPENING),
        SkinPlane(SILL, sill, ((edge.fore, edge.aft), free, free), OPENING),
    ]  # fmt: skip


def mouth_planes(model: Model) -> list[SkinPlane]:
    """Return the plane of each scoop's mouth, as broad and high as the scoop is."""
    found = []
    for part in inside_parts(model, (), ("scoop",)):
        mouth = next((q.mouth for q in model.passages if q.name == part.name), None)
        if mouth is not None:
            limits = tuple(zip(part.box.low, part.box.high, strict=True))
            around = ((-inf, inf), *((low, high) for low, high in limits[1:]))
            found.append(SkinPlane(f"{part.name}, mouth", frame_on(mouth.plane), around))
    return found


def edge_plane(name: str, axis: int, at: float) -> SkinPlane:
    """Return the plane across an axis (0 to 2) [1] at a place [mm] where a part's own edge lies."""
    normal = np.eye(3)[axis]
    return SkinPlane(name, frame_on(Plane(vec(at * normal), vec(normal))), ALL, TRIM)


def crossing(planes: Sequence[SkinPlane], low: Vec3, high: Vec3) -> list[SkinPlane]:
    """Return the planes whose bounds meet a box from corner to corner [mm]."""
    return [
        plane
        for plane in planes
        if all(a < top and b > bottom
               for (a, b), bottom, top in zip(plane.within, low, high, strict=True))
    ]  # fmt: skip

"""How far points stand off the skins of a solid, on the side that a skin looks to."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from OCP.BRepTools import BRepTools
from OCP.TopAbs import TopAbs_REVERSED
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape
from scipy.spatial import cKDTree

from geomgen.arrays import Floats
from geomgen.kernel.brep.boxes import Box, boxes_meet, loose_box
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.surface_points import SurfacePoints, surface_points
from geomgen.kernel.meshing.deviation import step

GRID = 32
TURNS = 5
# How well a skin has to look the way of a point to count: the cosine between both.
LOOKS = 0.5
# Skins this near each other are weighed by the way they look [mm]; how alike is the same [deg].
NEAR, ALIKE = 30.0, 1.0


@dataclass(frozen=True)
class SkinFeet:
    """Where points stand on faces: feet, outward normals (n, 3), how far off (n,) [mm]."""

    points: Floats
    normals: Floats
    off: Floats


def feet_on(faces: Sequence[TopoDS_Face], points: Floats) -> SkinFeet:
    """Return the foot of each point (n, 3) [mm] on the nearest of some faces.

    `off` [mm] is never negative. Faces count as far as their surface goes between the bounds of its
    parameters, holes ignored.

    >>> from geomgen.kernel.brep.primitives import cylinder
    >>> rod = cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 10.0, 50.0)
    >>> found = feet_on(faces_of(rod), np.array([[20.0, 0.0, 12.0]]))
    >>> found.points.round(6).tolist(), found.off.round(6).tolist()
    ([[20.0, 0.0, 10.0]], [2.0])
    """
    feet, normals = np.zeros_like(points), np.zeros_like(points)
    off = np.full(len(points), np.inf)
    for face in faces:
        surface = surface_points(face)
        low, high = _bounds(face)
        at = _grid(low, high)
        uv = _settled(surface, at[cKDTree(surface.at(at)[0]).query(points)[1]], points, low, high)
        rows = surface.at(uv, 1)
        away = np.linalg.norm(points - rows[0], axis=1)
        nearer = away < off
        feet[nearer], off[nearer] = rows[0][nearer], away[nearer]
        normals[nearer] = _outward(face, rows)[nearer]
    return SkinFeet(feet, normals, off)


def off_skin(solid: TopoDS_Shape, points: Floats, away: Floats, facing: float) -> Floats:
    """Return how far points (n, 3) stand off a solid's skin along `away` (n, 3) [mm].

    Only skins count whose outward normal looks along `away` (`facing` 1) or against it (-1). With 1
    a positive distance is that of a point outside of the skin, with -1 too: a gap to a body round
    the points. NaN where no skin is near. Faces count as far as their surface goes, holes ignored.
    Of skins near one another the one that looks most along `away` counts, and not the floor of an
    opening that is cut through it aslant; of those that look the same way, the nearest.

    >>> from geomgen.kernel.brep.primitives import cylinder
    >>> rod = cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 10.0, 50.0)
    >>> off_skin(rod, np.array([[20.0, 0.0, 10.5]]), np.array([[0.0, 0.0, 1.0]]), 1.0).round(6)
    array([0.5])
    """
    low, high = points.min(axis=0) - NEAR, points.max(axis=0) + NEAR
    room = Box((low[0], low[1], low[2]), (high[0], high[1], high[2]))
    rows = [
        _off(face, points, away, facing, room)
        for face in faces_of(solid)
        if boxes_meet(loose_box(face), room)
    ]
    if not rows:
        return np.full(len(points), np.nan)
    off, lean = (np.array(part) for part in zip(*rows, strict=True))
    far = np.abs(off)
    lean[far > far.min(axis=0) + NEAR] = np.inf
    far[lean > lean.min(axis=0) + ALIKE] = np.inf
    best = far.argmin(axis=0), np.arange(len(points))
    return np.where(np.isfinite(far[best]), off[best], np.nan)


def _off(
    face: TopoDS_Face, points: Floats, away: Floats, facing: float, room: Box
) -> tuple[Floats, Floats]:
    """Return how far points stand off a face [mm] and how far it looks aside of them [deg].

    Both are infinite where it does not count.
    """
    surface = surface_points(face)
    low, high = _bounds(face)
    at = _grid(low, high)
    raw = surface.at(at)[0]
    near = np.all((raw > np.array(room.low) - NEAR) & (raw < np.array(room.high) + NEAR), axis=1)
    if not near.any():
        # A long face's grid may be so wide that none of it lies near, though the face does.
        near[:] = True
    first = at[near][cKDTree(raw[near]).query(points)[1]]
    rows = surface.at(_settled(surface, first, points, low, high), 1)
    normal = _outward(face, rows)
    between = points - rows[0]
    distance = np.sum(between * normal, axis=1)
    aside = np.linalg.norm(between - distance[:, None] * normal, axis=1)
    looks = facing * np.sum(normal * away, axis=1)
    good = (looks > LOOKS) & (aside < 0.05)
    lean = np.degrees(np.arccos(np.clip(looks, -1.0, 1.0)))
    return np.where(good, distance, np.inf), np.where(good, lean, np.inf)


def _grid(low: Floats, high: Floats) -> Floats:
    shares = np.linspace(0.0, 1.0, GRID)
    u, v = np.meshgrid(*(low[i] + shares * (high[i] - low[i]) for i in (0, 1)))
    return np.stack([u.ravel(), v.ravel()], axis=-1)


def _settled(
    surface: SurfacePoints, uv: Floats, points: Floats, low: Floats, high: Floats
) -> Floats:
    for _ in range(TURNS):
        uv = np.clip(uv + step(surface.at(uv, 1), points), low, high)
    return uv


def _outward(face: TopoDS_Face, rows: Floats) -> Floats:
    """Return outward unit normals (n, 3) [1] of a face from its points and slopes (3, n, 3)."""
    normal = np.cross(rows[1], rows[2])
    sense = -1.0 if face.Orientation() == TopAbs_REVERSED else 1.0
    size = np.linalg.norm(normal, axis=1)
    return np.asarray(sense * normal / np.where(size > 0, size, 1.0)[:, None])


def _bounds(face: TopoDS_Face) -> tuple[Floats, Floats]:
    u0, u1, v0, v1 = BRepTools.UVBounds_s(face)
    return np.array([u0, v0]), np.array([u1, v1])

"""Skins through rounded rectangles that stand across the axis: ducts, cowls and their lips.

A rounded rectangle is eight conics (four sides, four exact quarter circles), so a constant duct is
exact; along the duct the control points run on cubic splines.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from OCP.TopoDS import TopoDS_Face
from scipy.interpolate import make_interp_spline

from geomgen.arrays import Floats
from geomgen.kernel.lofting.surfaces import bezier_knots, bspline_surface, face_of

ARC = 2**-0.5


@dataclass(frozen=True)
class DuctFrame:
    """The local frame of a duct: a point on its axis (y, z) and unit vectors out and across."""

    origin: tuple[float, float]
    out: tuple[float, float]
    across: tuple[float, float]

    def place(self, x: Floats, across: Floats, out: Floats) -> Floats:
        """Return points in space (..., 3) [mm]."""
        y = self.origin[0] + across * self.across[0] + out * self.out[0]
        z = self.origin[1] + across * self.across[1] + out * self.out[1]
        return np.stack([x, y, z], axis=-1)


@dataclass(frozen=True)
class Rounded:
    """Rounded rectangles (m,) [mm]: station, middle, half width and height, corner radius."""

    x: Floats
    middle: Floats
    half_width: Floats
    half_height: Floats
    radius: Floats

    def grown(self, by: float | Floats) -> "Rounded":
        """Return the rectangles grown by a distance [mm] on all sides."""
        return Rounded(
            self.x, self.middle, self.half_width + by, self.half_height + by, self.radius + by
        )

    def at(self, rows: int) -> "Rounded":
        """Return one of the rectangles, as a set of one."""
        return Rounded(
            *(
                np.atleast_1d(a[rows])
                for a in (self.x, self.middle, self.half_width, self.half_height, self.radius)
            )
        )


def control(r: Rounded, frame: DuctFrame) -> list[tuple[Floats, Floats]]:
    """Return the eight conics: control points (3, m, 3) [mm] and weights (3,), going round."""
    w, h, c = r.half_width, r.half_height, r.radius
    corners = [(1, 1), (-1, 1), (-1, -1), (1, -1)]
    conics = []
    for i, (sa, so) in enumerate(corners):
        first_on_side = i % 2 == 0
        on_side = (sa * w, so * (h - c))
        on_top = (sa * (w - c), so * h)
        a, b = (on_side, on_top) if first_on_side else (on_top, on_side)
        arc = [a, (sa * w, so * h), b]
        conics.append(_conic(arc, ARC, r, frame))
        na, no = corners[(i + 1) % 4]
        end = (na * (w - c), no * h) if first_on_side else (na * w, no * (h - c))
        straight = [b, tuple(0.5 * (p + q) for p, q in zip(b, end, strict=True)), end]
        length = np.hypot(b[0] - end[0], b[1] - end[1])
        if np.max(length) > 1e-6:
            conics.append(_conic(straight, 1.0, r, frame))
    return conics


def _conic(
    points: Sequence[tuple[Floats, ...]], weight: float, r: Rounded, frame: DuctFrame
) -> tuple[Floats, Floats]:
    placed = np.stack([frame.place(r.x, r.middle * 0 + a, r.middle + o) for a, o in points])
    return placed, np.array([1.0, weight, 1.0])


def skin_through(r: Rounded, frame: DuctFrame, run: Floats) -> list[TopoDS_Face]:
    """Return the faces through rounded rectangles, C2 along a parameter `run` (m,) [any unit]."""
    faces = []
    for points, weights in control(r, frame):
        spline = make_interp_spline(run, points.transpose(1, 0, 2), k=3)
        poles = spline.c.transpose(1, 0, 2)
        full = np.broadcast_to(weights[:, None], poles.shape[:2])
        faces.append(face_of(bspline_surface(poles, bezier_knots(2), spline.t, (2, 3), full)))
    return faces


def lip(front: Rounded, tip: Rounded, back: Rounded, frame: DuctFrame) -> list[TopoDS_Face]:
    """Return quarter-round faces from `front` to `back`, tangent at the corner `tip`."""
    faces = []
    rows = [control(r, frame) for r in (front, tip, back)]
    for a, b, c in zip(*rows, strict=True):
        poles = np.concatenate([a[0], b[0], c[0]], axis=1)
        weights = a[1][:, None] * np.array([[1.0, ARC, 1.0]])
        faces.append(
            face_of(bspline_surface(poles, bezier_knots(2), bezier_knots(2), (2, 2), weights))
        )
    return faces


def band(front: Rounded, back: Rounded, frame: DuctFrame) -> list[TopoDS_Face]:
    """Return ruled faces between two rounded rectangles."""
    faces = []
    for a, b in zip(control(front, frame), control(back, frame), strict=True):
        poles = np.concatenate([a[0], b[0]], axis=1)
        weights = np.repeat(a[1][:, None], 2, axis=1)
        faces.append(
            face_of(bspline_surface(poles, bezier_knots(2), bezier_knots(1), (2, 1), weights))
        )
    return faces

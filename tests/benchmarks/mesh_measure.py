"""How far any triangles lie from a solid's faces, the same way for every mesher.

Nothing here is shared with the meshers: each face's surface is turned into a spline and asked with
scipy (`NdBSpline`), a point starts at the nearest of many samples of its face and goes to the foot
of its perpendicular (damped Gauss-Newton).
"""

from dataclasses import dataclass

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepTools import BRepTools
from OCP.Geom import Geom_RectangularTrimmedSurface
from OCP.GeomConvert import GeomConvert
from OCP.TColStd import TColStd_Array1OfReal
from OCP.TopAbs import TopAbs_FACE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS
from scipy.interpolate import NdBSpline
from scipy.spatial import cKDTree

STARTS, PER_PIECE, TURNS, CHUNK = 48, 6, 8, 50_000
# Distances [mm] beyond which a point tries so many other starts.
FAR, OTHERS, FEW = 0.1, 12, 200
ORDERS = ((0, 0), (1, 0), (0, 1), (2, 0), (1, 1), (0, 2))


@dataclass(frozen=True)
class Soup:
    """Triangles (m, 3, 3) [mm] and the number (m,) of the face that each stands for."""

    corners: np.ndarray
    face: np.ndarray


@dataclass(frozen=True)
class Patch:
    """A face's surface as a spline in homogeneous coordinates over a box of its parameters."""

    knots: tuple[np.ndarray, np.ndarray]
    poles: np.ndarray
    degrees: tuple[int, int]
    low: np.ndarray
    high: np.ndarray

    def at(self, uv, order):
        """Return S, then Su, Sv, then Suu, Suv, Svv as (rows, n, 3)."""
        spline = NdBSpline(self.knots, self.poles, self.degrees)
        # The end belongs to the last piece; knots may go on beyond it.
        uv = np.clip(uv, self.low, self.high - 1e-13 * (self.high - self.low))
        raw = np.array([spline(uv, nu=pair) for pair in ORDERS[: (1, 3, 6)[order]]])
        a, w = raw[..., :3], raw[..., 3:]
        out = np.empty_like(a)
        out[0] = a[0] / w[0]
        for row, (i, j) in list(enumerate(ORDERS[: len(raw)]))[1:]:
            total = a[row] - w[row] * out[0]
            if i + j == 2:
                one, two = {(2, 0): (1, 1), (1, 1): (1, 2), (0, 2): (2, 2)}[i, j]
                total = total - w[one] * out[two] - w[two] * out[one]
            out[row] = total / w[0]
        return out

    def steps(self, axis, least, each):
        """Return parameters along one direction, so many a piece of the spline."""
        breaks = np.unique(self.knots[axis])
        breaks = breaks[(breaks > self.low[axis]) & (breaks < self.high[axis])]
        corners = np.r_[self.low[axis], breaks, self.high[axis]]
        count = max(each, -(-least // (len(corners) - 1)))
        shares = np.arange(count) / count
        inner = corners[:-1, None] + shares * np.diff(corners)[:, None]
        return np.r_[inner.reshape(-1), corners[-1]]


def faces(shape):
    """Return the faces in the order in which every mesher here numbers them."""
    found, walk = [], TopExp_Explorer(shape, TopAbs_FACE)
    while walk.More():
        found.append(TopoDS.Face(walk.Current()))
        walk.Next()
    return found


def patch_of(face):
    """Return the spline of a face's surface over the box of its parameters."""
    low_u, high_u, low_v, high_v = BRepTools.UVBounds_s(face)
    surface = BRep_Tool.Surface_s(face)
    cut = Geom_RectangularTrimmedSurface(surface, low_u, high_u, low_v, high_v)
    spline = GeomConvert.SurfaceToBSplineSurface_s(cut)
    spline.SetUNotPeriodic()
    spline.SetVNotPeriodic()
    count = spline.NbUPoles(), spline.NbVPoles()
    degrees = spline.UDegree(), spline.VDegree()
    knots = []
    for n, degree, ask in zip(
        count, degrees, (spline.UKnotSequence, spline.VKnotSequence), strict=True
    ):
        array = TColStd_Array1OfReal(1, n + degree + 1)
        ask(array)
        knots.append(np.array([array.Value(i) for i in range(1, n + degree + 2)]))
    poles = np.empty((*count, 4))
    for i in range(count[0]):
        for j in range(count[1]):
            w = spline.Weight(i + 1, j + 1)
            poles[i, j] = *(w * x for x in spline.Pole(i + 1, j + 1).Coord()), w
    low = np.array([knots[0][degrees[0]], knots[1][degrees[1]]])
    high = np.array([knots[0][-degrees[0] - 1], knots[1][-degrees[1] - 1]])
    return Patch((knots[0], knots[1]), poles, degrees, low, high)


def deviation(soup, patches):
    """Return the largest distance [mm] of middles of sides, centroids and corners to the faces."""
    worst = 0.0
    for number, patch in enumerate(patches):
        corners = soup.corners[soup.face == number]
        if not len(corners):
            continue
        sides = 0.5 * (corners + corners[:, [1, 2, 0]])
        points = np.concatenate(
            [np.unique(x.reshape(-1, 3), axis=0) for x in (corners, sides, corners.mean(axis=1))]
        )
        off = to_patch(points, patch)
        far = np.nonzero(off > FAR)[0]
        # Beside its border a face's triangle may stand nearest to the face beyond.
        if 0 < len(far) <= FEW:
            for other in patches:
                off[far] = np.minimum(off[far], to_patch(points[far], other))
        worst = max(worst, float(off.max()))
    return worst


def to_patch(points, patch):
    """Return the distance (n,) [mm] of each point to a face's surface."""
    u, v = patch.steps(0, STARTS, PER_PIECE), patch.steps(1, STARTS, PER_PIECE)
    starts = np.stack(np.meshgrid(u, v, indexing="ij"), axis=-1).reshape(-1, 2)
    tree = cKDTree(patch.at(starts, 0)[0])
    found = [
        _feet(points[i : i + CHUNK], starts, tree, patch) for i in range(0, len(points), CHUNK)
    ]
    return np.concatenate(found)


def _feet(points, starts, tree, patch):
    """Go to the feet by damped Gauss-Newton: a step that leads away is damped and asked again."""
    best = _from(points, starts[tree.query(points)[1]], patch)
    # A flat, skewed patch may hold a point up at its border: other starts then.
    for turn in range(1, OTHERS):
        far = np.nonzero(best > FAR)[0]
        if len(far):
            place = tree.query(points[far], k=[turn**2 + 1])[1][:, 0]
            best[far] = np.minimum(best[far], _from(points[far], starts[place], patch))
    return best


def _from(points, at, patch):
    rows = patch.at(at, 1)
    best = np.linalg.norm(points - rows[0], axis=1)
    damp = np.full(len(points), 1e-6)
    for _ in range(TURNS):
        s, su, sv = rows
        miss = points - s
        a, b, c, d, e = (
            np.einsum("ij,ij->i", x, y)
            for x, y in ((su, su), (su, sv), (sv, sv), (su, miss), (sv, miss))
        )
        a, c = a * (1 + damp) + 1e-300, c * (1 + damp) + 1e-300
        fall = np.maximum(a * c - b * b, 1e-300)
        step = np.stack([c * d - b * e, a * e - b * d], axis=-1) / fall[:, None]
        tried = np.clip(at + step, patch.low, patch.high)
        new = patch.at(tried, 1)
        off = np.linalg.norm(points - new[0], axis=1)
        nearer = off < best
        at[nearer], best[nearer] = tried[nearer], off[nearer]
        rows[:, nearer] = new[:, nearer]
        damp *= np.where(nearer, 0.1, 30.0)
    return best

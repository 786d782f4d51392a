"""What flat panels do at points: loops that numba compiles, for `influence.py` alone.

Panel by panel: `solid`, the solid angle at a point [rad], positive on the panel's outer side;
`source`, the integral of 1/r over the panel [any unit]. A unit doublet's potential is solid / 4 pi,
a unit source's -source / 4 pi. Near panels are integrated in closed form (Hess and Smith 1967; the
solid angle of a triangle after van Oosterom and Strackee 1983), far ones as a point with second
moments.

What decided for numba, against the same in numpy with BLAS, 5,000 panels, two cores: see
`influence.py`. The loops hold no lock, and Python's own threads share the rows: numba's own ones
are not safe in a child that is forked after their use (numba's documentation).
"""

from collections.abc import Callable
from math import atan2, log, pi, sqrt
from typing import Any

import numba
import numpy as np

from geomgen.arrays import Floats, Ints

# A point so little out of a plane, as a share of how far it is off, is in it: own choice.
LEVEL = 1e-7


def compiled(function: Callable[..., Any]) -> Callable[..., Any]:
    """Return a function compiled; what was compiled is kept where there is a place to keep it."""
    options: dict[str, Any] = {"nogil": True, "fastmath": {"contract", "reassoc", "nsz", "arcp"}}
    try:
        kept: Callable[..., Any] = numba.njit(cache=True, **options)(function)
    except RuntimeError:  # neither the package's folder nor a home can be written
        return numba.njit(**options)(function)  # type: ignore[no-any-return]
    return kept


@compiled
def solid_angle(x: float, y: float, z: float, corners: Floats) -> float:
    """Return the solid angle [rad] of a quadrilateral (4, 3) [mm] at a point, as two triangles."""
    re, im = 1.0, 0.0
    ax, ay, az = corners[0, 0] - x, corners[0, 1] - y, corners[0, 2] - z
    a = sqrt(ax * ax + ay * ay + az * az)
    for k in range(1, 3):
        bx, by, bz = corners[k, 0] - x, corners[k, 1] - y, corners[k, 2] - z
        cx, cy, cz = corners[k + 1, 0] - x, corners[k + 1, 1] - y, corners[k + 1, 2] - z
        b = sqrt(bx * bx + by * by + bz * bz)
        c = sqrt(cx * cx + cy * cy + cz * cz)
        up = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
        ab = ax * bx + ay * by + az * bz
        bc = bx * cx + by * cy + bz * cz
        ca = cx * ax + cy * ay + cz * az
        out = a * b * c + ab * c + bc * a + ca * b
        # Angles add as numbers of the plane multiply: one arc tangent for both triangles. The
        # point looks at the back of a panel whose corners it sees turn against its normal.
        re, im = re * out - im * up, re * up + im * out
    return -2.0 * atan2(im, re)


@compiled
def source_integral(
    x: float, y: float, z: float, corners: Floats, normal: Floats, height: float, solid: float
) -> float:
    """Return the integral of 1/r [mm] of a flat panel at a point `height` [mm] over its plane."""
    total = -height * solid
    for k in range(4):
        m = (k + 1) % 4
        ax, ay, az = corners[k, 0] - x, corners[k, 1] - y, corners[k, 2] - z
        bx, by, bz = corners[m, 0] - x, corners[m, 1] - y, corners[m, 2] - z
        ex, ey, ez = bx - ax, by - ay, bz - az
        d = sqrt(ex * ex + ey * ey + ez * ez)
        if d < 1e-12:
            continue
        away = (
            ax * (ey * normal[2] - ez * normal[1])
            + ay * (ez * normal[0] - ex * normal[2])
            + az * (ex * normal[1] - ey * normal[0])
        ) / d
        both = sqrt(ax * ax + ay * ay + az * az) + sqrt(bx * bx + by * by + bz * bz)
        total += away * log((both + d) / max(both - d, 1e-12 * d))
    return total


@compiled
def fill(
    first: int,
    points: Floats,
    own: Ints,
    owner: Ints,
    corners: Floats,
    centres: Floats,
    normals: Floats,
    areas: Floats,
    moments: Floats,
    reach: Floats,
    strengths: Floats,
    images: int,
    solids: Floats,
    potentials: Floats,
) -> None:
    """Fill rows of unit doublets' potentials [1] and add up those of sources [mm] at points.

    `own` is the panel that a point lies on, from inside, or -1; the m pieces of panels belong to
    `owner` (m,). `moments` (6, m) are xx, yy, zz, xy, yz, zx [mm4]; `reach` (m,) is how far
    [mm2, squared] a piece counts as near; `strengths` (m, k) are sources [any unit]; `images` is 2
    with mirrored panels at negative y. Filled are `potentials` (p, k) and `solids` (p, n), zero
    before, or nothing of it where it has no rows.
    """
    m, k = strengths.shape
    row, src = np.empty(m), np.empty(m)
    angles, sources = np.empty(m), np.empty(m)
    for i in range(points.shape[0]):
        row[:] = 0.0
        src[:] = 0.0
        for image in range(images):
            x, z = points[i, 0], points[i, 2]
            y = -points[i, 1] if image else points[i, 1]
            for j in range(m):
                rx, ry, rz = x - centres[0, j], y - centres[1, j], z - centres[2, j]
                r2 = rx * rx + ry * ry + rz * rz + 1e-30
                u = 1.0 / r2
                r = sqrt(u)
                h = rx * normals[0, j] + ry * normals[1, j] + rz * normals[2, j]
                q = rx * rx * moments[0, j] + ry * ry * moments[1, j] + rz * rz * moments[2, j]
                q += 2.0 * (rx * ry * moments[3, j] + ry * rz * moments[4, j])
                q += 2.0 * rz * rx * moments[5, j]
                t = moments[0, j] + moments[1, j] + moments[2, j]
                angles[j] = h * r * u * (areas[j] + 0.5 * u * (15.0 * q * u - 3.0 * t))
                sources[j] = r * (areas[j] + 0.5 * u * (3.0 * q * u - t))
            for j in range(m):
                rx, ry, rz = x - centres[0, j], y - centres[1, j], z - centres[2, j]
                if rx * rx + ry * ry + rz * rz < reach[j]:
                    h = rx * normals[0, j] + ry * normals[1, j] + rz * normals[2, j]
                    flat = h
                    if image == 0 and owner[j] == own[i]:
                        # The whole panel's half sphere is counted once, below.
                        angles[j] = 0.0
                        flat = 0.0
                    else:
                        angles[j] = solid_angle(x, y, z, corners[j])
                    sources[j] = source_integral(
                        x, y, z, corners[j], normals[:, j], flat, angles[j]
                    )
            for j in range(m):
                row[j] += angles[j]
                src[j] += sources[j]
        if solids.shape[0]:
            for j in range(m):
                solids[first + i, owner[j]] += row[j] / (4.0 * pi)
            if own[i] >= 0:
                solids[first + i, own[i]] -= 0.5
        for c in range(k):
            total = 0.0
            for j in range(m):
                total -= src[j] * strengths[j, c]
            potentials[first + i, c] = total / (4.0 * pi)


@compiled
def fill_exactly(points: Floats, corners: Floats, images: int, angles: Floats) -> None:
    """Fill the solid angles [rad] (p, t) of quadrilaterals (t, 4, 3) [mm], of all images.

    A point in a quadrilateral's own plane gets none: the middle of what either side has.
    """
    normals = np.empty((corners.shape[0], 3))
    for j in range(corners.shape[0]):
        ax, bx = corners[j, 2, 0] - corners[j, 0, 0], corners[j, 3, 0] - corners[j, 1, 0]
        ay, by = corners[j, 2, 1] - corners[j, 0, 1], corners[j, 3, 1] - corners[j, 1, 1]
        az, bz = corners[j, 2, 2] - corners[j, 0, 2], corners[j, 3, 2] - corners[j, 1, 2]
        nx, ny, nz = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
        size = sqrt(nx * nx + ny * ny + nz * nz) + 1e-300
        normals[j, 0], normals[j, 1], normals[j, 2] = nx / size, ny / size, nz / size
    for i in range(points.shape[0]):
        for j in range(corners.shape[0]):
            total = 0.0
            for image in range(images):
                x, z = points[i, 0], points[i, 2]
                y = -points[i, 1] if image else points[i, 1]
                rx, ry, rz = x - corners[j, 0, 0], y - corners[j, 0, 1], z - corners[j, 0, 2]
                over = rx * normals[j, 0] + ry * normals[j, 1] + rz * normals[j, 2]
                if abs(over) > LEVEL * sqrt(rx * rx + ry * ry + rz * rz):
                    total += solid_angle(x, y, z, corners[j])
            angles[i, j] = total


@compiled
def add_ring(x: float, y: float, z: float, corners: Floats, core: float, out: Floats) -> None:
    """Add the speed [1/mm, times 4 pi] of a ring whose doublet is 1, by Biot and Savart's law.

    Nearer to a side than `core` [mm] its speed falls to none.
    """
    for k in range(4):
        m = (k + 1) % 4
        ax, ay, az = x - corners[k, 0], y - corners[k, 1], z - corners[k, 2]
        bx, by, bz = x - corners[m, 0], y - corners[m, 1], z - corners[m, 2]
        cx, cy, cz = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
        ex, ey, ez = ax - bx, ay - by, az - bz
        c2 = cx * cx + cy * cy + cz * cz
        e2 = ex * ex + ey * ey + ez * ez
        if e2 < 1e-20:
            continue
        a, b = sqrt(ax * ax + ay * ay + az * az), sqrt(bx * bx + by * by + bz * bz)
        if a < 1e-12 or b < 1e-12:
            continue
        along = (ex * ax + ey * ay + ez * az) / a - (ex * bx + ey * by + ez * bz) / b
        s = along / (c2 + core * core * e2 + 1e-30)
        out[0] -= cx * s
        out[1] -= cy * s
        out[2] -= cz * s


@compiled
def add_source(x: float, y: float, z: float, corners: Floats, normal: Floats, out: Floats) -> None:
    """Add the speed [1, times 4 pi] of a flat panel of unit sources."""
    solid = solid_angle(x, y, z, corners)
    out[0] += normal[0] * solid
    out[1] += normal[1] * solid
    out[2] += normal[2] * solid
    for k in range(4):
        m = (k + 1) % 4
        ax, ay, az = corners[k, 0] - x, corners[k, 1] - y, corners[k, 2] - z
        bx, by, bz = corners[m, 0] - x, corners[m, 1] - y, corners[m, 2] - z
        ex, ey, ez = bx - ax, by - ay, bz - az
        d = sqrt(ex * ex + ey * ey + ez * ez)
        if d < 1e-12:
            continue
        both = sqrt(ax * ax + ay * ay + az * az) + sqrt(bx * bx + by * by + bz * bz)
        length = log((both + d) / max(both - d, 1e-12 * d)) / d
        out[0] += (ey * normal[2] - ez * normal[1]) * length
        out[1] += (ez * normal[0] - ex * normal[2]) * length
        out[2] += (ex * normal[1] - ey * normal[0]) * length


@compiled
def fill_speeds(
    points: Floats,
    corners: Floats,
    centres: Floats,
    normals: Floats,
    areas: Floats,
    reach: Floats,
    sources: Floats,
    doublets: Floats,
    strips: Floats,
    jumps: Floats,
    images: int,
    core: float,
    speeds: Floats,
) -> None:
    """Fill the speeds (p, 3) [m/s] that panels and strips of wakes give points (p, 3) [mm].

    `sources` (n,) [m/s], `doublets` (n,) and `jumps` (t,) [mm m/s]; all else as for `fill`, with
    `centres` and `normals` (n, 3).
    """
    one, two, total = np.empty(3), np.empty(3), np.empty(3)
    for i in range(points.shape[0]):
        speeds[i, :] = 0.0
        for image in range(images):
            sign = -1.0 if image else 1.0
            x, y, z = points[i, 0], sign * points[i, 1], points[i, 2]
            total[:] = 0.0
            for j in range(corners.shape[0]):
                rx, ry, rz = x - centres[j, 0], y - centres[j, 1], z - centres[j, 2]
                r2 = rx * rx + ry * ry + rz * rz
                if r2 < reach[j]:
                    one[:] = 0.0
                    two[:] = 0.0
                    add_source(x, y, z, corners[j], normals[j], one)
                    add_ring(x, y, z, corners[j], core, two)
                    for c in range(3):
                        total[c] += sources[j] * one[c] + doublets[j] * two[c]
                else:
                    s = areas[j] / (r2 * sqrt(r2))
                    h = rx * normals[j, 0] + ry * normals[j, 1] + rz * normals[j, 2]
                    t = s * (sources[j] - 3.0 * doublets[j] * h / r2)
                    d = s * doublets[j]
                    total[0] += t * rx + d * normals[j, 0]
                    total[1] += t * ry + d * normals[j, 1]
                    total[2] += t * rz + d * normals[j, 2]
            for j in range(strips.shape[0]):
                two[:] = 0.0
                add_ring(x, y, z, strips[j], core, two)
                for c in range(3):
                    total[c] += jumps[j] * two[c]
            speeds[i, 0] += total[0] / (4.0 * pi)
            speeds[i, 1] += sign * total[1] / (4.0 * pi)
            speeds[i, 2] += total[2] / (4.0 * pi)


@compiled
def fill_rings(points: Floats, corners: Floats, cores: Floats, images: int, speeds: Floats) -> None:
    """Fill the speeds [1/mm, times 4 pi] (p, 3, t) of unit rings (t, 4, 3) [mm], of all images.

    `cores` (p,) [mm] as for `add_ring`.
    """
    one = np.empty(3)
    for i in range(points.shape[0]):
        for j in range(corners.shape[0]):
            for image in range(images):
                sign = -1.0 if image else 1.0
                one[:] = 0.0
                add_ring(points[i, 0], sign * points[i, 1], points[i, 2], corners[j], cores[i], one)
                speeds[i, 0, j] += one[0]
                speeds[i, 1, j] += sign * one[1]
                speeds[i, 2, j] += one[2]

"""Whether bodies known by their meshes are apart, told by what they were cut out of and with.

A rim of a first answer is off by more than its skins. But the body lies in what it was cut out of,
and outside its knives: what stands deep enough inside a knife it can't touch.
"""

from typing import Any

import numpy as np
from scipy.spatial import cKDTree

from geomgen.arrays import Floats
from geomgen.kernel.mesh_part import MeshPart, Shell
from geomgen.kernel.meshes.search import search_of
from geomgen.kernel.second_library import second_library

# So many places of each skin are looked at, those that may be nearest.
PLACES = 200
# A gap is looked for this much beyond what the meshes may be off [mm].
BEYOND = 1.0


def surely_apart(a: Any, b: Any) -> bool:
    """Say whether two bodies are apart by more than their meshes may be off."""
    slack = a.skin + b.skin
    if _gap(a, b, slack) > slack:
        return True
    return _shielded(a, b) or _shielded(b, a)


def _wholes(body: Any) -> list[Any]:
    """Return what a body surely lies in, as solids of the second library."""
    part: MeshPart | None = body.part
    return [body.hull] if part is None or not part.wholes else [s.hull for s in part.wholes]


def _gap(a: Any, b: Any, slack: float) -> float:
    pairs = [(one, other) for one in _wholes(a) for other in _wholes(b)]
    return min(float(one.min_gap(other, slack + BEYOND)) for one, other in pairs)


def _shielded(a: Any, b: Any) -> bool:
    """Say whether a body stands inside a knife that the other was cut with, off its skin."""
    if a.part is None:
        return False
    return any(_inside(a, b, knife) for knife in a.part.knives)


def _inside(a: Any, b: Any, knife: Shell) -> bool:
    low, high = (np.array(end) for end in a.part.ends)
    if any(_sticks_out(points, (low, high), knife) for points in _corners(b)):
        return False
    room = second_library().Manifold.cube((high - low).tolist()).translate(low.tolist())
    left, slack = room - knife.hull, knife.off + b.skin
    return all(float(left.min_gap(whole, slack + BEYOND)) > slack for whole in _wholes(b))


def _corners(body: Any) -> list[Floats]:
    part: MeshPart | None = body.part
    wholes = () if part is None else part.wholes
    return [shell.vertices for shell in wholes] or [body.mesh.vertices]


def _sticks_out(points: Floats, room: tuple[Floats, Floats], knife: Shell) -> bool:
    """Say whether a point (n, 3) [mm] of a room lies outside the knife's box."""
    held = points[np.all((points >= room[0]) & (points <= room[1]), axis=1)]
    low, high = knife.vertices.min(axis=0), knife.vertices.max(axis=0)
    return bool(np.any((held < low) | (held > high)))


def surely_within(a: Any, b: Any, reach: float) -> bool:
    """Say whether two bodies come within a reach [mm] of each other, off all rims."""
    for one, other in ((a, b), (b, a)):
        middles, ends = one.mesh.corners.mean(axis=1), other.mesh.vertices
        held = (middles >= ends.min(axis=0) - reach) & (middles <= ends.max(axis=0) + reach)
        middles = middles[np.all(held, axis=1)]
        if not len(middles):
            continue
        away, _ = cKDTree(other.mesh.vertices).query(middles)
        points = middles[np.argsort(away, kind="stable")[:PLACES]]
        found = search_of(other.mesh).nearest(points)
        plain = one.off_at(points) + other.off_at(found.foot) <= one.skin + other.skin
        near = found.distance + one.skin + other.skin <= reach
        if np.any(plain & near):
            return True
    return False

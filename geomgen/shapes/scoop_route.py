"""Where the air of each scoop goes, as plain geometry: mouth, throats, the end in the bay.

A throat's plane stands in the shortest way from a place of the floor to the roof, so that it takes
in no more than the passage has there.
"""

from dataclasses import replace
from math import hypot

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.plain import Opening, Passage, Plane, Vec3, vec
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.engine import fan_plane
from geomgen.shapes.hull import PodLines
from geomgen.shapes.scoop import (
    BESIDE,
    PAST_END,
    ScoopCourse,
    course,
    passage_rows,
    scoop_names,
    skin_heights,
)

THROATS = 3
# Places along floor and roof among which the throats are sought.
FINE = 601
# Places at which it is looked whether walls stand beside a throat.
SKINS = 25


def routes(p: Parameters, pod: PodLines) -> list[Passage]:
    """Publish where the air of each scoop goes, as plain geometry."""
    found: list[Passage] = []
    for index in range(len(p.scoops)):
        names = scoop_names(p, index)
        route = _route(p, pod, index, course(p, pod, index), names[0])
        found += [route, *(_mirrored_route(route, name) for name in names[1:])]
    return found


def _route(p: Parameters, pod: PodLines, index: int, c: ScoopCourse, name: str) -> Passage:
    """Publish mouth, throats and the way into the bay, as plain geometry."""
    s = p.scoops[index]
    line = passage_rows(p, index, c, np.array([0.0, 1.0]))
    path = c.frame.place(line.x, 0 * line.x, line.middle)
    spans = np.array([_mouth_span(p, index, c), *_throat_spans(p, pod, index, c)])
    middle = spans.mean(axis=1)
    seeds = c.frame.place(middle[:, 0], 0 * middle[:, 0], middle[:, 1])
    rise = spans[:, 1] - spans[:, 0]
    still = c.frame.place(0 * middle[:, 0], 0 * middle[:, 0], 0 * middle[:, 0])
    normals = c.frame.place(rise[:, 1], 0 * rise[:, 1], -rise[:, 0]) - still
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    # The window stands along y and z, the scoop any way round: its corners have to fit as well.
    tallest = float(np.max(np.linalg.norm(rise, axis=1))) / 2
    reach = hypot(s.width / 2 + s.wall, tallest + s.wall) + BESIDE
    openings = []
    for k in range(len(spans)):
        seed, normal = vec(seeds[k]), vec(normals[k])
        label = name if k == 0 else f"{name} throat {k}"
        openings.append(Opening(label, Plane(seed, normal), seed, reach, s.gap))
    end = path[-1] + np.array([PAST_END, 0.0, 0.0])
    return Passage(name, openings[0], tuple(openings[1:]), vec(end), fan_plane(p))


def _mouth_span(p: Parameters, index: int, c: ScoopCourse) -> Floats:
    """Return floor and roof [mm] of the mouth's plane, as station and height (2, 2)."""
    r = passage_rows(p, index, c, np.zeros(1))
    low, high = r.middle - r.half_height, r.middle + r.half_height
    return np.array([[r.x[0], low[0]], [r.x[0], high[0]]])


def _throat_spans(p: Parameters, pod: PodLines, index: int, c: ScoopCourse) -> list[Floats]:
    """Return the shortest ways from floor to roof at some places, each (2, 2) as `_mouth_span`.

    From places of the floor as far as walls stand all round; the shortest of all is among them.
    """
    share = np.linspace(0, 1, FINE)
    r = passage_rows(p, index, c, share)
    floor = np.stack([r.x, r.middle - r.half_height], axis=1)
    roof = np.stack([r.x, r.middle + r.half_height], axis=1)
    start = share <= _closed_share(p, pod, index, c)
    apart = np.linalg.norm(floor[start][:, None] - roof[None], axis=2)
    nearest = np.argmin(apart, axis=1)
    last = _walled(p, pod, index, c, floor[start], roof[nearest])
    at = np.unique(np.linspace(0, last, THROATS + 1).round().astype(int))[1:]
    least = 1 + int(np.argmin(apart[np.arange(1, last + 1), nearest[1:]]))
    at[np.argmin(np.abs(at - least))] = least
    return [np.stack([floor[i], roof[nearest[i]]]) for i in at]


def _walled(
    p: Parameters, pod: PodLines, index: int, c: ScoopCourse, floor: Floats, roof: Floats
) -> int:
    """Return the last of some ways from floor to roof (n, 2) that is walled on both sides."""
    half = p.scoops[index].width / 2
    x = np.linspace(floor[0, 0], roof[:, 0].max(), SKINS)
    skin = np.array([skin_heights(pod, c.frame, float(at), half)[1] for at in x])
    along = np.linspace(0, 1, SKINS)[:, None]
    places = floor + along[..., None] * (roof - floor)
    above = places[..., 1] - np.interp(places[..., 0], x, skin)
    open_ = np.nonzero(np.any(above < -0.5 * pod.wall, axis=0))[0]
    return max(int(open_[0]) - 1, 1) if len(open_) else len(floor) - 1


def _closed_share(p: Parameters, pod: PodLines, index: int, c: ScoopCourse) -> float:
    """Return the share of the passage up to which walls stand all round it."""
    s = p.scoops[index]
    share = np.linspace(0, 1, 101)
    rows = passage_rows(p, index, c, share)
    for i, x in enumerate(rows.x):
        _, high = skin_heights(pod, c.frame, float(x), s.width / 2)
        floor = float(rows.middle[i] - rows.half_height[i])
        if floor < high - 0.5 * pod.wall:
            return max(0.9 * float(share[max(i - 1, 0)]), 0.05)
    return 0.9


def _mirrored_route(route: Passage, name: str) -> Passage:
    def flip(v: Vec3) -> Vec3:
        return (v[0], -v[1], v[2])

    def other(o: Opening) -> Opening:
        label = o.name.replace(route.name, name)
        plane = Plane(flip(o.plane.origin), flip(o.plane.normal))
        return replace(o, name=label, plane=plane, seed=flip(o.seed))

    throats = tuple(other(o) for o in route.throats)
    return Passage(name, other(route.mouth), throats, flip(route.into_bay), route.fan)

"""Runs of points in a view: sampled closely, doubled stretches dropped, chained end to end."""

import numpy as np
from scipy.spatial import cKDTree

from geomgen.arrays import Floats, Ints

# Lines that differ by a larger angle than this cross rather than double [cosine].
ALONG = np.cos(np.radians(15.0))


def spaced(points: Floats, step: float) -> Floats:
    """Return points (n, d) with more between them, so that none are further apart than `step` [mm].

    >>> spaced(np.array([[0.0, 0.0], [3.0, 0.0]]), 1.0)[:, 0].tolist()
    [0.0, 1.0, 2.0, 3.0]
    """
    ahead = np.diff(points, axis=0)
    many = np.maximum(1, np.ceil(np.linalg.norm(ahead, axis=1) / step - 1e-9)).astype(np.int64)
    owner = np.repeat(np.arange(len(many)), many)
    share = (np.arange(int(many.sum())) - np.repeat(np.cumsum(many) - many, many)) / many[owner]
    return np.vstack([points[:-1][owner] + share[:, None] * ahead[owner], points[-1:]])


def chained(runs: list[Floats], within: float) -> list[Floats]:
    """Return runs (n, 2) [mm] joined where one ends within `within` of where the next begins.

    Of several that could follow the straightest does. A run that comes back to its first point is
    closed by repeating it.

    >>> a, b = np.array([[0.0, 0.0], [1.0, 0.0]]), np.array([[2.0, 0.0], [1.0, 0.0]])
    >>> chained([a, b], 0.1)[0][:, 0].tolist()
    [0.0, 1.0, 2.0]
    """
    left = [run for run in runs if len(run) > 1]
    if len(left) < 2:
        return left
    ends = np.array([(run[0], run[-1]) for run in left]).reshape(-1, 2)
    tree = cKDTree(ends)
    used = np.zeros(len(left), dtype=bool)
    order = sorted(range(len(left)), key=lambda i: (-_length(left[i]), i))
    found = []
    for i in order:
        if used[i]:
            continue
        used[i] = True
        run = left[i]
        for _ in range(2):
            run = _grown(run, left, tree, used, within)[::-1]
        found.append(run)
    return found


def _grown(
    run: Floats, left: list[Floats], tree: cKDTree, used: np.ndarray, within: float
) -> Floats:
    """Return a run with all that follow on from its end."""
    parts = [run]
    while True:
        tip = parts[-1]
        away = _heading(tip[::-1])
        best, choice = -0.5, None
        for place in tree.query_ball_point(tip[-1], within):
            number, at_end = divmod(place, 2)
            if used[number]:
                continue
            follower = left[number][::-1] if at_end else left[number]
            straight = -float(away @ _heading(follower))
            if straight > best:
                best, choice = straight, (number, follower)
        if choice is None:
            return np.vstack([parts[0], *(part[1:] for part in parts[1:])])
        used[choice[0]] = True
        parts.append(choice[1])


def _heading(run: Floats) -> Floats:
    """Return the direction in which a run leaves its first point."""
    ahead = run[1:] - run[0]
    size = np.linalg.norm(ahead, axis=1)
    far = int(np.argmax(size > 1e-6))
    return np.asarray(ahead[far] / max(float(size[far]), 1e-12))


def _length(run: Floats) -> float:
    return float(np.linalg.norm(np.diff(run, axis=0), axis=1).sum())


def without_doubles(runs: list[Floats], within: float) -> list[tuple[int, Floats]]:
    """Return the stretches of runs (n, 2) [mm] that no earlier run covers within `within` [mm].

    A run that goes back on itself, as a ring seen from its edge, keeps its first half. With each
    stretch comes the place of its run. Runs must be sampled about as closely as one another.

    >>> twice = np.array([[0.0, 0.0], [1.0, 0.0], [2.0, 0.0]])
    >>> [(i, len(kept)) for i, kept in without_doubles([twice, twice[::-1]], 0.1)]
    [(0, 3)]
    """
    if not runs:
        return []
    start = np.concatenate([run[:-1] for run in runs])
    ahead = np.concatenate([np.diff(run, axis=0) for run in runs])
    many = np.array([len(run) - 1 for run in runs])
    owner = np.repeat(np.arange(len(runs)), many)
    long = np.linalg.norm(ahead, axis=1)
    covered = _covered(start, ahead, long, owner, within) | (long < 1e-9)
    found, first = [], 0
    for place, run in enumerate(runs):
        keep = ~covered[first : first + len(run) - 1]
        first += len(run) - 1
        steps = np.flatnonzero(np.diff(np.concatenate([[0], keep.astype(int), [0]])))
        found += [(place, run[a : b + 1]) for a, b in zip(steps[::2], steps[1::2], strict=True)]
    return found


def _covered(start: Floats, ahead: Floats, long: Floats, owner: Ints, within: float) -> np.ndarray:
    """Return which steps lie on earlier ones at three places along them."""
    middle = start + 0.5 * ahead
    reach = float(long.max(initial=0.0)) + within
    pairs = cKDTree(middle).query_pairs(reach, output_type="ndarray")
    step, other = pairs.max(axis=1), pairs.min(axis=1)
    unit = ahead / np.maximum(long, 1e-12)[:, None]
    travelled = np.cumsum(long)
    apart = travelled[step] - long[step] - travelled[other]
    kept = (owner[other] != owner[step]) | (apart > 4 * within)
    kept &= np.abs((unit[other] * unit[step]).sum(axis=1)) > ALONG
    step, other = step[kept], other[kept]
    found = np.ones(len(start), dtype=bool)
    for share in (0.1, 0.5, 0.9):
        points = start[step] + share * ahead[step]
        near = _to_step(points, start[other], ahead[other], long[other]) <= within
        found &= np.bincount(step[near], minlength=len(start)) > 0
    return found


def _to_step(points: Floats, start: Floats, ahead: Floats, long: Floats) -> Floats:
    share = ((points - start) * ahead).sum(axis=1) / np.maximum(long, 1e-12) ** 2
    foot = start + np.clip(share, 0.0, 1.0)[:, None] * ahead
    return np.asarray(np.linalg.norm(points - foot, axis=1))

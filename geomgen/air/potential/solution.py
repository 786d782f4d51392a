"""The flow about panels: doublets such that there is no disturbance inside the bodies.

Sources take away what flows through the surface, seen from inside (Morino and Kuo 1974; Katz and
Plotkin, Low-Speed Aerodynamics), so doublets are the disturbance's potential outside, and their
slopes along the surface are speeds. All onsets are solved for together; every state is a sum of
them.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.linalg import lu_factor, lu_solve
from scipy.spatial import cKDTree

from geomgen.air.potential.disc import Disc, head_of
from geomgen.air.potential.flow import Flow
from geomgen.air.potential.gradients import Slopes, slopes
from geomgen.air.potential.influence import THREADS, potentials
from geomgen.air.potential.onsets import Breathing, Onset
from geomgen.air.potential.panels import Panels
from geomgen.air.potential.wakes import Wake, felt, parted, unmixed, wake, wash, washed_by
from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError

# More unknowns than these are solved step by step: from here on that takes less time (RESULTS.md).
DIRECT = 3000
# What is not found by steps is solved at once after all, in the room of its matrix, up to this
# many: 1.8 GB. Own choice.
MOST = 15_000
# Residuals over what is given: potentials were then 1e-9 of the largest off. Own choice, as steps.
EXACT = 1e-10
STEPS = 100
SLICE = 1000
# Panels whose middles are nearer [mm] stand in one place: their equations are one. Own choice.
SAME = 1e-6


@dataclass(frozen=True)
class Solution:
    """What each onset of strength 1 does: `names` (k) in the order of the last axes.

    `doublets` (n, k) and `jumps` (t, k) of the wake's strips [mm m/s], `sources` (n, k), `onset`
    (n, 3, k) and that with the wakes that are taken as speeds, `washed` (n, 3, k) [m/s].
    """

    panels: Panels
    wake: Wake
    onsets: tuple[Onset, ...]
    names: tuple[str, ...]
    doublets: Floats
    jumps: Floats
    sources: Floats
    onset: Floats
    washed: Floats
    slopes: Slopes

    @cached_property
    def speeds(self) -> Floats:
        """Speeds along the surface (n, 3, k) [m/s] of each onset."""
        return self.slopes.speeds(self.doublets, self.washed)

    def flow(self, strengths: Mapping[str, float]) -> Flow:
        """Return the flow of onsets at strengths [m/s, or rad/s for pitching]; 0 if not named."""
        unknown = set(strengths) - set(self.names)
        if unknown:
            raise GeometryError(
                f"no onset called {', '.join(sorted(unknown))}; there are {', '.join(self.names)}",
                step="flow",
            )
        each = np.array([float(strengths.get(name, 0.0)) for name in self.names])
        discs = [isinstance(onset, Disc) for onset in self.onsets]
        discs += [False] * (len(each) - len(discs))
        still = np.where(discs, 0.0, each)
        stream = self.onset @ still
        flown = tuple(zip(self.onsets, each[: len(self.onsets)].tolist(), strict=True))
        return Flow(
            self.panels,
            self.wake,
            flown,
            self.speeds @ each,
            self.washed @ each,
            stream,
            head_of(flown, self.panels.spots),
            self.slopes.doubtful,
            self.doublets @ each,
            self.jumps @ each,
            self.sources @ each,
        )


def solved(
    panels: Panels,
    onsets: Sequence[Onset],
    breathing: Sequence[Breathing] = (),
    *,
    wake_along: tuple[float, float, float] = (1.0, 0.0, 0.0),
    washed: Collection[str] = (),
    threads: int = THREADS,
    direct: int = DIRECT,
) -> Solution:
    """Return what each onset and each mouth of strength 1 does to panels, all solved together.

    `wake_along` [1] is where wakes run. `washed` bodies take others' wakes as speeds;
    of the rest one that would run into a tailplane at the wing's height is refused: the mean
    attack takes it past. `threads` more than 1 only where threads are allowed. More than `direct`
    panels are solved step by step, or at once where that finds no end.
    """
    names = tuple(each.name for each in onsets) + tuple(each.name for each in breathing)
    if len(set(names)) != len(names) or not names:
        raise GeometryError("onsets and mouths need names of their own, one at least", step="flow")
    _none_in_one_place(panels)
    trail = wake(panels, np.array(wake_along), threads, washed)
    onset = _onset(panels, onsets, len(names))
    sources = -np.einsum("nd,ndk->nk", panels.normals, onset)
    for place, mouth in enumerate(breathing, len(onsets)):
        sources[:, place] += _through(mouth, panels)
    own = np.arange(len(panels))
    who = washed_by(panels, trail, washed)
    washing = wash(panels, trail, who, threads)
    against = -np.einsum("nd,ndt->nt", panels.normals, washing)
    matrix, both = potentials(
        panels, panels.spots, np.concatenate([sources, against], axis=1), own, threads=threads
    )
    given, answered = both[:, : len(names)].copy(), both[:, len(names) :]
    alone = unmixed(panels, trail, who)
    strips = (felt(trail, panels.spots, panels.mirrored, threads) * ~who + answered) @ alone
    # The potential differs along the surface between the edge and its panels' centres (Morino).
    between = panels.spots[trail.last] - panels.spots[trail.first]
    there = 0.5 * (onset[trail.last] + onset[trail.first])
    step = np.einsum("td,tdk->tk", between, there)
    given += strips @ step
    for column, (first, last) in enumerate(zip(trail.first, trail.last, strict=True)):
        matrix[:, last] += strips[:, column]
        matrix[:, first] -= strips[:, column]
    doublets = None if len(panels) <= direct else _by_steps(panels, matrix, -given)
    if doublets is None:
        doublets = _at_once(matrix, -given)
    jumps = alone @ (doublets[trail.last] - doublets[trail.first] + step)
    taken = np.asarray(who.any(axis=1))
    cut = parted(panels, trail) & ~taken[:, None, None]
    return Solution(
        *(panels, trail, tuple(onsets), names, doublets, jumps),
        *(sources + against @ jumps, onset, onset + washing @ jumps, slopes(panels, cut)),
    )


def _none_in_one_place(panels: Panels) -> None:
    apart, near = cKDTree(panels.spots).query(panels.spots, k=2)
    # A panel's nearest is itself, or the other one of two in one place.
    at = int(np.argmin(apart[:, 1]))
    if apart[at, 1] < SAME:
        one, other = (panels.names[panels.body[i]] for i in sorted(near[at]))
        raise GeometryError(
            f"panels of {one} and {other} stand in one place: look for a part that is there twice",
            step="flow",
        )


def _onset(panels: Panels, onsets: Sequence[Onset], count: int) -> Floats:
    onset = np.zeros((len(panels), 3, count))
    for place, each in enumerate(onsets):
        onset[:, :, place] = each.at(panels.spots)
    return onset


def _through(mouth: Breathing, panels: Panels) -> Floats:
    if mouth.through.shape != (len(panels),) or not mouth.through.any():
        raise GeometryError("a mouth needs panels, marked among all of them", part=mouth.name)
    return mouth.through.astype(float)


def _at_once(matrix: Floats, given: Floats) -> Floats:
    # The rows' order is numpy's, the library's the other one: solve the transposed in place.
    factors = lu_factor(matrix.T, overwrite_a=True, check_finite=False)
    return np.asarray(lu_solve(factors, given, trans=1, check_finite=False))


def _by_steps(panels: Panels, matrix: Floats, given: Floats) -> Floats | None:
    """Solve all columns together by least residuals (block GMRES); None where that finds no end.

    What is side by side is solved beforehand, on the right: a residual is the equations' own. From
    the left it was a weighted one, and a solution that was found did not pass for one.
    """
    parts = [(of, lu_factor(matrix[np.ix_(of, of)])) for of in _side_by_side(panels)]

    def before(columns: Floats) -> Floats:
        out = np.empty_like(columns)
        for of, factors in parts:
            out[of] = lu_solve(factors, columns[of], check_finite=False)
        return out

    k = given.shape[1]
    sizes = np.linalg.norm(given, axis=0)
    tried, first = np.linalg.qr(given)
    basis, turned = [tried], np.zeros(((STEPS + 1) * k, STEPS * k))
    due = np.zeros(((STEPS + 1) * k, k))
    due[:k] = first
    for step in range(1, STEPS + 1):
        new, here = matrix @ before(basis[-1]), slice((step - 1) * k, step * k)
        for _ in range(2):  # once leaves what rounding mixes
            for place, each in enumerate(basis):
                share = each.T @ new
                turned[place * k : (place + 1) * k, here] += share
                new -= each @ share
        new, turned[step * k : (step + 1) * k, here] = np.linalg.qr(new)
        basis.append(new)
        so_far, rows = turned[: (step + 1) * k, : step * k], due[: (step + 1) * k]
        shares = np.linalg.lstsq(so_far, rows, rcond=None)[0]
        if (np.linalg.norm(rows - so_far @ shares, axis=0) <= EXACT * sizes).all():
            found = before(np.concatenate(basis[:-1], axis=1) @ shares)
            left = np.linalg.norm(matrix @ found - given, axis=0)
            return found if (left <= 2 * EXACT * sizes).all() else None
    if len(panels) <= MOST:
        return None
    raise GeometryError(
        f"the flow about {len(panels)} panels was not found in {STEPS} steps; look for "
        "panels of two bodies in one place",
        step="flow",
    )


def _side_by_side(panels: Panels) -> list[Ints]:
    """Return slices of each body across the span: both skins of a wing are in one."""
    slices: list[Ints] = []
    for index in np.unique(panels.body):
        of = np.flatnonzero(panels.body == index)
        of = of[np.argsort(panels.spots[of, 1], kind="stable")]
        slices += np.array_split(of, -(-len(of) // SLICE))
    return slices

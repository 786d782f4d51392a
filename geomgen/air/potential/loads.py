"""Forces on bodies: from the pressure on panels, and from what the wakes carry away.

The lift by the wake's circulation (Kutta and Joukowski) and the induced drag in a plane far behind
(Trefftz) need no fine panels at the nose of a section; the drag by pressure does, and is not to be
used where there is no other: it is a small difference of large pressures.
"""

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from geomgen.air.potential.flow import Flow
from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError

MM2 = 1e-6  # [m2]
# A right angle between two panels counts as so many of their sizes: own choice.
FACING = 4.0
BOTH = np.array([2.0, 0.0, 2.0])
BOTH_MOMENTS = np.array([0.0, 2.0, 0.0])


@dataclass(frozen=True)
class PressureLoads:
    """Forces (bodies, 3) [N] and moments (bodies, 3) [N mm], both sides together."""

    names: tuple[str, ...]
    forces: Floats
    moments: Floats

    @property
    def force(self) -> Floats:
        """The force (3,) [N] on all bodies."""
        return np.asarray(self.forces.sum(axis=0))

    @property
    def moment(self) -> Floats:
        """The moment (3,) [N mm] of all bodies."""
        return np.asarray(self.moments.sum(axis=0))


@dataclass(frozen=True)
class WakeLoads:
    """What wakes tell: `force` (3,) [N] by circulation, `induced_drag` [N].

    `circulation` (t,) [m2/s] of strips whose middles are `middles` (t, 3) [mm], of one side.
    """

    force: Floats
    induced_drag: float
    circulation: Floats
    middles: Floats


def pressure_loads(flow: Flow, density: float, about: tuple[float, float, float]) -> PressureLoads:
    """Return the air's pressure on each body, in air of a density [kg/m3], about a place [mm].

    What breathes bears the momentum of the air through it, too. The pressure is that over the
    still air's, so that an opening counts as if the still air's pressure stood inside.
    """
    panels = flow.panels
    through = flow.through[:, None]
    out = through * panels.normals
    pressure = flow.pressure[_stand_ins(flow)]
    push = -pressure[:, None] * panels.normals - through * (flow.velocity + out)
    each = density * MM2 * panels.areas[:, None] * push
    turn = np.cross(panels.centres - np.array(about), each)
    forces, moments = np.zeros((len(panels.names), 3)), np.zeros((len(panels.names), 3))
    np.add.at(forces, panels.body, each)
    np.add.at(moments, panels.body, turn)
    if panels.mirrored:
        forces, moments = forces * BOTH, moments * BOTH_MOMENTS
    return PressureLoads(panels.names, forces, moments)


def _stand_ins(flow: Flow) -> Ints:
    """Return whose pressure (n,) counts: of doubtful panels that of the nearest sure one like it.

    A panel that a wake or another body cuts has no slope of its own; taken as it is, it gave a boom
    through a wing half the wing's lift.
    """
    panels = flow.panels
    who = np.arange(len(panels))
    for index in np.unique(panels.body):
        of = panels.body == index
        sure, odd = np.flatnonzero(of & ~flow.doubtful), np.flatnonzero(of & flow.doubtful)
        if len(sure) and len(odd):
            size = float(np.median(panels.whole.diameters[of]))
            at = np.concatenate([panels.spots / size, FACING * panels.normals], axis=1)
            who[odd] = sure[cKDTree(at[sure]).query(at[odd])[1]]
    return who


def wake_loads(flow: Flow, density: float) -> WakeLoads:
    """Return the lift and the induced drag that the wakes tell, in air of a density [kg/m3].

    Where a trailing edge is hidden in another body its strip counts as that body's lift. Where the
    wakes of two wings lie in one plane far behind, strips of one run into borders of the other's,
    and the induced drag is worth nothing.
    """
    trail, ends = flow.wake, flow.wake.ends
    along = ends[:, 1] - ends[:, 0]
    force = density * MM2 * np.einsum("t,td->d", flow.jumps, np.cross(flow.stream, along))
    drag = -0.5 * density * MM2 * float(flow.jumps @ _flux(flow))
    if flow.panels.mirrored:
        force, drag = force * BOTH, 2.0 * drag
    circulation = flow.jumps / 1000.0
    return WakeLoads(force, drag, circulation, trail.ends.mean(axis=1))


def _flux(flow: Flow) -> Floats:
    """Return the flow (t,) [mm m/s] through each strip's width far behind, over its plus side."""
    d, ends = flow.wake.along, flow.wake.ends
    a, b = (ends[:, k] - np.outer(ends[:, k] @ d, d) for k in (0, 1))
    at = _asked(a, b)
    speed = _pairs(at, a, b, flow.jumps, d)
    if flow.panels.mirrored:
        other = np.array([1.0, -1.0, 1.0])
        speed += _pairs(at * other, a, b, flow.jumps, d) * other
    return np.asarray(np.einsum("td,td->t", speed, np.cross(d, b - a)))


def _pairs(at: Floats, a: Floats, b: Floats, jumps: Floats, along: Floats) -> Floats:
    """Return the speed (p, 3) [m/s] of the pairs of endless vortices at strips' ends."""
    speed = np.zeros_like(at)
    for ends, sign in ((b, 1.0), (a, -1.0)):
        off = at[:, None] - ends[None]
        r2 = np.einsum("ptd,ptd->pt", off, off)
        turn = np.cross(along, off) / np.maximum(r2, 1e-12)[..., None]
        speed += sign * np.einsum("t,ptd->pd", jumps, turn) / (2 * np.pi)
    return speed


def _asked(a: Floats, b: Floats) -> Floats:
    """Return where to ask strips, as `Panels.spots` does: middles as their widths grow."""
    width = np.linalg.norm(b - a, axis=1)
    joined = np.linalg.norm(a[1:] - b[:-1], axis=1) < 1e-6 * width.max(initial=0.0)
    before, after = np.full(len(a), np.nan), np.full(len(a), np.nan)
    before[1:][joined], after[:-1][joined] = width[:-1][joined], width[1:][joined]
    lone = np.isnan(before) & np.isnan(after)
    before, after = np.where(lone, width, before), np.where(lone, width, after)
    first = np.where(np.isnan(before), 2 * width - after, before)
    last = np.where(np.isnan(after), 2 * width - before, after)
    share = 0.5 + np.clip((first - last) / 16.0 / np.maximum(width, 1e-30), -0.3, 0.3)
    return np.asarray(a + share[:, None] * (b - a))


def drag_and_lift(force: Floats, flow: Flow) -> tuple[float, float]:
    """Return a force (3,) [N] along the free stream and across it, up."""
    speed = float(np.linalg.norm(flow.stream))
    if speed == 0:
        raise GeometryError("without a free stream there is no drag and no lift", step="loads")
    wind = flow.stream / speed
    up = np.array([-wind[2], 0.0, wind[0]])
    return float(force @ wind), float(force @ up / np.linalg.norm(up))

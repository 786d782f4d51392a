"""How far the machine banks over a main wheel whose tyre is flat until a part touches the ground.

It rolls on over that tyre and the nose or tail wheels, which stay on the ground: the axis that the
overturn angle goes by. All tyres are as built, drawn up by what gives way.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import asin, cos, degrees, inf, radians, sin

import numpy as np
from scipy.optimize import brentq

from geomgen.arrays import Floats
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Strut, vec
from geomgen.measurements.answers import missing, said_no
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Subject

ID = "ground.bank_angle"
# Turned so far at most, the ground at most so steep along the axis [deg]: own choice.
FAR, STEEP, STEP = 60.0, 45.0, 0.01
NO_GROUND = (
    f"no ground up to {STEEP:g} deg steep touches the tyres all the way over: the wheels stand too "
    "near each other, or too unlike in height"
)
METHOD = (
    "corners of all meshes but the propeller's over the plane that touches the tyres' meshes, each "
    "drawn up by what tyre and strut give way under the static load, the flat one further; legs as "
    f"built; nose or tail wheels stay on the ground; looked for up to {FAR:g} deg"
)


@dataclass(frozen=True)
class Banking:
    """Tyres (n, 3) [mm] of the flat side's mains, of nose and tail, of the other mains; the side.

    `side` is 1 where it banks to the right, -1 to the left.
    """

    near: Floats
    third: Floats
    other: Floats
    side: float

    @cached_property
    def axis(self) -> Floats:
        """The way (3,) [1] from the flat side's mains to the outermost other wheel, in plan."""
        way = self.third[int(np.argmax(self.side * self.third[:, 1]))] - self.near.mean(axis=0)
        way[2] = 0.0
        return np.asarray(way / np.linalg.norm(way))

    def ground(self, turn: float) -> tuple[Floats, float] | None:
        """Return normal (3,) and height [mm] of the ground that has turned about that axis [deg].

        None where no plane touches the tyres at both ends of the axis.
        """

        def apart(pitch: float) -> float:
            normal = self._normal(turn, pitch)
            return float((self.near @ normal).min() - (self.third @ normal).min())

        pitch = _root(apart, -STEEP, STEEP)
        if pitch is None:
            return None
        normal = self._normal(turn, pitch)
        return normal, float((self.near @ normal).min())

    def _normal(self, turn: float, pitch: float) -> Floats:
        out = np.array([self.axis[1], -self.axis[0], 0.0])
        out *= self.side * np.sign(out[1])
        lean, up = radians(turn), radians(pitch)
        upright = np.array([0.0, 0.0, 1.0])
        return np.asarray(cos(up) * (cos(lean) * upright - sin(lean) * out) + sin(up) * self.axis)

    def bank(self, turn: float) -> float:
        """Return how far the machine leans to its side [deg] over the ground that turned so far."""
        normal, _ = self.ground(turn) or (np.zeros(3), 0.0)
        return degrees(asin(-self.side * float(normal[1])))

    def lowest(self, points: Floats, turn: float) -> float:
        """Return how high the lowest of points (n, 3) stands over that ground [mm]."""
        found = self.ground(turn)
        return float("nan") if found is None else float((points @ found[0]).min() - found[1])


def _root(f: Callable[[float], float], low: float, high: float) -> float | None:
    """Return where a function of one unit changes its sign; None where it has one sign."""
    ends = f(low), f(high)
    if not np.isfinite(ends).all() or ends[0] * ends[1] > 0.0:
        return None
    return float(brentq(f, low, high, xtol=1e-7))


def _questions(model: Model, boxes: Mapping[str, Box]) -> Iterator[MeasurementQuestion]:
    struts = [s for s in model.struts if s.wheel in boxes and s.wheel in model.wheels]
    thirds = [s for s in struts if model.wheels[s.wheel] != "main"]
    rest = tuple(n for n in boxes if n not in model.wheels and n not in model.rotating)
    for flat in struts if thirds and rest else ():
        if model.wheels[flat.wheel] == "main" and flat.axle[1] != 0.0:
            yield _over(model, struts, flat, rest)


def _over(
    model: Model, struts: Sequence[Strut], flat: Strut, rest: tuple[str, ...]
) -> MeasurementQuestion:
    side = 1.0 if flat.axle[1] > 0.0 else -1.0
    roles = {s.wheel: model.wheels[s.wheel] for s in struts}
    wheels = tuple(roles)

    def ask(given: Given) -> Answer:
        rows: dict[str, list[Floats]] = {"near": [], "third": [], "other": []}
        for s in struts:
            up = dict(s.rises).get("standing", 0.0) + (s.flat if s is flat else 0.0)
            tyre = given.bodies[s.wheel].mesh.vertices + np.array([0.0, 0.0, up])
            main = roles[s.wheel] == "main"
            rows["third" if not main else "near" if side * s.axle[1] > 0.0 else "other"].append(
                tyre
            )
        if not rows["other"]:
            return None
        near, third, other = (np.concatenate(rows[k]) for k in ("near", "third", "other"))
        banking = Banking(near, third, other, side)
        off = max(given.bodies[w].deviation for w in wheels)
        return _touching(banking, given, rest, off, flat.wheel)

    return MeasurementQuestion(
        _asked(flat.wheel), ask, (), (*wheels, *rest), (), (struts, flat, roles), weight=1.0
    )


def _asked(wheel: str) -> str:
    return f"bank over the flat {wheel}"


def _touching(
    banking: Banking, given: Given, rest: Sequence[str], tyre: float, flat: str
) -> Answer:
    """Return the further bank [deg] at which a part touches, which, where, how sure."""
    stands = _root(lambda turn: banking.lowest(banking.other, turn), -STEEP, STEEP)
    if stands is None or banking.ground(stands + FAR) is None:
        return {"part": flat, "refused": NO_GROUND}
    points = np.concatenate([given.bodies[n].mesh.vertices for n in rest])
    ends = np.cumsum([len(given.bodies[n].mesh.vertices) for n in rest])
    now, on = _heights(banking, points, stands), _heights(banking, points, stands + STEP)
    falls = points[on < now]
    touch = None
    if len(falls):
        touch = _root(lambda turn: banking.lowest(falls, turn), stands - STEEP, stands + FAR)
    turn = stands + FAR if touch is None else touch
    # What is in the ground before it banks is there, wherever it stands.
    sunk = float(now.min()) < 0.0 and turn > stands
    turn = stands if sunk else turn
    high = now if sunk else np.where(on < now, _heights(banking, points, turn), np.inf)
    k = int(np.argmin(high))
    name = rest[int(np.searchsorted(ends, k, side="right"))]
    normal, _ = banking.ground(turn) or (np.zeros(3), 0.0)
    return {
        "bank": banking.bank(turn) - banking.bank(stands),
        "stands": banking.bank(stands),
        "part": "" if touch is None and not sunk else name,
        "sunk": sunk,
        "at": points[k].tolist(),
        "foot": (points[k] - high[k] * normal).tolist(),
        "error": _error(banking, points[[k]], (stands, turn), tyre, given.bodies[name].deviation),
    }


def _heights(banking: Banking, points: Floats, turn: float) -> Floats:
    normal, height = banking.ground(turn) or (np.zeros(3), 0.0)
    return np.asarray(points @ normal - height)


def _error(
    banking: Banking, point: Floats, turns: tuple[float, float], tyre: float, part: float
) -> float:
    """Return how far the bank may be off [deg]: what meshes are off, over how fast heights go."""

    def slope(points: Floats, turn: float) -> float:
        return abs(banking.lowest(points, turn + STEP) - banking.lowest(points, turn)) / STEP

    stands, turn = turns
    steep = slope(point, turn), slope(banking.other, stands)
    # The tyre that it rolls over and the one in front or behind each put the ground off.
    return (part + 2.0 * tyre) / max(steep[0], 1e-6) + 3.0 * tyre / max(steep[1], 1e-6)


def _said(by: Answered) -> list[Measurement]:
    found: dict[str, tuple[float, str, Answer]] = {}
    for strut in by.model.struts:
        answer = by.answers.get(_asked(strut.wheel))
        side = "right" if strut.axle[1] > 0.0 else "left"
        if answer is None:
            continue
        # Of two mains on a side, one that is not known leaves the lesser bank unknown.
        bank = -inf if said_no(answer) else answer["bank"]
        if side not in found or bank < found[side][0]:
            found[side] = (bank, strut.wheel, answer)
    return [_record(side, wheel, answer) for side, (_, wheel, answer) in found.items()]


def _record(side: str, wheel: str, answer: Answer) -> Measurement:
    if said_no(answer):
        return missing(f"{ID}.{side}", "deg", answer)
    note = f"on the flat tyre of {wheel} it leans {answer['stands']:.1f} deg before it banks"
    if answer["sunk"]:
        note += f"; {answer['part']} is in the ground then already"
    if not answer["part"]:
        note += "; nothing touches so far over"
    at = vec(answer["at"])
    return Measurement(
        f"{ID}.{side}",
        answer["part"],
        f"bank to the {side}, from standing on that side's flat tyre until a part touches",
        float(answer["bank"]),
        "deg",
        METHOD,
        float(answer["error"]),
        f"{answer['part']} at {place(at)}" if answer["part"] else "",
        (at, vec(answer["foot"])) if answer["part"] else (),
        note,
    )


BANK = Subject(_questions, _said)

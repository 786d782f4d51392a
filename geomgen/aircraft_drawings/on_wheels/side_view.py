"""The standing machine from its left: attitudes, angles to the centre, clearances, sight."""

from collections.abc import Iterator
from math import atan2, degrees, radians, sin

import numpy as np

from geomgen.aircraft_drawings.on_wheels.attitudes import Attitude, GroundLine, side_line
from geomgen.aircraft_drawings.on_wheels.pilot_outline import pilot_outline
from geomgen.aircraft_drawings.on_wheels.placing import (
    AngleLeg,
    DrawingBoard,
    angle_tries,
    length_tries,
    names_along,
)
from geomgen.aircraft_drawings.on_wheels.seen_from import StandingMachine, cross, least_and_most
from geomgen.aircraft_drawings.on_wheels.stance import NOSE, LoadedCentre
from geomgen.drafting.record import CENTRE, REF, Dimension, Drawing, Path, Point, line
from geomgen.kernel.plain import Vec3, vec

TIP_BACK, TOUCH, DOWN = "gear.tip_back_angle", "gear.tail_touch", "gear.tail_down_angle"
AHEAD, SIGHT = "gear.mains_ahead_of_cg.", "sight.over_nose."
# How far a ground line stands over the machine and how deep one may dive, over the letters' height.
OVER, DIVE = 1.6, 7.0
# How deep the wheel base stands under the ground, over the height of the letters.
UNDER = 9.0
# How far sight and horizon run on beyond the nose, over the height of the letters.
BEYOND = 9.0
# Angles smaller than this can't be drawn [deg]: the table has them.
NONE = 0.5
Mark = tuple[str, LoadedCentre]


class SideView:
    """The view from the left at one height of letters [mm]."""

    def __init__(self, machine: StandingMachine, paths: tuple[Path, ...], letters: float) -> None:
        self.machine, self.letters = machine, letters
        self.look = machine.looks["side"]
        self.low, self.high = Drawing("", paths).box()
        self.seen = [one for one in machine.attitudes if not one.rolled and not one.same]
        self.lines = {one.letter: side_line(machine.stance, one) for one in self.seen}
        self.ends = {one.letter: self._ends(self.lines[one.letter]) for one in self.seen}
        self.stands = self.seen[0]
        own = (*self._grounds(), *self._centre_lines(), *self._touching(), *self._sight_lines())
        pilot = pilot_outline(machine.measures.model.pilot, self.look)
        self.board = DrawingBoard(Drawing("side", (*paths, *pilot, *own)), letters)

    def drawn(self) -> DrawingBoard:
        """Return the view with its dimensions and names."""
        self.board.dimension(self._wheel_base())
        for ways, corner, words, id_ in self._to_centres():
            self.board.angle_with_legs(ways, corner, words, id_)
        for tries in (*self._angles(), *self._clearances()):
            self.board.dimension(tries)
        self._names()
        return self.board

    # Lines -----------------------------------------------------------------------------------

    def _ends(self, ground: GroundLine) -> tuple[float, float]:
        """Return how far a ground line runs ahead and aft [mm], no deeper than is of use."""
        over, slope = OVER * self.letters, sin(radians(ground.way))
        runs = [ground.run_to(self.low[0] - over), ground.run_to(self.high[0] + over)]
        floor = self._floor() - DIVE * self.letters
        for i, run in enumerate(runs):
            if ground.at(run)[1] < floor:
                runs[i] = (floor - ground.through[1]) / slope
        return runs[0], runs[1]

    def _floor(self) -> float:
        stance = self.machine.stance
        return float(np.array(stance.ground.plane.origin) @ stance.axes[2])

    def _grounds(self) -> Iterator[Path]:
        for letter, ground in self.lines.items():
            a, b = (ground.at(run) for run in self.ends[letter])
            yield line(a, b, REF, f"ground {letter}")

    @property
    def _foot(self) -> Point:
        return self.look.flat(self._mean(self.machine.stance.mains))

    @staticmethod
    def _mean(points: np.ndarray) -> Vec3:
        return vec(points.mean(axis=0))

    def _centre_lines(self) -> Iterator[Path]:
        machine = self.machine
        for centre in machine.fore_and_aft:
            yield from cross(self.look.flat(centre.at), self.letters, "centre of gravity")

    def _to_centres(self) -> list[tuple[tuple[float, float], Point, str, str]]:
        """Return both ways [deg], corner [mm], words and check of each angle at the mains."""
        machine, stance = self.machine, self.machine.stance
        centres, corner = machine.centres, self.look.flat(stance.upright_foot())
        if centres and machine.known(TIP_BACK) and stance.third == NOSE:
            centre = least_and_most(centres, [stance.tip_back(c) for c in centres])[0]
            # A centre behind the mains has it on its tail already.
            words = "TIP-BACK " if stance.tip_back(centre) >= 0.0 else "CENTRE BEHIND MAINS "
            return [(self._ways(self._foot, 90.0, centre), self._foot, words, TIP_BACK)]
        if not centres or not machine.known(f"{AHEAD}least") or stance.third == NOSE:
            return []
        both = least_and_most(centres, [stance.mains_ahead(c) for c in centres])
        up = 90.0 - stance.nose_up
        found = []
        for centre, end in zip(both, ("least", "most"), strict=True):
            way = "AHEAD" if stance.mains_ahead(centre) >= 0.0 else "BEHIND"
            words = f"MAINS {way} {end.upper()} "
            found.append((self._ways(corner, up, centre), corner, words, f"{AHEAD}{end}"))
        return found

    def _ways(self, corner: Point, upright: float, centre: LoadedCentre) -> tuple[float, float]:
        top = self.look.flat(centre.at)
        way = degrees(atan2(top[1] - corner[1], top[0] - corner[0]))
        return (way, upright) if (upright - way) % 360.0 < 180.0 else (upright, way)

    def _touch(self) -> tuple[GroundLine, Point] | None:
        """Return the ground turned about the mains' tyres until a part touches, and where [mm]."""
        check, stance = self.machine.checks.get(TOUCH), self.machine.stance
        if check is None or check.measured is None or not check.points:
            return None
        axle, at = self.look.flat(self._mean(stance.axles)), self.look.flat(check.points[0])
        high, (dx, dy) = axle[1] - self._floor(), (at[0] - axle[0], at[1] - axle[1])
        way = degrees(atan2(dy, dx) + np.arcsin(high / np.hypot(dx, dy)))
        return GroundLine(at, way), at

    def _touching(self) -> Iterator[Path]:
        touch = self._touch()
        corner = self.lines[self.stands.letter].meets(touch[0]) if touch else None
        if touch is not None and corner is not None:
            ground, at = touch
            on = ground.run_to(at[0] + 4 * OVER * self.letters)
            yield line(corner, ground.at(on), REF, "ground as a part touches")

    def _sights(self) -> list[tuple[str, Point, float, float]]:
        """Return of each sight over the nose its check, eye [mm], level and sight's ways [deg]."""
        found, up = [], self.machine.stance.nose_up
        ids = [(f"{SIGHT}{self.machine.stance.ground.name}", 180.0)]
        ids += [(f"{SIGHT}level", 180.0 - up)] if abs(up) > NONE else []
        for id_, level in ids:
            if not self.machine.known(id_):
                continue
            eye, at = (self.look.flat(point) for point in self.machine.checks[id_].points)
            way = degrees(atan2(at[1] - eye[1], at[0] - eye[0])) % 360.0
            found.append((id_, eye, level, way))
        return found

    def _sight_reach(self, eye: Point) -> float:
        return eye[0] - self.low[0] + BEYOND * self.letters

    def _sight_lines(self) -> Iterator[Path]:
        drawn = set()
        for _, eye, level, way in self._sights():
            yield from cross(eye, self.letters, "eye")
            for turn, name in ((way, "sight over the nose"), (level, "level through the eye")):
                if turn not in drawn:
                    end = AngleLeg(turn, self._sight_reach(eye)).end(eye)
                    yield line(eye, end, CENTRE, name)
                drawn.add(turn)

    # Dimensions ------------------------------------------------------------------------------

    def _angles(self) -> Iterator[Iterator[Dimension]]:
        touch = self._touch()
        if touch is not None and touch[0].way > NONE:
            yield self._between(touch[0], TOUCH, "TOUCHES ")
        for one in self.seen[1:]:
            name = DOWN if one.ground.name == "static" else f"nose up {one.ground.name}"
            yield self._between(self.lines[one.letter], name, f"{one.letter} ", one)
        for id_, eye, level, way in self._sights():
            yield self._sight(id_, eye, level, way)

    def _between(
        self, ground: GroundLine, name: str, prefix: str, one: Attitude | None = None
    ) -> Iterator[Dimension]:
        """Return the angle of a ground to the one that it stands on."""
        stands = self.lines[self.stands.letter]
        corner = stands.meets(ground)
        if corner is None or abs(ground.way) < NONE:
            return iter(())
        flat, own = (
            self._leg(line_, letter, corner)
            for line_, letter in (
                (stands, self.stands.letter),
                (ground, one.letter if one else None),
            )
        )
        legs = (flat, own) if ground.way > 0.0 else (own, flat)
        return self._angle(corner, legs, prefix, name)

    def _leg(self, ground: GroundLine, letter: str | None, corner: Point) -> AngleLeg:
        if letter is None:
            end = self.high[0] + 4 * OVER * self.letters
            return AngleLeg(ground.way, ground.run_to(end) - ground.run_to(corner[0]))
        ahead, aft = self.ends[letter]
        here = ground.run_to(corner[0])
        return AngleLeg(ground.way, aft - here, here - ahead)

    def _sight(self, id_: str, eye: Point, level: float, way: float) -> Iterator[Dimension]:
        down = self.machine.checks[id_].measured or 0.0
        reach = self._sight_reach(eye)
        legs = AngleLeg(level, reach), AngleLeg(way, reach)
        words = "SIGHT DOWN " if down >= 0.0 else "SIGHT UP "
        prefix = f"LEVEL: {words}" if id_.endswith(".level") else words
        return self._angle(eye, legs if down >= 0.0 else legs[::-1], prefix, id_)

    def _angle(
        self, corner: Point, legs: tuple[AngleLeg, AngleLeg], prefix: str, name: str
    ) -> Iterator[Dimension]:
        if (legs[1].way - legs[0].way) % 360.0 < NONE:
            return iter(())
        return angle_tries(corner, legs, self.letters, prefix, name)

    def _wheel_base(self) -> Iterator[Dimension]:
        third, names = self.look.flat(self._mean(self.machine.stance.others)), "wheel base"
        return length_tries(self._foot, third, 0.0, self.letters, "WHEELBASE ", names, (-1,), UNDER)

    def _clearances(self) -> Iterator[Iterator[Dimension]]:
        for one in self.seen:
            check = one.clearance
            if check is not None and check.measured is not None and check.measured > 0.0:
                a, b = (self.look.flat(point) for point in check.points)
                way = 90.0 + self.lines[one.letter].way
                yield length_tries(a, b, way, self.letters, f"{one.letter} ", check.id, (-1, 1))

    # Names -----------------------------------------------------------------------------------

    def _names(self) -> None:
        for words, centre in self._marks():
            self.board.callout(self.look.flat(centre.at), f"{words}: {centre.name}")
        for one in self.seen:
            ground, (ahead, aft) = self.lines[one.letter], self.ends[one.letter]
            ends = ground.at(ahead), ground.at(aft)
            tries = (f"{one.letter} {one.name}", one.letter)
            if not any(self.board.label(names_along(ends, t, self.letters)) for t in tries):
                self.board.missed.append(f"the name of ground {one.letter}")

    def _marks(self) -> list[Mark]:
        both = self.machine.fore_and_aft
        if len(both) == 2 and both[0].at == both[1].at:
            return [("CENTRE", both[0])]
        return list(zip(("FORWARD", "AFT"), both, strict=False))

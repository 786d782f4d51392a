"""Plain geometry that a builder of shapes publishes and a measurement reads. No kernel needed."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import hypot

Vec3 = tuple[float, float, float]


@dataclass(frozen=True)
class Plane:
    """A plane by a point [mm] and its unit normal."""

    origin: Vec3
    normal: Vec3


@dataclass(frozen=True)
class Axis:
    """A line by a point [mm] and its unit direction."""

    origin: Vec3
    direction: Vec3


@dataclass(frozen=True)
class Opening:
    """Where to measure an opening: its plane, a seed in the void, how far to look [mm].

    `joint` is the gap [mm] that the parts which bound it are stated to stand apart; a slit of no
    more than that is a joint to be sealed, a wider one is a leak.
    """

    name: str
    plane: Plane
    seed: Vec3
    reach: float
    joint: float = 0.0


@dataclass(frozen=True)
class Passage:
    """An air passage: openings in the order of the flow from mouth to bay, and where air is due.

    `mouth` is measured for the capture area, `throats` for the least area, `into_bay` is a point
    that must lie in the open bay, `fan` is the fan face (its normal along the flow through it).
    """

    name: str
    mouth: Opening
    throats: tuple[Opening, ...]
    into_bay: Vec3
    fan: Plane | None = None


@dataclass(frozen=True)
class Fitting:
    """What closes a hole of the firewall: its use, its axis, the radius that it covers [mm].

    The axis begins where the fitting is to stand in the sheet.
    """

    use: str
    axis: Axis
    radius: float


@dataclass(frozen=True)
class FlatSheet:
    """A part that is one flat sheet: its front face, the way up along it, its thickness [mm].

    The normal of `plane` points through the sheet, from the front face to the back one. Of a part
    that bends it is one flat run: `part` is that part's name, and the run lies on the sides of the
    planes `within` that their normals look to. Where its outline is cut off straight, `ends` are
    the planes of the cuts, their normals outward.
    """

    plane: Plane
    up: Vec3
    thickness: float
    part: str = ""
    within: tuple[Plane, ...] = ()
    ends: tuple[Plane, ...] = ()


@dataclass(frozen=True)
class Ground:
    """One ground attitude: the plane that stands for the ground, its normal up.

    `bottomed` names the wheel whose strut is bottomed in it, if any.
    """

    name: str
    plane: Plane
    note: str = ""
    bottomed: str = ""


@dataclass(frozen=True)
class Strut:
    """What carries a wheel: the wheel's part, the leg's if one is drawn, and how far both give way.

    `rooted_in` is the family of the part that the leg's `root` [mm] stands in. `rises` say by name
    how far the axle is drawn up [mm]; the last `travel` [mm] of the largest bottoms the strut.
    `flat` is how far the axle drops further when the tyre is flat [mm].
    """

    wheel: str
    axle: Vec3
    rises: tuple[tuple[str, float], ...] = ()
    travel: float = 0.0
    leg: str = ""
    root: Vec3 | None = None
    rooted_in: str = ""
    flat: float = 0.0


@dataclass(frozen=True)
class Limb:
    """A part of the pilot: a rod with round ends, of another radius at each end [mm].

    It is all balls between the one about `start` and the one about `end`.
    """

    name: str
    start: Vec3
    end: Vec3
    start_radius: float
    end_radius: float


@dataclass(frozen=True)
class Glass:
    """What of the pod is glazed: between two stations above the line of the sills [mm]."""

    fore: float
    aft: float
    fore_sill: float
    aft_sill: float

    def sill(self, station: float) -> float:
        """Return the waterline of the sill [mm] at a station [mm].

        >>> Glass(0.0, 400.0, 0.0, 300.0).sill(100.0)
        75.0
        """
        share = (station - self.fore) / (self.aft - self.fore)
        return self.fore_sill + share * (self.aft_sill - self.fore_sill)

    def inside(self, gap: float) -> "Glass":
        """Return what is left of it `gap` [mm] inside its edges, square to each.

        >>> Glass(0.0, 400.0, 0.0, 300.0).inside(4.0)
        Glass(fore=4.0, aft=396.0, fore_sill=8.0, aft_sill=302.0)
        """
        up = gap * hypot(1.0, (self.aft_sill - self.fore_sill) / (self.aft - self.fore))
        fore, aft = self.fore + gap, self.aft - gap
        return Glass(fore, aft, self.sill(fore) + up, self.sill(aft) + up)


@dataclass(frozen=True)
class GlazedSkin:
    """The skin [mm] that a pod has lost to the opening under its canopy, outside and inside.

    Rows run from fore to aft, each from the crown down to the sill on the right-hand side; the
    left one is its mirror.
    """

    outer: tuple[tuple[Vec3, ...], ...]
    inner: tuple[tuple[Vec3, ...], ...]


@dataclass(frozen=True)
class FlightState:
    """A state of flight: speed [m/s], lift and thrust [N], density [kg/m3].

    `through` [m3/s] is the cooling air that all mouths take in, to begin with.
    """

    name: str
    speed: float
    lift: float
    thrust: float
    density: float
    through: float = 0.0


@dataclass(frozen=True)
class Shake:
    """How far the engine on its mounts carries what turns [mm]: along the shaft, across it."""

    axial: float = 0.0
    radial: float = 0.0


@dataclass(frozen=True)
class FlatPart:
    """A part that is cut out of a sheet: the plane of one face, and its thickness [mm].

    The sheet lies on the side of the plane that its normal looks to.
    """

    part: str
    plane: Plane
    thickness: float


@dataclass(frozen=True)
class Inlay:
    """Parts that stand inside another one: what their names begin with, the family of that one."""

    name: str
    host: str


@dataclass(frozen=True)
class BoltedPlate:
    """The plate of a fitting: the face that it is bolted to, the way up along it [mm].

    The normal of `plane` points off that face; the foot stands `gap` off it, and the plate is
    `thickness` thick from there on.
    """

    plane: Plane
    up: Vec3
    thickness: float
    gap: float


@dataclass(frozen=True)
class PinJoint:
    """Where an outer wing comes off [mm]: its spar's name, hand, what it is a wing of.

    `parting` is the plane between the halves, its normal outward; the outer half slides off along
    `way`, pins stand along `pins_along` [1]. Halves and ribs stand `gap` apart, skins `skin_gap`;
    nuts `seat` short of pins' ends, openings `opening_from` beyond; the socket's sizes follow.
    """

    name: str
    hand: str
    host: str
    gap: float
    parting: Plane
    way: Vec3
    pins_along: Vec3
    skin_gap: float
    seat: float
    socket_diameter: float
    socket_length: float
    opening_from: float


@dataclass(frozen=True)
class KeptFree:
    """Room that a control needs: a box between two corners [mm], or rods along its run.

    `through` are families that it passes through or runs inside, whose openings are not drawn.
    """

    name: str
    box: tuple[Vec3, Vec3] | None = None
    rods: tuple[Limb, ...] = ()
    through: tuple[str, ...] = ()


@dataclass(frozen=True)
class HandWay:
    """A straight way of a hand's middle from outside to its place [mm].

    `through` is the sheet whose opening it must lead through, if any.
    """

    name: str
    start: Vec3
    end: Vec3
    through: str = ""


@dataclass(frozen=True)
class AssemblyPlan:
    """How parts are put together: the plane in which the pod's skin parts, if it does [mm].

    `order` and `in_place` name parts or families: put in one after the other, and built in place.
    """

    split: Plane | None = None
    order: tuple[str, ...] = ()
    in_place: tuple[str, ...] = ()


@dataclass(frozen=True)
class TankRoom:
    """The room that a tank is to have all round [mm], but to what it rests on.

    `out` is the side on which it is to come out, if any, `off` what is taken off for that.
    """

    gap: float
    rests_on: tuple[str, ...] = ()
    out: str = ""
    off: tuple[str, ...] = ()


def vec(values: Iterable[float]) -> Vec3:
    """Return three numbers [any unit], those of an array too, as a plain vector.

    >>> vec([1, 2, 3.5])
    (1.0, 2.0, 3.5)
    """
    x, y, z = map(float, values)
    return x, y, z

"""How the machine stands: its contacts with the ground, the ground's own axes, its centres."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import atan2, degrees

import numpy as np

from geomgen.aircraft_drawings.measures import STATIC, Measures
from geomgen.aircraft_drawings.views import LOOKS
from geomgen.arrays import Floats
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Ground, Vec3, vec
from geomgen.kernel.visibility.look import Look

DOWN, MAIN, NOSE, TAIL = "tail_down", "main", "nose", "tail"
UNWHEELED = "no drawing of it on its wheels: the file has no [gear]"
UNCARRIED = (
    "no drawing of it on its wheels: they do not carry it, for which there must be mains on both "
    "sides and a nose or tail wheel"
)
# A direction that leans less than this is level or upright [1].
LEVEL = 1e-9


@dataclass(frozen=True)
class LoadedCentre:
    """The centre of gravity of the machine [mm] in one loading."""

    name: str
    at: Vec3


@dataclass(frozen=True)
class OverturnAxis:
    """The axis through two contacts [mm] over which a centre of gravity falls first.

    `inward` is how far the centre stands inside of it and `up` how high over the ground [mm].
    """

    main: Vec3
    third: Vec3
    centre: LoadedCentre
    inward: float
    up: float

    @property
    def angle(self) -> float:
        """Return the angle [deg] between the ground and the line from the axis to the centre."""
        return degrees(atan2(self.up, self.inward))


@dataclass(frozen=True)
class Stance:
    """The ground under all wheels, the wheels' contacts and the mains' axles, each (n, 3) [mm].

    `third` says what is not a main wheel: nose or tail.
    """

    ground: Ground
    mains: Floats
    others: Floats
    axles: Floats
    third: str

    @property
    def axes(self) -> Floats:
        """Return aft along the ground, right and up square to it as rows (3, 3) [1]."""
        up = np.array(self.ground.plane.normal)
        aft = np.array([up[2], 0.0, -up[0]])
        aft /= np.linalg.norm(aft)
        return np.stack([aft, np.cross(up, aft), up])

    @property
    def nose_up(self) -> float:
        """Return how far the nose is up as it stands [deg]."""
        return nose_up(self.ground)

    def looks(self) -> dict[str, Look]:
        """Return the views square to the ground, the house's own where waterlines are level."""
        aft, right, up = self.axes
        if abs(up[2] - 1.0) < LEVEL**2 or np.hypot(up[0], up[1]) < LEVEL:
            return dict(LOOKS)
        port = vec(0.0 - right)
        return {
            "front": Look(port, vec(up)),
            "side": Look(vec(aft), vec(up)),
            "plan": Look(port, vec(aft)),
        }

    def along(self, place: Sequence[float]) -> Floats:
        """Return a place [mm] as aft, right and up (3,) [mm] from the mean of the mains."""
        return np.asarray(self.axes @ (np.array(place) - self.mains.mean(axis=0)))

    def tip_back(self, centre: LoadedCentre) -> float:
        """Return how far the nose can come up until a centre is over the mains [deg]."""
        aft, _, up = self.along(centre.at)
        return degrees(atan2(-aft, up))

    def upright_foot(self) -> Vec3:
        """Return where the mains stand with the waterlines level, under their axle [mm]."""
        axle = self.axles.mean(axis=0)
        high = float(np.mean((self.axles - self.mains) @ self.axes[2]))
        return vec(axle - np.array([0.0, 0.0, high]))

    def mains_ahead(self, centre: LoadedCentre) -> float:
        """Return how far the mains are ahead of a centre with the waterlines level [deg]."""
        foot = self.upright_foot()
        return degrees(atan2(centre.at[0] - foot[0], centre.at[2] - foot[2]))

    def overturn(self, centres: Sequence[LoadedCentre]) -> OverturnAxis:
        """Return the axis and the centre of all loadings with the largest angle."""
        every = [self._over(centre, hand) for centre in centres for hand in (1.0, -1.0)]
        return max(every, key=lambda axis: axis.angle)

    def _over(self, centre: LoadedCentre, hand: float) -> OverturnAxis:
        main, third = self._outmost(self.mains, hand), self._outmost(self.others, hand)
        a, b, c = (self.along(point) for point in (main, third, centre.at))
        way = (a - b)[:2] / np.linalg.norm((a - b)[:2])
        # Square to the axis, along the ground, towards the other main wheel.
        square = np.array([-way[1], way[0]])
        square *= -hand if square[1] > 0.0 else hand
        return OverturnAxis(main, third, centre, float((c - b)[:2] @ square), float(c[2]))

    def _outmost(self, contacts: Floats, hand: float) -> Vec3:
        aside = [hand * self.along(contact)[1] for contact in contacts]
        return vec(contacts[int(np.argmax(aside))])


def nose_up(ground: Ground) -> float:
    """Return how far the nose is up over a ground [deg]."""
    x, _, z = ground.plane.normal
    return degrees(atan2(0.0 - x, z))


def stance_of(measures: Measures) -> Stance | None:
    """Return how a machine stands; None where `unstanding` says why it does not."""
    model = measures.model
    named = {ground.name: ground for ground in model.grounds}
    ground = named.get(DOWN) or named.get(STATIC)
    roles = _roles(model)
    third = NOSE if NOSE in roles.values() else TAIL
    if unstanding(model) or ground is None:
        return None
    up, origin = np.array(ground.plane.normal), np.array(ground.plane.origin)

    def middles(role: str) -> Floats:
        return np.array([measures.scene.box(n).centre for n, own in roles.items() if own == role])

    def contacts(points: Floats) -> Floats:
        return np.asarray(points - ((points - origin) @ up)[:, None] * up)

    axles = middles(MAIN)
    return Stance(ground, contacts(axles), contacts(middles(third)), axles, third)


def unstanding(model: Model) -> str:
    """Return why a machine is not drawn on its wheels; nothing where it is."""
    roles = list(_roles(model).values())
    if not roles:
        return UNWHEELED
    names = {ground.name for ground in model.grounds}
    both = roles.count(MAIN) >= 2 and {NOSE, TAIL} & set(roles)
    return "" if both and names & {STATIC, DOWN} else UNCARRIED


def _roles(model: Model) -> Mapping[str, str]:
    return {name: role for name, role in model.wheels.items() if name in model.parts}

"""What a builder of shapes publishes of a machine: named solids, plain geometry beside them."""

from dataclasses import dataclass, field
from importlib import import_module
from typing import TYPE_CHECKING, Any

from geomgen.kernel.plain import (
    AssemblyPlan,
    Axis,
    BoltedPlate,
    Fitting,
    FlatSheet,
    FlightState,
    Glass,
    GlazedSkin,
    Ground,
    HandWay,
    Inlay,
    KeptFree,
    Limb,
    Opening,
    Passage,
    PinJoint,
    Plane,
    Shake,
    Strut,
    TankRoom,
    Vec3,
)

if TYPE_CHECKING:
    from OCP.TopoDS import TopoDS_Shape


@dataclass
class Model:
    """Named solids [mm] with the plain geometry beside them.

    `parts` keeps the order of building. `families` maps a part's name to its family (`boom_left` to
    `boom`). `notices` say what a builder has to know of how the parts came about. `rotating` names
    the parts that turn with the propeller, `swept` the swept volume. `on_engine` are the families
    of parts that are fixed to the engine and move with it, `joint_gap` is the widest gap [mm] that
    any joint of two families is stated to have, `joint_gaps` are the gaps [mm] of all joints with
    the two parts or families that each is between; of one that is parted twice that one. `shake` is
    already in the swept volume, in no other part. `uncut` holds of parts that others are cut out of
    how far they reached to the left and the right before [mm]. `weighed` names the parts and
    families whose bodies are measured for their mass, `wheels` the wheels with what they are: main,
    nose, tail. `pilot` and `eye` are no parts: nothing is built of them. `other_eyes` are those of
    others who fly it, by whose they are. `climb_pitch` is how far the nose is up in the climb
    [deg], where that is known. `sheets` are the flat sheets of one thickness that parts are, or
    flat runs of them, by name. `flights` are the states of flight whose air is worked out, `trip`
    the station [mm] where the skin of the pod stirs the slow layer. `glazed_skin` is what closes
    the pod's opening under the canopy for whoever looks at the whole outside. `inlays` tell which
    parts stand inside others: spars, ribs, fittings of those. `assembly` is there where the file
    asks for an order in which the parts can be put in, `tank_rooms` the room that tanks are to
    have, by part. `bolted` are the plates of fittings and joints, by part; `kept_free` and
    `hand_ways` are no parts: room for controls and for hands.
    """

    parts: "dict[str, TopoDS_Shape]" = field(default_factory=dict)
    families: dict[str, str] = field(default_factory=dict)
    colours: dict[str, tuple[float, float, float]] = field(default_factory=dict)
    swept: str = "prop_disc"
    rotating: tuple[str, ...] = ("prop_disc", "spinner")
    on_engine: tuple[str, ...] = ()
    joint_gap: float = 0.0
    joint_gaps: tuple[tuple[str, str, float], ...] = ()
    thrust_line: Axis | None = None
    shake: Shake = field(default_factory=Shake)
    passages: list[Passage] = field(default_factory=list)
    exits: list[Opening] = field(default_factory=list)
    grounds: list[Ground] = field(default_factory=list)
    struts: list[Strut] = field(default_factory=list)
    firewall_plane: Plane | None = None
    firewall_seed: Vec3 | None = None
    fittings: list[Fitting] = field(default_factory=list)
    sheets: dict[str, FlatSheet] = field(default_factory=dict)
    pilot: list[Limb] = field(default_factory=list)
    eye: Vec3 | None = None
    other_eyes: dict[str, Vec3] = field(default_factory=dict)
    glass: Glass | None = None
    glazed_skin: GlazedSkin | None = None
    climb_pitch: float | None = None
    notices: tuple[str, ...] = ()
    uncut: dict[str, tuple[Vec3, Vec3]] = field(default_factory=dict)
    weighed: tuple[str, ...] = ()
    wheels: dict[str, str] = field(default_factory=dict)
    flights: tuple[FlightState, ...] = ()
    trip: float | None = None
    inlays: tuple[Inlay, ...] = ()
    bolted: dict[str, BoltedPlate] = field(default_factory=dict)
    pin_joints: tuple[PinJoint, ...] = ()
    kept_free: tuple[KeptFree, ...] = ()
    hand_ways: tuple[HandWay, ...] = ()
    assembly: AssemblyPlan | None = None
    tank_rooms: dict[str, TankRoom] = field(default_factory=dict)

    def inlay(self, part: str) -> Inlay | None:
        """Return what a part is that stands inside another, None where it is none.

        >>> model = Model(inlays=(Inlay("spar_a", "wing"), Inlay("spar_a_b", "fin")))
        >>> found = [model.inlay(part) for part in ("spar_a_cap", "spar_a_b_web", "pod")]
        >>> [one and one.host for one in found]
        ['wing', 'fin', None]
        """
        found = (one for one in self.inlays if f"{part}_".startswith(f"{one.name}_"))
        return max(found, key=lambda one: len(one.name), default=None)

    @property
    def see_through(self) -> tuple[str, ...]:
        """Return the parts that let what is behind them show: the swept volume, glazing."""
        return (self.swept, *(n for n, family in self.families.items() if family == "canopy"))

    def __getstate__(self) -> dict[str, Any]:
        # With it solids can be pickled; without solids the kernel need not be loaded.
        if self.parts:
            import_module("geomgen.kernel.brep.shape_bytes")
        return self.__dict__

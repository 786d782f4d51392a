"""The steps from a parameter file to its parts: what each makes and which steps it builds on.

Light: nothing of the kernel is imported before a step is made, for a step may not have to be.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from geomgen.errors import FaultError, GeomgenError, looking_at
from geomgen.parameters.records.aircraft import Parameters

if TYPE_CHECKING:
    from geomgen.shapes.piece import NamedSolid

Given = Mapping[str, "Sequence[NamedSolid]"]
Make = Callable[[Parameters, Given], "list[NamedSolid]"]

# The keys to look at where the parts of a family do not meet others as they should.
KEYS = {
    "pod": ("pod.stations",),
    "wing": ("wing.waterline", "wing.sections"),
    "boom": ("booms.buttock_line", "booms.stations"),
    "tailplane": ("tailplane.waterline", "tailplane.sections"),
    "fin": ("fins.waterline", "fins.sections"),
    "pylon": ("pylon.waterline_low", "pylon.waterline_high"),
    "firewall": ("firewall.station",),
    "exit": ("exit.rim_station",),
}

CANOPY = tuple(f"canopy.{key}" for key in ("fore_station", "aft_station", "fore_sill", "aft_sill"))


@dataclass(frozen=True)
class BuildStep:
    """One step: `make` returns its pieces from parameters and from the pieces of `needs`.

    `words` are for progress; `look_at` names the keys to look at when it can't be made; `last`
    says that its pieces are parts as they stand; `weight` is about how long [s] it and what
    builds on it take. `joint` is the number of the joint that it makes. `cuts` says that it cuts
    skins with skins, which meshes do sooner.
    """

    name: str
    words: str
    make: Make
    look_at: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    weight: float = 0.1
    last: bool = True
    joint: int | None = None
    cuts: bool = False

    @property
    def key(self) -> str:
        """What it is, besides what it is given and reads: of equal names, joints differ by row."""
        return self.name if self.joint is None else f"{self.name}, joint {self.joint}"


def steps(p: Parameters) -> list[BuildStep]:
    """Return the steps of a file, in the order in which its parts are listed."""
    pod = ("pod.stations", "pod.wall")
    every = range(len(p.scoops))
    look_at = ("scoops", *pod)
    # The air alone is made in a moment; the hull need not wait until the scoops are trimmed to it.
    passages = [
        BuildStep(f"passage {i}", "passages", _scoop(i, air=True), look_at, weight=6.0, last=False)
        for i in every
    ]
    scoops = [
        BuildStep(f"scoop {i}", "scoops", _scoop(i), look_at, weight=3.0, cuts=True) for i in every
    ]
    plain = [
        *passages,
        BuildStep("hull", "pod", _hull, pod, weight=4.5, last=False),
        BuildStep(
            *("pod", "passages", _pod, ("scoops", *pod)),
            ("hull", *(s.name for s in passages)),
            4.0,
            cuts=True,
        ),
        BuildStep("exit", "exit", _exit, ("exit", *pod), weight=0.1),
        BuildStep("tail fairing", "exit", _tail_fairing, ("exit", *pod), weight=0.1),
        *scoops,
        BuildStep(
            *("firewall", "firewall", _firewall),
            ("firewall.station", "firewall.tilt", "firewall.flange", "firewall.penetrations", *pod),
            weight=0.3,
        ),
        BuildStep("frames", "frames", _frames, ("frames", *pod), weight=1.0),
        BuildStep("stringers", "stringers", _stringers, ("stringers", *pod), weight=0.3),
        BuildStep("wing", "wing", _wing, ("wing.sections",), weight=2.0),
        BuildStep("boom", "booms", _booms, ("booms.stations",)),
        BuildStep("tailplane", "tail", _tailplane, ("tailplane.sections",), weight=1.3),
        BuildStep("fin", "tail", _fins, ("fins.sections",), weight=1.2),
        BuildStep("pylon", "pylon", _pylon, ("pylon",), weight=2.1),
        BuildStep("engine", "engine", _engine, _engine_keys(p), weight=0.2),
        BuildStep("tanks", "tanks", _tanks, ("tanks",)),
        BuildStep("spars", "spars", _spars, ("spars",), weight=0.5),
        BuildStep("ribs", "ribs", _ribs, ("ribs", "spars"), weight=1.5),
        BuildStep("fittings", "fittings", _fittings, ("fittings",)),
        BuildStep("prop_disc", "propeller", _prop_disc, ("propeller",)),
        BuildStep("spinner", "propeller", _spinner, ("spinner",)),
        BuildStep("wheels", "wheels", _wheels, ("gear.wheels",), weight=0.01),
        BuildStep("legs", "gear legs", _legs, ("gear.wheels",), weight=1.0),
    ]
    return _with_canopy(p, _with_partings(p, _with_joints(p, plain)))


def _engine_keys(p: Parameters) -> tuple[str, ...]:
    """Return the tables of the engine's bodies that the file has."""
    if p.engine is None:
        return ()
    tables = (("engine.boxes", p.engine.boxes), ("engine.cylinders", p.engine.cylinders))
    return tuple(key for key, rows in tables if rows)


def _with_joints(p: Parameters, plain: list[BuildStep]) -> list[BuildStep]:
    """Put each joint behind the step that it trims; what follows builds on the trimmed parts."""
    found = list(plain)
    for number, joint in enumerate(p.joints):
        place = max(i for i, step in enumerate(found) if step.name.split(" to ")[0] == joint.trim)
        old = found[place]
        new = BuildStep(
            f"{old.name} to {joint.to}",
            f"joint of {joint.trim} and {joint.to}",
            _joint(number, old.name),
            (f"joints.{number}", *KEYS[joint.trim], *KEYS[joint.to]),
            (old.name,),
            old.weight - 0.1,
            joint=number,
            cuts=True,
        )
        found[place : place + 1] = [_not_last(old), new]
    return found


def _with_partings(p: Parameters, plain: list[BuildStep]) -> list[BuildStep]:
    """Put what parts a skin where the outer part comes off behind all joints that trim it."""
    found = list(plain)
    for host in dict.fromkeys(spar.of for spar in p.spars if spar.wing_joint):
        place = max(i for i, step in enumerate(found) if step.name.split(" to ")[0] == host)
        old, keys = found[place], (*KEYS[host], "spars")
        new = BuildStep(
            *(f"{host} parted", f"parting of the {host}", _parting(host, old.name), keys),
            *((old.name,), old.weight - 0.1),
            cuts=True,
        )
        found[place : place + 1] = [_not_last(old), new]
    return found


def _with_canopy(p: Parameters, plain: list[BuildStep]) -> list[BuildStep]:
    """Put the canopy's opening behind all that is done to the pod, and the canopy beside it.

    Whatever is trimmed to the pod is trimmed to its whole outside. Where the pod is trimmed to
    another part, so is the canopy: a wing that passes through the glazing leaves its gap there.
    """
    from geomgen.parameters.records.pilot import GLAZED, LINE

    if p.canopy is None or p.canopy.built_as == LINE:
        return plain
    place = max(i for i, step in enumerate(plain) if step.name.split(" to ")[0] == "pod")
    old = plain[place]
    found = [
        _not_last(old),
        BuildStep(
            *("opening", "canopy", _opening(old.name), CANOPY, (old.name,), old.weight - 0.1),
            cuts=True,
        ),
    ]
    if p.canopy.built_as == GLAZED:
        found.append(
            BuildStep("canopy", "canopy", _canopy, (*CANOPY, "canopy.thickness"), weight=3.0)
        )
    return [*plain[:place], *found, *plain[place + 1 :]]


def uncut(plan: Sequence[BuildStep]) -> dict[str, str]:
    """Return of parts that others are cut out of the step that makes them uncut, by name.

    Only the pod has such a step of its own: its plug is not cut.
    """
    cut = any(
        step.name == "opening" or (step.joint is not None and step.name.startswith("pod to "))
        for step in plan
    )
    return {"pod": "hull"} if cut else {}


def _not_last(step: BuildStep) -> BuildStep:
    return replace(step, last=False)


def made(step: BuildStep, p: Parameters, given: Given) -> "list[NamedSolid]":
    """Make a step; GeometryError names the keys to look at, a FaultError the step.

    ExactDueError where a first answer's meshes do not settle it: that is no fault.
    """
    try:
        with looking_at(*step.look_at):
            return step.make(p, given)
    except GeomgenError:
        raise
    except Exception as error:
        from geomgen.kernel.mesh_part import ExactDueError

        if isinstance(error, ExactDueError):
            raise
        raise FaultError.of(error, part=step.name, step=step.words) from error


def _present(*pieces: "NamedSolid | None") -> "list[NamedSolid]":
    return [piece for piece in pieces if piece is not None]


def _hull(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import hull, scoop

    pod = hull.pod_lines(p)
    return [hull.hull(p, pod, scoop.breaks(p, pod))]


def _scoop(index: int, air: bool = False) -> Make:
    def make(p: Parameters, given: Given) -> "list[NamedSolid]":
        from geomgen.shapes import hull, scoop

        return (scoop.passages if air else scoop.scoop)(p, hull.pod_lines(p), index)

    return make


def _pod(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import hull

    (shell,) = given["hull"]
    air = [piece for name, pieces in given.items() if name != "hull" for piece in pieces]
    return [hull.opened(shell, air)]


def _exit(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import hull

    return _present(hull.exit_rim(p, hull.pod_lines(p)))


def _tail_fairing(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import hull

    return _present(hull.tail_fairing(p))


def _firewall(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import firewall, hull

    return [firewall.firewall(p, hull.pod_lines(p))]


def _frames(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import hull
    from geomgen.shapes.framing import frames

    return frames.frames(p, hull.pod_lines(p)) if p.frames else []


def _stringers(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import hull
    from geomgen.shapes.framing import stringers

    return stringers.stringers(p, hull.pod_lines(p)) if p.stringers else []


def _wing(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import lifting

    return [lifting.wing(p)]


def _booms(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import booms

    return booms.booms(p)


def _tailplane(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import lifting

    return _present(lifting.tailplane(p))


def _fins(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import lifting

    return lifting.fins(p)


def _pylon(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import lifting

    return _present(lifting.pylon(p))


def _engine(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import engine

    return _present(engine.engine(p))


def _tanks(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import tank

    return tank.tanks(p)


def _spars(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes.wing_structure import wing_joints

    return wing_joints.spars_and_joints(p)


def _ribs(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes.wing_structure import ribs

    return ribs.ribs(p)


def _fittings(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes.framing import fittings

    return fittings.fittings(p)


def _prop_disc(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import propeller

    return [propeller.prop_disc(p)]


def _spinner(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import propeller

    return _present(propeller.spinner(p))


def _wheels(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import gear

    return gear.wheels(p)


def _legs(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes import leg
    from geomgen.shapes.assembly.cutters import cutters

    return leg.legs(p, lambda family: cutters(p, family))


def _joint(number: int, of: str) -> Make:
    def make(p: Parameters, given: Given) -> "list[NamedSolid]":
        from geomgen.shapes.assembly.cutters import cutters
        from geomgen.shapes.assembly.joint_advice import advice
        from geomgen.shapes.assembly.joints import trimmed

        joint = p.joints[number]
        return trimmed(
            given[of],
            cutters(p, joint.to),
            joint,
            f"joints.{number}",
            lambda: advice(p, joint),
            (*KEYS[joint.trim], *KEYS[joint.to]),
        )

    return make


def _parting(host: str, of: str) -> Make:
    def make(p: Parameters, given: Given) -> "list[NamedSolid]":
        from geomgen.shapes.assembly.skin_parting import skins_apart

        return skins_apart(p, host, given[of])

    return make


def _opening(of: str) -> Make:
    def make(p: Parameters, given: Given) -> "list[NamedSolid]":
        from geomgen.shapes.assembly import canopy, pilot_places

        edge = pilot_places.glass(p)
        assert edge is not None
        return [canopy.less_canopy(piece, edge) for piece in given[of]]

    return make


def _canopy(p: Parameters, given: Given) -> "list[NamedSolid]":
    from geomgen.shapes.assembly.canopy_part import canopy_part

    return canopy_part(p)

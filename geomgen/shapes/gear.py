"""Wheels, and the planes that stand for the ground in each attitude."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import atan2, degrees

from geomgen.kernel.brep.primitives import wheel
from geomgen.kernel.plain import Ground, Plane
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.landing_gear import Gear, Wheel, on_all_wheels, travel_of
from geomgen.shapes.ground_planes import Tyre, resting
from geomgen.shapes.piece import NamedSolid

# The weight stands so far from the mains towards the nose or tail wheel, as a share of the wheel
# base (common practice: nose wheel load 8 to 15 %); it only decides which wheels carry.
SHARE = 0.12
# Leaf springs are asked for at so many times the load (14 CFR 23.925(a), before Amdt 23-64).
SPRING_LOAD = 1.5


def on_both_sides(w: Wheel) -> bool:
    """Say whether a wheel has a mirror image on the left."""
    return w.mirrored and w.buttock_line != 0.0


def wheels(p: Parameters) -> list[NamedSolid]:
    """Return the wheels, unloaded."""
    if p.gear is None:
        return []
    pieces = []
    for w in p.gear.wheels:
        both = on_both_sides(w)
        name = f"wheel_{w.name}_right" if both else f"wheel_{w.name}"
        solid = wheel((w.station, w.buttock_line, w.waterline), w.diameter, w.width)
        right = NamedSolid(name, "wheel", solid, (0.15, 0.15, 0.16))
        pieces += [right, right.on_the_left()] if both else [right]
    return pieces


def roles(p: Parameters) -> dict[str, str]:
    """Return what each wheel is, main, nose or tail, by the name of its part."""
    found: dict[str, str] = {}
    for w in p.gear.wheels if p.gear else ():
        hands = ("_right", "_left") if on_both_sides(w) else ("",)
        found |= {f"wheel_{w.name}{hand}": w.role for hand in hands}
    return found


def grounds(p: Parameters) -> list[Ground]:
    """Return the ground planes: level, standing, pitched up, tyres flat, leaf springs bent.

    A plane touches the tyres as built from below, each drawn up along the waterlines' normal by
    what tyre and strut give way. Every wheel counts where it stands, none is added. No planes
    where the wheels do not carry the machine.
    """
    g = p.gear
    if g is None:
        return []
    every = list(_standing(g))
    weight = _weight(every)
    if weight is None:
        return []
    still = [tyre for _, _, _, tyre in every]
    standing = resting(still, weight)
    if standing is None:
        return []
    found = list(_attitudes(g, every, weight, standing))
    found += list(_flat(g, every, weight))
    spring = resting([_up(t, (SPRING_LOAD - 1) * w.deflection) for _, _, w, t in every], weight)
    note = f"{on_all_wheels(g)}, tyres and struts give way {SPRING_LOAD:g} times as far as standing"
    found.append(("spring", spring, f"{note} (own choice: in proportion)"))
    flat = {f"flat_tyre.{name}": f"wheel_{name}" for name, _, _, _ in every}
    return [
        Ground(name, plane, note, flat.get(name.removesuffix(".level"), ""))
        for name, plane, note in found
        if plane is not None
    ]


Row = tuple[str, str, Wheel, Tyre]
Found = tuple[str, Plane | None, str]


def _standing(g: Gear) -> Iterator[Row]:
    """Return each wheel's name, role, record and its tyre under the static load."""
    for w in g.wheels:
        up = w.waterline + w.deflection
        tyre = Tyre(w.station, w.buttock_line, up, w.diameter, w.width)
        if on_both_sides(w):
            yield f"{w.name}_right", w.role, w, tyre
            yield f"{w.name}_left", w.role, w, replace(tyre, buttock_line=-w.buttock_line)
        else:
            yield w.name, w.role, w, tyre


def _weight(every: Sequence[Row]) -> float | None:
    """Return the station of the weight [mm]; None without mains or without a third wheel."""
    mains = [tyre.station for _, role, _, tyre in every if role == "main"]
    third = [tyre.station for _, role, _, tyre in every if role != "main"]
    if not mains or not third:
        return None
    main, other = sum(mains) / len(mains), sum(third) / len(third)
    return main + SHARE * (other - main)


def _attitudes(g: Gear, every: Sequence[Row], weight: float, standing: Plane) -> Iterator[Found]:
    mains = [tyre for _, role, _, tyre in every if role == "main"]
    others = [tyre for _, role, _, tyre in every if role != "main"]
    level = resting(mains, weight, 0.0, others)
    if g.layout == "tailwheel":
        yield "static", level, "level on the mains, gear statically deflected"
        yield "tail_down", standing, f"{on_all_wheels(g)}, gear statically deflected"
        return
    yield "static", standing, f"{on_all_wheels(g)}, gear statically deflected"
    pitch = _pitch(standing)
    if pitch < 0.0:
        yield "static.level", level, "waterlines level on the mains, gear statically deflected"
    off = g.rotation if g.take_off_pitch is None else g.take_off_pitch
    for name, more in (("take_off", off), ("rotated", g.rotation)):
        plane = resting(mains, weight, pitch + more, others)
        note = f"nose up {more:.1f} deg from standing, on the mains, gear statically deflected"
        yield name, plane, note


def _flat(g: Gear, every: Sequence[Row], weight: float) -> Iterator[Found]:
    """Return the ground with one tyre flat and its strut bottomed, for each tyre in turn."""
    for i, (name, role, w, _) in enumerate(every):
        tyres = [_up(t, w.flat + travel_of(g, w)) if k == i else t
                 for k, (_, _, _, t) in enumerate(every)]  # fmt: skip
        words = f"{name.replace('_', ' ')} tyre flat, its strut bottomed, the others standing"
        yield f"flat_tyre.{name}", resting(tyres, weight), f"{on_all_wheels(g)}, {words}"
        if g.layout == "tailwheel" and role == "main":
            mains = [t for t, row in zip(tyres, every, strict=True) if row[1] == "main"]
            others = [t for t, row in zip(tyres, every, strict=True) if row[1] != "main"]
            level = resting(mains, weight, 0.0, others)
            yield f"flat_tyre.{name}.level", level, f"level on the mains, {words}"


def _up(tyre: Tyre, by: float) -> Tyre:
    return replace(tyre, waterline=tyre.waterline + by)


def _pitch(ground: Plane) -> float:
    """Return how far the nose is up over a ground [deg]."""
    return degrees(atan2(-ground.normal[0], ground.normal[2]))

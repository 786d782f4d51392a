"""A second look at what was built, by other ways: is it what the file says?

Solids are held against closed forms worked from the file, meshes against the solids by a library
of their own, left against right, figures against what the drawing allows. What is found here would
be a wrong aircraft that the program calls built.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import numpy as np
import trimesh
from strangers import truths
from strangers.sighting import seen_otherwise
from strangers.truths import Expected

from geomgen.kernel.model import Model
from geomgen.kernel.solids.properties import centroid, kernel_box, volume
from geomgen.kernel.solids.validity import validity
from geomgen.parameters.records.aircraft import Parameters

Box = tuple[np.ndarray, np.ndarray]
# How far a box of the kernel's, and a figure worked another way, may be off [mm], [1].
LOOSE, NEAR = 0.05, 2e-3
# An opening on one side moves the middle of the hull by more than this [mm].
SIDELESS = 1e-4
# A boom between its rows is not quite straight [mm].
UNEVEN = 15.0
# A joint leaves no shared space; what meshes can't tell from touching [mm].
TOUCH = 0.05


def problems_of(
    p: Parameters, model: Model, meshes: Mapping[str, Any], checks: Iterable[Any] = ()
) -> list[str]:
    """Return what is wrong with finished solids, their meshes, the checks; nothing: empty."""
    found: list[str] = []
    for name, solid in model.parts.items():
        found += [f"{name}: {problem}" for problem in validity(solid).problems]
    if found:
        return found
    volumes = {name: volume(solid).value for name, solid in model.parts.items()}
    skins = {n: trimesh.Trimesh(m.mesh.vertices, m.mesh.triangles) for n, m in meshes.items()}
    for name, size in volumes.items():
        if not size > 0.0:
            found.append(f"{name}: its volume is {size:.3f} mm3")
    for name, skin in skins.items():
        found += _mesh_problems(name, skin, meshes[name], volumes[name])
    boxes = {name: _box(solid, skins.get(name)) for name, solid in model.parts.items()}
    found += _unlike_twins(p, volumes, boxes)
    found += _no_side(p, model, skins)
    for expected in truths.expected(p):
        found += _off(expected, volumes, boxes, p.output.mesh_tolerance)
    found += _off_the_pod(p, skins)
    found += _off_the_firewall(p, skins)
    told = list(checks)
    found += list(_absurd(p, model, told))
    found += list(seen_otherwise(p, meshes, told))
    return found


def _box(solid: Any, skin: trimesh.Trimesh | None) -> Box:
    if skin is not None:
        return skin.vertices.min(axis=0), skin.vertices.max(axis=0)
    box = kernel_box(solid)
    return np.array(box.low), np.array(box.high)


def _mesh_problems(name: str, skin: trimesh.Trimesh, made: Any, size: float) -> Iterator[str]:
    if not skin.is_watertight:
        yield f"{name}: its mesh is open"
    elif skin.body_count != 1:
        # A hollow body has an inner skin too; it counts as one only where nothing opens it.
        outward = [part for part in skin.split(only_watertight=True) if part.volume > 0]
        if len(outward) != 1:
            yield f"{name}: its mesh is {len(outward)} bodies"
    # No surface further off than the deviation can hold another volume than this.
    room = skin.area * made.deviation.largest * 1.05 + 1e-4 * size
    if abs(skin.volume - size) > room:
        yield f"{name}: its mesh holds {skin.volume:.0f} mm3, its solid {size:.0f} mm3"


def _unlike_twins(
    p: Parameters, volumes: Mapping[str, float], boxes: Mapping[str, Box]
) -> Iterator[str]:
    # A scoop or a wheel may be called right, and have no fellow.
    alone = {f"scoop_{s.name}" for s in p.scoops if not s.mirrored}
    single = [w.name for w in (p.gear.wheels if p.gear else ()) if not w.mirrored]
    alone |= {f"{part}_{name}" for name in single for part in ("wheel", "leg")}
    for name in volumes:
        if not name.endswith("_right") or name in alone:
            continue
        other = name.removesuffix("right") + "left"
        if other not in volumes:
            yield f"{name}: no {other}"
            continue
        if abs(volumes[name] - volumes[other]) > 1e-5 * volumes[name]:
            yield f"{other}: {volumes[other]:.1f} mm3, its mirror {volumes[name]:.1f} mm3"
        (low, high), (low2, high2) = boxes[name], boxes[other]
        flipped = np.array([[low2[0], -high2[1], low2[2]], [high2[0], -low2[1], high2[2]]])
        if np.max(np.abs(flipped - [low, high])) > 2 * LOOSE:
            yield f"{other}: not where the mirror image of {name} stands"


def _no_side(p: Parameters, model: Model, skins: Mapping[str, trimesh.Trimesh]) -> Iterator[str]:
    """Yield a hull that is its own mirror image where its scoops are not."""
    if "pod" not in model.parts or not truths.one_sided(p):
        return
    skin = skins.get("pod")
    middle = centroid(model.parts["pod"]) if skin is None else skin.center_mass
    if abs(middle[1]) < SIDELESS:
        yield "pod: its two sides are alike, its scoops are not"


def _off(
    e: Expected, volumes: Mapping[str, float], boxes: Mapping[str, Box], tolerance: float
) -> Iterator[str]:
    names = [name for name in volumes if name == e.part or name.startswith(f"{e.part}_")]
    if not names:
        yield f"{e.part}: it is in the file and was not built"
        return
    low = np.min([boxes[name][0] for name in names], axis=0)
    high = np.max([boxes[name][1] for name in names], axis=0)
    for axis, name in enumerate("xyz"):
        for where, value, limit in (
            ("from", low[axis], e.low[axis]),
            ("to", high[axis], e.high[axis]),
        ):
            if limit is None:
                continue
            if abs(value - limit) > LOOSE + tolerance + e.room:
                yield f"{e.part}: {name} {where} {value:.2f} mm, the file says {limit:.2f} mm"
    if e.volume is not None:
        size = sum(volumes[name] for name in names)
        least, most = e.volume
        if not least * (1 - NEAR) <= size <= most * (1 + NEAR):
            yield f"{e.part}: {size:.0f} mm3, by the file {least:.0f} to {most:.0f} mm3"


def _off_the_pod(p: Parameters, skins: Mapping[str, trimesh.Trimesh]) -> Iterator[str]:
    """Hold the hull's outline at the control stations ahead of openings to their rows.

    Glass that is a part of its own closes it; where the pod is cut out alone, the keel is held.
    """
    if "pod" not in skins or any(joint.trim == "pod" for joint in p.joints):
        return
    ahead = min([truths.mouth(p, scoop) for scoop in p.scoops] + [p.firewall.station]) - 10
    for i, row in enumerate(p.pod.stations[1:-1], 1):
        if row.station >= ahead:
            return
        points = np.vstack([_cut(skins[n], row.station) for n in ("pod", "canopy") if n in skins])
        for key, value, due in (
            ("crown", points[:, 2].max(), row.crown),
            ("keel", points[:, 2].min(), row.keel),
            ("breadth", np.ptp(points[:, 1]), row.breadth),
        ):
            held = key == "keel" or not _cut_out(p, row.station, "canopy" in skins)
            if held and abs(value - due) > 2 * p.output.mesh_tolerance + LOOSE:
                yield f"pod: {key} at station {i} is {value:.2f} mm, the file says {due:.2f} mm"


def _cut(skin: trimesh.Trimesh, station: float) -> np.ndarray:
    plane = trimesh.intersections.mesh_plane(skin, (1, 0, 0), (station, 0, 0))
    return np.asarray(plane).reshape(-1, 3)


def _cut_out(p: Parameters, station: float, glazed: bool) -> bool:
    """Tell whether nothing closes the pod's outline there: the opening, or a gap."""
    c = p.canopy
    if c is None or c.built_as == "line":
        return False
    gap = c.gap + LOOSE
    if not glazed:
        return c.fore_station - gap < station < c.aft_station + gap
    return any(abs(station - end) < gap for end in (c.fore_station, c.aft_station))


def _off_the_firewall(p: Parameters, skins: Mapping[str, trimesh.Trimesh]) -> Iterator[str]:
    """Hold every point of the sheet to its plane, as the file gives it."""
    if "firewall" not in skins:
        return
    lean = np.radians(p.firewall.tilt)
    normal = np.array([np.cos(lean), 0.0, -np.sin(lean)])
    front = np.array([p.firewall.station, 0.0, p.propeller.waterline])
    behind = (skins["firewall"].vertices - front) @ normal
    aft = p.firewall.flange_direction == "aft"
    fore, back = (0.0, p.firewall.flange) if aft else (p.firewall.flange, 0.0)
    room = LOOSE + p.output.mesh_tolerance
    if behind.min() < -fore - room or behind.max() > p.firewall.thickness + back + room:
        yield (
            f"firewall: from {behind.min():.2f} to {behind.max():.2f} mm behind its front face, "
            f"the file says {-fore:.2f} to {p.firewall.thickness + back:.2f} mm"
        )


def _absurd(p: Parameters, model: Model, checks: list[Any]) -> Iterator[str]:
    """Yield figures that the drawing does not allow."""
    by_id = {check.id: check for check in checks}
    for scoop in p.scoops:
        most = truths.mouth_area(scoop)
        for side in ("", "_right", "_left"):
            check = by_id.get(f"inlet.area.scoop_{scoop.name}{side}")
            if check and check.measured is not None and check.measured > 1.005 * most:
                yield f"{check.id}: {check.measured:.0f} mm2, the mouth has {most:.0f} mm2"
    out = by_id.get("exit.area")
    last = p.pod.stations[-1]
    most = last.breadth * (last.crown - last.keel)
    if out and out.measured is not None and not 0.0 <= out.measured <= most:
        yield f"exit.area: {out.measured:.0f} mm2 in a rim of {most:.0f} mm2"
    mach = by_id.get("prop.tip_mach")
    if mach and mach.measured is not None and abs(mach.measured - truths.tip_mach(p)) > 0.01:
        yield f"prop.tip_mach: {mach.measured:.4f}, by the file {truths.tip_mach(p):.4f}"
    radial = by_id.get("prop.radial_clearance")
    boom = truths.boom_clearance(p)
    if radial and radial.measured is not None and radial.measured > boom + UNEVEN:
        yield f"prop.radial_clearance: {radial.measured:.1f} mm, the booms are {boom:.1f} mm off"
    if "parts.interference" in by_id:
        yield from _run_into_joints(p, model, by_id["parts.interference"].note)


def _run_into_joints(p: Parameters, model: Model, note: str) -> Iterator[str]:
    joined = {frozenset((joint.trim, joint.to)) for joint in p.joints}
    rooted = {s.leg: s.rooted_in for s in getattr(model, "struts", ()) if s.leg}
    for a, b, depth in re.findall(r"(\w[\w-]*) and (\w[\w-]*) by ([\d.]+) mm", note):
        pair = frozenset((model.families.get(a, a), model.families.get(b, b)))
        own = rooted.get(a) == model.families.get(b) or rooted.get(b) == model.families.get(a)
        cut_back = own and not {a, b}.isdisjoint(rooted)
        if (pair in joined or cut_back) and float(depth) > TOUCH:
            yield f"{a} and {b} are joined and run into each other by {depth} mm"

"""Passages: the least area along each, whether it reaches the bay, how far the air turns."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.kernel.brep.boxes import holds, loose_box
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.mesh_part import MeshPart
from geomgen.kernel.openings.window import angle_between
from geomgen.kernel.plain import Passage, Plane, Vec3
from geomgen.kernel.solids.probing import Classifier
from geomgen.measurements.cooling_air.opening import (
    METHOD,
    MeasureOpening,
    OpeningFound,
)
from geomgen.measurements.cooling_air.throat import NarrowestSection
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

# Walls that part the bay from the cabin and the open air.
WALLS = ("pod", "canopy", "firewall", "exit")
BETWEEN = "least of planes turned and moved from the mouth to the last throat"


def duct(
    passage: Passage,
    seen: MeasureOpening,
    in_the_way: Sequence[str],
    narrow: NarrowestSection | None,
) -> list[Measurement]:
    """Return throat area [mm2] and turn [deg] of one passage.

    `narrow` is the least section found between its planes: it stands where it is less than theirs
    by more than meshes can be off, and widens their bound elsewhere.
    """
    least: OpeningFound | None = None
    centres: list[Vec3] = []
    notes: list[str] = []
    sealed: list[str] = []
    for where in (passage.mouth, *passage.throats):
        found = seen(where)
        if found.area is None or found.centroid is None:
            notes.append(f"{where.name}, {place(where.seed)}: {found.note}")
            continue
        centres.append(found.centroid)
        if found.note:
            sealed.append(f"{where.name}: {found.note}")
        if least is None or found.area < (least.area or 0.0):
            least = found
    notes += in_the_way
    open_all_along = not notes
    throat = Measurement(
        f"duct.throat_area.{passage.name}",
        passage.name,
        "least area along the passage",
        least.area if least is not None and open_all_along else None,
        "mm2",
        f"least of {1 + len(passage.throats)} planes across the stream: "
        f"{METHOD if least is None else least.method}",
        None if least is None else least.error,
        place((least and least.centroid) or passage.mouth.seed),
        note="; ".join(notes or sealed),
        broken=not open_all_along,
    )
    return [_with_narrow(throat, narrow), *_turn(passage, centres, notes)]


def _with_narrow(planes: Measurement, narrow: NarrowestSection | None) -> Measurement:
    """Return the planes' figure with a bound that reaches to the least section, or that section."""
    if planes.value is None:
        return planes
    if narrow is None:
        why = "no turned plane was closed: the bound covers the passage's own planes only"
        return replace(planes, note="; ".join(filter(None, (planes.note, why))))
    off = narrow.off + (planes.error_bound or 0.0)
    if narrow.area + off >= planes.value:
        short = max(planes.value - narrow.area, 0.0) + off
        method = f"{planes.method}; bound: {BETWEEN} on the meshes"
        return replace(planes, error_bound=short, method=method)
    return replace(
        planes,
        value=narrow.area,
        error_bound=off,
        method=f"{BETWEEN}, on the verified meshes",
        where=place(narrow.at),
        points=(narrow.at,),
        note="; ".join(filter(None, (planes.note, "narrower than in any plane of the passage"))),
    )


def legs(passage: Passage) -> list[tuple[Vec3, Vec3]]:
    """Return the straight ways from the last throat to the fan [mm]."""
    start = passage.throats[-1].seed if passage.throats else passage.mouth.seed
    way = [(start, passage.into_bay)]
    return way if passage.fan is None else [*way, (passage.into_bay, passage.fan.origin)]


def way_into_the_bay(
    passage: Passage,
    parts: Mapping[str, TopoDS_Shape],
    of_walls: Mapping[str, Body],
    sheet: Plane | None = None,
) -> list[str]:
    """Return what stands between the passage's last throat and the fan; empty when nothing.

    A passage that ends ahead of the firewall's plane `sheet`, whose normal looks into the bay,
    ends in the cabin, also where no fan is drawn.
    """
    if sheet is not None and np.dot(np.subtract(passage.into_bay, sheet.origin), sheet.normal) < 0:
        where = place(passage.into_bay)
        return [f"does not reach the bay: it ends on the cabin's side of the firewall, at {where}"]
    notes = [
        f"does not reach the bay: {name} stands at {place(passage.into_bay)}"
        for name, solid in parts.items()
        if holds(loose_box(solid), passage.into_bay) and _stands_at(solid, passage.into_bay)
    ]
    for name, body in of_walls.items():
        if notes:
            break
        for a, b in legs(passage):
            hits = body.hull.ray_cast(a, b)
            if hits:
                x, y, z = (float(c) for c in hits[0].position)
                notes.append(f"does not reach the bay: {name} stands across at {place((x, y, z))}")
                break
    return notes


def _stands_at(solid: TopoDS_Shape, point: Vec3) -> bool:
    if isinstance(solid, MeshPart):
        return solid.holds(point)
    return not Classifier(solid).is_outside(point)


def _inflow(passage: Passage, first: Vec3) -> Vec3:
    """Return the way the air comes in: square to the mouth's plane, with the stream."""
    x, y, z = passage.mouth.plane.normal
    return (x, y, z) if float(np.dot(first, (x, y, z))) >= 0 else (-x, -y, -z)


def _turn(passage: Passage, centres: list[Vec3], notes: list[str]) -> list[Measurement]:
    """Return the sum of the turns [deg] along the centres of the measured openings to the fan."""
    if passage.fan is None:
        return []
    value, parts = None, ""
    if not notes:
        line = [*centres, passage.into_bay, passage.fan.origin]
        ways = [tuple(np.subtract(b, a)) for a, b in zip(line[:-1], line[1:], strict=True)]
        ways = [_inflow(passage, ways[0]), *ways, passage.fan.normal]
        turns = [angle_between(a, b) for a, b in zip(ways[:-1], ways[1:], strict=True)]
        value, parts = sum(turns), _told(turns)
    return [
        Measurement(
            f"duct.turn_angle.{passage.name}",
            passage.name,
            "total turn of the air from mouth to fan face",
            value,
            "deg",
            "turns summed along the centroids of the measured openings, the bay and the fan",
            None if value is None else 0.1,
            place(passage.mouth.seed),
            note="; ".join(notes) or parts,
            broken=bool(notes),
        )
    ]


def _told(turns: Sequence[float]) -> str:
    """Return the parts of a turn [deg]: at the mouth, at each throat, in the bay, at the fan.

    >>> _told([1.0, 2.0, 5.5, 3.0, 4.25])
    'it turns 1.0 deg at the mouth, 7.5 deg in the passage, 3.0 deg in the bay, 4.2 deg at the fan'
    """
    mouth, *passage, bay, fan = turns
    parts = ((mouth, "at the mouth"), (sum(passage), "in the passage"), (bay, "in the bay"))
    return "it turns " + ", ".join(f"{t:.1f} deg {at}" for t, at in (*parts, (fan, "at the fan")))

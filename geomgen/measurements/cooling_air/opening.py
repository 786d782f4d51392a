"""Inlet and exit areas, in their planes, with everything that stands there."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from itertools import combinations
from math import dist

from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.model import Model
from geomgen.kernel.openings.sealing import sealed_width
from geomgen.kernel.openings.traced import traced_opening
from geomgen.kernel.openings.window import OpenArea, opening
from geomgen.kernel.plain import Opening, Vec3
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

METHOD = (
    "plane window cut with all solids, the face round the middle point integrated adaptively; "
    "a joint of two parts no wider than stated counts as sealed"
)
TRACED = (
    "outline round the middle point from the verified meshes of all solids in the plane, moved "
    "onto their exact surfaces, integrated"
)

# Mouths whose centroids are no farther apart are one [mm].
ONE_MOUTH = 1.0
ASLANT = "what is less on a surface that is no plane, as between a rim and a cone, is for exit.way"


def solids(model: Model) -> dict[str, TopoDS_Shape]:
    """Return the solids that can stand in the air's way: all but the swept volume."""
    return {name: s for name, s in model.parts.items() if name != model.swept}


@dataclass(frozen=True)
class OpeningFound:
    """An opening as found: area [mm2] and bound, centroid [mm], why there is none, is it shut."""

    area: float | None
    error: float | None
    centroid: Vec3 | None
    note: str
    broken: bool
    method: str = METHOD


MeasureOpening = Callable[[Opening], OpeningFound]


def question_about(where: Opening) -> str:
    """Return the name of the question about one opening."""
    return f"opening {where.name} at {where.seed}"


def measure_on_solids(parts: Mapping[str, TopoDS_Shape], where: Opening) -> OpeningFound:
    """Measure one opening on solids; the note says why when it is not open."""
    try:
        found = section_of(parts, where)
    except GeometryError as error:
        return OpeningFound(None, None, None, str(error), False)
    return _seen(found, list(parts), METHOD)


def measure_on_meshes(bodies: Mapping[str, Body], where: Opening) -> OpeningFound:
    """Measure one opening on proven meshes: ten times as fast as `measure_on_solids`.

    Where the meshes do not settle what bounds it, it is measured on the solids alone.
    """
    found = traced_opening(where.plane, where.seed, where.reach, list(bodies.values()))
    if found is None:
        return measure_on_solids({name: body.solid for name, body in bodies.items()}, where)
    return _seen(found, list(bodies), TRACED)


def _seen(found: OpenArea, names: list[str], method: str) -> OpeningFound:
    note = ""
    if found.state == "shut":
        note = f"blocked by {', '.join(names[i] for i in found.standing)} at its middle point"
    if found.state == "leaks":
        note = "not closed all round: the void reaches the border of the window"
    if found.state == "open" and found.slit > 0.0:
        beside = " and ".join(names[i] for i in found.standing)
        note = f"joint of {found.slit:.2f} mm between {beside} taken as sealed"
    return OpeningFound(
        found.area, found.error, found.centroid, note, found.state != "open", method
    )


def section_of(parts: Mapping[str, TopoDS_Shape], where: Opening) -> OpenArea:
    """Return one opening among solids with its face; GeometryError when it can't be cut."""
    sealed = sealed_width(where.joint)
    return opening(where.plane, where.seed, where.reach, list(parts.values()), sealed)


def measured(seen: OpeningFound, where: Opening, id_: str, part: str, what: str) -> Measurement:
    """Return the area of one opening [mm2] as a record."""
    return Measurement(
        id_,
        part,
        what,
        seen.area,
        "mm2",
        seen.method,
        seen.error,
        place(seen.centroid or where.seed),
        note=seen.note,
        broken=seen.broken,
    )


def inlets(model: Model, seen: MeasureOpening) -> list[Measurement]:
    """Return the area of each scoop's mouth and their sum [mm2]."""
    each = [
        measured(seen(p.mouth), p.mouth, f"inlet.area.{p.name}", p.name, "open area of the mouth")
        for p in model.passages
    ]
    if not each:
        return []
    twice = _twice(model, seen)
    known = [m for m in each if m.value is not None]
    whole = len(known) == len(each) and not twice
    total = Measurement(
        "inlet.area",
        "inlets",
        "open area of all mouths",
        sum(m.value or 0.0 for m in known) if whole else None,
        "mm2",
        "; ".join(dict.fromkeys(m.method for m in each)),
        sum(m.error_bound or 0.0 for m in known) if whole else None,
        "; ".join(m.where for m in each),
        note="; ".join([*twice, *(f"{m.part}: {m.note}" for m in each if m.note)]),
        broken=bool(twice) or any(m.broken for m in each),
    )
    return [total, *each]


def _twice(model: Model, seen: MeasureOpening) -> list[str]:
    """Return what is said of mouths that are one and the same opening: it would count twice."""
    found = [(p.name, seen(p.mouth).centroid) for p in model.passages]
    return [
        f"{one} and {other} are the same opening"
        for (one, a), (other, b) in combinations(found, 2)
        if a is not None and b is not None and dist(a, b) < ONE_MOUTH
    ]


def exits(model: Model, seen: MeasureOpening) -> list[Measurement]:
    """Return the least open area [mm2] of the exit, over the planes published for it."""
    what = "least open area at and ahead of the rim"
    each = [measured(seen(where), where, "exit.area", "exit", what) for where in model.exits]
    if not each:
        return []
    broken = [m for m in each if m.broken or m.value is None]
    if broken:
        return [broken[0]]
    least = min(each, key=lambda m: m.value or 0.0)
    method = f"least of {len(each)} planes, the bound is that of the plane: {least.method}"
    return [replace(least, method=f"{method}; {ASLANT}")]


def ratio(measurements: list[Measurement]) -> list[Measurement]:
    """Return the ratio of exit to inlet area [1], from the two areas measured."""
    by_id = {m.id: m for m in measurements}
    inlet, out = by_id.get("inlet.area"), by_id.get("exit.area")
    if inlet is None or out is None:
        return []
    value = bound = None
    if inlet.value and out.value is not None:
        value = out.value / inlet.value
        bound = value * (
            (out.error_bound or 0.0) / max(out.value, 1e-9)
            + (inlet.error_bound or 0.0) / inlet.value
        )
    return [
        Measurement(
            "exit.to_inlet_ratio",
            "exit",
            "exit area over inlet area",
            value,
            "1",
            "ratio of the two measured areas",
            bound,
            out.where,
            note="; ".join(m.note for m in (inlet, out) if m.note),
            broken=inlet.broken or out.broken,
        )
    ]

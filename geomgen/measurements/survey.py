"""Every measurement that a model has the parts for, in one go."""

from collections.abc import Callable

from geomgen.errors import GeometryError
from geomgen.kernel.deviation import Deviation
from geomgen.kernel.forked import answers
from geomgen.kernel.meeting import Body, body_of
from geomgen.kernel.mesh_record import Mesh
from geomgen.kernel.plain import Model
from geomgen.measurements import clearance, duct, opening
from geomgen.measurements.bulkhead import firewall
from geomgen.measurements.engine_fit import engine_room
from geomgen.measurements.interference import interference
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement
from geomgen.measurements.trailing_edge import trailing_edge_gap

Meshes = dict[str, tuple[Mesh, Deviation]]


def survey(
    model: Model, meshes: Meshes, progress: Callable[[str], None] | None = None
) -> list[Measurement]:
    """Measure the finished solids; `meshes` are their proven meshes, one per part."""
    say = progress or (lambda _: None)
    bodies = bodies_of(model, meshes)
    groups: dict[str, Callable[[], list[Measurement]]] = {
        "propeller clearances": lambda: propeller(model, bodies),
        "openings": lambda: openings(model),
        "passages": lambda: duct.ducts(model, bodies),
        "firewall": lambda: _attempt("firewall.area", "mm2", lambda: firewall(model)),
        "room": lambda: _attempt("engine.clearance", "mm", lambda: engine_room(model, bodies)),
        "interference": lambda: [interference(bodies)],
    }
    longest_first = ("passages", "openings", "room", "propeller clearances")
    order = [*longest_first, *(name for name in groups if name not in longest_first)]
    found: dict[str, list[Measurement]] = {}
    for name, answer in answers(lambda name: groups[name](), order):
        say(f"measured: {name}")
        found[name] = answer
    return [*(m for name in groups for m in found[name]), mesh_deviation(meshes)]


def openings(model: Model) -> list[Measurement]:
    """Return inlet areas, exit area and their ratio."""
    areas = [*opening.inlets(model), *opening.exits(model)]
    return [*areas, *opening.ratio(areas)]


def propeller(model: Model, bodies: dict[str, Body]) -> list[Measurement]:
    """Return tip radius, clearances and the gap behind the trailing edge."""
    try:
        swept = clearance.swept_volume(model)
    except GeometryError as error:
        return [_missing("prop.radial_clearance", "mm", error)]
    return [
        clearance.tip_radius(swept),
        *_attempt("prop.radial_clearance", "mm", lambda: [clearance.radial(model, swept)]),
        *_attempt("prop.axial_clearance", "mm", lambda: [clearance.axial(model, swept)]),
        *_attempt(
            "prop.trailing_edge_gap", "chord", lambda: trailing_edge_gap(model, bodies, swept)
        ),
        *clearance.ground(model, swept),
    ]


def bodies_of(model: Model, meshes: Meshes) -> dict[str, Body]:
    """Join each part with its mesh."""
    return {
        name: body_of(solid, meshes[name][0], meshes[name][1].largest)
        for name, solid in model.parts.items()
    }


def mesh_deviation(meshes: Meshes) -> Measurement:
    """Return the largest distance [mm] between a part's mesh and its solid, both ways."""
    name = max(meshes, key=lambda n: meshes[n][1].largest)
    worst = meshes[name][1]
    return Measurement(
        "mesh.deviation",
        name,
        "largest distance between a mesh and its solid, both ways",
        worst.largest,
        "mm",
        f"points of every triangle and edge against the surfaces; "
        f"mesh to solid {worst.mesh_to_solid:.4f}, solid to mesh {worst.solid_to_mesh:.4f} mm",
        None,
        f"{name} at {place(worst.worst)}",
    )


def _attempt(id_: str, unit: str, measure: Callable[[], list[Measurement]]) -> list[Measurement]:
    """Measure; what the kernel can't do becomes a missing figure that says why."""
    try:
        return measure()
    except GeometryError as error:
        return [_missing(id_, unit, error)]


def _missing(id_: str, unit: str, error: GeometryError) -> Measurement:
    return Measurement(id_, error.part, "could not be measured", None, unit, "", note=str(error))

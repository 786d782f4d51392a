"""Room round the engine: the least gap to hull, firewall, scoops, exit and fairing."""

from geomgen.kernel.distance import EXACT, closest
from geomgen.kernel.meeting import Body, meeting
from geomgen.kernel.plain import Model
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

NEIGHBOURS = ("pod", "firewall", "scoop", "exit", "tail_fairing")


def _agreed(a: Body, b: Body, exact: float) -> tuple[float, float]:
    """Return gap and bound [mm]: the kernel's, or the meshes' where the kernel's can't be right."""
    slack = a.deviation + b.deviation
    told = float(a.hull.min_gap(b.hull, exact + 2 * slack + 1.0))
    return (exact, 10 * EXACT) if abs(told - exact) <= slack + 1e-3 else (told, slack)


def engine_room(model: Model, bodies: dict[str, Body]) -> list[Measurement]:
    """Return engine.clearance [mm], the least of its neighbours; negative by the depth."""
    engines = [name for name, family in model.families.items() if family == "engine"]
    if not engines:
        return []
    found = []
    for engine in engines:
        for name, family in model.families.items():
            if family not in NEIGHBOURS:
                continue
            met = meeting(bodies[engine], bodies[name])
            if met is not None:
                found.append((-met.depth, name, (met.at, met.at), met.error))
                continue
            near = closest(model.parts[engine], model.parts[name])
            gap, bound = _agreed(bodies[engine], bodies[name], near.distance)
            found.append((gap, name, (near.first, near.second), bound))
    if not found:
        return []
    gap, name, points, bound = min(found)
    return [
        Measurement(
            "engine.clearance",
            f"engine, {name}",
            "least gap between the engine and what is round it",
            gap,
            "mm",
            "shared space first, then the exact distance of the solids, checked by their meshes",
            bound,
            f"{name} at {place(points[1])}",
            points,
            "; ".join(f"{other} {value:.1f} mm" for value, other, _, _ in sorted(found)),
        )
    ]

"""What stands for a family of parts where others are trimmed to it."""

from collections.abc import Callable

from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes import booms, hull, lifting
from geomgen.shapes.piece import Cutter


def cutters(p: Parameters, family: str) -> list[Cutter]:
    """Return what stands for a family of parts where others are trimmed to it."""
    table: dict[str, Callable[[Parameters], list[Cutter]]] = {
        "pod": hull.pod_cutters,
        "boom": booms.boom_cutters,
        "wing": lifting.wing_cutters,
        "tailplane": lifting.tailplane_cutters,
        "fin": lifting.fin_cutters,
        "pylon": lifting.pylon_cutters,
    }
    return table[family](p)

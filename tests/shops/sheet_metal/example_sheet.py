"""The firewall of a parameter file and what it is fitted into, each made once."""

from dataclasses import replace

from geomgen.kernel.model import Model
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes import hull
from geomgen.shapes.firewall import firewall, mid_plane

_made: dict[tuple[str, bool], Model] = {}


def model_of(p: Parameters, with_hull: bool = False) -> Model:
    """Return the model of the firewall alone, or with the hull; what shops are asked is no matter.

    The solids are the same objects each time, so that what is cut of them once is not cut again.
    """
    key = repr(p.model_copy(update={"handoff": None})), with_hull
    if key not in _made:
        pod = hull.pod_lines(p)
        plane, seed = mid_plane(p)
        parts = {"firewall": firewall(p, pod).solid}
        if with_hull:
            parts["pod"] = hull.hull(p, pod).solid
        _made[key] = Model(parts=parts, firewall_plane=plane, firewall_seed=seed)
    return replace(_made[key], parts=dict(_made[key].parts))

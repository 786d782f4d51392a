"""The canopy as a part of its own, trimmed as the pod is."""

from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes import hull
from geomgen.shapes.assembly import canopy, pilot_places
from geomgen.shapes.assembly.cutters import cutters
from geomgen.shapes.assembly.joints import trimmed
from geomgen.shapes.piece import NamedSolid


def canopy_part(p: Parameters) -> list[NamedSolid]:
    """Return the glazing, with a gap wherever the pod has one for another part."""
    edge = pilot_places.glass(p)
    assert edge is not None
    assert p.canopy is not None
    assert p.canopy.thickness is not None
    whole = canopy.glazing(hull.pod_lines(p), edge, p.canopy.gap, p.canopy.thickness)
    pieces = [whole]
    for number, joint in enumerate(p.joints):
        if joint.trim == "pod":
            others, key = cutters(p, joint.to), f"joints.{number}"
            found = trimmed(pieces, others, joint, key, look_at=canopy.KEYS)
            # That a joint of the pod does not reach the canopy is as it should be.
            pieces = pieces if found[0].solid is pieces[0].solid else found
    return pieces

"""What the shops' parts can't be, told from the parameters alone, before any solid is made."""

from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.hull import pod_lines
from geomgen.shops.foam.slabs import reach, spans
from geomgen.shops.laminate import thickness
from geomgen.shops.moulds.bodies import skin_deducted, tip_ended
from geomgen.shops.moulds.marks import require_shallow
from geomgen.shops.moulds.split import require_chords


def refuse_beforehand(p: Parameters) -> None:
    """Raise GeometryError where a tip's skin leaves no core, or the pod no room for a slab.

    And where lines are cut into a mould as deep as its skin is thick.
    """
    h = p.handoff
    if h is None:
        return
    for mould in h.moulds:
        require_shallow(p, mould)
        if mould.part == "wing_tip":
            skin = skin_deducted(p, mould)
            for gap in {-skin, mould.stock - skin}:
                require_chords(p, mould, tip_ended(p, mould, gap))
    if h.foam:
        skin = thickness(h.laminate) if h.foam.inset_skin and h.laminate else 0.0
        spans(h.foam, reach(pod_lines(p), skin))

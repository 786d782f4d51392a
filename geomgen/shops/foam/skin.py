"""The skin that is laid over the stack: its area where no mould of the pod's lays it already."""

from OCP.TopoDS import TopoDS_Face, TopoDS_Solid

from geomgen.kernel.brep.faces import faces_of, plane_of
from geomgen.kernel.solids.properties import area
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shops.laminate import areal_weight, schedule
from geomgen.shops.product import Item

# A plane face that looks this straight along the body [1] is an end, and no skin.
ALONG = 0.9
Span = tuple[float, float]


def spans_to_lay(p: Parameters, stack: Span) -> tuple[Span, ...]:
    """Return the stations [mm] between which the skin is laid over the stack itself.

    A mould of the pod or of its exit lays the skin ahead of the rim or aft of it: that counts with
    the mould, once.
    """
    moulded = {mould.part for mould in p.handoff.moulds} if p.handoff else set()
    low, high = stack
    rim = high if p.exit is None else min(max(p.exit.rim_station, low), high)
    spans = {"pod": (low, rim), "exit": (rim, high)}
    if not moulded & set(spans):
        return (stack,)
    return tuple(span for part, span in spans.items() if part not in moulded and span[1] > span[0])


def counted_words(spans: tuple[Span, ...], stack: Span) -> str:
    """Return in which rows of the parts list the area of the skin over a stack stands.

    >>> counted_words(((0.0, 9.0),), (0.0, 9.0))
    'its area in a row of its own'
    """
    if spans == (stack,):
        return "its area in a row of its own"
    moulds = "those of the moulds that lay it"
    return f"its area in a row of its own and {moulds}" if spans else f"its area in {moulds}"


def laid_area(body: TopoDS_Solid) -> float:
    """Return the area [mm2] of a body along the fuselage without its flat ends."""
    return sum(area(face).value for face in faces_of(body) if not _is_end(face))


def skin_item(p: Parameters, size: float) -> Item:
    """Return the row of a skin of an area [mm2]: ply schedule and mass where they are described."""
    laminate = p.handoff.laminate if p.handoff else None
    plies = "; ".join(schedule(laminate, "pod")) if laminate else ""
    told = "the outside of the foam core, its openings not taken off"
    return Item(
        "skin over the foam core of the pod",
        "pod",
        "",
        "laminate" if laminate else "laminate, none described in the file",
        mass=areal_weight(laminate) * size * 1e-6 if laminate else None,
        laminate_area=size,
        note=f"{told}: {plies}" if plies else told,
    )


def _is_end(face: TopoDS_Face) -> bool:
    plane = plane_of(face)
    return plane is not None and abs(plane.normal[0]) > ALONG

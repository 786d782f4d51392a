"""The finished wing, in one part or in several: all of it, its outermost part, where none of it is.

A joint may have cut the wing apart: into halves at the pod, or centre section and outer panels.
"""

from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.brep.compounds import together
from geomgen.kernel.model import Model
from geomgen.kernel.solids.booleans import solids_of
from geomgen.kernel.solids.properties import kernel_box

Span = tuple[float, float]


def whole_wing(model: Model) -> TopoDS_Shape:
    """Return the wing as one shape, of as many solids as it has parts."""
    parts = _parts(model)
    if len(parts) == 1:
        return next(iter(parts.values()))
    return together(list(parts.values()))


def outermost(model: Model) -> str:
    """Return the name of the part that reaches the wing tip on the right."""
    parts = _parts(model)
    return max(parts, key=lambda name: kernel_box(parts[name]).high[1])


def _parts(model: Model) -> dict[str, TopoDS_Shape]:
    every = model.parts.items()
    found = {name: solid for name, solid in every if model.families.get(name, name) == "wing"}
    if not found:
        raise GeometryError("the set holds no wing", part="wing", step="hand-off")
    return found


def bare_spans(wing: TopoDS_Shape, side: int, low: float, high: float) -> list[Span]:
    """Return where between two buttock lines [mm], without sign, a side of the wing has no part.

    >>> from geomgen.kernel.brep.primitives import box
    >>> bare_spans(box((0, 200, 0), (1000, 900, 100)), 1, 0.0, 500.0)
    [(0.0, 200.0)]
    """
    covered = []
    for solid in solids_of(wing):
        box = kernel_box(solid)
        ends = sorted((side * box.low[1], side * box.high[1]))
        if ends[1] > low and ends[0] < high:
            covered.append((max(ends[0], low), min(ends[1], high)))
    spans, at = [], low
    for a, b in sorted(covered):
        if a > at:
            spans.append((at, a))
        at = max(at, b)
    return [*spans, (at, high)] if at < high else spans

"""Shapes put together as they are, neither joined nor cut."""

from collections.abc import Iterable

from OCP.BRep import BRep_Builder
from OCP.TopoDS import TopoDS_Compound, TopoDS_Shape


def together(shapes: Iterable[TopoDS_Shape]) -> TopoDS_Compound:
    """Return shapes as one shape of several.

    >>> from geomgen.kernel.brep.faces import faces_of
    >>> from geomgen.kernel.brep.primitives import box
    >>> len(faces_of(together([box((0, 0, 0), (1, 1, 1)), box((2, 0, 0), (3, 1, 1))])))
    12
    """
    made, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(made)
    for shape in shapes:
        builder.Add(made, shape)
    return made

"""Solids as bytes and back: exact, without their meshes; the same solid gives the same bytes.

What comes back is what every later step works on, also when it was just made, so that a part from
a store can't differ from one that was made now.
"""

import copyreg
import io
from typing import Any, cast

from OCP.BinTools import BinTools, BinTools_FormatVersion
from OCP.TopoDS import (
    TopoDS,
    TopoDS_Compound,
    TopoDS_CompSolid,
    TopoDS_Edge,
    TopoDS_Face,
    TopoDS_Shape,
    TopoDS_Shell,
    TopoDS_Solid,
    TopoDS_Vertex,
    TopoDS_Wire,
)

from geomgen.errors import GeometryError
from geomgen.kernel.mesh_part import MeshPart, part_from

FORMAT = BinTools_FormatVersion.BinTools_FormatVersion_VERSION_4


def shape_bytes(shape: TopoDS_Shape) -> bytes:
    """Return a shape as bytes, in the kernel's own binary form.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> body = shape_bytes(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape())
    >>> shape_bytes(shape_from(body)) == body
    True
    """
    if isinstance(shape, MeshPart):
        return shape.as_bytes()
    out = io.BytesIO()
    BinTools.Write_s(shape, out, False, False, FORMAT)
    return out.getvalue()


def shape_from(body: bytes) -> TopoDS_Shape:
    """Return the shape that bytes stand for; GeometryError when they are none."""
    shape = TopoDS_Shape()
    BinTools.Read_s(shape, io.BytesIO(body))
    if shape.IsNull():
        raise GeometryError("these bytes hold no shape", step="reading a kept solid")
    return shape


def solid_from(body: bytes) -> TopoDS_Solid:
    """Return the solid that bytes stand for; GeometryError when they are none.

    Bytes of a `MeshPart` stand for that.
    """
    part: Any = part_from(body)
    if part is not None:
        return cast(TopoDS_Solid, part)
    return TopoDS.Solid(shape_from(body))


KINDS: dict[type[TopoDS_Shape], Any] = {
    TopoDS_Shape: lambda shape: shape,
    TopoDS_Compound: TopoDS.Compound,
    TopoDS_CompSolid: TopoDS.CompSolid,
    TopoDS_Solid: TopoDS.Solid,
    TopoDS_Shell: TopoDS.Shell,
    TopoDS_Face: TopoDS.Face,
    TopoDS_Wire: TopoDS.Wire,
    TopoDS_Edge: TopoDS.Edge,
    TopoDS_Vertex: TopoDS.Vertex,
}


def _unpickled(kind: type[TopoDS_Shape], body: bytes) -> TopoDS_Shape:
    found: TopoDS_Shape = KINDS[kind](shape_from(body))
    return found


def _pickled(shape: TopoDS_Shape) -> tuple[Any, ...]:
    return _unpickled, (type(shape), shape_bytes(shape))


# With this a shape can be sent to another process, once this file is loaded. It comes without its
# meshes, and shapes that shared edges or faces share none any more.
for _kind in KINDS:
    copyreg.pickle(_kind, _pickled)

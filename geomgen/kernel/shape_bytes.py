"""Solids as bytes and back: exact, without their meshes; the same solid gives the same bytes.

What comes back is what every later step works on, also when it was just made, so that a part from
a store can't differ from one that was made now.
"""

import io

from OCP.BinTools import BinTools, BinTools_FormatVersion
from OCP.TopoDS import TopoDS, TopoDS_Shape, TopoDS_Solid

from geomgen.errors import GeometryError

FORMAT = BinTools_FormatVersion.BinTools_FormatVersion_VERSION_4


def shape_bytes(shape: TopoDS_Shape) -> bytes:
    """Return a shape as bytes, in the kernel's own binary form.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> body = shape_bytes(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape())
    >>> shape_bytes(shape_from(body)) == body
    True
    """
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
    """Return the solid that bytes stand for; GeometryError when they are none."""
    return TopoDS.Solid_s(shape_from(body))

"""The faces of a shape."""

from OCP.TopAbs import TopAbs_FACE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape


def faces_of(shape: TopoDS_Shape) -> list[TopoDS_Face]:
    """Return the faces of a shape in the kernel's own order.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> len(faces_of(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape()))
    6
    """
    found = []
    walk = TopExp_Explorer(shape, TopAbs_FACE)
    while walk.More():
        found.append(TopoDS.Face_s(walk.Current()))
        walk.Next()
    return found

"""The kernel's own mesher, for shapes that the stretched-plane mesher can't do."""

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepTools import BRepTools
from OCP.IMeshTools import IMeshTools_Parameters
from OCP.TopAbs import TopAbs_EDGE, TopAbs_REVERSED
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Shape

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.mesh import EdgeLine, Mesh, assembled
from geomgen.kernel.meshing.edges import mapped


def kernel_mesh(shape: TopoDS_Shape, mesh_tolerance: float, sag: float, angular: float) -> Mesh:
    """Return the kernel's mesh at an absolute `sag` [mm]; any older mesh of the shape is dropped.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> len(kernel_mesh(BRepPrimAPI_MakeBox(1.0, 1.0, 1.0).Shape(), 0.1, 0.1, 0.5).triangles)
    12
    """
    BRepTools.Clean_s(shape)
    asked = IMeshTools_Parameters()
    asked.Deflection, asked.Angle = sag, angular
    # Not in parallel: its threads do not live on in a forked process.
    asked.Relative, asked.InParallel = False, False
    BRepMesh_IncrementalMesh(shape, asked)
    points, triangles, uvs, places, count = [], [], [], [], 0
    for place, face in enumerate(faces_of(shape)):
        where = TopLoc_Location()
        found = BRep_Tool.Triangulation_s(face, where)
        if found is None or not found.HasUVNodes():
            raise GeometryError("the kernel can't mesh one of its faces", step="mesh")
        moved = where.Transformation()
        nodes = range(1, found.NbNodes() + 1)
        at = [found.Node(i).Transformed(moved) for i in nodes]
        plane = [found.UVNode(i) for i in nodes]
        corners = np.array([found.Triangle(i).Get() for i in range(1, found.NbTriangles() + 1)])
        corners = corners.reshape(-1, 3).astype(np.int64) - 1
        if face.Orientation() == TopAbs_REVERSED:
            corners = corners[:, ::-1]
        uv = np.array([(p.X(), p.Y()) for p in plane])
        points.append(np.array([(p.X(), p.Y(), p.Z()) for p in at]))
        triangles.append(corners + count)
        uvs.append(uv[corners])
        places.append(np.full(len(corners), place, dtype=np.int64))
        count += len(at)
    every = np.concatenate(points)
    lines = _lines(shape, every)
    BRepTools.Clean_s(shape)
    return assembled(
        every,
        np.concatenate(triangles),
        np.concatenate(places),
        np.concatenate(uvs),
        lines,
        mesh_tolerance,
        "kernel",
    )


def _lines(shape: TopoDS_Shape, points: Floats) -> list[EdgeLine]:
    """Return the polylines of the edges, from the first face that carries each."""
    numbers = mapped(shape, TopAbs_EDGE)
    lines: dict[int, EdgeLine] = {}
    count = 0
    for face in faces_of(shape):
        where = TopLoc_Location()
        found = BRep_Tool.Triangulation_s(face, where)
        sides = mapped(face, TopAbs_EDGE)
        for i in range(1, sides.Size() + 1):
            edge = TopoDS.Edge(sides.FindKey(i))
            number = numbers.FindIndex(edge) - 1
            line = BRep_Tool.PolygonOnTriangulation_s(edge, found, where)
            if number in lines or BRep_Tool.Degenerated_s(edge) or line is None:
                continue
            nodes = range(1, line.NbNodes() + 1)
            vertices: Ints = np.array([line.Node(k) for k in nodes], dtype=np.int64) - 1 + count
            along = np.array([line.Parameter(k) for k in nodes])
            lines[number] = EdgeLine(number, vertices, along)
        count += found.NbNodes()
    return [lines[number] for number in sorted(lines)]

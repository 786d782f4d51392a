"""Openings measured from the solids beside the plain calls of the kernel: how wrong, how slow.

Plain ways: the plane's face cut with all solids at once and the default area; and the section
lines of all solids joined to wires, filled, default area. Ratios of one run (`-m benchmark -s`).
"""

import numpy as np
import pytest
from benchmarks.mesh_rivals import timed
from OCP.BRep import BRep_Builder
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Section
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepGProp import BRepGProp
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.ShapeAnalysis import ShapeAnalysis_FreeBounds
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Compound
from OCP.TopTools import TopTools_HSequenceOfShape

from geomgen.kernel.openings.window import opening
from geomgen.kernel.plain import Plane
from geomgen.measurements.cooling_air.opening import solids

pytestmark = pytest.mark.benchmark


def default_area(face) -> float:
    size = GProp_GProps()
    BRepGProp.SurfaceProperties_s(face, size)
    return abs(size.Mass())


def parts_of(shape, kind):
    walk = TopExp_Explorer(shape, kind)
    while walk.More():
        yield walk.Current()
        walk.Next()


def holding(faces, seed):
    """Return the default area of the face that holds a seed point; NaN where none does."""
    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*seed)).Vertex()
    sizes = [
        default_area(face)
        for face in faces
        if BRepExtrema_DistShapeShape(vertex, face).Value() < 1e-7
    ]
    return min(sizes, default=np.nan)


def together(shapes):
    whole, builder = TopoDS_Compound(), BRep_Builder()
    builder.MakeCompound(whole)
    for shape in shapes:
        builder.Add(whole, shape)
    return whole


def by_cut(where, shapes) -> float:
    plane = gp_Pln(gp_Pnt(*where.seed), gp_Dir(*where.plane.normal))
    reach = where.reach
    face = BRepBuilderAPI_MakeFace(plane, -reach, reach, -reach, reach).Face()
    left = BRepAlgoAPI_Cut(face, together(shapes)).Shape()
    return holding([TopoDS.Face(f) for f in parts_of(left, TopAbs_FACE)], where.seed)


def by_section(where, shapes) -> float:
    plane = gp_Pln(gp_Pnt(*where.seed), gp_Dir(*where.plane.normal))
    cut = BRepAlgoAPI_Section(together(shapes), plane, False)
    cut.Build()
    edges, wires = TopTools_HSequenceOfShape(), TopTools_HSequenceOfShape()
    for edge in parts_of(cut.Shape(), TopAbs_EDGE):
        edges.Append(edge)
    ShapeAnalysis_FreeBounds.ConnectEdgesToWires_s(edges, 1e-4, False, wires)
    faces = []
    for i in range(1, wires.Length() + 1):
        made = BRepBuilderAPI_MakeFace(plane, TopoDS.Wire(wires.Value(i)), True)
        if made.IsDone():
            faces.append(made.Face())
    return holding(faces, where.seed)


WAYS = {"cut, default area": by_cut, "section, default area": by_section}


def places(model):
    found = {f"mouth of {p.name}": p.mouth for p in model.passages}
    return found | {f"exit, plane {i + 1}": where for i, where in enumerate(model.exits)}


def test_openings_of_the_example(benchmark, saltmarsh_model) -> None:
    shapes = list(solids(saltmarsh_model).values())
    worst = {name: 0.0 for name in WAYS}
    slower = {name: [] for name in WAYS}
    print()
    for name, where in places(saltmarsh_model).items():
        found, own, _ = timed(lambda w=where: opening(w.plane, w.seed, w.reach, shapes))
        assert found.state == "open"
        print(f"| {name} | measured | {found.area:.3f} ± {found.error:.1e} | | {own:.3f} | 1 |")
        for way, ask in WAYS.items():
            area, plain, _ = timed(lambda w=where, ask=ask: ask(w, shapes))
            off = area / found.area - 1
            ratio = f"{plain:.3f} | {plain / own:.1f}"
            print(f"| {name} | {way} | {area:.3f} | {100 * off:+.4f} % | {ratio} |")
            worst[way] = np.nan if np.isnan(off) else max(worst[way], abs(off))
            slower[way].append(plain / own)
    first = next(iter(places(saltmarsh_model).values()))
    benchmark.pedantic(opening, (first.plane, first.seed, first.reach, shapes), rounds=2)
    for way in WAYS:
        benchmark.extra_info[f"{way}: worst share off"] = worst[way]
        benchmark.extra_info[f"{way}: seconds over ours"] = float(np.median(slower[way]))


def test_both_plain_ways_find_a_pipes_bore() -> None:
    """Closed form: pi r^2. So what they miss on the example is not the way they are asked."""
    from types import SimpleNamespace

    from geomgen.kernel.brep.primitives import cylinder
    from geomgen.kernel.solids.booleans import cut

    rod, hole = (cylinder((0, 0, 0), (1, 0, 0), r, 100.0) for r in (60.0, 40.0))
    pipe = cut(rod, [hole], "pipe", "bore")
    where = SimpleNamespace(plane=Plane((50, 0, 0), (1, 0, 0)), seed=(50.0, 0.0, 0.0), reach=100.0)
    for ask in WAYS.values():
        assert ask(where, [pipe]) == pytest.approx(np.pi * 40.0**2, rel=1e-6)

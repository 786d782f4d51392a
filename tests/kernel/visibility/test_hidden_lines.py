"""Hidden lines against closed forms and against silhouettes that other libraries make."""

import numpy as np
import pytest
from aircraft_drawings.plain_machine import machine
from few_cases import few

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder, moved, revolved, wheel
from geomgen.kernel.plain import Axis
from geomgen.kernel.visibility.hidden_lines import Scene, lines_seen
from geomgen.kernel.visibility.look import FROM_ABOVE, FROM_LEFT, FROM_NOSE, NOSE_DOWN, Look
from geomgen.kernel.visibility.runs import spaced


def ball(radius=100.0, at=(0.0, 0.0, 0.0)):
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere

    return moved(BRepPrimAPI_MakeSphere(radius).Shape(), at)


def length(lines, part=None, seen=True):
    return sum(one.length for one in lines if one.seen is seen and part in (None, one.part))


def test_a_ball_is_a_circle():
    """Closed form: circumference 2 pi r, every point r from the middle."""
    lines = lines_seen(Scene({"ball": ball()}), FROM_LEFT, 0.05)
    points = np.concatenate([one.points for one in lines])
    assert np.abs(np.hypot(*points.T) - 100.0).max() < 0.05
    assert length(lines) == pytest.approx(200 * np.pi, rel=1e-3)


def test_a_box_is_a_rectangle_and_hides_its_back():
    """Closed form: the perimeter, drawn once though two faces lie in it."""
    lines = lines_seen(
        Scene({"box": box((0, 0, 0), (300, 200, 100))}), FROM_ABOVE, with_hidden=True
    )
    assert length(lines) == pytest.approx(1000.0, abs=1e-6)
    assert length(lines, seen=False) == 0.0
    assert len(lines) == 1


def test_a_turned_box_shows_nine_edges_and_hides_three():
    """Closed form: along a space diagonal an edge of a cube is seen at sqrt(2/3) of it."""
    a, b, c = np.sqrt([1 / 2, 1 / 3, 1 / 6]).tolist()
    look = Look((a, -a, 0.0), (-c, -c, 2 * c))
    assert look.toward == pytest.approx((-b, -b, -b))
    lines = lines_seen(Scene({"cube": box((0, 0, 0), (100, 100, 100))}), look, with_hidden=True)
    edge = 100 * np.sqrt(2 / 3)
    assert length(lines) == pytest.approx(9 * edge, rel=0.01)
    assert length(lines, seen=False) == pytest.approx(3 * edge, rel=0.03)


def test_a_cone_is_a_triangle():
    """Closed form: two sides and the base."""
    cone = revolved([(0.0, 0.0), (0.0, 50.0), (120.0, 0.0)], Axis((0, 0, 0), (1.0, 0.0, 0.0)))
    lines = lines_seen(Scene({"cone": cone}), FROM_LEFT)
    assert length(lines) == pytest.approx(100.0 + 2 * 130.0, rel=1e-3)


def test_what_stands_behind_is_hidden_and_seen_from_the_other_side():
    parts = {
        "wall": box((-100, 0, -100), (100, 10, 100)),
        "tube": cylinder((-50, 60, 0), (1, 0, 0), 20.0, 100.0),
    }
    behind = lines_seen(Scene(parts), FROM_LEFT, with_hidden=True)
    assert length(behind, "tube") == 0.0
    assert length(behind, "tube", seen=False) == pytest.approx(2 * (100.0 + 40.0), rel=1e-3)
    before = lines_seen(Scene(parts), Look((-1.0, 0.0, 0.0), (0.0, 0.0, 1.0)))
    assert length(before, "tube") == pytest.approx(2 * (100.0 + 40.0), rel=1e-3)


@pytest.mark.parametrize("wide", [3.0, 80.0, 250.0])
def test_a_bar_is_seen_as_far_as_nothing_stands_before_it(wide):
    """Closed form: the bar's outline less what the wall covers of its two long edges."""
    bar = box((-500, 100, 0), (500, 120, 30))
    wall = box((-wide / 2, 0, -200), (wide / 2, 20, 200))
    lines = lines_seen(Scene({"bar": bar, "wall": wall}), FROM_LEFT)
    assert length(lines, "bar") == pytest.approx(2 * (1000 - wide) + 2 * 30, abs=2.5)
    ends = np.concatenate([one.points for one in lines if one.part == "bar"])
    inner = np.abs(ends[:, 0]).min()
    assert inner == pytest.approx(wide / 2, abs=0.6)


def test_a_translucent_part_hides_nothing_and_is_drawn_whole():
    bar = box((-500, 100, 0), (500, 120, 30))
    wall = box((-100, 0, -200), (100, 20, 200))
    front = box((-50, -80, -50), (50, -60, 50))
    scene = Scene({"bar": bar, "wall": wall, "front": front}, ("wall",))
    lines = lines_seen(scene, FROM_LEFT)
    assert length(lines, "bar") == pytest.approx(2060.0 - 2 * 100.0, abs=2.5)
    assert length(lines, "wall") == pytest.approx(1200.0, abs=1e-6)


def test_nothing_hides_a_translucent_part():
    """Closed form: a block in front of a corner takes two edges' ends of an opaque wall only."""
    wall = box((-100, 0, -200), (100, 20, 200))
    block = box((50, -80, 150), (150, -60, 250))
    parts = {"wall": wall, "block": block}
    clear = lines_seen(Scene(parts, ("wall",)), FROM_LEFT)
    opaque = lines_seen(Scene(parts), FROM_LEFT)
    assert length(clear, "wall") == pytest.approx(1200.0, abs=1e-6)
    assert length(opaque, "wall") == pytest.approx(1200.0 - 2 * 50.0, abs=2.5)


def test_smooth_seams_only_on_request():
    """Closed form: a tread meets its side on a circle of radius - width / 2, closed on a line."""
    tyre = wheel((0.0, 0.0, 0.0), 300.0, 80.0)
    bare, every = (lines_seen(Scene({"tyre": tyre}), FROM_LEFT, smooth=s) for s in (False, True))
    assert length(bare) == pytest.approx(300 * np.pi, rel=1e-3)
    assert length(every) == pytest.approx((300 + 220) * np.pi + 40, rel=1e-3)


def test_runs_are_long():
    """Common practice: what is one curve on paper is one run, not a handful of pieces."""
    assert len(lines_seen(Scene({"ball": ball()}), FROM_ABOVE)) == 1


def test_an_empty_part_is_refused_by_name():
    from OCP.BRep import BRep_Builder
    from OCP.TopoDS import TopoDS_Compound

    nothing = TopoDS_Compound()
    BRep_Builder().MakeCompound(nothing)
    with pytest.raises(GeometryError, match="no line") as caught:
        lines_seen(Scene({"gone": nothing}), FROM_LEFT)
    assert caught.value.part == "gone"


@pytest.mark.parametrize(
    "look", few([FROM_LEFT, FROM_ABOVE, FROM_NOSE], 1), ids=["left", "above", "nose"]
)
def test_outer_outline_of_pod_and_wing(look, saltmarsh_model, saltmarsh_meshes):
    """Against the silhouette that manifold3d projects from the proven meshes."""
    import manifold3d
    from shapely import MultiLineString, Point, Polygon, union_all

    names = ("pod", "wing")
    scene = Scene({name: saltmarsh_model.parts[name] for name in names})
    lines = lines_seen(scene, look)
    shadows = []
    for name in names:
        mesh = saltmarsh_meshes[name][0]
        flat = look.seen(mesh.vertices).astype(np.float32)
        body = manifold3d.Manifold(
            manifold3d.Mesh(flat, np.ascontiguousarray(mesh.triangles, dtype=np.uint32))
        )
        shadows += [Polygon(ring).buffer(0) for ring in body.project().to_polygons()]
    shadow = union_all(shadows)
    outers = (
        [shadow.exterior]
        if shadow.geom_type == "Polygon"
        else [one.exterior for one in shadow.geoms]
    )
    drawn = MultiLineString([one.points for one in lines if len(one.points) > 1])
    for ring in outers:
        spots = [ring.interpolate(t) for t in np.linspace(0.0, ring.length, 400)]
        assert max(drawn.distance(spot) for spot in spots) < 0.5
    outside = shadow.buffer(0.5)
    assert all(outside.contains(Point(*p)) for one in lines for p in one.points[::7])


def kernel_lines(parts, look):
    """Return points (n, 2) along what the kernel's own hiding leaves of all parts together."""
    from OCP.BRepLib import BRepLib
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
    from OCP.HLRAlgo import HLRAlgo_Projector
    from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
    from OCP.HLRBRep import HLRBRep_TypeOfResultingEdge as Type

    from geomgen.kernel.solids.probing import edges_in
    from geomgen.kernel.visibility.outlines import _sampled

    algorithm = HLRBRep_Algo()
    for shape in parts:
        algorithm.Add(shape, 0)
    frame = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*look.toward), gp_Dir(*look.right))
    algorithm.Projector(HLRAlgo_Projector(frame))
    algorithm.Update()
    algorithm.Hide()
    reader, found = HLRBRep_HLRToShape(algorithm), []
    for kind in (Type.HLRBRep_Sharp, Type.HLRBRep_OutLine):
        lines = reader.CompoundOfEdges(kind, True, True)
        if lines is not None and not lines.IsNull():
            BRepLib.BuildCurves3d_s(lines)
            found += [look.seen(_sampled(edge, 0.1))[:, :2] for edge in edges_in(lines)]
    return np.concatenate([spaced(line, 2.0) for line in found if len(line) > 1])


@pytest.mark.parametrize("look", [FROM_LEFT, NOSE_DOWN, FROM_NOSE], ids=["left", "above", "nose"])
def test_the_same_as_the_kernel_s_own_slow_hiding(look):
    """Each point of either drawing stands on the other, within a step of 4.4 mm and the slip."""
    from scipy.spatial import cKDTree

    model = machine()
    parts = {name: solid for name, solid in model.parts.items() if name != model.swept}
    ours = [spaced(one.points, 2.0) for one in lines_seen(Scene(parts), look)]
    drawn, due = np.concatenate(ours), kernel_lines(parts.values(), look)
    assert cKDTree(due).query(drawn)[0].max() < 5.0
    assert cKDTree(drawn).query(due)[0].max() < 5.0


def test_a_line_drawn_on_a_skin_is_seen_but_where_something_hides_it():
    """A line across the top of a box, half of it under a plate."""
    on_top = np.array([[0.0, 50.0, 20.0], [100.0, 50.0, 20.0]])
    parts = {
        "box": box((0.0, 0.0, 0.0), (100.0, 100.0, 20.0)),
        "plate": box((-10.0, 20.0, 40.0), (50.0, 80.0, 45.0)),
    }
    bare = lines_seen(Scene(parts), FROM_ABOVE)
    found = lines_seen(Scene(parts, drawn_on={"box": [on_top]}), FROM_ABOVE)
    more = sum(line.length for line in found) - sum(line.length for line in bare)
    assert more == pytest.approx(50.0, abs=0.5)

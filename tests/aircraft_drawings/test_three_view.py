"""The three-view: where the views stand (ISO 5456-2), and its figures held to the meshes."""

import numpy as np
import pytest
from aircraft_drawings.plain_machine import MEASURES, machine

from geomgen.aircraft_drawings.choices import Choices
from geomgen.aircraft_drawings.three_view import three_view
from geomgen.aircraft_drawings.views import inner_lines, views_of
from geomgen.drafting.clashes import clashes
from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.lettering import extent
from geomgen.drafting.paper.sheet import LETTERS, room
from geomgen.drafting.record import CENTRE, HIDDEN, VISIBLE
from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Inlay
from geomgen.kernel.visibility.hidden_lines import Scene
from geomgen.kernel.visibility.look import FROM_LEFT, NOSE_DOWN

ANGLES = ("first angle", "third angle")


@pytest.fixture(scope="module")
def plain():
    """Return the plain machine's sheets by projection."""
    return {angle: three_view(views_of(machine()), Choices(angle, "A3")) for angle in ANGLES}


def middle(sheet, name):
    (label,) = [one for one in sheet.drawing.labels if one.text == name]
    return np.array(label.at)


def boxes(sheet):
    """Return low and high corner of each view, told apart by the dimensions that it carries."""
    marks = {"side": "overall length", "plan": "span", "front": "track"}
    return {
        view: np.array([(d.a, d.b) for d in sheet.drawing.dimensions if d.name == name]).mean(
            axis=(0, 1)
        )
        for view, name in marks.items()
    }


def test_where_the_views_stand(plain):
    """ISO 5456-2: first angle, from above under the principal view, from its right to its left."""
    first, third = boxes(plain["first angle"]), boxes(plain["third angle"])
    assert first["plan"][1] < first["front"][1]
    assert third["plan"][1] > third["front"][1]
    assert first["side"][0] < first["front"][0] < third["side"][0]
    assert plain["first angle"].projection == "first angle"


@pytest.mark.parametrize("angle", ANGLES)
def test_views_keep_aligned(plain, angle):
    """Buttock lines of plan and front, waterlines of side and front stand on common lines."""
    found = boxes(plain[angle])
    assert found["plan"][0] == pytest.approx(found["front"][0], abs=0.01)
    ground = [p for p in plain[angle].drawing.paths if p.name == "ground line"]
    assert len(ground) == 2
    assert {round(y, 6) for path in ground for _, y in path.points} == {20.0}


@pytest.mark.parametrize("angle", ANGLES)
def test_figures_texts_and_room(plain, angle):
    sheet = plain[angle]
    figures = {d.name: d.measured for d in sheet.drawing.dimensions}
    assert figures == pytest.approx(MEASURES, abs=0.05)
    assert clashes(sheet.drawing) == ()
    low, high = extent(drawn_out(sheet.drawing))
    wide, tall = (side * sheet.over for side in room(sheet.size))
    assert high[0] - low[0] <= wide
    assert high[1] - low[1] <= tall
    assert {d.height for d in sheet.drawing.dimensions} == {LETTERS * sheet.over}


def test_layers(plain):
    """The swept volume and the axes are chain lines; hidden lines come only on request."""
    paths = plain["first angle"].drawing.paths
    assert {p.layer for p in paths if p.name == "prop_disc"} == {CENTRE}
    assert {p.layer for p in paths if p.name in ("pod", "wing", "boom_left")} == {VISIBLE}
    assert HIDDEN not in {p.layer for p in paths}
    few = machine("tailplane", "fin", "wheel")
    more = three_view(views_of(few, with_hidden=True), Choices("first angle", "A3"))
    assert HIDDEN in {p.layer for p in more.drawing.paths}


@pytest.mark.parametrize(
    "size", ["A4", *(pytest.param(s, marks=pytest.mark.long) for s in ("A1", "A0"))]
)
def test_other_sheets(size):
    few = machine("fin", "firewall")
    sheet = three_view(views_of(few), Choices("third angle", size))
    assert sheet.size == size
    assert clashes(sheet.drawing) == ()


def test_a_machine_that_no_scale_fits_is_refused():
    from geomgen.kernel.brep.primitives import box

    model = machine("wheel", "fin", "boom", "firewall")
    model.parts["wing"] = box((0.0, -400_000.0, 0.0), (900.0, 400_000.0, 90.0))
    with pytest.raises(GeometryError, match="no room on A4"):
        three_view(views_of(model), Choices("first angle", "A4"))


@pytest.mark.long
def test_the_example_s_figures_are_those_of_its_meshes(saltmarsh_model, saltmarsh_meshes):
    """Boxes of the proven meshes with numpy, within their mesh tolerance."""
    sheet = three_view(views_of(saltmarsh_model), Choices())
    ends = {
        name: (mesh.vertices.min(axis=0), mesh.vertices.max(axis=0))
        for name, (mesh, _) in saltmarsh_meshes.items()
    }
    solid = [ends[name] for name in ends if name != "prop_disc"]
    low, high = np.min([a for a, _ in solid], axis=0), np.max([b for _, b in solid], axis=0)
    size = {name: b - a for name, (a, b) in ends.items()}
    centre = {name: (a + b) / 2 for name, (a, b) in ends.items()}
    ground = next(g for g in saltmarsh_model.grounds if g.name == "static")
    assert ground.plane.normal == pytest.approx((0.0, 0.0, 1.0))
    wing = saltmarsh_meshes["wing"][0].vertices
    near = wing[np.abs(wing[:, 1]) <= size["prop_disc"][1] / 2]
    due = {
        "overall length": high[0] - low[0],
        "span": high[1] - low[1],
        "height over the ground": high[2] - ground.plane.origin[2],
        "pod length": size["pod"][0],
        "pod breadth": size["pod"][1],
        "pod height": size["pod"][2],
        "boom spacing": centre["boom_right"][1] - centre["boom_left"][1],
        "swept diameter": size["prop_disc"][1],
        "tailplane span": size["tailplane"][1],
        "firewall station": ends["firewall"][0][0],
        "wheel base": centre["wheel_main_left"][0] - centre["wheel_nose"][0],
        "track": centre["wheel_main_right"][1] - centre["wheel_main_left"][1],
        "trailing edge to disc": ends["prop_disc"][0][0] - near[:, 0].max(),
    }
    assert {d.name: d.measured for d in sheet.drawing.dimensions} == pytest.approx(due, abs=0.2)
    assert clashes(sheet.drawing) == ()
    assert (sheet.size, sheet.over) == ("A3", 50)


def test_what_stands_inside_is_dashed_where_it_is_no_clutter():
    """Frame and rib are lines from their edges, a spar one outline; a rib's face is left out."""
    model = Model(
        parts={
            "frame_a": box((500, -300, 0), (506, 300, 700)),
            "spar_m_cap_upper": box((900, -4000, 760), (960, 4000, 772)),
            "spar_m_cap_lower": box((900, -4000, 680), (960, 4000, 692)),
            "rib_r_1_right": box((800, 1000, 700), (1500, 1004, 760)),
        },
        families={"frame_a": "frame", "spar_m_cap_upper": "spar", "spar_m_cap_lower": "spar",
                  "rib_r_1_right": "rib"},
        inlays=(Inlay("spar_m", "wing"), Inlay("rib_r", "wing")),
    )  # fmt: skip
    scene = Scene(model.parts)
    plan = {path.name: path for path in inner_lines(model, scene, NOSE_DOWN)}
    assert {path.layer for path in plan.values()} == {HIDDEN}
    assert set(plan) == {"frame_a", "spar_m_cap_upper", "rib_r_1_right"}
    lengths = {name: path.length() for name, path in plan.items()}
    assert lengths["frame_a"] == pytest.approx(600.0, abs=0.1)
    assert lengths["rib_r_1_right"] == pytest.approx(700.0, abs=0.1)
    assert plan["spar_m_cap_upper"].closed
    assert lengths["spar_m_cap_upper"] == pytest.approx(2 * (8000.0 + 60.0), rel=1e-4)
    side = [path.name for path in inner_lines(model, scene, FROM_LEFT)]
    assert side == ["frame_a", "spar_m_cap_upper", "spar_m_cap_upper"]

"""Sheets that are thinner in one place: wedges, steps, grooves, dents in closed form (DERIVED)."""

import math
import random

import pytest
import shapely
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Pnt

from geomgen.kernel.brep.planes import frame_round
from geomgen.kernel.brep.primitives import box, cylinder, tilted
from geomgen.kernel.interference.meeting import body_of
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.plain import Plane
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.firewall.thickness import thickness

X, MIDDLE = (1.0, 0.0, 0.0), (500.0, 0.0, 800.0)
RADIUS, SHEET = 250.0, 2.0
FRONT = 500.0 - SHEET / 2


def seen(solid, lean: float = 0.0, holes=()):
    """Return the record of a round sheet about the middle; `holes` are (across, up, radius).

    Told with its mesh, as `check` does; without one it must be the same.
    """
    turn = math.radians(lean)
    frame: Frame = frame_round(Plane(MIDDLE, (math.cos(turn), 0.0, -math.sin(turn))), MIDDLE)
    section = shapely.Point(0, 0).buffer(RADIUS, 256)
    for y, z, r in holes:
        ((across, up),) = frame.flat([(500.0, y, z)])
        section = section.difference(shapely.Point(across, up).buffer(r, 64))
    leant = tilted(solid, MIDDLE, lean)
    made = meshed(leant, 0.1)
    body = body_of(leant, made.mesh, made.deviation.largest)
    found = thickness(leant, frame, section, MIDDLE, body)
    assert found == thickness(leant, frame, section, MIDDLE)
    return found


def sheet(*knives):
    plate = cylinder((FRONT, 0.0, 800.0), X, RADIUS, SHEET)
    return cut(plate, list(knives), "firewall", "made") if knives else plate


TAPER, LEFT = 0.0018, 1.5


def wedge(way: float):
    """Return a knife that leaves a sheet of 1.5 mm in the middle, thinner towards one end."""
    face = FRONT + SHEET - LEFT
    block = box((face - 50.0, -400.0, 400.0), (face, 400.0, 1200.0))
    return tilted(block, (face, 0.0, 800.0), way * math.degrees(math.atan(TAPER)))


@pytest.mark.parametrize("lean", [0.0, 7.0])
@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_tapered_sheet_is_as_thick_as_at_its_thin_end(way, lean) -> None:
    """By 1.8 in 1,000 up or down: at the rim, less what is left out there, 1.5 thicknesses."""
    found = seen(sheet(wedge(way)), lean)
    far = RADIUS - 1.5 * LEFT
    assert found.value == pytest.approx(LEFT - TAPER * far, abs=1e-5)
    up = far * math.cos(math.radians(lean))
    assert found.points[0][2] == pytest.approx(800.0 + way * up, abs=2.0)
    assert found.note == ""


@pytest.mark.parametrize("where", [(0.0, 0.0), (180.0, 60.0), (-170.0, -110.0), (3.0, 244.0)])
@pytest.mark.parametrize("behind", [False, True])
def test_a_small_pocket_anywhere_on_either_side_is_found(where, behind) -> None:
    """1.2 mm are left under a square of 3 mm, in the rows' gaps or at the rim."""
    y, z = where[0], 800.0 + where[1]
    start, end = (FRONT + 1.2, FRONT + 9.0) if behind else (FRONT - 9.0, FRONT + SHEET - 1.2)
    found = seen(sheet(box((start, y - 1.5, z - 1.5), (end, y + 1.5, z + 1.5))))
    assert found.value == pytest.approx(1.2, abs=1e-6)
    assert math.dist(*found.points) == pytest.approx(1.2, abs=1e-6)
    assert math.hypot(found.points[0][1] - y, found.points[0][2] - z) < 3.0


def test_two_grooves_that_cross_leave_least_where_they_do() -> None:
    """0.7 mm deep in front, 0.9 behind, 2 mm wide: 0.4 mm are left in a square of 2 mm."""
    front = box((FRONT - 9, 101.0, 500), (FRONT + 0.7, 103.0, 1100))
    behind = box((FRONT + SHEET - 0.9, -300, 901.0), (FRONT + 20, 300, 903.0))
    found = seen(sheet(front, behind))
    assert found.value == pytest.approx(0.4, abs=1e-6)


def test_two_sharp_grooves_are_least_at_the_one_point_where_they_cross() -> None:
    def groove(depth: float, side: float, turned: bool):
        from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
        from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
        from OCP.gp import gp_Vec
        from OCP.TopoDS import TopoDS

        face = FRONT if side < 0 else FRONT + SHEET
        corners = [(face + side, -9.0), (face + side, 9.0), (face - side * depth, 0.0)]
        outline = BRepBuilderAPI_MakePolygon()
        for x, off in corners:
            at = gp_Pnt(x, 37.0 + off, 400.0) if turned else gp_Pnt(x, -400.0, 853.0 + off)
            outline.Add(at)
        outline.Close()
        way = gp_Vec(0, 0, 800) if turned else gp_Vec(0, 800, 0)
        made = BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(outline.Wire()).Face(), way).Shape()
        return TopoDS.Solid(made)

    found = seen(sheet(groove(0.8, -1.0, True), groove(0.6, 1.0, False)))
    assert found.value == pytest.approx(SHEET - 1.4, abs=1e-4)
    assert found.points[0][1:] == pytest.approx((37.0, 853.0), abs=1e-2)


@pytest.mark.parametrize("seed", range(6))
def test_a_round_dent_by_chance_is_found_and_said_to_be_curved(seed) -> None:
    rng = random.Random(seed)
    out, turn = RADIUS * 0.9 * math.sqrt(rng.random()), rng.uniform(0, 2 * math.pi)
    y, z = out * math.cos(turn), 800.0 + out * math.sin(turn)
    radius, deep = rng.uniform(15.0, 80.0), rng.uniform(0.3, 0.95)
    ball = BRepPrimAPI_MakeSphere(gp_Pnt(FRONT - radius + deep, y, z), radius).Solid()
    found = seen(sheet(ball))
    assert found.value == pytest.approx(SHEET - deep, abs=1e-4)
    assert "curved" in found.note


@pytest.mark.parametrize("lean", [0.0, 9.0])
def test_an_even_sheet_keeps_its_thickness_whatever_is_drilled_and_bent(lean) -> None:
    """Holes along x through a leaning sheet end in wedges, a flange makes it thicker."""
    flange = cylinder((FRONT, 0, 800), X, RADIUS, 25.0)
    inside = cylinder((FRONT + SHEET, 0, 800), X, RADIUS - SHEET, 40.0)
    shell = cut(flange, [inside], "firewall", "flange")
    found = seen(shell, lean)
    assert found.value == pytest.approx(SHEET, abs=1e-6)
    assert found.note == ""
    hole = (40.0, 860.0, 20.0)
    drilled = cut(tilted(sheet(), MIDDLE, lean), [cylinder((400, 40, 860), X, 20.0, 300)], "f", "h")
    turn = math.radians(lean)
    frame = frame_round(Plane(MIDDLE, (math.cos(turn), 0.0, -math.sin(turn))), MIDDLE)
    ((across, up),) = frame.flat([(500.0, hole[0], hole[1])])
    section = shapely.Point(0, 0).buffer(RADIUS, 256)
    section = section.difference(shapely.Point(across, up).buffer(20.0 / math.cos(turn), 64))
    value = thickness(drilled, frame, section, MIDDLE).value
    assert value == pytest.approx(SHEET, abs=1e-6)


def test_a_hollow_inside_counts() -> None:
    """The layer that the plane runs in counts."""
    void = box((FRONT + 0.2, 100.0, 700.0), (FRONT + 0.7, 104.0, 704.0))
    assert seen(sheet(void)).value == pytest.approx(1.3, abs=1e-6)


def test_where_one_side_is_missing_there_is_no_figure() -> None:
    away = cylinder((520.0, 0.0, 800.0), X, RADIUS, SHEET)
    found = seen(away)
    assert found.value is None
    assert found.broken

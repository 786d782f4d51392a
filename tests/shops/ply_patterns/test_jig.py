"""The jig of frames in a pod that is a cone of ellipses: its figures against closed forms."""

import ezdxf
import numpy as np
import pytest
import shapely
from ezdxf.path import make_path
from framed_pods import BROAD, HIGH, MIDDLE, WALL, frame, model_of
from shops.ply_patterns.test_package import asked

from geomgen.drafting.clashes import clashes
from geomgen.drafting.formats.every_format import write_drawing
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import CUT
from geomgen.kernel.solids.properties import kernel_box
from geomgen.parameters.records.shops import Jig
from geomgen.shops.ply_patterns.jig import jig_frames
from geomgen.shops.ply_patterns.outline import pattern
from geomgen.shops.ply_patterns.package import ply_package
from geomgen.units import INCH

IN = WALL + 0.5
CLEAR, LEGS, TAPER = 120.0, 300.0, 0.2
ROWS = {"fore": (700.0, 0.0), "lean": (1200.0, 10.0)}


def size(x):
    return 1.0 - TAPER * x / 2000.0


# The lowest and the highest edge of the frame that stands upright [mm].
LOW, TOP = (MIDDLE + sign * (size(700.0) * HIGH - IN) for sign in (-1.0, 1.0))


def jig(**fields):
    rows = [frame(name=name, station=f"{x} mm", tilt=f"{lean} deg", width="50 mm")
            for name, (x, lean) in ROWS.items()]  # fmt: skip
    return asked(*rows, jig={"clearance": "120 mm", "leg_spacing": "300 mm", **fields})


@pytest.fixture(scope="module")
def model():
    return model_of(jig())


@pytest.fixture(scope="module")
def sheets(model):
    package = ply_package(jig(), model)
    return {sheet.name: sheet for sheet in package.sheets if sheet.name.startswith("ply_jig")}


@pytest.fixture(scope="module")
def whole(model):
    return [pattern(name, model.parts[name], sheet) for name, sheet in model.sheets.items()]


def stood(whole, **fields):
    fields = {"clearance": "120 mm", "leg_spacing": "300 mm", **fields}
    return jig_frames(whole, Jig.model_validate(fields))


def read(sheet, tmp_path):
    """Return the figures of a sheet's dimensions as another library measures them in its DXF."""
    rows = write_drawing(tmp_path, sheet.paper, Title("Demo", sheet.name, "B", fingerprint="a"))
    space = ezdxf.readfile(tmp_path / rows[0]["file"]).modelspace()
    found = [entity.get_measurement() for entity in space.query("DIMENSION")]
    return dict(zip((d.name for d in sheet.drawing.dimensions), found, strict=True))


def test_the_board_has_a_sheet_and_each_frame_one_without_clashes(sheets):
    assert list(sheets) == ["ply_jig", "ply_jig_frame_fore", "ply_jig_frame_lean"]
    assert all(clashes(sheet.drawing) == () for sheet in sheets.values())
    assert not any(sheet.full_size for sheet in sheets.values())


def test_a_frame_stands_as_high_as_the_pods_section_says(sheets, tmp_path):
    """The keel of the fore frame is the lowest edge: the cone rises aft, and the lean is slight."""
    found = read(sheets["ply_jig_frame_fore"], tmp_path)
    assert found["low edge"] == pytest.approx(CLEAR, abs=0.05)
    assert found["high edge"] == pytest.approx(CLEAR + TOP - LOW, abs=0.1)
    assert found["breadth"] == pytest.approx(2 * (size(700.0) * BROAD - IN), abs=0.1)
    assert found["thrust line"] == pytest.approx(CLEAR + MIDDLE - LOW, abs=0.1)
    assert found["legs"] == pytest.approx(LEGS)
    # Where the ellipse, a skin and a bond's gap further in, is at BL 150; within the offset's bend.
    a, b = (size(700.0) * half - IN for half in (BROAD, HIGH))
    edge = CLEAR + b * (1.0 - (1.0 - (LEGS / 2 / a) ** 2) ** 0.5)
    assert found["leg"] == pytest.approx(edge, abs=0.3)


def test_stations_on_the_board_are_where_the_faces_meet_it(sheets, tmp_path):
    found = read(sheets["ply_jig"], tmp_path)
    drop = MIDDLE - (LOW - CLEAR)
    foot = 1200.0 - drop * 0.17632698  # tan 10 deg
    assert found["thrust line"] == pytest.approx(drop, abs=0.1)
    assert found["spacing"] == pytest.approx(foot - 700.0, abs=0.05)
    assert found["to no 1"] == pytest.approx(100.0)
    assert found["board, length"] == pytest.approx(foot + 6.0 + 100.0 - 600.0, abs=0.05)
    texts = [label.text for label in sheets["ply_jig"].drawing.labels]
    for value in (foot, CLEAR):
        near = [t for t in texts if _number(t) == pytest.approx(value, abs=0.11)]
        inches = [t for t in texts if _number(t) == pytest.approx(value / INCH, abs=0.005)]
        assert near
        assert inches


def _number(text):
    try:
        return float(text)
    except ValueError:
        return float("inf")


def test_a_leaning_frame_is_measured_along_its_sheet(whole):
    lean = next(one for one in stood(whole) if one.name == "frame_lean")
    low, high = lean.heights
    _, y0, _, y1 = lean.outline.bounds
    assert (low, high) == pytest.approx((y0 * 0.98480775, y1 * 0.98480775))  # cos 10 deg
    assert low > CLEAR


@pytest.mark.parametrize("way", ["keel down", "crown down"])
def test_a_leaning_frame_stands_by_its_front_face_as_it_is_bevelled(model, whole, way):
    """By the box of its solid, and a closed form: its larger face reaches out 1 mm further."""
    lean = [made for made in whole if made.name == "frame_lean"]
    (one,) = stood(lean, way=way)
    turn = -1.0 if way == "crown down" else 1.0
    board = MIDDLE - turn * one.thrust * one.way[1]
    edge = kernel_box(model.parts["frame_lean"])
    room = edge.low[2] - board if turn > 0.0 else board - edge.high[2]
    assert room == pytest.approx(CLEAR, abs=0.02)
    # Where the plane of the front face meets the cone less the skin and the bond.
    for sign in (-1.0, 1.0):
        rise = 0.0
        for _ in range(50):
            x = 1200.0 + rise * 0.17632698  # tan 10 deg
            rise = sign * (size(x) * HIGH - IN)
        height = turn * (MIDDLE + rise - board)
        assert min(abs(height - each) for each in one.heights) < 0.1


def test_crown_down_the_frames_hang_over_the_board_by_their_crowns(whole):
    fore = next(one for one in stood(whole, way="crown down") if one.name == "frame_fore")
    assert fore.heights == pytest.approx((CLEAR, CLEAR + TOP - LOW), abs=0.1)
    assert fore.thrust == pytest.approx(CLEAR + TOP - MIDDLE, abs=0.1)
    assert fore.station == pytest.approx(700.0)
    lean = next(one for one in stood(whole, way="crown down") if one.name == "frame_lean")
    # Its top leans aft, and its top is down on the board.
    assert lean.station == pytest.approx(1200.0 + (CLEAR + TOP - MIDDLE) * 0.17632698, abs=0.05)
    assert lean.way[0] < 0


def test_a_frame_too_narrow_for_two_legs_has_one_on_the_centre_line(whole):
    for spacing, places in (("300 mm", (-150.0, 150.0)), ("540 mm", (0.0,)), (None, ())):
        for one in stood(whole, leg_spacing=spacing):
            assert tuple(at for at, _ in one.legs) == places


def side_and_deck():
    rows = (
        frame(name="side", station="700 mm", width="50 mm", top="950 mm", bottom="600 mm"),
        frame(name="deck", station="700 mm", width="50 mm", bottom="1000 mm"),
        frame(name="floor", station="1200 mm", top="620 mm"),
    )
    return asked(*rows, jig={"clearance": "120 mm", "leg_spacing": "300 mm"})


@pytest.fixture(scope="module")
def halves():
    p = side_and_deck()
    return p, model_of(p)


def test_half_frames_stand_on_the_board_with_the_parts_that_share_a_station(halves):
    """By the waterlines of their cuts: the lowest edge of all is the floor frame's."""
    p, model = halves
    package = ply_package(p, model)
    assert [check.id for check in package.findings if check.verdict != "pass"] == []
    drawn = {sheet.name: sheet.drawing for sheet in package.sheets}
    assert {"ply_frame_side_right", "ply_frame_deck", "ply_frame_floor"} <= set(drawn)
    blanks = {item.name: item.hand for item in package.items}
    for hand in ("right", "left"):
        assert blanks[f"frame_side_{hand} blank"] == hand
    own = [drawing for name, drawing in drawn.items() if name.startswith("ply_frame")]
    assert all(clashes(drawing) == () for drawing in own)
    # What has no room on so narrow a piece stands below it.
    said = [text for one in own for text in (*(each.text for each in one.labels), *one.notes)]
    assert any("WL 600.0 TO 950.0" in text for text in said)
    jigs = [sheet for sheet in package.sheets if sheet.name.startswith("ply_jig")]
    assert len(jigs) == 1 + 4
    assert all(clashes(sheet.drawing) == () for sheet in jigs)
    board = next(sheet.drawing for sheet in jigs if sheet.name == "ply_jig")
    assert any(label.text == "1 2 3" for label in board.labels)
    patterns = [pattern(name, model.parts[name], sheet) for name, sheet in model.sheets.items()]
    stood = {one.name: one for one in jig_frames(patterns, p.handoff.ply.jig)}
    low = MIDDLE - (size(1200.0) * HIGH - IN)
    for name, bottom, top in (("floor", low, 620.0), ("side_left", 600.0, 950.0)):
        heights = (bottom - low + CLEAR, top - low + CLEAR)
        assert stood[f"frame_{name}"].heights == pytest.approx(heights, abs=0.1)
    assert len(stood["frame_deck"].legs) == 2
    (right,), (left,) = (stood[f"frame_side_{hand}"].legs for hand in ("right", "left"))
    assert right[0] == pytest.approx(-left[0], abs=0.01)
    assert right[0] > 200.0
    assert right[1] == pytest.approx(left[1], abs=0.01)


def test_a_floor_frame_in_its_dxf_has_the_area_of_its_segment(halves, tmp_path):
    """The larger face, read back by another library, against the segment of an ellipse inside."""
    p, model = halves
    package = ply_package(p, model)
    sheet = next(one for one in package.sheets if one.name == "ply_frame_floor")
    row = next(
        row
        for row in write_drawing(tmp_path, sheet.paper, Title("Demo", sheet.name, "B"))
        if row["file"].endswith(".dxf")
    )
    space = ezdxf.readfile(tmp_path / row["file"]).modelspace()
    cut = [make_path(entity) for entity in space if entity.dxf.layer == CUT]
    outline = max(
        (shapely.Polygon([(v.x, v.y) for v in path.flattening(0.01)]) for path in cut),
        key=lambda ring: ring.area,
    )
    scale = size(1200.0)
    angle = np.linspace(0.0, 2 * np.pi, 20001)
    y, z = scale * BROAD * np.cos(angle), scale * HIGH * np.sin(angle)
    n = np.stack([np.cos(angle) / BROAD, np.sin(angle) / HIGH])
    y, z = np.stack([y, z]) - IN * n / np.hypot(*n)
    below = shapely.box(-1e3, -1e3, 1e3, 620.0)
    want = shapely.Polygon(np.c_[y, MIDDLE + z]).intersection(below)
    assert outline.area == pytest.approx(want.area, rel=1e-3)
    width, height = np.ptp(np.array(outline.exterior.coords), axis=0)
    assert (width, height) == pytest.approx(
        (want.bounds[2] - want.bounds[0], want.bounds[3] - want.bounds[1]), abs=0.2
    )

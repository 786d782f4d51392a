from dataclasses import replace

import ezdxf
import numpy as np
import pytest
import shapely
from shops.hotwire_cores.core_wing import ROOT, cut, mirrored, skins, template

from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.formats.dxf.writing import write_dxf
from geomgen.drafting.formats.pdf.pages import write_sheet, write_tiles
from geomgen.drafting.formats.pdf.pages_proof import prove_sheet, prove_tiles
from geomgen.drafting.lettering import block_size
from geomgen.drafting.paper.full_size import full_size
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import CAP, CUT, REF
from geomgen.errors import FileWriteError, GeometryError
from geomgen.parameters.records.shops import SparCap
from geomgen.shops.hotwire_cores.outline import core_outline, guide, in_chord_frame, trough
from geomgen.shops.hotwire_cores.printed_face import FACE_WORDS
from geomgen.shops.hotwire_cores.templates import template_drawing

CAPS = tuple(SparCap(at=0.3, width="40 mm", depth="5 mm", side=s) for s in ("upper", "lower"))
WORDS = ("WING CORE - PANEL 1 OF 1 - ROOT - RIGHT", "chord 600.0 mm", "kerf 1.20, skin 0.45")


def with_troughs(side: int = 1, caps=CAPS):
    made = template(side, 0)
    ways = tuple(trough(made.core, cap, 1.2) for cap in caps)
    return replace(made, troughs=ways, trough_words=tuple("CAP 40 x 5" for _ in caps), words=WORDS)


def lines(drawing):
    return [
        shapely.LineString([*path.dense(0.002), *([path.points[0]] if path.closed else [])])
        for path in drawing.paths
    ]


def boxes(drawing):
    found = []
    for label in drawing.labels:
        wide, high = block_size((label.text,), label.height)
        x, y = label.at
        found.append(shapely.box(x - wide / 2, y, x + wide / 2, y + high))
    return found


@pytest.mark.parametrize("side", [1, -1])
def test_no_text_runs_into_a_line_or_another_text(side) -> None:
    drawing = template_drawing(with_troughs(side))
    texts = boxes(drawing)
    for i, text in enumerate(texts):
        assert not any(text.intersects(path) for path in lines(drawing)), drawing.labels[i].text
        assert not any(text.intersects(other) for other in texts[:i]), drawing.labels[i].text


def test_a_small_thin_template_is_written_beside() -> None:
    made = template(1, 1)
    scale = 0.25
    core = replace(
        made.core,
        upper=replace(made.core.upper, points=made.core.upper.points * scale),
        lower=replace(made.core.lower, points=made.core.lower.points * scale),
        chord=made.core.chord * scale,
    )
    small = replace(made, core=core, guide=guide(core, 1.2, 0.06), ticks=10, words=WORDS * 3)
    drawing = template_drawing(small)
    texts = boxes(drawing)
    assert not any(text.intersects(path) for text in texts for path in lines(drawing))
    below = [label for label in drawing.labels if label.text in WORDS]
    assert any(label.text == FACE_WORDS["outboard"] for label in drawing.labels)
    assert len(below) == 9
    assert max(label.at[1] for label in below) < drawing.box()[1][1] - 10


def test_ticks_are_numbered_the_same_on_both_sides_and_start_at_the_edge() -> None:
    drawing = cut(1).root
    numbers = sorted(int(t.text) for t in drawing.labels if t.text.isdigit())
    assert numbers == sorted([*range(1, 25)] * 2)
    outline = next(line for line, p in zip(lines(drawing), drawing.paths, strict=True) if p.closed)
    ticks = [p for p in drawing.paths if p.layer == REF and p.name.startswith("tick")]
    assert len(ticks) == 48
    area = shapely.Polygon(outline.coords)
    for tick in ticks:
        assert outline.distance(shapely.Point(tick.points[0])) < 0.02
        assert area.contains(shapely.Point(tick.points[1]))


def test_outline_is_half_a_kerf_outside_the_core_and_carries_the_tangs() -> None:
    drawing = cut(1).root
    (outline,) = [path for path in drawing.paths if path.layer == CUT]
    assert outline.closed
    (x0, _), (x1, _) = replace(drawing, dimensions=()).box()
    # The root of a right-hand core, seen from inboard: aft is to the right.
    assert (x0, x1) == pytest.approx((-0.06 * ROOT, 1.06 * ROOT), abs=1e-3)
    wing = in_chord_frame(skins(1).section(0.0)).polygon()
    # Shapely's buffer of the wing by kerf / 2 less skin is the template but for tangs and tail.
    wanted = wing.buffer(1.2 / 2 - 0.45, join_style="mitre").area
    body = shapely.Polygon(outline.dense(0.005)).intersection(shapely.box(0.0, -ROOT, ROOT, ROOT))
    assert body.area == pytest.approx(wanted, rel=1e-3)


def test_left_is_the_mirror_of_right() -> None:
    right, left = cut(1).tip, cut(-1).tip
    for a, b in zip(mirrored(right).paths, left.paths, strict=True):
        assert np.array(a.points) == pytest.approx(np.array(b.points), abs=1e-9)
        assert a.bulges == pytest.approx(b.bulges, abs=1e-9)


def test_the_printed_face_looks_out_of_the_foam_at_both_ends() -> None:
    # Closed form: aft (1, 0, 0) is to the right of who looks along s with the top up if
    # (s x (0, 0, 1)) . aft > 0; at the tip of the right-hand wing s is (0, -1, 0), at its root +1.
    for side in (1, -1):
        for drawing, sight in ((cut(side).root, side), (cut(side).tip, -side)):
            right = np.cross((0.0, sight, 0.0), (0.0, 0.0, 1.0))[0]
            nose = next(t for t in drawing.labels if t.text == "LE")
            tail = next(t for t in drawing.labels if t.text == "TE")
            assert (tail.at[0] - nose.at[0]) * right > 0
        assert any(t.text == FACE_WORDS["inboard"] for t in cut(side).root.labels)
        assert any(t.text == FACE_WORDS["outboard"] for t in cut(side).tip.labels)


def test_level_line_leans_by_the_angle_of_the_chord() -> None:
    # Nose up 1 deg: the level line rises aft by 1 deg in the frame of the chord, and aft is to the
    # right on the face of a right-hand root.
    (level,) = [path for path in cut(1).root.paths if path.name == "level in flight"]
    (x0, y0), (x1, y1) = sorted(level.points)
    assert np.degrees(np.arctan2(y1 - y0, x1 - x0)) == pytest.approx(1.0, abs=1e-6)


def test_troughs_are_closed_outlines_on_their_own_layer() -> None:
    drawing = template_drawing(with_troughs())
    troughs = [path for path in drawing.paths if path.layer == CAP]
    assert len(troughs) == 2
    assert all(path.closed for path in troughs)
    core = core_outline(in_chord_frame(skins(1).section(0.0)), 0.45).polygon()
    for path in troughs:
        melted = shapely.Polygon(path.dense(0.01)).buffer(0.6, join_style="mitre")
        # Closed form: width times depth, for the surface is nearly flat along the cap.
        assert melted.intersection(core).area == pytest.approx(40.0 * 5.0, rel=0.02)


def test_troughs_that_meet_are_refused() -> None:
    deep = tuple(
        SparCap(at=0.3, width="40 mm", depth="38 mm", side=side) for side in ("upper", "lower")
    )
    with pytest.raises(GeometryError, match="run into each other"):
        template_drawing(with_troughs(caps=deep))


@pytest.mark.parametrize("side", [1, -1])
def test_chord_length_and_height_are_real_dimensions_in_the_file(side, tmp_path) -> None:
    """By another library: each figure is what its points are apart, on the cut where it can be."""
    drawing = cut(side).root
    write_dxf(tmp_path / "a.dxf", drawing, Title("Demo", "a", "B", fingerprint="a1b2c3"))
    space = ezdxf.readfile(tmp_path / "a.dxf").modelspace()
    rows = {e.dxf.text.split()[0]: e.get_measurement() for e in space.query("DIMENSION")}
    (outline,) = [path for path in drawing.paths if path.layer == CUT]
    wide, high = np.ptp(np.array(outline.dense(0.005)), axis=0)
    assert rows["chord"] == pytest.approx(ROOT, abs=0.05)
    assert rows["length"] == pytest.approx(1.12 * ROOT, abs=0.05)
    assert rows["length"] == pytest.approx(wide, abs=0.02)
    assert rows["height"] == pytest.approx(high, abs=0.02)
    assert len(rows) == 3


def test_dimensions_run_into_nothing_that_is_read() -> None:
    for drawing in (template_drawing(with_troughs(1)), cut(-1).tip):
        whole = drawn_out(drawing)
        new = whole.paths[len(drawing.paths) :]
        texts = boxes(drawing)
        for path in new:
            line = shapely.LineString(path.dense(0.05))
            assert not any(line.intersects(text) for text in texts), path.name


def test_paper_with_dimensions_is_proved(tmp_path) -> None:
    drawing = cut(1).root
    title = Title("Demo", "a", "B", fingerprint="a1b2c3")
    sheet = full_size(drawing)
    prove_sheet(write_sheet(tmp_path / "a.pdf", sheet, title), sheet, title)
    tiles = write_tiles(tmp_path / "b.pdf", drawing, title, "A4", 10.0)
    prove_tiles(tiles, drawing, title, "A4", 10.0)
    longer = replace(
        drawing,
        dimensions=(replace(drawing.dimensions[0], a=(20.0, 0.0)), *drawing.dimensions[1:]),
    )
    with pytest.raises(FileWriteError, match="of DIM is not the one drawn"):
        prove_sheet(tmp_path / "a.pdf", replace(sheet, drawing=longer), title)


def test_a_part_inside_is_drawn_on_the_side_where_it_is_and_nothing_runs_into_it() -> None:
    square = np.array([[200.0, -10.0], [230.0, -10.0], [230.0, 10.0], [200.0, 10.0]])
    for side in (1, -1):
        drawing = template_drawing(replace(with_troughs(side), laid=(("spar", square),)))
        (path,) = [path for path in drawing.paths if path.name == "spar"]
        assert path.layer == REF
        aft = {x for x, _ in path.points}
        assert aft == ({200.0, 230.0} if side > 0 else {-200.0, -230.0})
        (name,) = [label for label in drawing.labels if label.text == "spar"]
        area = shapely.Polygon(path.points)
        assert area.distance(shapely.Point(name.at)) < 60.0
        others = [line for line, p in zip(lines(drawing), drawing.paths, strict=True) if p != path]
        assert all(line.distance(area) > 0.5 for line in others if line.length < 400.0)

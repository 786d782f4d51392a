"""The flange as a ring, round and oval, against closed forms; holes read back from the DXF."""

import itertools
import math
import re

import ezdxf
import numpy as np
import pytest
import shapely
from shops.sheet_metal.trays import measured, oval_tray, tray

from geomgen.drafting.formats.dxf.writing import write_dxf
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import CUT, Drawing, Path
from geomgen.errors import GeometryError
from geomgen.parameters.records.shops import SheetShop
from geomgen.parameters.rules.shops import least_ring
from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.tabs import Reliefs
from geomgen.shops.sheet_metal.ring.drawing import ring_drawing
from geomgen.shops.sheet_metal.ring.findings import cuts_of, inner_lengths, ring_findings
from geomgen.shops.sheet_metal.ring.joggle import joggle_of
from geomgen.shops.sheet_metal.ring.rivet_line import CLEAR, RingWish, root_radius
from geomgen.shops.sheet_metal.ring.segments import ring_flange
from geomgen.shops.sheet_metal.ring.width import least_width

BENDING = Bending(1.0, 1.5, 0.42)
RADIUS, WIDTH, RIVET, GAP, LAP = 150.0, 24.0, 3.2, 3.0, 25.0
RELIEFS = Reliefs(GAP, 60.0, 0.3)


def made(solid, lap=None, segments=4):
    wish = RingWish(WIDTH, segments, RIVET, 25.0, GAP, lap)
    return ring_flange(measured(solid), BENDING, RELIEFS, wish)


def read_back(tmp_path, drawing) -> Drawing:
    """Return a drawing's cuts as another library reads them from the file, named by their size."""
    write_dxf(tmp_path / "a.dxf", drawing, Title("Demo", drawing.name, "B", fingerprint="a1b2c3"))
    space = ezdxf.readfile(tmp_path / "a.dxf").modelspace()
    paths = []
    for entity in space.query(f'LWPOLYLINE[layer=="{CUT}"]'):
        rows = list(entity.get_points("xyb"))
        path = Path(tuple((x, y) for x, y, _ in rows), tuple(b for _, _, b in rows))
        name = "rivet" if abs(path.area()) < 3 * RIVET**2 else "ring"
        paths.append(Path(path.points, path.bulges, True, CUT, f"{name} {len(paths)}"))
    return Drawing(drawing.name, tuple(paths))


def sheet_of(ring) -> Drawing:
    return Drawing("flat", (ring.flat.cut, *ring.flat.holes))


@pytest.fixture(scope="module", params=[None, LAP], ids=["butted", "joggled"])
def ring(request):
    return made(tray(RADIUS, 1.0, 20.0), request.param)


def test_segments_of_a_round_firewall_are_r_theta_long(ring, tmp_path) -> None:
    """Inner edges at R less the width; gaps and laps are lengths on the line of the rivets."""
    lengths = inner_lengths(ring, cuts_of(read_back(tmp_path, ring_drawing(ring, ()))))
    inside, rivets = RADIUS - WIDTH, RADIUS - WIDTH + 2 * RIVET
    off = -GAP if ring.wish.lap is None else LAP
    joggle = joggle_of(BENDING).excess if ring.wish.lap else 0.0
    wanted = inside * (2 * math.pi / 4 + off / rivets) + joggle
    assert lengths == pytest.approx([wanted] * 4, abs=0.05)


def test_rivets_of_a_round_firewall_lie_on_their_circle(ring) -> None:
    points = np.array(ring.rivets) - [0.0, 700.0]
    assert np.hypot(*points.T) == pytest.approx(RADIUS - WIDTH + 2 * RIVET, abs=0.01)
    along = np.sort(np.arctan2(*points.T)) * (RADIUS - WIDTH + 2 * RIVET)
    assert np.diff(along).max() <= 25.0 + 0.01
    assert np.diff(along).min() >= 3 * RIVET


def test_all_that_is_measured_passes_on_the_lines_of_the_file(ring, tmp_path) -> None:
    drawn = read_back(tmp_path, ring_drawing(ring, ()))
    rows = {f.id: f for f in ring_findings(ring, sheet_of(ring), drawn, 8000.0)}
    assert [f.id for f in rows.values() if f.verdict != "pass"] == []
    assert rows["sheet.ring_holes"].measured < 1e-3
    assert f"{sum(len(s.holes) for s in ring.segments)} holes" in rows["sheet.ring_holes"].what
    assert rows["sheet.ring_length"].measured < 0.05
    assert rows["sheet.ring_edge"].measured == pytest.approx(2 * RIVET, abs=0.01)


def test_hole_drilled_beside_is_found(ring) -> None:
    drawn = ring_drawing(ring, ())
    at = next(i for i, path in enumerate(drawn.paths) if path.name == "rivet 3")
    hole = drawn.paths[at]
    moved = Path(tuple((x + 0.3, y) for x, y in hole.points), hole.bulges, True, CUT, hole.name)
    paths = (*drawn.paths[:at], moved, *drawn.paths[at + 1 :])
    rows = ring_findings(ring, sheet_of(ring), Drawing("ring", paths), 8000.0)
    found = next(f for f in rows if f.id == "sheet.ring_holes")
    assert found.verdict == "fail"
    assert 0.2 < found.measured < 0.35


def test_segment_that_is_missing_is_found(ring) -> None:
    drawn = ring_drawing(ring, ())
    short = tuple(path for path in drawn.paths if path.name != "ring 4")
    with pytest.raises(ValueError, match="zip"):
        ring_findings(ring, sheet_of(ring), Drawing("ring", short), 8000.0)


def test_areas_agree_with_another_library(ring) -> None:
    for segment in ring.segments:
        shape = shapely.Polygon(segment.cut.dense(0.001))
        assert shape.is_valid
        bound = 0.001 * segment.cut.length()
        assert shape.area == pytest.approx(segment.cut.area(), abs=bound)
        assert all(shape.contains(shapely.Point(hole.points[0])) for hole in segment.holes)


def test_laps_lie_over_the_next_segment_by_what_is_asked_for() -> None:
    """By shapely: a tongue put back by its joggle covers the lap times its width."""
    ring = made(tray(RADIUS, 1.0, 20.0), LAP)
    ahead = -GAP / 2 + root_radius(BENDING) + joggle_of(BENDING).run + CLEAR
    for span, after in itertools.pairwise(ring.spans):
        assert span.tip - after.begin == pytest.approx(LAP)
        assert after.begin - (span.end + GAP / 2) == pytest.approx(ahead)
    (row,) = (
        f for f in ring_findings(ring, sheet_of(ring), ring_drawing(ring, ()), 8000.0)
        if f.id == "sheet.ring_lap"
    )  # fmt: skip
    assert row.measured == pytest.approx(LAP, abs=0.05)


def test_corner_of_a_tongue_is_round() -> None:
    """A right angle between edges: one arc that turns by 90 deg, its radius the one asked for."""
    ring = made(tray(RADIUS, 1.0, 20.0), LAP)
    for segment in ring.segments:
        arcs = [
            (math.dist(a, b) / (2 * math.sin(2 * math.atan(abs(bulge)))), bulge)
            for a, b, bulge in segment.cut.pieces()
            if bulge < -0.3 and math.dist(a, b) < 2.0
        ]
        assert min(radius for radius, _ in arcs) >= BENDING.thickness - 1e-6


def test_oval_firewall_of_two_and_of_many_segments() -> None:
    for lap, segments in ((None, 2), (LAP, 7)):
        ring = made(oval_tray(120.0, 200.0), lap, segments)
        rows = ring_findings(ring, sheet_of(ring), ring_drawing(ring, ()), 8000.0)
        assert [f.id for f in rows if f.verdict != "pass"] == []
        assert len(ring.segments) == segments


def test_segments_of_the_drawing_keep_clear_of_each_other(ring) -> None:
    cuts = [shapely.Polygon(path.dense(0.05)) for path, _ in cuts_of(ring_drawing(ring, ()))]
    for one, other in itertools.combinations(cuts, 2):
        assert one.distance(other) > 7.5


@pytest.mark.parametrize(
    ("lap", "segments", "words"), [(None, 20, "20 segments of 16 tabs"), (60.0, 16, "rivets")]
)
def test_what_does_not_fit_is_refused(lap, segments, words) -> None:
    with pytest.raises(GeometryError, match=words) as caught:
        made(tray(RADIUS, 1.0, 20.0), lap, segments)
    assert "handoff.sheet.ring_segments" in caught.value.look_at


def least(relief=GAP):
    """Return the width that the file's own rule asks for at least."""
    said = {"inside_radius": 1.5, "relief_width": relief, "rivet_diameter": RIVET}
    shop = SheetShop.model_validate({key: f"{value} mm" for key, value in said.items()})
    return least_ring(1.0, shop)


def on_cone(angle, width, lap=None, relief=GAP, fixed=True):
    """Return how far rivets are off the edges of a ring on a cone that narrows by an angle."""
    wish = RingWish(width, 4, RIVET, 25.0, relief, lap, fixed)
    sheet = measured(tray(RADIUS, 1.0, 20.0, angle))
    ring = ring_flange(sheet, BENDING, Reliefs(relief, 60.0, 0.3), wish)
    rows = ring_findings(ring, sheet_of(ring), ring_drawing(ring, ()), 8000.0)
    return next(row for row in rows if row.id == "sheet.ring_edge")


@pytest.mark.parametrize("angle", [pytest.param(20.0, marks=pytest.mark.long), 40.0])
def test_leg_too_narrow_beside_a_flange_that_is_bent_further_is_told_what_would_do(angle) -> None:
    """The file's rule takes a right angle; 90 deg and the cone's angle begin further in."""
    bad = on_cone(angle, least())
    assert bad.verdict == "fail"
    assert f"bent by up to {90 + angle:.0f} deg" in bad.note
    wide = float(re.search(r"([\d.]+) mm of handoff.sheet.ring_width would do", bad.note)[1])
    assert on_cone(angle, wide).verdict == "pass"
    assert on_cone(angle, wide - 0.3).verdict == "fail"


@pytest.mark.parametrize(
    ("angle", "relief"),
    [
        (0.0, 1.0),
        *(pytest.param(angle, GAP, marks=pytest.mark.long) for angle in (10.0, 20.0)),
        (40.0, GAP),
    ],
)
def test_leg_too_narrow_for_its_tongues_is_refused_with_what_would_do(angle, relief) -> None:
    with pytest.raises(GeometryError, match="no room for its tongues") as caught:
        on_cone(angle, least(relief), LAP, relief)
    assert caught.value.look_at == ["handoff.sheet.ring_width"]
    wide = float(re.search(r"([\d.]+) mm would do", caught.value.problem)[1])
    assert on_cone(angle, wide, LAP, relief).verdict == "pass"


def test_where_the_width_is_not_at_fault_none_is_told(ring) -> None:
    row = on_cone(0.0, least())
    assert row.verdict == "pass"
    assert "would do" not in row.note
    # The file's rule is for a right angle, and asks for no less than the cuts do there.
    needed = least_width(ring.whole, ring.wish)
    assert needed <= least()
    assert on_cone(0.0, needed).verdict == "pass"
    assert on_cone(0.0, needed - 0.3).verdict == "fail"


def test_outline_too_tight_for_the_ring_is_refused() -> None:
    with pytest.raises(GeometryError, match="ring so wide"):
        ring_flange(
            measured(tray(60.0, 1.0, 20.0)), BENDING, Reliefs(GAP, 40.0, 0.3),
            RingWish(70.0, 2, RIVET, 25.0, GAP),
        )  # fmt: skip


@pytest.mark.parametrize(("rivet", "pitch"), [(3.2, 10.0), (4.0, 25.0), (3.2, 25.0)])
def test_rivets_keep_three_diameters_where_the_pitch_asks_for_less(rivet, pitch) -> None:
    """A lap of 25 mm has no room for two rivets of 4 mm: 25 less 4 x 4 is less than 3 x 4."""
    wish = RingWish(28.0, 3, rivet, pitch, GAP, LAP)
    ring = ring_flange(measured(tray(RADIUS, 1.0, 20.0)), BENDING, RELIEFS, wish)
    rows = {f.id: f for f in ring_findings(ring, sheet_of(ring), ring_drawing(ring, ()), 8000.0)}
    assert rows["sheet.ring_pitch"].verdict == rows["sheet.ring_edge"].verdict == "pass"
    assert len(ring.spans[0].shared) == (1 if rivet == 4.0 else 2)


@pytest.mark.parametrize("lap", [None, LAP])
def test_leg_without_a_width_of_its_own_is_as_wide_as_it_has_to_be(lap) -> None:
    """As wide as what would do is told where a width is asked for; no narrower than usual."""
    assert on_cone(40.0, least(), lap, fixed=False).verdict == "pass"
    wish = RingWish(40.0, 4, RIVET, 25.0, GAP, lap, fixed=False)
    sheet = measured(tray(RADIUS, 1.0, 20.0, 40.0))
    assert ring_flange(sheet, BENDING, RELIEFS, wish).wish.width == 40.0

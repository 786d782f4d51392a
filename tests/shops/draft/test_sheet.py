"""The sheet of a half's draft on plain bodies: its views, lines of equal draft, how it fills."""

from math import cos, radians, sin

import numpy as np
import pytest

from geomgen.drafting.clashes import clashes
from geomgen.drafting.formats.pdf.pages import write_sheet
from geomgen.drafting.formats.pdf.pages_proof import prove_sheet
from geomgen.drafting.lettering import extent
from geomgen.drafting.paper.pens import PENS
from geomgen.drafting.paper.sheet import room
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import HATCH, SECTION, VISIBLE
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.shops.draft.cells import body_of
from geomgen.shops.draft.report import side_of
from geomgen.shops.draft.sheet import draft_sheet
from geomgen.shops.draft.undercut import draft_of
from geomgen.shops.draft.views import sides_of

RADIUS, LENGTH = 200.0, 6000.0
OUT = (0.0, 1.0, 0.0)


@pytest.fixture(scope="module")
def rod():
    """The right half of a rod along the aircraft, pulled to the right."""
    body = body_of(cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), RADIUS, LENGTH), "rod")
    return body, draft_of(body, OUT, 5.0, side_of(OUT, np.zeros(3)))


@pytest.fixture(scope="module")
def sheet(rod):
    return draft_sheet("draft_rod_right", rod[0], rod[1], "right", (), ("a note",))


def test_walls_at_fault_are_seen_from_their_own_side(rod):
    """The walls near the split look up and down, the end faces fore and aft."""
    seen = {side.words for side in sides_of(rod[1])}
    assert "seen from the right" in seen
    assert len(seen) == 3
    block = box((0.0, 0.0, 0.0), (900.0, 20.0, 100.0))
    sides = sides_of(draft_of(block, OUT, 3.0))
    assert [side.words for side in sides] == [
        "seen from the right",
        "seen from above",
        "seen from below",
    ]


def test_lines_of_equal_draft_stand_where_the_rod_leans_by_that(sheet):
    """A rod leans to the pull by a at the height R cos a over its middle (closed form)."""
    for level in (5.0, 10.0, 45.0):
        lines = [p for p in sheet.drawing.paths if p.name == f"draft {level:g} deg"]
        heights = np.abs([z for path in lines for _, z in path.points])
        main = heights[heights < RADIUS + 1.0]
        assert main == pytest.approx(np.full(len(main), RADIUS * cos(radians(level))), abs=0.5)
    plan = [p for p in sheet.drawing.paths if p.name == "draft 30 deg"]
    assert {p.layer for p in plan} == {HATCH}
    assert {p.layer for p in sheet.drawing.paths if p.name == "draft 5 deg"} == {SECTION}
    # Seen from above the strip below the draft is R sin a wide.
    above = [p for p in sheet.drawing.paths if p.name == "draft 5 deg"]
    tops = [y for path in above for _, y in path.points if y > RADIUS + 1.0]
    outline = [y for p in sheet.drawing.paths if p.name == "outline" for _, y in p.points]
    assert max(outline) - np.mean(tops) == pytest.approx(RADIUS * sin(radians(5.0)), abs=1.0)


def test_it_fills_its_page_with_solid_lines_and_nothing_runs_into_anything(sheet, tmp_path):
    low, high = extent(sheet.drawing)
    shares = [(b - a) / sheet.over / r for a, b, r in zip(low, high, room(sheet.size), strict=True)]
    assert 0.5 < max(shares) <= 1.0
    assert all(not PENS[path.layer][1] for path in sheet.drawing.paths)
    assert {VISIBLE, HATCH, SECTION} <= {path.layer for path in sheet.drawing.paths}
    assert clashes(sheet.drawing) == ()
    title = Title("Project", "draft_rod_right", "A", "right", reason="w" * 120)
    prove_sheet(write_sheet(tmp_path / "x.pdf", sheet, title), sheet, title)


def test_the_key_says_how_much_is_below(rod, sheet):
    words = " ".join(label.text for label in sheet.drawing.labels)
    # Two strips of R times the angle, and both ends of half a disc.
    strips = 2 * RADIUS * radians(5.0) * LENGTH
    ends = np.pi * RADIUS**2
    assert rod[1].below == pytest.approx(strips + ends, rel=0.01)
    assert f"draft below 5 deg: {rod[1].below / 100:.1f} cm²" in words
    assert "A: largest piece below draft" in words

"""The plan of the cores: spans and joints as real dimensions, against the file's own sections."""

from itertools import pairwise

import ezdxf
import pytest

from geomgen.drafting.clashes import clashes
from geomgen.drafting.dimension_lines import drawn
from geomgen.drafting.formats.every_format import write_drawing
from geomgen.drafting.paper.title import Title
from geomgen.kernel.model import Model
from geomgen.shapes.lifting import wing
from geomgen.shops.hotwire_cores.package import cores_package

CASES = {
    "whole": "",
    "two": "2000 mm",
    "bow": "1250 mm",
    "short": "450 mm",
    "shortest": "220 mm",
}
LONG = ("whole", "bow", "short", "shortest")


@pytest.fixture(
    scope="module",
    params=[pytest.param(n, marks=pytest.mark.long if n in LONG else ()) for n in CASES],
)
def plans(request, variant):
    bow = CASES[request.param]
    # One case has its length from the stock.
    key = "stock.wire_bow" if request.param == "two" else "cores.bow"
    p = variant(*([f"handoff.{key}={bow}"] if bow else []))
    made = cores_package(p, Model(parts={"wing": wing(p).solid}))
    return p, made, [sheet for sheet in made.sheets if sheet.name.startswith("core_plan_")]


def test_one_plan_a_hand_with_every_core_on_it(plans) -> None:
    _, made, (right, left) = plans
    assert (right.hand, left.hand) == ("right", "left")
    for sheet in (right, left):
        cores = [item.name for item in made.items if item.hand == sheet.hand]
        words = {label.text for label in sheet.drawing.labels}
        assert {
            name.removeprefix("core_") for name in cores if name.startswith("core_panel")
        } <= words
        assert clashes(sheet.drawing) == ()


def test_spans_are_real_dimensions_that_add_up(plans, tmp_path) -> None:
    """By another library: the spans across are the difference of their buttock lines."""
    p, _, sheets = plans
    for sheet in sheets:
        rows = write_drawing(tmp_path, sheet.paper, Title("Demo", sheet.name, "B", fingerprint="a"))
        space = ezdxf.readfile(tmp_path / rows[0]["file"]).modelspace()
        *spans, whole = [entity.get_measurement() for entity in space.query("DIMENSION")]
        assert sum(spans) == pytest.approx(whole, abs=1e-6)
        has = p.handoff.stock.wire_bow if p.handoff.stock else None
        assert max(spans) <= (has or p.handoff.cores.bow or 1e9)
        tip = p.handoff.moulds[3].from_buttock_line
        assert whole == pytest.approx(tip - p.wing.sections[0].buttock_line, abs=5.0)


def test_no_figure_stands_on_the_line_of_another_dimension(plans) -> None:
    """In inches and mm figures are longest: each has its own stretch of its row."""
    _, _, sheets = plans
    for sheet in sheets:
        rows: dict[float, list[tuple[float, float]]] = {}
        for dimension in sheet.drawing.dimensions:
            points = drawn(dimension).line.points
            ends = sorted(x for x, _ in points)
            rows.setdefault(round(points[0][1], 3), []).append((ends[0], ends[-1]))
        for lines in rows.values():
            ordered = sorted(lines)
            assert all(a[1] <= b[0] + 0.5 for a, b in pairwise(ordered))

"""Details of the sheet shop's drawing: each figure against the closed form of its bend."""

import math
from dataclasses import replace

import pytest
from shops.sheet_metal.trays import measured, pattern_of, tray

from geomgen.drafting.clashes import clashes
from geomgen.drafting.record import SECTION
from geomgen.shops.sheet_metal.drawing.details import lean_detail, section_detail, tab_detail

# A flange of 20 mm inside, sheet 1 mm, R 1.5, K 0.42, bent by 90 deg.
ALLOWANCE = math.pi / 2 * (1.5 + 0.42)
FLAT = 21.0 - 2.5 + ALLOWANCE / 2


@pytest.fixture(scope="module")
def pattern():
    return pattern_of(tray())


def figures(drawing):
    return {d.name: d.measured for d in drawing.dimensions}


@pytest.mark.parametrize("over", [2.0, 5.0])
def test_tab_in_the_flat(pattern, over) -> None:
    tab = pattern.tabs[0]
    made = tab_detail(pattern, tab, over)
    seen = figures(made)
    assert seen["flat"] == pytest.approx(FLAT, abs=1e-5)
    assert seen["bend line"] == pytest.approx(math.dist(*tab.bend))
    assert seen["edge"] == pytest.approx(math.dist(*tab.ends))
    neighbour = pattern.tabs[-1].ends[1]
    assert seen["relief"] == pytest.approx(math.dist(neighbour, tab.ends[0]))
    assert seen["root"] >= 1.0
    assert clashes(made) == ()


def test_section_through_the_flange(pattern) -> None:
    made = section_detail(pattern, pattern.tabs[0], 5.0)
    assert figures(made) == pytest.approx(
        {"outside": 21.0, "thickness": 1.0, "depth": 21.0, "angle": 90.0, "radius": 1.5}, abs=1e-5
    )
    assert {"90.0°", "R1.50"} <= {d.text for d in made.dimensions}
    assert clashes(made) == ()


@pytest.mark.parametrize(("toward", "sign"), [(1.0, 1), (-1.0, -1)])
def test_section_is_bent_the_way_it_lies_on_the_bench(pattern, toward, sign) -> None:
    """Seen from aft a flange aft comes up, one forward goes down."""
    frame = replace(pattern.sheet.frame, toward=toward)
    turned = replace(pattern, sheet=replace(pattern.sheet, frame=frame))
    made = section_detail(turned, turned.tabs[0], 5.0)
    (outline,) = (path for path in made.paths if path.layer == SECTION)
    ys = [y for _, y in outline.points]
    base = outline.points[0][1]
    assert sign * (max(ys, key=lambda y: abs(y - base)) - base) > 0
    assert clashes(made) == ()


@pytest.mark.parametrize("tilt", [12.0, -7.0])
def test_sheet_is_drawn_with_its_lean(pattern, tilt) -> None:
    lean = math.radians(tilt)
    frame = replace(pattern.sheet.frame, normal=(math.cos(lean), 0.0, -math.sin(lean)))
    turned = replace(pattern, sheet=replace(pattern.sheet, frame=frame))
    outline = lean_detail(turned, "top leans", 5.0).paths[0]
    (x0, z0), (x1, z1) = outline.points[1:3]
    # Aft is to the right: with the top aft it stands further right.
    assert math.degrees(math.atan2(x1 - x0, z1 - z0)) == pytest.approx(tilt)


def test_upright_sheet_has_its_flange_aft() -> None:
    made = lean_detail(pattern_of(tray()), "upright", 5.0).paths[0]
    assert made.points[0][0] > made.points[1][0]
    assert measured(tray()).frame.toward == 1.0

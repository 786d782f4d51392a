"""What is measured on the folded tabs of an elliptical hull, against another library."""

import numpy as np
import pytest
import shapely
from shops.sheet_metal.trays import START, oval, oval_tray, pattern_of

from geomgen.kernel.solids.booleans import cut
from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.fold_findings import fold_findings
from geomgen.shops.sheet_metal.flat_pattern.tabs import Reliefs

WISH = Reliefs(3.0, 50.0, 0.3)


@pytest.fixture(scope="module")
def elliptical():
    solid = oval_tray(120.0, 200.0)
    hull = cut(
        oval(130.0, 210.0, START - 50.0, 150.0),
        [oval(120.3, 200.3, START - 60.0, 170.0)],
        "pod",
        "bore",
    )
    pattern = pattern_of(solid, Bending(1.0, 1.5, 0.42), WISH)
    return pattern, {row.id: row for row in fold_findings(pattern, solid, hull, WISH)}


def test_gap_to_the_skin_is_that_of_the_chords(elliptical) -> None:
    """By shapely: bend lines carried out to the tabs' planes, against the bore's ellipse."""
    pattern, rows = elliptical
    turn = np.linspace(0.0, 2 * np.pi, 200_001)
    bore = np.stack([120.3 * np.cos(turn), 700.0 + 200.3 * np.sin(turn)], axis=-1)
    chords = shapely.STRtree(shapely.linestrings(np.stack([bore[:-1], bore[1:]], axis=1)))
    gaps = []
    for tab, plan in zip(pattern.tabs, pattern.plans, strict=True):
        ends = np.array(tab.bend)
        out = np.array(plan.out)
        on_plane = ends + (plan.distance - ends @ out)[:, None] * out
        places = on_plane[0] + np.linspace(0.0, 1.0, 201)[:, None] * (on_plane[1] - on_plane[0])
        _, gap = chords.query_nearest(
            shapely.points(places), return_distance=True, all_matches=False
        )
        gaps.append(gap)
    every = np.concatenate(gaps)
    assert rows["sheet.seal_gap"].measured == pytest.approx(every.max(), abs=0.02)
    assert rows["sheet.hull_gap"].measured == pytest.approx(every.min(), abs=0.02)
    worst = int(np.argmax([gap.max() for gap in gaps])) + 1
    named = int(rows["sheet.seal_gap"].where.split(",")[0].removeprefix("tab "))
    assert gaps[named - 1].max() == pytest.approx(gaps[worst - 1].max(), abs=0.02)


def test_folded_tabs_lie_in_their_planes(elliptical) -> None:
    _, rows = elliptical
    assert rows["sheet.fit"].measured < 1e-6
    assert rows["sheet.flange"].measured < 1e-6
    assert "places have skin beside them" in rows["sheet.seal_gap"].method

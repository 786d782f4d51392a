"""The folded pattern against the solid it came from; each fault put in on purpose is found."""

import math
from dataclasses import replace

import numpy as np
import pytest
from shops.sheet_metal.trays import START, chord_distance, pattern_of, tray

from geomgen.drafting.record import line
from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.solids.booleans import cut
from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.fold import folded, slits
from geomgen.shops.sheet_metal.flat_pattern.fold_findings import fold_findings
from geomgen.shops.sheet_metal.flat_pattern.tabs import Reliefs

BENDING = Bending(1.0, 1.5, 0.42)


@pytest.fixture(scope="module")
def round_tray():
    solid = tray()
    return solid, pattern_of(solid, BENDING)


def by_id(pattern, solid, bending=None, hull=None, sealant=3.0):
    rows = fold_findings(pattern, solid, hull, Reliefs(3.0, 60.0, 0.3, sealant), bending)
    return {row.id: row for row in rows}


def test_tabs_of_a_cylinder_stand_on_it(round_tray) -> None:
    """Closed form: the outside of each tab lies on a chord's plane, its edge in the rim's plane."""
    solid, pattern = round_tray
    reach = chord_distance(150.0, len(pattern.tabs), 3.0, 0.15)
    for tab in folded(pattern):
        off = np.hypot(tab.face[:, 1], tab.face[:, 2] - 700.0)
        assert off.min() == pytest.approx(reach, abs=2e-3)
        assert off.max() < 150.15 + 1e-3
        assert tab.edge[:, 0] == pytest.approx(START + 21.0, abs=1e-6)
        inner = np.hypot(tab.inside[:, 1], tab.inside[:, 2] - 700.0)
        assert inner.max() < 150.15
    rows = by_id(pattern, solid)
    assert rows["sheet.fit"].verdict == rows["sheet.flange"].verdict == "pass"
    assert rows["sheet.fit"].measured < 1e-3
    corner = math.hypot(reach, math.dist(*pattern.tabs[0].bend) / 2)
    assert rows["sheet.outside"].measured == pytest.approx(corner - 150.0, abs=2e-3)


@pytest.mark.parametrize("half_angle", [8.0, -6.0])
def test_tabs_of_a_cone_stand_on_it(half_angle) -> None:
    solid = tray(half_angle=half_angle)
    rows = by_id(pattern_of(solid, BENDING), solid)
    assert all(rows[name].verdict == "pass" for name in ("sheet.fit", "sheet.flange"))


def test_slits_stay_as_wide_as_asked_for(round_tray) -> None:
    """Closed form: outside wider by twice the thickness times the sine of half the turn."""
    (least, _), (widest, _) = slits(folded(round_tray[1]))
    assert 2.3 < least <= 3.0
    assert widest == pytest.approx(3.0 + 2 * math.sin(math.pi / len(round_tray[1].tabs)), abs=0.05)


def bored(bore):
    """Return a hull that is a tube, its bore of this radius round the tray."""
    return cut(
        cylinder((START - 50.0, 0.0, 700.0), (1.0, 0.0, 0.0), 153.0, 150.0),
        [cylinder((START - 60.0, 0.0, 700.0), (1.0, 0.0, 0.0), bore, 170.0)],
        "pod",
        "bore",
    )


def test_gap_to_a_hull_is_found(round_tray) -> None:
    """Closed form: corners of a tab are half its length off the middle of its chord."""
    solid, pattern = round_tray
    half = math.dist(*pattern.tabs[0].bend) / 2
    middle = chord_distance(150.0, len(pattern.tabs), 3.0, 0.15)
    reach = math.hypot(middle, half)
    assert 150.1 < reach < 150.16
    for bore, verdict in ((150.3, "pass"), (150.05, "fail")):
        rows = by_id(pattern, solid, hull=bored(bore))
        row = rows["sheet.hull_gap"]
        assert row.measured == pytest.approx(bore - reach, abs=1e-3)
        assert row.verdict == verdict
        assert rows["sheet.seal_gap"].measured == pytest.approx(bore - middle, abs=3e-3)


def test_gap_that_the_sealant_does_not_fill_is_refused_with_the_pitch_that_does(round_tray) -> None:
    """Closed form: bent 0.5 deg too far, the edge comes in by the flat of the tab."""
    solid, pattern = round_tray
    middle = 150.3 - chord_distance(150.0, len(pattern.tabs), 3.0, 0.15)
    assert 2.0 < middle < 3.0
    rows = by_id(pattern, solid, hull=bored(150.3), sealant=middle + 0.05)
    assert rows["sheet.seal_gap"].verdict == "pass"
    bent = rows["sheet.seal_gap_overbent"]
    swing = BENDING.flat(90.0, 21.0) * math.sin(math.radians(0.5))
    assert bent.measured == pytest.approx(middle + swing, abs=0.02)
    assert bent.verdict == "fail"
    assert "relief_pitch of 5" in bent.note


def test_no_hull_is_said(round_tray) -> None:
    row = by_id(round_tray[1], round_tray[0])["sheet.hull_gap"]
    assert (row.measured, row.verdict) == (None, "warn")


def test_wrong_neutral_line_is_caught() -> None:
    solid = tray(sheet=3.0, flange=30.0)
    pattern = pattern_of(solid, Bending(3.0, 3.0, 0.33))
    assert by_id(pattern, solid)["sheet.fit"].verdict == "pass"
    rows = by_id(pattern, solid, Bending(3.0, 3.0, 0.5))
    # Closed form: half the allowance too much, pi/4 x 3 x 0.17 = 0.40 mm at edge and face.
    assert rows["sheet.flange"].measured == pytest.approx(0.4006, abs=1e-3)
    assert rows["sheet.flange"].verdict == rows["sheet.fit"].verdict == "fail"


def test_wrong_angle_is_caught(round_tray) -> None:
    solid, pattern = round_tray
    tabs = (replace(pattern.tabs[0], angle=92.0), *pattern.tabs[1:])
    row = by_id(replace(pattern, tabs=tabs), solid)["sheet.fit"]
    assert row.verdict == "fail"
    # Closed form: the edge swings in by the flange's flat part times sin 2 deg.
    assert row.measured == pytest.approx(18.5 * np.sin(np.radians(2.0)), abs=0.05)


def test_shifted_bend_line_is_caught(round_tray) -> None:
    solid, pattern = round_tray
    (ax, ay), (bx, by) = pattern.bends[4].points
    along = np.array([bx - ax, by - ay]) / np.hypot(bx - ax, by - ay)
    dx, dy = 0.5 * np.array([along[1], -along[0]])
    moved = line((ax + dx, ay + dy), (bx + dx, by + dy), "BEND", pattern.bends[4].name)
    bends = (*pattern.bends[:4], moved, *pattern.bends[5:])
    assert by_id(replace(pattern, bends=bends), solid)["sheet.fit"].verdict == "fail"


def test_tabs_that_meet_are_caught() -> None:
    """On a cone that narrows, tabs cut as long at the edge as at the bend run into each other."""
    solid = tray(half_angle=25.0, flange=30.0)
    pattern = pattern_of(solid, BENDING)
    assert by_id(pattern, solid)["sheet.tab_gap"].verdict == "pass"
    points = list(pattern.cut.points)
    for i, tab in enumerate(pattern.tabs):
        out = np.mean(tab.ends, axis=0) - np.mean(tab.bend, axis=0)
        for k in (0, 1):
            x, y = np.array(tab.bend[k]) + out
            points[4 * i + k] = (float(x), float(y))
    wide = replace(pattern, cut=replace(pattern.cut, points=tuple(points)))
    assert by_id(wide, solid)["sheet.tab_gap"].verdict == "fail"

"""The neutral point by the air: its band, what it is doubted for, when there is none."""

from math import hypot

import pytest
from balanced_shapes import pod, tail, wing

from geomgen.balance.stability.air_neutral import UNSEEN, neutral_point_by_air
from geomgen.balance.stability.neutral_point import SPREADS, neutral_point
from geomgen.measurements.record import Measurement

CHORD = (1200.0, 100.0)


def by_air(station, off=15.0, note=""):
    return Measurement("wing.neutral_point", "wing", "", station, "mm", "panels", off, note=note)


@pytest.fixture(scope="module")
def estimate():
    found, why = neutral_point(
        [wing(8000.0, 1500.0, 900.0), tail(2400.0, 600.0, 600.0, 5000.0), pod()]
    )
    assert found is not None, why
    return found


def test_its_band_is_the_panels_and_what_neither_sees(estimate):
    found, why = neutral_point_by_air([by_air(estimate.station, 20.0)], CHORD, estimate)
    assert why == ""
    rows = dict(zip(SPREADS, estimate.spreads, strict=True))
    for place, pick in ((0, min), (1, max)):
        moved = [pick(0.0, *rows[name][1:]) for name in UNSEEN]
        assert abs(found.band[place] - found.station) == pytest.approx(hypot(20.0, *moved))
    assert found.band[0] < estimate.station - 20.0
    assert (found.by, found.source, found.doubts) == ("air", "panels", estimate.doubts)
    assert (found.chord, found.leading_edge) == CHORD


def test_static_margin_counts_from_it(estimate):
    found, _ = neutral_point_by_air([by_air(estimate.station - 120.0)], CHORD, estimate)
    margin = found.static_margin(estimate.station - 240.0)
    assert margin.value == pytest.approx(120.0 / 1200.0)
    assert margin.low < margin.value < margin.high


@pytest.mark.parametrize("off", [-400.0, 400.0])
def test_outside_of_the_estimate_it_is_doubted(estimate, off):
    found, _ = neutral_point_by_air([by_air(estimate.station + off)], CHORD, estimate)
    assert any("one of both is wrong" in doubt for doubt in found.doubts)


def test_what_the_air_does_not_see_is_a_doubt(estimate):
    row = by_air(estimate.station, note="the open cockpit is computed as if it were closed")
    found, _ = neutral_point_by_air([row], CHORD, estimate)
    assert found.doubts == (row.note, *estimate.doubts)


def test_without_an_estimate_beside_it_it_is_doubted():
    found, _ = neutral_point_by_air([by_air(900.0)], CHORD, None, "the tail stands ahead")
    assert found.band == (885.0, 915.0)
    assert found.doubts == (
        "no estimate from the planforms stands beside it: the tail stands ahead",
    )


@pytest.mark.parametrize(
    ("rows", "chord", "words"),
    [
        ([], CHORD, "the air about the machine was not worked out"),
        ([by_air(None, note="no wing")], CHORD, "no wing"),
        (
            [Measurement("exit.pressure", "pod", "", None, "1", "", note="too few cuts")],
            *(CHORD, "too few cuts"),
        ),
        ([by_air(900.0)], None, "mean chord could not be measured"),
    ],
)
def test_none_says_why_and_never_the_estimate(estimate, rows, chord, words):
    found, why = neutral_point_by_air(rows, chord, estimate)
    assert found is None
    assert why.startswith("by the air: ")
    assert words in why

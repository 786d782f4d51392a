from math import pi

import pytest
from covering_choices import rows

from geomgen.sizing.exit_targets import estimate_of

PLACES = list(rows(("gear", "wing", "units")))


def test_nobody_s_shoulders_are_wider_than_the_pod(fresh) -> None:
    # A broad man's shoulders measure about half a metre; common practice for single-seaters.
    stations = fresh().pod.stations
    assert max(s.breadth for s in stations) > 550
    assert max(s.crown - s.keel for s in stations) > 800


def test_the_exit_is_a_ring_as_large_as_the_ratio_asks_for_and_less_than_the_mouths(fresh) -> None:
    p = fresh()
    end, fairing = p.pod.stations[-1], p.exit.tail_fairing.stations[-1]
    inside = pi / 4 * (end.breadth - 2 * p.pod.wall) * (end.crown - end.keel - 2 * p.pod.wall)
    ring = inside - pi / 4 * fairing.diameter**2
    # bhp / (2.2 V), V in ft/s: at least 0.8 of it less a quarter, and no more than the mouths have.
    bhp, speed = p.powerplant.power / 745.69987, p.flight.climb_speed / 0.3048
    needed = bhp / (2.2 * speed) * 304.8**2
    mouths = sum(2 * (s.width * s.height - (4 - pi) * s.corner_radius**2) for s in p.scoops)
    assert 0.6 * needed < ring < mouths
    # What heat and pressure ask for, with room for what a measured way may be off.
    assert ring > 1.05 * estimate_of(p).area


@pytest.mark.parametrize("row", PLACES, ids=lambda row: "-".join(row.values()))
def test_booms_lie_in_the_wing_and_can_be_laid(fresh, row) -> None:
    from geomgen.shapes.booms import booms

    p = fresh(**row)
    for station in p.booms.stations[:2]:
        share = (station.station - p.wing.leading_edge) / p.wing.sections[0].chord
        low = station.waterline - station.height / 2 - p.wing.waterline
        assert 0.2 < share < 0.65
        assert -0.12 * p.wing.sections[0].chord < low < 0
    last = p.booms.stations[-1]
    assert p.booms.stations[-2].waterline == pytest.approx(last.waterline, abs=0.1)
    assert [piece.name for piece in booms(p)] == ["boom_right", "boom_left"]


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_lines_of_the_pod_are_fair(fresh, units) -> None:
    from geomgen.shapes.hull import hull, pod_lines
    from geomgen.shops.fairness.findings import fairness_of, pod_fair_lines
    from geomgen.shops.fairness.lines import outer_patches

    p = fresh(units=units)
    lines = pod_lines(p)
    found = fairness_of(pod_fair_lines(p, lines, outer_patches([hull(p, lines, []).solid])))
    assert len(found) > 8
    assert [one.line.name for one in found if one.unasked] == []

"""Where parts stand, told from the tables, against the records and against the solids."""

import pytest

from geomgen.parameters.values.place_values import PLACES

TURNED = ("wing.incidence=4 deg", "wing.sections.0.washout=1 deg")


def test_every_fixed_station_by_hand(saltmarsh):
    p = saltmarsh()
    w, t, f, y = p.wing, p.tailplane, p.fins, p.pylon
    fairing = p.exit.tail_fairing.stations
    by_hand = {
        "pod start": p.pod.stations[0].station,
        "pod end": p.pod.stations[-1].station,
        "firewall": p.firewall.station,
        "exit rim": p.exit.rim_station,
        "tail fairing start": fairing[0].station,
        "tail fairing end": fairing[-1].station,
        "boom start": p.booms.stations[0].station,
        "boom end": p.booms.stations[-1].station,
        "wing leading edge": w.leading_edge,
        "tailplane leading edge": t.leading_edge,
        "fin leading edge": f.leading_edge,
        "pylon leading edge": y.leading_edge,
        "fin trailing edge": f.leading_edge + f.sections[0].chord,
        "pylon trailing edge": y.leading_edge + y.chord,
        "fan face": p.engine.fan_face.station,
    }
    for name, expected in by_hand.items():
        where = saltmarsh(f'handoff.foam.end="{name}"', "handoff.foam.start=-1 m").handoff.foam.end
        assert where == pytest.approx(expected, abs=1e-9), name
    left = {"wing trailing edge", "tailplane trailing edge", "blades"}
    assert set(by_hand) | left == set(PLACES["station"])


@pytest.mark.parametrize(
    "overrides", [(), ("wing.incidence=4 deg", "wing.sections.0.washout=1 deg")]
)
def test_trailing_edge_and_blades_are_those_of_the_solids(saltmarsh, overrides):
    """Independent: the builders of wing and propeller."""
    from geomgen.shapes.lifting import trailing_edge_at
    from geomgen.shapes.propeller import blade_plane

    p = saltmarsh(
        *overrides, 'handoff.foam.start="wing trailing edge"', 'handoff.foam.end="blades"'
    )
    assert p.handoff.foam.start == pytest.approx(trailing_edge_at(p, 0.0)[0], abs=1e-6)
    assert p.handoff.foam.end == pytest.approx(blade_plane(p), abs=1e-6)


def test_blades_off_the_centre_of_a_swept_wing(saltmarsh):
    from geomgen.shapes.propeller import blade_plane

    rows = ("wing.sections.1.sweep=-3 deg", "propeller.behind_at=600 mm", "wing.incidence=3 deg")
    p = saltmarsh(*rows, 'handoff.foam.end="blades"')
    assert p.handoff.foam.end == pytest.approx(blade_plane(p), abs=1e-6)


def test_blades_given_as_a_station(saltmarsh):
    p = saltmarsh("propeller.station=3.2 m", 'handoff.foam.end="blades - 4 in"')
    assert p.handoff.foam.end == pytest.approx(3098.4)


def test_bodies_of_the_engine_and_scoops_by_name(saltmarsh):
    p = saltmarsh()
    gear, muffler = p.engine.boxes[1], p.engine.cylinders[3]
    fan, scoop = p.engine.cylinders[0], p.scoops[0]
    expected = {
        "reduction gear": gear.station,
        "Reduction  GEAR end": gear.station + gear.length,
        "fan housing end": fan.station + fan.length,
        "muffler": muffler.station - muffler.diameter / 2,
        "muffler end": muffler.station + muffler.diameter / 2,
        "cheek": p.firewall.station - scoop.mouth_ahead,
    }
    for name, where in expected.items():
        made = saltmarsh(f'handoff.foam.end="{name}"')
        assert made.handoff.foam.end == pytest.approx(where), name


def test_waterlines_and_buttock_lines(saltmarsh):
    p = saltmarsh(
        'gear.wheels.nose.waterline="thrust line - 745 mm"',
        'engine.fan_face.waterline="fan housing"',
        'tailplane.waterline="boom end - 4 mm"',
        'pylon.waterline_high="wing leading edge + 35 mm"',
        'exit.tail_fairing.waterline="fan face + 30 mm"',
        'fins.buttock_line="boom"',
        'tailplane.sections.1.buttock_line="boom"',
        'handoff.moulds.3.from_buttock_line="wing tip - 150 mm"',
        "booms.buttock_line=30 in",
    )
    assert p.gear.wheels[1].waterline == pytest.approx(75.0)
    assert p.engine.fan_face.waterline == p.engine.cylinders[0].waterline
    assert p.tailplane.waterline == pytest.approx(1246.0)
    assert p.pylon.waterline_high == pytest.approx(1365.0)
    assert p.exit.tail_fairing.waterline == pytest.approx(820.0)
    assert p.fins.buttock_line == p.tailplane.sections[1].buttock_line == 762.0
    assert p.handoff.moulds[3].from_buttock_line == pytest.approx(4350.0)

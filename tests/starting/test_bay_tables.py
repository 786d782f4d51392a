"""The engine bay of a new file, against the rule of thumb worked by hand."""

from math import pi

import pytest
from covering_choices import every_value

from geomgen.starting.choices import SCOOPS


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("scoops", every_value(SCOOPS))
def test_the_mouths_together_are_a_little_more_than_the_rule_of_thumb(fresh, scoops, units) -> None:
    p = fresh(scoops=scoops, units=units)
    mouths = sum(
        (s.width * s.height - (4 - pi) * s.corner_radius**2) * (2 if s.mirrored else 1)
        for s in p.scoops
    )
    # 22 kW are 29.50 bhp, 50 kt are 84.39 ft/s: 29.50 / (2.2 x 84.39) = 0.15890 ft^2.
    needed = 0.15890 * 304.8**2
    assert p.powerplant.power == pytest.approx(22_000, rel=0.005)
    assert [s.name for s in p.scoops] == ([] if scoops == "none" else scoops.split(","))
    assert not p.scoops or 1.17 * needed < mouths < 1.33 * needed
    assert {(s.mouth, s.mouth_ahead) for s in p.scoops} <= {("at firewall", 0.0)}


@pytest.mark.parametrize("scoops", every_value(SCOOPS))
def test_passages_end_between_firewall_and_fan(fresh, scoops) -> None:
    p = fresh(scoops=scoops)
    for s in p.scoops:
        end = p.firewall.station - s.mouth_ahead + s.passage_length
        assert p.firewall.station + 50 < end < p.engine.fan_face.station - 60


def test_engine_behind_the_firewall_and_ahead_of_the_blades(fresh) -> None:
    p = fresh()
    bodies = [*p.engine.boxes, *p.engine.cylinders]
    assert min(b.station for b in bodies) == pytest.approx(p.engine.fan_face.station)
    # Each counts from the firewall, and moves with it.
    own = [path for path in p.hung if path[0] == "engine"]
    assert len(own) == len(bodies) + 1
    assert all(p.hung[path].startswith("firewall + ") for path in own)
    assert max(b.station + b.length for b in p.engine.boxes) < p.exit.rim_station
    assert p.propeller.hub_diameter < p.spinner.diameter


def test_the_firewall_stands_fire(fresh) -> None:
    # 14 CFR 23.1191(h)(1): stainless steel sheet, 0.015 in thick.
    f = fresh(units="imperial").firewall
    assert f.material == "stainless steel"
    assert f.thickness > 0.015 * 25.4
    assert {hole.fitting for hole in f.penetrations} <= {"steel", "stainless steel"}

"""Everything that a new file has is weighed, and stands inside of it."""

import pytest
from covering_choices import covering
from few_cases import few

from geomgen.parameters.rules.masses import weighable

SHAPE = ("gear", "wing", "tail", "scoops", "units", "shops")
# Said elsewhere in the file, or an item in the centre of its solid.
ELSEWHERE = {"firewall", "engine", "wheel"}

# Every third shape by default; the long run takes all.
SOME = few(covering(SHAPE), *range(0, 99, 3))


def families(p) -> set[str]:
    hands = {"right", "left"}
    names = {name.rsplit("_", 1)[0] if name.rsplit("_", 1)[-1] in hands else name
             for name in weighable(p)}  # fmt: skip
    return {"tail_fairing" if name == "tail_fairing" else name.split("_")[0] for name in names}


@pytest.mark.parametrize("row", SOME, ids=lambda row: "-".join(row.values()))
def test_every_part_of_the_file_is_weighed(fresh, row) -> None:
    p = fresh(**row)
    weighed = {"tail_fairing" if r.part == "tail_fairing" else r.part.split("_")[0] for r in p.mass}
    assert families(p) - weighed == ELSEWHERE
    at = [item.at for item in p.items if item.at]
    wheels = sum(2 if wheel.mirrored else 1 for wheel in p.gear.wheels)
    assert len(at) == 1 + wheels
    assert all(row.skin or row.density or row.laminate or row.material for row in p.mass)


@pytest.mark.parametrize("row", SOME, ids=lambda row: "-".join(row.values()))
def test_what_is_carried_stands_in_the_pod(fresh, row) -> None:
    p = fresh(**row)
    (tank,) = p.tanks
    ahead = p.firewall.station - 20
    for station in (tank.station, p.loads.station, p.loads.ballast_station):
        assert 100 < station < ahead
    battery = next(item for item in p.items if item.name == "battery")
    assert 100 < battery.station < ahead
    crowns = [(s.station, s.crown, s.keel) for s in p.pod.stations]
    near = min(crowns, key=lambda s: abs(s[0] - battery.station))
    assert near[2] < battery.waterline < near[1]


def test_masses_and_pilot_may_be_left_out(fresh) -> None:
    p = fresh(masses="no")
    assert [*p.mass, *p.items, *p.tanks] == []
    assert (p.loads, p.pilot, p.canopy) == (None, None, None)
    assert p.rules.aft_limit is None


def test_each_item_says_what_it_is_the_weight_of(fresh) -> None:
    p = fresh()
    assert sorted(item.weight_of for item in p.items if item.weight_of) == ["engine", "propeller"]
    inside = {family for item in p.items for family in item.includes}
    assert inside == {"frame", "stringer", "canopy", "spar"}


def test_estimates_are_called_estimates(fresh) -> None:
    p = fresh()
    assert all("estimate" in item.source for item in p.items)
    assert all(row.weighed is None for row in p.mass)

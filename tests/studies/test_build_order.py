"""Closed forms: changes from one variant to the next, counted."""

from geomgen.studies.build_order import in_order
from geomgen.studies.samples import sample
from geomgen.studies.vary import grid, varies_of

TABLES = {"pod": {}, "spinner": {}, "rules": {}, "firewall": {}}
TEXTS = ["spinner.length=170mm:200mm:4", "pod.wall=4mm,5mm,6mm", "rules.tip_mach=0.6:0.7:3"]


def changes(rows, key):
    return sum(a.values[key] != b.values[key] for a, b in zip(rows, rows[1:], strict=False))


def test_in_a_grid_one_key_changes_at_a_time_and_the_costly_one_least():
    varies = varies_of(TEXTS, TABLES)
    rows = in_order(varies, grid(varies))
    assert sorted(v.number for v in rows) == list(range(1, 37))
    assert [changes(rows, key) for key in range(3)] == [3 * 3, 2, 12 * 2]
    assert sum(changes(rows, key) for key in range(3)) == len(rows) - 1


def test_as_asked_would_be_dearer():
    varies = varies_of(TEXTS, TABLES)
    assert changes(grid(varies), 1) > changes(in_order(varies, grid(varies)), 1)


def test_a_sample_keeps_all_of_its_variants():
    varies = varies_of(["pod.wall=4mm,5mm", "firewall.station=1.8m:2m"], TABLES, sampled=True)
    rows = in_order(varies, sample(varies, 33))
    assert sorted(v.number for v in rows) == list(range(1, len(rows) + 1))
    assert changes(rows, 0) == 1

"""Findings of the foam stack: right on known bodies, and caught when something is wrong."""

import numpy as np
import pytest
from shapely import Polygon
from shops.foam.rings import ring, section, slab

from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.solids.booleans import cut
from geomgen.parameters.records.shops import FoamStations
from geomgen.shapes.hull import pod_body, pod_lines
from geomgen.shops.foam.findings import (
    blank_finding,
    bulge_finding,
    count_findings,
    cross_finding,
    hole_findings,
    sheet_finding,
    skin_finding,
    stack_finding,
)
from geomgen.shops.foam.holes import Pair
from geomgen.shops.foam.sections import sections, strips
from geomgen.shops.foam.sheet import outline_path
from geomgen.shops.foam.slabs import core_body
from geomgen.shops.nesting import NestBlank, nested

SKIN = 4.0
AT = [30.0, 60.0, 150.0, 400.0, 1200.0, 2400.0, 2700.0]


def foam(**more):
    return FoamStations(
        **{"slab": "50 mm", "template_thickness": "0 mm", "split_at_centre": True, **more}
    )


def drawn(outlines, normals, half):
    rows = zip(AT, outlines, normals, strict=True)
    return [(x, outline_path(o, half), (o, n)) for x, o, n in rows]


@pytest.fixture(scope="module")
def loft(saltmarsh):
    return pod_body(pod_lines(saltmarsh), 0.0)


@pytest.mark.parametrize("half", [True, False])
def test_skin_of_a_tube_is_what_was_taken_off(half):
    rod = cylinder((0.0, 0.0, 500.0), (1.0, 0.0, 0.0), 100.0, 300.0)
    row = section(ring(98.5, count=400))
    path = outline_path(row[0], half)
    finding = skin_finding([(150.0, path, row)], [rod], 1.5)
    assert finding.verdict == "pass"
    # Chords of a polygon of 400 sides, arcs fitted within 0.02 mm.
    assert finding.measured < 0.03
    assert skin_finding([(150.0, path, row)], [rod], 1.0).measured == pytest.approx(0.5, abs=0.03)


def test_true_skin_passes_and_one_in_the_plane_is_caught(saltmarsh, loft):
    pod = pod_lines(saltmarsh)
    right = sections(strips(core_body(pod, SKIN)), AT)
    good = skin_finding(drawn(*zip(*right, strict=True), True), [loft], SKIN)
    assert good.verdict == "pass"
    assert good.measured < 0.05
    assert good.method.split()[0] >= "500"
    outer = sections(strips(loft), AT)
    flat = [np.array(Polygon(o).buffer(-SKIN).exterior.coords)[:-1] for o, _ in outer]
    near = [n[np.argmin(np.hypot(*(o[:, None] - f).transpose(2, 0, 1)), axis=0)]
            for (o, n), f in zip(outer, flat, strict=True)]  # fmt: skip
    wrong = skin_finding(drawn(flat, near, False), [loft], SKIN)
    assert wrong.verdict == "fail"
    assert wrong.measured > 0.5
    assert wrong.where.startswith("STA 30.0")


def test_forgotten_skin_is_found(loft):
    outer = sections(strips(loft), AT)
    finding = skin_finding(drawn(*zip(*outer, strict=True), True), [loft], SKIN)
    assert finding.verdict == "fail"
    assert finding.measured == pytest.approx(SKIN, abs=0.03)


def test_templates_far_from_any_skin_fail():
    rod = cylinder((0.0, 0.0, 500.0), (1.0, 0.0, 0.0), 100.0, 300.0)
    row = section(ring(98.5, (0.0, 900.0)))
    finding = skin_finding([(150.0, outline_path(row[0], True), row)], [rod], 1.5)
    assert finding.verdict == "fail"
    # No figure came out, and none is made up: an infinite one is no JSON.
    assert finding.measured is None
    assert "too few to tell" in finding.method


def on_rod(stations, radius=98.5):
    row = section(ring(radius, count=400))
    return [(x, outline_path(row[0], True), row) for x in stations]


ROD = cylinder((0.0, 0.0, 500.0), (1.0, 0.0, 0.0), 100.0, 300.0)


def test_a_passage_that_dives_through_the_skin_is_not_the_skin():
    """The floor of the opening comes as near to the outline as the skin does, and nearer."""
    air = cylinder((60.0, 0.0, 618.0), (np.cos(0.35), 0.0, -np.sin(0.35)), 20.0, 150.0)
    bored = cut(ROD, [air], "rod", "opening")
    finding = skin_finding(on_rod(np.arange(40.0, 160.0, 5.0)), [bored], 1.5)
    assert finding.verdict == "pass"
    assert finding.measured < 0.03


def test_a_short_stack_may_end_where_the_body_ends():
    """Of three lines the last lies beyond the rod: there is no skin to measure it by."""
    finding = skin_finding(on_rod([200.0, 250.0, 300.2]), [ROD], 1.5)
    assert finding.verdict == "pass"
    assert "more at STA 300.2 have no skin" in finding.method
    # Two that lie beyond it are no end.
    beyond = skin_finding(on_rod([200.0, 250.0, 320.0, 370.0]), [ROD], 1.5)
    assert (beyond.measured, beyond.verdict) == (None, "fail")
    assert 'handoff.foam.end = "250 mm"' in beyond.note


def test_what_is_said_of_a_wrong_template_mends_it():
    wrong = on_rod([200.0, 250.0], radius=98.0)
    ahead = on_rod([50.0, 100.0, 150.0])
    finding = skin_finding([*ahead, *wrong], [ROD], 1.5)
    assert finding.verdict == "fail"
    assert finding.where.startswith("STA 200")
    assert "the pod's templates at STA 200, 250" in finding.note
    assert 'handoff.foam.end = "150 mm"' in finding.note
    assert skin_finding(ahead, [ROD], 1.5).verdict == "pass"
    turned = skin_finding([*on_rod([10.0], 98.0), *ahead], [ROD], 1.5)
    assert 'handoff.foam.start = "50 mm"' in turned.note
    both = skin_finding([*on_rod([10.0], 98.0), *ahead, *wrong], [ROD], 1.5)
    assert 'handoff.foam.start = "50 mm" and handoff.foam.end = "150 mm" keep the' in both.note
    none = skin_finding(on_rod([10.0, 60.0], 98.0), [ROD], 1.5)
    assert "leave handoff.foam out" in none.note


def stack(last=50.0):
    rows = [slab(i + 1, 50.0 * i, 50.0 * (i + 1), [ring(100.0)] * 3) for i in range(3)]
    return [*rows, slab(4, 150.0, 150.0 + last, [ring(100.0)] * 3)]


def test_stack_against_its_body():
    area = Polygon(ring(100.0)).area
    found = stack_finding(stack(), 200.0 * area)
    assert (found.measured, found.unit) == (pytest.approx(100.0), "%")
    assert f"{200.0 * area / 1000:.1f} cm^3" in found.what
    missing = [row for row in stack() if row.number != 2]
    # The gap counts as a template: nothing is lost. A slab short at the end is.
    assert stack_finding(missing, 200.0 * area).verdict == "pass"
    assert stack_finding(stack()[:3], 200.0 * area).verdict == "fail"


def test_number_and_last_slab():
    count, last = count_findings(stack(22.0), foam())
    assert (count.measured, last.measured, last.verdict) == (4.0, 22.0, "pass")
    assert count_findings(stack(3.0), foam())[1].verdict == "warn"


def test_crossing_and_bulging():
    up = ring(100.0, (0.0, 505.0))
    finding = cross_finding([*stack(), slab(5, 200, 250, [ring(100.0), up, up])])
    assert finding.measured == 1.0
    assert finding.where == "slab 5: front larger below, aft above"
    bulging = bulge_finding([*stack(), slab(5, 200, 250, [ring(100.0), ring(103.0), ring(99.0)])])
    assert bulging.verdict == "warn"
    assert bulging.measured == pytest.approx(3.0, abs=0.01)
    assert bulge_finding(stack()).measured == 0.0


def test_slabs_without_holes_are_named_and_the_nearest_holes_told():
    main, own = Pair((15.0, 440.0), (30.0, 560.0)), Pair((15.0, 490.0), (30.0, 510.0))
    bare, apart = hole_findings(stack(), [own, main, main, None])
    assert (bare.measured, bare.verdict, bare.where) == (1.0, "warn", "slabs 4")
    high = float(np.ptp(stack()[0].box(), axis=0)[1])
    assert apart.measured == pytest.approx(100.0 * np.hypot(15.0, 20.0) / high)
    assert apart.verdict == "warn"
    assert apart.where.startswith("slab 1: BL 15 WL 490 and BL 30 WL 510")
    assert [f.verdict for f in hole_findings(stack(), [main] * 4)] == ["pass", "pass"]
    assert hole_findings(stack(), [None] * 4)[0].measured == 4.0


def test_too_large_blanks_and_sheets():
    many = [
        NestBlank("1R", 300.0, 900.0),
        NestBlank("1L", 300.0, 900.0),
        NestBlank("2", 1300.0, 80.0),
    ]
    laid, left = nested(many, 1250.0, 600.0, 10.0)
    finding = blank_finding(left, foam())
    assert (finding.verdict, finding.where) == ("fail", "2 (1300 x 80 mm)")
    assert "1320 mm" in finding.note
    sheets = sheet_finding(laid, foam())
    # Each holds the other off: 2 x 300 + 3 x 10 mm is more than 600 mm.
    assert (sheets.measured, sheets.target.low) == (2.0, 2.0)

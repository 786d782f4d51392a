"""The sheet shop's whole package, of the example and of the example changed."""

import math
from dataclasses import replace
from itertools import combinations

import pytest
import shapely
from shops.sheet_metal.example_sheet import model_of
from shops.sheet_metal.trays import CONFIG

from geomgen.drafting.lettering import block_size
from geomgen.drafting.record import BEND, CUT, Label
from geomgen.errors import GeometryError
from geomgen.kernel.solids.properties import volume
from geomgen.parameters import load
from geomgen.shops.sheet_metal.package import sheet_package


def variant(*overrides):
    p = load(CONFIG, list(overrides))
    return p, sheet_package(p, model_of(p))


@pytest.fixture(scope="module")
def example():
    p = load(CONFIG)
    model = model_of(p, with_hull=True)
    return p, model, sheet_package(p, model)


@pytest.fixture(scope="module")
def sheet_alone(example):
    """Return the example and its sheet, without the hull that it is fitted into."""
    p, model, _ = example
    return p, replace(model, parts={"firewall": model.parts["firewall"]})


def by_id(package):
    return {finding.id: finding for finding in package.findings}


def test_example_passes(example) -> None:
    _, _, package = example
    assert package.shop == "sheet_shop"
    assert [f.id for f in package.findings if f.verdict != "pass"] == []
    rows = by_id(package)
    assert rows["sheet.fit"].measured <= 0.2
    assert rows["sheet.hull_gap"].measured > 0.1
    assert [sheet.name for sheet in package.sheets] == ["firewall_flat", "firewall_dimensions"]
    assert [sheet.full_size for sheet in package.sheets] == [True, False]


def test_lines_of_the_full_size_drawing(example) -> None:
    _, _, package = example
    paths = package.sheets[0].drawing.paths
    blank = next(path for path in paths if path.name == "blank")
    holes = [path for path in paths if path.layer == CUT and path is not blank]
    polygon = shapely.Polygon(blank.dense(0.002))
    assert polygon.is_valid
    assert [round(2 * math.sqrt(hole.area() / math.pi), 6) for hole in holes] == [25.0, 18.0, 14.0]
    bends = [path for path in paths if path.layer == BEND]
    for bend in bends:
        for end in bend.points:
            assert polygon.exterior.distance(shapely.Point(end)) < 1e-3
    words = {label.text for label in package.sheets[0].drawing.labels}
    assert {
        "UP",
        "RIGHT",
        "LEFT",
        "FIREWALL AT STA 1800",
        "DATUM X 0, Y 0",
        "GRAIN LEFT TO RIGHT",
        "SEEN FROM AFT, LOOKING FORWARD",
    } <= words
    assert {str(i + 1) for i in range(len(bends))} <= words


def test_blank_weighs_about_what_the_solid_does(example) -> None:
    """Closed form: area x thickness x density; the solid's volume by the kernel."""
    _, model, package = example
    (item,) = package.items
    area = package.sheets[0].drawing.paths[0].area() - math.pi / 4 * (25**2 + 18**2 + 14**2)
    assert item.mass == pytest.approx(area * 0.4 * 8e-6, rel=1e-6)
    assert item.mass == pytest.approx(volume(model.parts["firewall"]).value * 8e-6, rel=0.04)
    assert "0.400 mm" in item.material


def test_example_is_bent_to_two_angles_at_the_pitch_asked_for(example) -> None:
    """The outline is 2102 mm round (measured), so 36 tabs at 60 mm; each says zone and angle."""
    _, _, package = example
    drawing = package.sheets[0].drawing
    assert sum(path.layer == BEND for path in drawing.paths) == 36
    words = [label.text for label in drawing.labels]
    assert sorted({w for w in words if w.endswith(" UP")}) == ["A UP", "B UP"]
    assert "36 bends to 96.5, 100.5 deg" in package.items[0].note
    rows = by_id(package)
    for name in ("sheet.seal_gap", "sheet.seal_gap_overbent"):
        assert 1.7 < rows[name].measured <= 3.0
        assert "tab " in rows[name].where


def test_gap_that_the_sealant_does_not_fill_stops_the_hand_off(example) -> None:
    _, model, _ = example
    p = load(CONFIG, ["handoff.sheet.bend_angles=1"])
    row = by_id(sheet_package(p, model))["sheet.seal_gap_overbent"]
    assert row.verdict == "fail"
    assert "handoff.sheet.bend_angles of 2 would keep the gap" in row.note


@pytest.mark.long
def test_gap_that_a_better_sealant_fills_passes(example) -> None:
    _, model, _ = example
    wider = load(CONFIG, ["handoff.sheet.bend_angles=1", "handoff.sheet.sealant_gap=4 mm"])
    assert by_id(sheet_package(wider, model))["sheet.seal_gap_overbent"].verdict == "pass"


def outline(label: Label) -> shapely.Polygon:
    wide, high = block_size((label.text,), label.height)
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[label.anchor]
    box = shapely.box(left, 0.0, left + wide, high)
    turned = shapely.affinity.rotate(box, label.angle, origin=(0.0, 0.0))
    return shapely.affinity.translate(turned, *label.at)


def test_labels_do_not_run_into_each_other(example) -> None:
    boxes = [outline(label) for label in example[2].sheets[0].drawing.labels]
    assert not [(a, b) for a, b in combinations(boxes, 2) if a.intersects(b)]


def test_aluminium_is_refused_with_advice() -> None:
    _, package = variant("firewall.material=aluminium", "firewall.flange=0 mm")
    assert by_id(package)["sheet.material"].verdict == "fail"


def test_plain_blank_without_flange() -> None:
    """Without a flange blank and solid weigh the same."""
    _, package = variant("firewall.flange=0 mm")
    rows = by_id(package)
    assert rows["sheet.mass"].measured < 0.02
    assert rows["sheet.fit"].measured < 0.05
    assert not [path for path in package.sheets[0].drawing.paths if path.layer == BEND]


@pytest.mark.long
def test_leaning_sheet_with_its_flange_forward() -> None:
    p, package = variant("firewall.tilt=6 deg", "firewall.flange_direction=forward")
    rows = by_id(package)
    assert {rows[name].verdict for name in ("sheet.fit", "sheet.tab_gap", "sheet.hole.1")} == {
        "pass"
    }
    words = {label.text for label in package.sheets[0].drawing.labels}
    assert any(word.endswith(" DOWN") for word in words)
    assert "FIREWALL AT STA 1800, TOP LEANS AFT 6 DEG" in words
    assert p.firewall.tilt == 6.0


def test_hole_in_another_place_than_written_is_found(sheet_alone) -> None:
    p, model = sheet_alone
    first, *rest = p.firewall.penetrations
    moved = first.model_copy(update={"buttock_line": first.buttock_line + 0.5})
    other = p.model_copy(
        update={"firewall": p.firewall.model_copy(update={"penetrations": (moved, *rest)})}
    )
    found = [f for f in sheet_package(other, model).findings if f.verdict == "fail"]
    assert [f.measured for f in found] == [pytest.approx(0.5, abs=1e-6)]
    assert first.use in found[0].what


def test_hole_that_is_missing_is_found(sheet_alone) -> None:
    p, model = sheet_alone
    fewer = p.model_copy(
        update={
            "firewall": p.firewall.model_copy(update={"penetrations": p.firewall.penetrations[1:]})
        }
    )
    rows = by_id(sheet_package(fewer, model))
    assert rows["sheet.holes"].verdict == "fail"
    assert any("not on the list" in row.what for row in rows.values())


def test_bend_wider_than_the_flange_is_refused() -> None:
    with pytest.raises(GeometryError, match="all bend") as caught:
        variant("handoff.sheet.inside_radius=30 mm")
    assert "handoff.sheet.inside_radius" in caught.value.look_at


def test_model_without_firewall_is_refused(example) -> None:
    p, model, _ = example
    with pytest.raises(GeometryError, match="no firewall"):
        sheet_package(p, replace(model, parts={}))

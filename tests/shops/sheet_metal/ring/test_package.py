"""The sheet shop's package where the flange is a ring, of the example."""

import pytest
from shops.sheet_metal.example_sheet import model_of
from shops.sheet_metal.test_package import by_id
from shops.sheet_metal.trays import CONFIG

from geomgen.drafting.clashes import clashes
from geomgen.parameters import load
from geomgen.shops.sheet_metal.package import sheet_package


@pytest.fixture(scope="module")
def model():
    """Return firewall and hull, which are the same with every way to make the flange."""
    return model_of(load(CONFIG), with_hull=True)


@pytest.fixture(scope="module")
def in_one_piece(model):
    """Return the package of the sheet whose flange is bent from it."""
    return sheet_package(load(CONFIG), model)


@pytest.fixture(
    scope="module",
    params=[pytest.param("angle ring", marks=pytest.mark.long), "joggled segments"],
)
def package(request, model):
    p = load(CONFIG, [f"handoff.sheet.flange={request.param}"])
    return p, sheet_package(p, model)


def test_package_passes(package) -> None:
    _, made = package
    assert [f.id for f in made.findings if f.verdict != "pass"] == []
    ids = [f.id for f in made.findings]
    assert len(ids) == len(set(ids))
    assert [s.name for s in made.sheets] == [
        "firewall_flat", "firewall_ring", "firewall_dimensions",
    ]  # fmt: skip


@pytest.mark.long
def test_flange_lies_where_that_of_the_sheet_lay(package, in_one_piece) -> None:
    """The ring's flange is held to the same hull, with the same gap, as tabs of the sheet are."""
    rows, plain = by_id(package[1]), by_id(in_one_piece)
    assert rows["sheet.fit"].measured < 0.01
    assert rows["sheet.hull_gap"].measured == pytest.approx(
        plain["sheet.hull_gap"].measured, abs=0.05
    )


def test_parts_list_names_segments_and_rivets(package) -> None:
    p, made = package
    blank, *segments, rivets = made.items
    assert blank.name == "firewall blank"
    assert len(segments) == p.handoff.sheet.ring_segments
    assert rivets.kind == "buy"
    flat = next(s for s in made.sheets if s.name == "firewall_flat").drawing
    holes = [path for path in flat.paths if path.name.startswith("rivet ")]
    assert rivets.count == len(holes)
    words = {label.text for label in flat.labels}
    assert {f"RING {i + 1}" for i in range(len(segments))} <= words
    ring = next(s for s in made.sheets if s.name == "firewall_ring").drawing
    assert {f"RING {i + 1} OF 6" for i in range(6)} <= {label.text for label in ring.labels}
    assert ("JOGGLE UP" in {label.text for label in ring.labels}) == (
        p.handoff.sheet.flange == "joggled segments"
    )


def test_ring_counts_in_the_mass_that_the_file_allows(package, model) -> None:
    """The solid has the flange alone: its mass would pass where sheet and ring are too heavy."""
    p, made = package
    blank, *segments, _ = made.items
    whole = blank.mass + sum(segment.mass for segment in segments)
    assert by_id(made)["sheet.ring_mass"].measured == pytest.approx(whole)
    said = [f"handoff.sheet.flange={p.handoff.sheet.flange}",
            f"rules.firewall_mass.value={whole - 0.01:.3f} kg"]  # fmt: skip
    light = load(CONFIG, said)
    row = by_id(sheet_package(light, model))["sheet.ring_mass"]
    assert (row.verdict, row.target.high) == ("fail", pytest.approx(whole - 0.01, abs=1e-3))
    assert "rules.firewall_mass" in row.note
    assert row.measured > blank.mass + 0.2


def test_nothing_is_written_over_anything(package) -> None:
    for sheet in package[1].sheets[1:]:
        assert clashes(sheet.drawing) == ()


@pytest.mark.long
def test_leaning_forward_ring_is_bent_down() -> None:
    p = load(
        CONFIG,
        ["handoff.sheet.flange=joggled segments", "firewall.tilt=6 deg",
         "firewall.flange_direction=forward"],
    )  # fmt: skip
    made = sheet_package(p, model_of(p))
    assert [f.id for f in made.findings if f.verdict == "fail"] == []
    ring = next(s for s in made.sheets if s.name == "firewall_ring").drawing
    assert "JOGGLE DOWN" in {label.text for label in ring.labels}
    assert any("on the forward face" in note for note in ring.notes)


def test_hole_under_the_ring_is_found() -> None:
    p = load(CONFIG, ["handoff.sheet.flange=angle ring",
                      "firewall.penetrations.0.waterline=1148 mm",
                      "firewall.penetrations.0.buttock_line=0 mm"])  # fmt: skip
    row = by_id(sheet_package(p, model_of(p)))["sheet.ring_room"]
    assert row.verdict == "fail"
    assert "ring_width" in row.note


@pytest.mark.long
def test_thick_ring_is_written_on_without_running_into_lines() -> None:
    p = load(
        CONFIG,
        ["handoff.sheet.flange=joggled segments", "firewall.thickness=1.6 mm",
         "handoff.sheet.inside_radius=3 mm", "handoff.sheet.ring_width=30 mm",
         "handoff.sheet.rivet_diameter=4.8 mm", "rules.firewall_mass.value=6 kg"],
    )  # fmt: skip
    made = sheet_package(p, model_of(p))
    assert [f.id for f in made.findings if f.verdict == "fail"] == []
    assert clashes(made.sheets[1].drawing) == ()

"""Targets of the propeller: which there are, and that each follows the rule that is written."""

import pytest

from geomgen.sizing.targets import targets


def of_propeller(p):
    return [target for target in targets(p) if target.id.startswith("prop.")]


def by_id(p):
    found = of_propeller(p)
    assert len({t.id for t in found}) == len(found)
    return {t.id: t for t in found}


def test_written_clearances_are_the_limits_and_the_true_one_is_the_lesser(variant) -> None:
    for radial, axial in ((31.0, 17.0), (12.0, 44.0)):
        found = by_id(
            variant(f"rules.radial_clearance={radial} mm", f"rules.axial_clearance={axial} mm")
        )
        assert found["prop.radial_clearance"].low == pytest.approx(radial)
        assert found["prop.axial_clearance"].low == pytest.approx(axial)
        assert found["prop.clearance"].low == pytest.approx(min(radial, axial))


def test_room_round_a_spinner_is_asked_for_where_there_is_one(variant) -> None:
    p = variant()
    assert "prop.spinner_clearance" in by_id(p)
    assert "prop.spinner_clearance" not in by_id(p.model_copy(update={"spinner": None}))


@pytest.mark.parametrize("config", ["saltmarsh", "hayfield", "tight"])
def test_every_target_says_what_it_is_and_where_it_comes_from(variant, config) -> None:
    for target in of_propeller(variant(config=config)):
        assert target.what
        assert target.source or target.comparison == "none"


@pytest.mark.parametrize(
    ("id_", "override", "words"),
    [
        ("prop.radial_clearance", "propeller.mount_travel_radial=0 mm", "how far the engine"),
        ("prop.axial_clearance", "propeller.mount_travel_axial=0 mm", "how far the engine"),
        ("prop.axial_clearance", "propeller.flex=0 mm", "how far the tips bend"),
        ("prop.ground_clearance.static", "gear.wheels.main.deflection=0 mm", "no load on it"),
        ("prop.ground_clearance.flat_tyre.*", "gear.wheels.nose.flat=0 mm", "as high as a full"),
        ("prop.ground_clearance.flat_tyre.*", "gear.wheels.main.travel=0 mm", "bottomed as it"),
    ],
)
def test_what_would_let_a_stiff_machine_pass_is_told(variant, id_, override, words) -> None:
    """The rules ask for the gear deflected, a tyre flat, blades that shake: nothing is not that."""
    assert not any(words in notice for notice in by_id(variant())[id_].notices)
    (told,) = [notice for notice in by_id(variant(override))[id_].notices if words in notice]
    assert override.partition("=")[0].rpartition(".")[2] in told
    assert "0 mm or left out" in told

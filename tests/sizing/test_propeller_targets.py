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

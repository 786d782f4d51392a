"""Clearances of the two rule sets. Source: 14 CFR 23.925 before Amdt 23-64; CS 22.925.

Status: PUBLISHED.
"""

import pytest

RULES = [
    ("14 CFR 23.925", "tricycle", 25.4, 12.7, 177.8),
    ("14 CFR 23.925", "tailwheel", 25.4, 12.7, 228.6),
    ("CS 22.925", "tricycle", 25.0, 13.0, 180.0),
    ("CS 22.925", "tailwheel", 25.0, 13.0, 230.0),
]


@pytest.mark.parametrize(("rules", "layout", "radial", "axial", "ground"), RULES)
def test_defaults_come_from_rule_set_and_gear(saltmarsh, rules, layout, radial, axial, ground):
    changes = [f"rules.clearances={rules}", f"gear.layout={layout}"]
    if layout == "tailwheel":
        changes.append("gear.wheels.nose.role=tail")
    found = saltmarsh(*changes).rules
    assert found.radial_clearance.value == radial
    assert found.axial_clearance.value == axial
    assert found.ground_clearance.value == ground
    for threshold in (found.radial_clearance, found.axial_clearance, found.ground_clearance):
        assert threshold.source.startswith(rules)


def test_own_threshold_stands(saltmarsh):
    rules = saltmarsh('rules.radial_clearance={ value = "2 in", source = "own" }').rules
    assert (rules.radial_clearance.value, rules.radial_clearance.source) == (50.8, "own")


def test_other_defaults_say_where_they_come_from(folder):
    from geomgen.parameters import load

    text = (folder / "saltmarsh.toml").read_text()
    head, tail = text.split("[rules]")[0], text[text.index("[flight]") :]
    (folder / "bare.toml").write_text(head + tail)
    rules = load(folder / "bare.toml").rules
    assert rules.clearances == "14 CFR 23.925"
    assert rules.firewall_mass is None
    assert rules.firewall_area is None
    for key in type(rules).model_fields:
        threshold = getattr(rules, key)
        if key not in ("clearances", "weights", "neutral_point") and threshold is not None:
            assert threshold.source, key

"""Limits of the pilot's checks: the file's own, their source said; none without a pilot."""

from geomgen.sizing.targets import figures, targets


def of(p):
    return {t.id: t for t in figures(p) if t.id.startswith(("pilot.", "sight.", "canopy."))}


def test_without_pilot_and_canopy_there_are_none(parameters):
    p = parameters().model_copy(update={"pilot": None, "canopy": None})
    assert of(p) == {}


def test_limits_are_the_rules(parameters):
    p = parameters("rules.head_room=61 mm", "rules.sight_over_nose=9 deg")
    due = of(p)
    assert due["pilot.head_room"].low == 61.0
    assert due["sight.over_nose.*"].low == 9.0
    assert due["sight.over_nose.*"].severity == "warn"
    assert due["pilot.knee_room"].source.startswith("own choice")
    assert "from memory" in due["pilot.knee_room"].source


def test_tail_down_is_only_read(parameters):
    assert "sight.over_nose.tail_down" not in {t.id for t in targets(parameters())}


def test_sight_round_is_read_until_the_file_has_a_limit(parameters):
    due = of(parameters())
    for name in ("side", "up", "into_turn"):
        assert (due[f"sight.{name}"].comparison, due[f"sight.{name}"].low) == ("none", None)
        limited = of(parameters(f"rules.sight_{name}=21 deg"))[f"sight.{name}"]
        assert (limited.comparison, limited.low, limited.severity) == ("at least", 21.0, "warn")
        assert limited.source.startswith("given in the parameter file")
    assert "23.773" in due["sight.side"].source


def test_without_a_canopy_it_is_advised(parameters):
    p = parameters().model_copy(update={"canopy": None})
    assert "[canopy]" in of(p)["sight.over_nose.*"].advice

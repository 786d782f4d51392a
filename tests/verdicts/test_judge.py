import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.measurements.record import Measurement
from geomgen.sizing.target import Conversion, Target
from geomgen.verdicts.check import passed
from geomgen.verdicts.conversions import converted
from geomgen.verdicts.judge import judge
from geomgen.verdicts.wording import check_cells, figure_of


def measured(value, id="gap", unit="mm", bound=0.01, **more):
    return Measurement(id, "pod", "gap", value, unit, "exact", error_bound=bound, **more)


def target(comparison="at least", low=25.4, high=None, id="gap", unit="mm", **more):
    return Target(id, "gap", comparison, unit, low=low, high=high, **more)


def verdict(value, aim=None, **more):
    (check,) = judge([measured(value, **more)], [aim or target()])
    return check.verdict


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (30.0, "pass"),
        (25.41, "pass"),
        (25.405, "warn"),
        (25.4, "warn"),
        (25.3999, "fail"),
        (-3.0, "fail"),
    ],
)
def test_at_least(value, expected):
    assert verdict(value) == expected


@pytest.mark.parametrize(
    ("off", "bound", "expected"),
    [
        (1e-6, 1e-3, "warn"),  # the kernel's noise, less than what the figure may be off
        (1e-6, 1e-7, "fail"),  # noise would be less: a miss
        (1e-6, None, "fail"),
        (1e-4, 1e-3, "fail"),  # a small miss stays one, whatever the bound
        (-1e-6, 1e-3, "warn"),
        (-2e-3, 1e-3, "pass"),
    ],
)
def test_on_the_limit_but_for_the_kernels_noise(off, bound, expected):
    assert verdict(0.5 + off, target("at most", None, 0.5), bound=bound) == expected
    assert verdict(25.4 - off, bound=bound) == expected


def test_noise_never_lets_contact_through():
    assert verdict(-1e-7, target("more than", 0.0)) == "fail"


@pytest.mark.parametrize(("value", "expected"), [(0.4, "pass"), (0.495, "warn"), (0.51, "fail")])
def test_at_most(value, expected):
    assert verdict(value, target("at most", None, 0.5)) == expected


@pytest.mark.parametrize(
    ("value", "expected"), [(0.59, "fail"), (0.8, "pass"), (1.01, "fail"), (0.995, "warn")]
)
def test_between(value, expected):
    aim = target("between", 0.6, 1.0)
    assert verdict(value, aim) == expected


def test_positive_clearance_fails_on_contact():
    aim = target("more than", 0.0)
    assert verdict(0.0, aim) == "fail"
    assert verdict(0.005, aim) == "warn"
    assert verdict(1.0, aim) == "pass"


def test_margin_is_to_the_nearest_limit():
    (check,) = judge([measured(0.9)], [target("between", 0.6, 1.0)])
    assert check.margin == pytest.approx(0.1)


def test_rounding_of_the_computer_is_no_miss():
    assert verdict(25.4 - 1e-12, bound=None) == "pass"
    assert verdict(0.1 + 0.2, target("at most", None, 0.3), bound=None) == "pass"


def test_shut_opening_fails_whatever_its_figure():
    assert verdict(30.0, broken=True) == "fail"
    assert verdict(None, broken=True) == "fail"


@pytest.mark.parametrize("value", [None, 30.0])
def test_a_figure_that_is_only_read_never_fails_without_a_limit(value):
    """What is judged of the same opening fails in its place."""
    aim = Target("firewall.clear_section", "", "none", "mm2", severity="info")
    (read,) = judge([measured(value, id=aim.id, unit="mm2", broken=True)], [aim])
    assert (read.verdict, read.target.text, read.stops) == ("not_measured", "no limit set", False)
    assert "blocked or not closed all round" in read.note


def test_whatever_fails_has_a_limit():
    aims = ([], [target("none", None)])
    for aim in aims:
        (check,) = judge([measured(None, broken=True)], aim)
        assert (check.verdict, check.target.text) == ("fail", "open, closed all round")


def test_what_to_change_is_said_where_it_fails():
    aim = target(advice="to raise it: a smaller disc")
    checks = [judge([measured(value, note="seen")], [aim])[0] for value in (20.0, 30.0)]
    assert [c.note for c in checks] == ["seen; to raise it: a smaller disc", "seen"]


@pytest.mark.parametrize("value", [None, math.nan, math.inf])
def test_no_figure_is_not_measured(value):
    (check,) = judge([measured(value, note="it leaks")], [target()])
    assert (check.verdict, check.measured) == ("not_measured", None)
    assert "it leaks" in check.note
    assert not passed([check])


def test_figure_in_another_unit_is_not_compared():
    (check,) = judge([measured(3000.0, unit="mm2")], [target()])
    assert check.verdict == "not_measured"
    assert "mm2" in check.note


@pytest.mark.parametrize("bound", [math.nan, math.inf])
def test_unknown_exactness_never_passes(bound):
    assert verdict(30.0, bound=bound) == "warn"
    assert verdict(3.0, bound=bound) == "fail"


def test_target_without_measurement_is_said():
    (check,) = judge([], [target(id="gap.*")])
    assert (check.id, check.verdict, check.stops) == ("gap", "not_measured", True)


def test_left_out_table_does_not_stop_the_whole():
    (check,) = judge([], [target(severity="warn", notices=("the file has no [gear]",))])
    assert (check.verdict, check.stops) == ("not_measured", False)
    assert "[gear]" in check.note


def test_soft_target_warns():
    assert verdict(1.0, target(severity="warn")) == "warn"


@pytest.mark.parametrize(
    ("value", "bound", "sure", "unsure"),
    [
        (0.4, 0.2, "warn", "warn"),  # inside, by less than it may be off
        (0.2, 0.2, "pass", "pass"),
        (0.6, 0.2, "fail", "warn"),
        (0.69, 0.2, "fail", "warn"),
        (0.71, 0.2, "fail", "fail"),
        (0.6, None, "fail", "fail"),  # without a bound nothing is unsure
        (0.6, math.nan, "fail", "fail"),
        (0.6, math.inf, "fail", "fail"),
        (0.4, math.inf, "warn", "warn"),
    ],
)
def test_beyond_the_limit_by_less_than_it_may_be_off(value, bound, sure, unsure):
    """A computed figure that is `unsure` warns there; any other fails."""
    for doubt, expected in ((False, sure), (True, unsure)):
        for aim, at in (
            (target("at most", None, 0.5, unsure=doubt), value),
            (target("at least", -0.5, None, unsure=doubt), -value),
        ):
            assert verdict(at, aim, bound=bound) == expected


def test_what_is_unsure_is_said_with_what_to_change():
    aim = target("at most", None, 0.5, unsure=True, advice="a larger exit")
    (check,) = judge([measured(0.6, bound=0.2)], [aim])
    assert "beyond its limit, by less than it may be off" in check.note
    assert "a larger exit" in check.note
    assert check.margin == pytest.approx(-0.1)


def test_what_is_shut_is_said_in_the_targets_own_words():
    notes = [
        judge([measured(None, broken=True)], [target(shut=words)])[0].note
        for words in ("", "no air goes through")
    ]
    assert notes == ["the opening is blocked or not closed all round", "no air goes through"]


def test_wildcard_takes_the_stem_and_what_begins_so_but_not_what_has_its_own():
    aims = [target(id="gap.*"), target(id="gap.wide", low=50.0)]
    rows = [measured(30.0, id=i) for i in ("gap", "gap.left", "gap.wide", "gapless")]
    found = {check.id: check.verdict for check in judge(rows, aims)}
    assert found == {"gap": "pass", "gap.left": "pass", "gap.wide": "fail", "gapless": "warn"}


def test_all_measurements_of_one_id_are_judged():
    checks = judge([measured(30.0), measured(1.0)], [target()])
    assert [check.verdict for check in checks] == ["pass", "fail"]


def test_figure_without_target():
    rows = [measured(1.0, id="stray"), measured(1.0, id="prop.tip_radius")]
    read = [Target(id_, "", "none", "mm", severity="info") for id_ in ("prop.tip_radius", "none")]
    checks = judge(rows, read)
    assert [(c.verdict, c.comparison) for c in checks] == [("pass", "none"), ("warn", "none")]
    # The outcome says "for information"; a note that says it too would be read twice.
    assert checks[0].note == ""


def test_missing_limit_warns_and_names_the_key():
    aim = target("none", None, notices=("rules.firewall_mass would set one",))
    (check,) = judge([measured(2.0)], [aim])
    assert (check.verdict, check.measured, check.margin) == ("warn", 2.0, None)
    assert "rules.firewall_mass" in check.note


@pytest.mark.parametrize(
    ("written", "expected"),
    [("steel", "pass"), (" Stainless  Steel", "pass"), ("aluminium", "fail"), ("", "not_measured")],
)
def test_names(written, expected):
    aim = Target(
        "m", "", "one of", "", written_word=written, allowed_words=("steel", "stainless steel")
    )
    (check,) = judge([], [aim])
    assert check.verdict == expected


def test_bad_fitting_is_found_among_good_ones():
    aim = Target(
        "firewall.fittings",
        "",
        "one of",
        "",
        written_word="steel, aluminium",
        allowed_words=("steel",),
        inputs=(("fuel", "steel"), ("throttle", "aluminium")),
    )
    (check,) = judge([], [aim])
    assert (check.verdict, check.where) == ("fail", "throttle: aluminium")


@given(
    value=st.floats(-1e6, 1e6),
    low=st.floats(-1e3, 1e3),
    width=st.floats(0, 1e3),
    bound=st.none() | st.floats(0, 10),
)
def test_verdict_agrees_with_plain_comparison(value, low, width, bound):
    aim = target("between", low, low + width)
    (check,) = judge([measured(value, bound=bound)], [aim])
    if check.verdict == "pass":
        assert low - 1e-6 <= value <= low + width + 1e-6
    if check.verdict == "fail":
        assert value < low or value > low + width
    assert check.verdict != "not_measured"
    json.dumps(check.as_dict(), allow_nan=False)


def test_conversion_carries_the_error_bound():
    double = Conversion("r", "mm", "d", "diameter", "mm", lambda r: 2 * r, "twice")
    radius, diameter = converted([measured(10.0, id="r", bound=0.5)], [double])
    assert (radius.id, diameter.id, diameter.value, diameter.error_bound) == ("r", "d", 20.0, 1.0)
    assert diameter.method == "twice; exact"


def test_conversion_of_nothing_stays_nothing():
    double = Conversion("r", "mm", "d", "diameter", "mm", lambda r: 2 * r, "twice")
    assert converted([measured(None, id="r")], [double])[1].value is None
    assert len(converted([measured(1.0, id="r", unit="1")], [double])) == 1


def test_conversion_to_the_same_id_replaces():
    share = Conversion("gap", "mm", "gap", "share", "1", lambda gap: gap / 1000, "over chord")
    (only,) = converted([measured(100.0)], [share])
    assert (only.value, only.unit) == (0.1, "1")


def test_nothing_checked_is_not_passed():
    assert not passed([])


@pytest.mark.parametrize(
    ("value", "expected"), [(70.0, "fail"), (81.0, "warn"), (99.0, "warn"), (101.0, "pass")]
)
def test_between_the_limit_and_what_is_wanted_it_warns(value, expected):
    aim = target(low=80.0, wanted=100.0)
    (check,) = judge([measured(value)], [aim])
    assert check.verdict == expected
    assert ("100.00 mm" in check.note) == (expected == "warn")


def test_what_is_wanted_is_told_by_whose_word_it_is():
    """A bolt's distance to an edge is no matter of uncertain inputs."""
    for band, word in ((None, "less than the usual 100"), ((80.0, 120.0), "spread of the inputs")):
        (check,) = judge([measured(90.0)], [target(low=80.0, wanted=100.0, band=band)])
        assert word in check.note


def test_more_than_is_usual_warns():
    assert [verdict(v, target(low=0.6, usual=1.0)) for v in (0.9, 1.1)] == ["pass", "warn"]


def test_where_nothing_will_do_every_figure_fails():
    aim = target(low=None, hopeless="no air gets out")
    for value in (None, 0.0, 1e9):
        (check,) = judge([measured(value)], [aim])
        assert (check.verdict, check.note) == ("fail", "no air gets out")
    assert verdict(5.0, target(low=None, hopeless="no", severity="warn")) == "warn"


def test_what_a_sound_machine_need_not_have_is_not_missed():
    shaft = Target("shaft", "end of the shaft", "at most", "mm", high=5.0, if_any=True)
    assert judge([], [shaft]) == []
    seen = Measurement("shaft", "engine", "end", 6.0, "mm", "exact")
    assert [c.verdict for c in judge([seen], [shaft])] == ["fail"]
    unknown = Measurement("shaft", "engine", "end", None, "mm", "exact")
    assert [c.stops for c in judge([unknown], [shaft])] == [True]


@pytest.mark.parametrize(("value", "shown"), [(30.0, ("30", "-30")), (0.25, ("0.250", "-0.250"))])
def test_counts_are_whole_numbers_and_what_has_no_unit_but_is_none_keeps_its_decimals(value, shown):
    """Parts that a way bars, and a pressure coefficient that must not be above nought."""
    (check,) = judge(
        [measured(value, unit="1", bound=1.0)], [target("at most", None, 0.0, unit="1")]
    )
    assert (check_cells(check)[1], check_cells(check)[3]) == shown
    assert figure_of(check, 1.0) == ("1" if value == 30.0 else "1.000")


def test_a_share_that_is_whole_keeps_its_decimals():
    (check,) = judge([measured(1.0, unit="1")], [target(low=0.95, unit="1")])
    assert check_cells(check)[1] == "1.000"

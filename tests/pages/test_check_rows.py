"""The rows of the page against the words of the report."""

from report_pages import checks
from report_pages import page as report_page

from geomgen.pages.check_rows import verdict
from geomgen.pages.html_page import html
from geomgen.verdicts.wording import raised


def test_every_word_of_a_row_stands_in_the_report_too():
    told = verdict(checks())
    text = raised(html(report_page()))
    assert told["sentence"] in text
    assert told["counts"] in text
    for group in told["groups"]:
        assert f"{group['title']} ({len(group['checks'])})" in text
        for row in group["checks"]:
            assert f'<li id="check-{row["id"]}" class="{row["kind"]}">' in text
            assert f"<b>{row['measured']}</b>" in text
            assert row["limit"] in text
            if row["bar"]:
                x1, x2 = row["bar"]["margin"]
                assert f'x1="{x1}" x2="{x2}" y1="10"' in text


def test_powers_of_units_are_raised_in_notes_and_notices_too():
    told = verdict(checks(), ("the inlet rule asks for 164.0 cm^2",))
    notes = [row["note"] for group in told["groups"] for row in group["checks"]]
    assert any("159.2 cm²" in note for note in notes)
    assert told["notices"] == ["the inlet rule asks for 164.0 cm²"]


def test_the_worst_outcome_decides():
    every = checks()
    assert verdict(every)["worst"] == "fail"
    good = [check for check in every if check.verdict == "pass"]
    assert verdict(good)["worst"] == "pass"
    assert verdict([])["worst"] == "not_measured"


def test_a_missing_check_would_be_seen():
    assert verdict(checks())["counts"] != verdict(checks()[1:])["counts"]

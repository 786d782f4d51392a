"""What the terminal shows of a watch."""

from geomgen.errors import GeometryError, ParameterError
from geomgen.terminal.watch_lines import lines, opening
from geomgen.verdicts.check import Check, Limits
from geomgen.watching.live_page.changes import changes
from geomgen.watching.watch import WatchEvent

GAP = Check(
    "gap", "pod", "a gap", 5.0, "mm", Limits("at least 4.00 mm", 4.0), "at least", 1.0, "pass"
)
BAD = Check(
    "gap", "pod", "a gap", 3.0, "mm", Limits("at least 4.00 mm", 4.0), "at least", -1.0, "fail"
)


def test_a_change_shows_both_figures_margin_and_verdict_in_its_colour():
    found = lines(WatchEvent("built", 2, (BAD,), changes([GAP], [BAD]), 1.25, 3, 40))
    assert found[0] == ("revision 2: 1.2 s, 3 steps made, 40 taken from before", "bold")
    assert found[1] == (
        "  gap: 5.00 mm → 3.00 mm, margin -1.00 mm, PASS → FAIL",
        "bold red",
    )
    assert found[2][1] == "bold red"
    better = lines(WatchEvent("built", 3, (GAP,), changes([BAD], [GAP])))
    assert better[1][1] == "green"
    assert better[2] == ("  The one check passes.", "green")


def test_nothing_differs():
    assert ("  no figure differs", "") in lines(WatchEvent("built", 2, (GAP,)))


def test_quiet_leaves_out_what_keeps_its_verdict():
    same = Check(**{**vars(GAP), "measured": 6.0})
    told = WatchEvent("built", 2, (same,), changes([GAP], [same]))
    assert any("6.00 mm" in row for row, _ in lines(told))
    assert not any("6.00 mm" in row for row, _ in lines(told, quiet=True))


def test_a_refusal_says_where_and_what_to_do():
    error = ParameterError(
        "out of range", file="a.toml", key="pod.wall", line=3, written="9 m", allowed="up to 60 mm"
    )
    text = [row for row, _ in lines(WatchEvent("refused", 2, error=error.as_dict()))]
    assert text[:3] == [
        "a.toml, line 3: pod.wall: out of range",
        "  written: 9 m",
        "  allowed: up to 60 mm",
    ]
    built = GeometryError("the walls meet", part="pod", step="wall", look_at=["pod.wall"])
    text = [row for row, _ in lines(WatchEvent("refused", 2, error=built.as_dict()))]
    assert text[:3] == ["pod: the walls meet", "  step: wall", "  look at: pod.wall"]


def test_what_could_not_be_drawn_is_not_said_to_be_refused():
    error = GeometryError("no line was found", step="three-view").as_dict()
    text = [row for row, _ in lines(WatchEvent("unfinished", 2, error=error))]
    assert text[:2] == ["no line was found", "  step: three-view"]
    assert "the checks above hold" in text[-1]
    assert not any("last good state" in row for row in text)


def test_a_save_that_needs_nothing_says_why():
    assert "only the text" in lines(WatchEvent("same", 2))[0][0]
    assert lines(WatchEvent("same", 2), quiet=True) == []
    ((text, _),) = lines(WatchEvent("mended", 2), quiet=True)
    assert text == "the file is as revision 2 again: nothing new to build"


def test_lines_fit():
    long = WatchEvent("refused", 2, error=ParameterError("x " * 200, allowed="y " * 200).as_dict())
    assert max(len(row) for row, _ in lines(long, 80)) <= 80
    assert any("http" in row for row, _ in opening("a.toml", "http://127.0.0.1:1/x/"))

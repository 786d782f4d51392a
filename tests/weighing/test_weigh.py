"""The whole of it: the file written, the machine before and after, the terminal, the refusals."""

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from weighed_machines import SMALL, SOLIDS, unbuilt

from geomgen import cli
from geomgen.balance.masses.to_weigh import scale_pieces
from geomgen.balance.state import balance_state
from geomgen.errors import FileWriteError, ParameterError
from geomgen.parameters import load
from geomgen.regeneration import regenerating
from geomgen.weighing.weigh import weigh

CONFIGS = Path(__file__).parents[2] / "configs"
PIECES = ("pod", "wing", "boom_left", "boom_right", "pylon", "firewall", "wheel_main_left")
SMALL_ITEMS = ("battery", "engine with reduction gear and fan")


def same_body(one, other) -> bool:
    near = pytest.approx(other.centre, abs=1e-6)
    return one.mass == pytest.approx(other.mass, rel=1e-9) and one.centre == near


@pytest.fixture(scope="module")
def again(tmp_path_factory):
    """Return a function that gives the small file afresh in one folder."""
    folder = tmp_path_factory.mktemp("weighed")
    for name in ("saltmarsh.toml", "curlew.dat"):
        (folder / name).write_bytes((CONFIGS / name).read_bytes())

    def make():
        file = folder / "small.toml"
        file.write_text(SMALL)
        return file

    return make


@settings(max_examples=4)
@given(st.sets(st.sampled_from(PIECES), min_size=1))
def test_weighing_what_was_computed_leaves_all_sums_the_same(again, names):
    """Scales that say what was computed move no mass, no centre, no inertia, in no loading."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(regenerating, "regenerate", unbuilt)
        file = again()
        pieces = {one.name: one.body.mass for one in scale_pieces(load(file), SOLIDS)}
        result = weigh(file, [f"{name}={pieces[name]!r} kg" for name in sorted(names)], "scales")
    former, new = result.former.balance, result.new.balance
    assert all(one.within for one in result.differences)
    assert same_body(new.empty, former.empty)
    assert all(same_body(a.body, b.body) for a, b in zip(new.loaded, former.loaded, strict=True))
    assert new.empty.tensor == pytest.approx(former.empty.tensor, rel=1e-9, abs=1.0)
    assert new.mass_band <= former.mass_band + 1e-12


@settings(max_examples=4)
@given(
    st.sets(st.sampled_from((*PIECES, *SMALL_ITEMS)), min_size=1),
    st.sampled_from(("7.5 lb", "3.3 kg", "900 g")),
)
def test_weighing_twice_changes_nothing_more(again, names, mass):
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(regenerating, "regenerate", unbuilt)
        file = again()
        said = [f"{name}={mass}" for name in sorted(names)]
        first, text = weigh(file, said, "scales"), file.read_bytes()
        second = weigh(file, said, "scales")
    assert first.changed
    assert not second.changed
    assert file.read_bytes() == text
    assert same_body(second.new.balance.empty, first.new.balance.empty)


def test_a_heavier_wing_moves_mass_and_centre_by_the_lever(file):
    """10 kg more at STA 1650: empty mass and moment by hand."""
    wing = next(one for one in scale_pieces(load(file), SOLIDS) if one.name == "wing")
    result = weigh(file, [f"wing={wing.body.mass + 10.0!r} kg"], "scales")
    former, new = result.former.balance.empty, result.new.balance.empty
    assert new.mass == pytest.approx(former.mass + 10.0)
    moment = former.mass * former.centre[0] + 10.0 * 1650.0
    assert new.centre[0] == pytest.approx(moment / new.mass)
    assert balance_state(load(file), SOLIDS).empty.mass == pytest.approx(new.mass)


def test_the_verdict_of_each_loading_is_its_own(file):
    """200 kg of wing: all loadings are too heavy; before none was."""
    result = weigh(file, ["wing=200 kg"], "scales")
    for state, verdict in ((result.former, "pass"), (result.new, "fail")):
        gross = [c.verdict for row in state.loadings.values() for c in row if c.id == "mass.gross"]
        assert gross == [verdict] * len(state.balance.loaded)
    turned = [
        c.id for c in result.figures if c.new and c.new.verdict == "fail" and c.kind == "turned"
    ]
    assert {"mass.empty", "mass.gross"} <= set(turned)


def test_pounds_written_as_kilograms_are_told(file):
    pieces = {one.name: one.body.mass for one in scale_pieces(load(file), SOLIDS)}
    pounds = pieces["pod"] / 0.45359237
    (pod,) = weigh(file, [f"pod={pounds:.2f} kg"], "scales").differences
    assert "over the band: look again; as lb it would be within" in pod.told


def test_nothing_is_written_when_it_is_refused(file):
    text = file.read_bytes()
    for said in (["pod=9 kg", "podd=9 kg"], ["pod=9"], []):
        with pytest.raises(ParameterError):
            weigh(file, said, "scales")
    with pytest.raises(ParameterError):
        weigh(file, ["pod=9 kg"], " ")
    assert file.read_bytes() == text


def test_nothing_is_written_when_the_machine_can_not_be_built(file, monkeypatch):
    text = file.read_bytes()

    def broken(*_):
        raise RuntimeError

    monkeypatch.setattr(regenerating, "regenerate", broken)
    with pytest.raises(RuntimeError):
        weigh(file, ["pod=9 kg"], "scales")
    assert file.read_bytes() == text


def test_a_row_put_in_while_it_is_built_keeps_its_words(file, monkeypatch):
    """The builder saves the file meanwhile: what was weighed still goes to its own row."""
    fin = '[[mass]]\npart = "fin"\ndensity = "100 kg/m^3"\nsource = "my own"\n\n'

    def while_built(*given):
        if fin not in file.read_text():
            file.write_text(file.read_text().replace("[[mass]]", f"{fin}[[mass]]", 1))
        return unbuilt(*given)

    monkeypatch.setattr(regenerating, "regenerate", while_built)
    result = weigh(file, ["pod=9 kg"], "scales")
    rows = {row.part: row for row in load(file).mass}
    assert (rows["pod"].weighed, rows["fin"].weighed) == (9.0, None)
    assert rows["fin"].source == "my own"
    assert result.changes[0].key == "mass.1.weighed"


def test_a_row_taken_out_while_it_is_built_is_made_anew(file, monkeypatch):
    text = file.read_text()
    boom = text[text.index('[[mass]]\npart = "boom"') : text.index('[[mass]]\npart = "pylon"')]

    def while_built(*given):
        file.write_text(file.read_text().replace(boom, ""))
        return unbuilt(*given)

    monkeypatch.setattr(regenerating, "regenerate", while_built)
    weigh(file, ["boom=3 kg each"], "scales")
    rows = {row.part: row for row in load(file).mass}
    assert rows["boom"].weighed == 3.0
    assert rows["pylon"].weighed is None


def test_a_read_only_file_is_told_before_anything_is_built(file, monkeypatch):
    monkeypatch.setattr("os.access", lambda *_: False)
    monkeypatch.setattr(regenerating, "regenerate", lambda *_: pytest.fail("built"))
    with pytest.raises(FileWriteError, match="read-only"):
        weigh(file, ["pod=9 kg"], "scales")


def test_the_command_writes_tells_and_counts(file, capsys):
    listed = file.with_name("weighed.txt")
    listed.write_text("boom = 3.0 kg both\nfin = ____\n")
    words = ["weigh", str(file), "pod=30 lb", "--list", str(listed), "--source", "club scales"]
    assert cli.main(words) == 1
    # How long the folder's name is decides where lines are broken.
    told = " ".join(capsys.readouterr().out.split())
    for text in (
        "over the band: look again",
        "mass.0.weighed = 30 lb",
        "not filled in: fin",
        "heaviest, full fuel, locker",
        "mass.empty",
        "2 masses from the scales written into",
        "look again at 1 of them",
    ):
        assert text in told
    assert load(file).mass[2].weighed == pytest.approx(1.5)


def test_quiet_says_what_is_to_be_looked_at_again(file, capsys):
    cli.main(["weigh", str(file), "pod=30 lb", "boom=3.0 kg both", "--source", "s", "--quiet"])
    told = capsys.readouterr().out
    assert "pod" in told
    assert "boom" not in told
    assert "heaviest" not in told
    assert "mass.empty" not in told


def test_json_holds_all_of_it(file, capsys):
    code = cli.main(["weigh", str(file), "pod=5.5 kg", "--source", "s", "--json"])
    answer = json.loads(capsys.readouterr().out)
    assert answer["exit_code"] == code
    assert answer["changed"] is True
    assert answer["scales"][0]["within_band"] is True
    assert answer["written"][0] == {"key": "mass.0.weighed", "value": "5.5 kg"}
    assert len(answer["former"]["loadings"]) == len(answer["new"]["loadings"])
    assert {check["id"] for check in answer["new"]["loadings"][0]["checks"]} >= {"mass.gross"}


def test_without_a_terminal_the_source_has_to_be_given(file, capsys):
    assert cli.main(["weigh", str(file), "pod=5.5 kg"]) == 2
    assert "--source" in capsys.readouterr().err


def test_at_a_terminal_the_source_is_asked_for(file, monkeypatch, capsys):
    import io
    import sys

    class Keyboard(io.StringIO):
        def isatty(self):
            return True

    monkeypatch.setattr(sys, "stdin", Keyboard("club scales, 3 December\n"))
    cli.main(["weigh", str(file), "pod=5.5 kg"])
    assert "which scales, and when" in capsys.readouterr().err
    assert load(file).mass[0].source == "club scales, 3 December"

"""Values replaced in a file's text; read back by the standard library's reader (tomllib)."""

import re
import tomllib
from copy import deepcopy
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.parameters.editing import rewriting as module
from geomgen.parameters.editing.rewriting import rewritten, without
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.parameters.reading.loading import written_values
from geomgen.parameters.reading.written_key import put

CONFIGS = Path(__file__).parents[3] / "configs"
TEXT = (CONFIGS / "saltmarsh.toml").read_text("utf-8")
KEYS = sorted(k for k in written_values(tomllib.loads(TEXT)) if not k.endswith(".source"))
VALUES = st.one_of(
    st.floats(0.01, 5000).map(lambda v: f"{v:.6g} mm"),
    st.floats(allow_nan=False, allow_infinity=False),
    st.integers(-(10**6), 10**6),
    st.booleans(),
    st.text(st.characters(blacklist_categories=("Cs",), blacklist_characters="\r"), max_size=12),
)


def comments(text):
    """Return the comments; in this file no string holds a #."""
    return re.findall(r"#[^\n]*", text)


def path_of(key):
    return tuple(int(part) if part.isdigit() else part for part in key.split("."))


def expected(tables, changes):
    """Put values into tables by hand: the oracle."""
    tables = deepcopy(tables)
    for key, value in changes.items():
        at = tables
        *heads, last = path_of(key)
        for head in heads:
            at = at[head]
        sourced = isinstance(at[last], dict)
        at[last] = {**at[last], "value": value} if sourced else value
    return tables


@settings(max_examples=25, deadline=None)
@given(st.dictionaries(st.sampled_from(KEYS), VALUES, min_size=1, max_size=4), st.booleans())
def test_what_is_read_back_is_what_was_asked_and_all_comments_stay(changes, windows):
    text = TEXT.replace("\n", "\r\n") if windows else TEXT
    made = rewritten(text, changes)
    assert tomllib.loads(made) == expected(tomllib.loads(TEXT), changes)
    assert ("\r\n" in made) == windows
    bare = made.replace("\r\n", "\n")
    if not any("#" in str(value) for value in changes.values()):
        assert comments(bare) == comments(TEXT)
    changed = [
        i
        for i, (old, new) in enumerate(zip(TEXT.split("\n"), bare.split("\n"), strict=True))
        if old != new
    ]
    assert len(changed) <= len(changes)


def test_a_key_that_is_lost_would_be_seen():
    made = rewritten(TEXT, {"pod.wall": "5 mm"}).replace("# thickness of the sandwich", "#")
    assert comments(made) != comments(TEXT)


def test_the_same_value_leaves_every_byte():
    assert rewritten(TEXT, {"pod.wall": "4 mm", "scoops.cheek.height": "56 mm"}) == TEXT


ODD = """\
# head
name   =   'a'   # one
propeller = { diameter = "1.3 m",waterline="820 mm" } # inline
pod.wall = "4 mm" # dotted
pod . nose = "flat"

[ rules ] # odd head
 tip_mach= { source = "own # choice" , value = 0.65 }  # both
  # indented
[[ scoops ]]
name = "cheek"
\twidth\t=\t"9 in"\t# tabs
[[scoops]]
name = "top" # last, no line end
width = \"\"\"
8 in\"\"\" # long"""


def test_odd_but_right_files_keep_their_shape():
    made = rewritten(
        ODD,
        {
            "name": "b",
            "propeller.diameter": "1.4 m",
            "propeller.flex": "2 mm",
            "pod.nose": "round",
            "pod.tail": "open",
            "rules.tip_mach": 0.6,
            "rules.duct_turn": "90 deg",
            "scoops.cheek.width": "8 in",
            "scoops.top.height": "2 in",
            "scoops.1.width": "7 in",
            "cooling.recovery": 0.5,
        },
    )
    assert tomllib.loads(made) == {
        "name": "b",
        "propeller": {"diameter": "1.4 m", "waterline": "820 mm", "flex": "2 mm"},
        "pod": {"wall": "4 mm", "nose": "round", "tail": "open"},
        "rules": {"tip_mach": {"source": "own # choice", "value": 0.6}, "duct_turn": "90 deg"},
        "scoops": [
            {"name": "cheek", "width": "8 in"},
            {"name": "top", "width": "7 in", "height": "2 in"},
        ],
        "cooling": {"recovery": 0.5},
    }
    for comment in ("# head", "# one", "# inline", "# dotted", "# odd head", "# both"):
        assert comment in made
    assert '\twidth\t=\t"8 in"\t# tabs' in made
    assert "# last, no line end" in made
    assert "# long" in made


def test_a_default_is_added_in_its_table_before_the_comment_of_the_next():
    made = rewritten(TEXT, {"pod.wall": "4 mm", "rules.axial_clearance": "14 mm"})
    assert len(made.splitlines()) == len(TEXT.splitlines()) + 1
    lines = made.splitlines()
    at = lines.index('axial_clearance = "14 mm"')
    assert lines[at - 1].startswith("interference")
    assert lines[at + 1] == ""
    assert comments(made) == comments(TEXT)


def test_a_source_stays_and_may_be_replaced():
    made = rewritten(TEXT, {"rules.exit_to_inlet": 0.9})
    assert 'exit_to_inlet = { value = 0.9, source = "common practice, disputed" }' in made
    assert rewritten(TEXT, {"rules.exit_to_inlet.value": 0.9}) == made
    new = {"value": 0.9, "source": "own tests"}
    assert (
        tomllib.loads(rewritten(TEXT, {"rules.exit_to_inlet": new}))["rules"]["exit_to_inlet"]
        == new
    )


def test_blades_placed_another_way_leave_the_old_line_as_a_comment(tmp_path):
    made = rewritten(TEXT, {"propeller.station": "2.95 m"})
    held = tomllib.loads(made)["propeller"]
    assert held["station"] == "2.95 m"
    assert "behind_trailing_edge" not in held
    assert "# behind_trailing_edge = 0.5 " in made
    assert tomllib.loads(rewritten(made, {"propeller.behind_trailing_edge": 0.4}))["propeller"] == {
        **tomllib.loads(TEXT)["propeller"],
        "behind_trailing_edge": 0.4,
    }


@pytest.fixture
def tight():
    return CONFIGS / "tight.toml"


def test_what_a_base_file_holds_is_overruled_here(tmp_path):
    (tmp_path / "curlew.dat").write_bytes((CONFIGS / "curlew.dat").read_bytes())
    (tmp_path / "base.toml").write_text(TEXT, encoding="utf-8")
    file = tmp_path / "mine.toml"
    text = 'extends = "base.toml"  # mine\nname = "mine"\n'
    file.write_text(text, encoding="utf-8")
    tables, _ = read_with_bases(file)
    changes = {"scoops.cheek.height": "58 mm", "pod.wall": "5 mm", "rules.exit_to_inlet": 0.81}
    changes |= {"pod.stations.1.keel": "603 mm", "firewall.penetrations.0.diameter": "15 mm"}
    made = rewritten(text, changes, inherited=tables)
    assert made.startswith(text)
    file.write_text(made, encoding="utf-8")
    p = load(file)
    former = load(tmp_path / "base.toml").plain()
    for key, value in {**changes, "scoops.0.height": "58 mm", "name": "mine"}.items():
        if key.startswith("rules"):
            value = {"value": value, "source": "common practice, disputed"}
        if "cheek" not in key:
            put(former, path_of(key), value)
    former["rules"]["exit_to_inlet"]["source"] = "common practice, disputed"
    plain = p.plain()
    assert str(plain).replace(".0 mm", " mm") == str(former).replace(".0 mm", " mm")


def test_a_list_of_a_base_file_is_never_replaced_by_a_single_item():
    with pytest.raises(ParameterError, match="no such item"):
        rewritten('extends = "a.toml"\n', {"scoops.0.height": "58 mm"})


@pytest.mark.parametrize(
    ("key", "problem"),
    [
        ("pod.wal", "perhaps pod.wall"),
        ("pood.wall", "unknown key"),
        ("pod.wall.deep", "unknown key"),
        ("pod.wall.value", "unknown key"),
        ("scoops.9.height", "no such item"),
        ("scoops.brow.height", "no such item"),
        ("pod", "not a value but a table"),
        ("scoops", "not a value but a table"),
        ("scoops.0", "not a value but a table"),
        ("extends", "unknown key"),
        ("", "unknown key"),
        ("pod..wall", "unknown key"),
        ("__class__.x", "unknown key"),
    ],
)
def test_keys_that_no_file_may_have_are_refused(key, problem):
    with pytest.raises(ParameterError, match=re.escape(problem)):
        rewritten(TEXT, {key: "1 mm"})


def test_what_a_file_cannot_hold_is_refused():
    with pytest.raises(ParameterError, match="not a value that a file can hold"):
        rewritten(TEXT, {"pod.wall": object()})
    with pytest.raises(ParameterError, match=r"mine.toml, line 1.*not TOML"):
        rewritten("[pod", {"pod.wall": "4 mm"}, file="mine.toml")


def test_a_wrong_rewriting_would_be_refused(monkeypatch):
    monkeypatch.setattr(module.tomlkit, "dumps", lambda _: TEXT.replace('"1.30 m"', '"9 m"'))
    with pytest.raises(ParameterError, match="by hand"):
        rewritten(TEXT, {"pod.wall": "5 mm"})


def test_a_list_of_plain_values_is_written_whole():
    made = rewritten(TEXT, {"drawings.stations": ["600 mm", "1200 mm"]})
    assert tomllib.loads(made)["drawings"]["stations"] == ["600 mm", "1200 mm"]
    again = rewritten(made, {"drawings.stations.1": "1300 mm"})
    assert tomllib.loads(again)["drawings"]["stations"] == ["600 mm", "1300 mm"]
    assert comments(again) == comments(TEXT)


def test_a_key_is_left_out_again_with_its_line_ends():
    text = TEXT.replace("\n", "\r\n")
    made = rewritten(text, {"rules.axial_clearance": "15 mm"})
    assert made != text
    assert without(made, "rules.axial_clearance") == text


def test_what_is_left_out_already_stays_so():
    assert without(TEXT, "rules.axial_clearance") == TEXT
    assert without(TEXT, "scoops.0.lip_radius") != TEXT


@pytest.mark.parametrize(
    "key",
    [
        "name",
        "propeller.waterline",
        "pod.wall",
        "rules.tip_mach",
        "scoops.0.width",
        "scoops.1.name",
    ],
)
def test_a_key_of_an_odd_file_is_left_out(key):
    wanted = tomllib.loads(ODD)
    *heads, last = path_of(key)
    at = wanted
    for head in heads:
        at = at[head]
    del at[last]
    assert tomllib.loads(without(ODD, key)) == wanted


def test_a_wrong_taking_out_would_be_refused(monkeypatch):
    monkeypatch.setattr(module, "without_key", lambda *_: TEXT.replace('"1.30 m"', '"9 m"'))
    with pytest.raises(ParameterError, match=r"pod\.wall: can't be taken out"):
        without(TEXT, "pod.wall")

"""Broken parameter files: each is refused with exit code 2 and a message that helps."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from geomgen.errors import ParameterError
from geomgen.parameters import load

CONFIGS = Path(__file__).parents[1] / "configs"
BASE = (CONFIGS / "saltmarsh.toml").read_text()
STATIONS = BASE[BASE.index("[[pod.stations]]") : BASE.index("[exit]")]
THIRD = '[[pod.stations]]\nstation = "250 mm"'

# What is replaced, by what, the key and the words of the message.
CHANGED = {
    "no unit": ('wall = "4 mm"', 'wall = "4"', "pod.wall", "no unit"),
    "bare number": ('wall = "4 mm"', "wall = 4", "pod.wall", "no unit"),
    "wrong kind of unit": ('wall = "4 mm"', 'wall = "4 kg"', "pod.wall", "a unit of a mass"),
    "unknown unit": ('wall = "4 mm"', 'wall = "4 hands"', "pod.wall", "unknown unit"),
    "comma": ('wall = "4 mm"', 'wall = "4,5 mm"', "pod.wall", "decimal point"),
    "nan": ('wall = "4 mm"', 'wall = "nan mm"', "pod.wall", "not a finite number"),
    "bare nan": ("tip_mach = 0.65", "tip_mach = nan", "rules.tip_mach", "not a finite number"),
    "infinite": ("recovery = 0.7", "recovery = -inf", "cooling.recovery", "not a finite number"),
    "huge": ('wall = "4 mm"', 'wall = "1e400 mm"', "pod.wall", "not a finite number"),
    "too thick": ('wall = "4 mm"', 'wall = "0.4 m"', "pod.wall", "from 0.3 mm to 60 mm"),
    "negative": ('wall = "4 mm"', 'wall = "-4 mm"', "pod.wall", "out of range"),
    "zero power": ('power = "22 kW"', 'power = "0 W"', "powerplant.power", "from 500 W"),
    "knots per hour": ('"45 kt"', '"45 kt/h"', "flight.climb_speed", "unknown unit"),
    "misspelt key": ('wall = "4 mm"', 'wal = "4 mm"', "pod.wal", r"perhaps pod\.wall\?"),
    "key in capitals": ('wall = "4 mm"', 'Wall = "4 mm"', "pod.Wall", r"perhaps pod\.wall\?"),
    "misspelt table": ("[spinner]", "[spiner]", "spiner", r"perhaps spinner\?"),
    "stray table": ("[spinner]", "[floats]\n[spinner]", "floats", "unknown key"),
    "key of another table": ("[spinner]", "[spinner]\nrpm='9 rpm'", "spinner.rpm", "unknown key"),
    "missing key": ('wall = "4 mm"', "", "pod.wall", "missing"),
    "table as text": ('nose = "round"', "nose = { }", "pod.nose", "a table"),
    "list as table": ("[[scoops]]", "[scoops]", "scoops", "not a list"),
    "names without brackets": (
        'fixed_parts = ["tail_fairing"]',
        'fixed_parts = "tail_fairing"',
        "engine.fixed_parts",
        r'a list, in brackets: \["tail_fairing"\]',
    ),
    "table as list": ("[spinner]", "[[spinner]]", "spinner", "not a table"),
    "boolean in words": ("mirrored = true", 'mirrored = "yes"', "scoops.0.mirrored", "true, false"),
    "boolean as number": ("mirrored = true", "mirrored = 1", "scoops.0.mirrored", "true, false"),
    "unknown word": ('facing = "forward"', 'facing = "ahead"', "engine.fan_face.facing", '"aft"'),
    "word in capitals": ('material = "stai', 'material = "Stai', "firewall.material", "perhaps"),
    "unknown metal": ('"stainless steel"    ', '"lead"', "firewall.material", "monel"),
    "rule set": ('"CS 22.925"', '"CS 22.926"', "rules.clearances", "14 CFR 23.925"),
    "threshold key": ("{ value = 0.12, source", "{ value = 0.12, sauce", "rules.t.*sauce", "unkn"),
    "threshold empty": ("{ value = 0.12,", "{ ", "rules.trailing_edge_gap.value", "missing"),
    "threshold unit": ('value = "1.5 kg"', 'value = "1.5"', "rules.firewall_mass.value", "no unit"),
    "threshold date": ("tip_mach = 0.65", "tip_mach = 2020-01-01", "rules.tip_mach", "plain num"),
    "name with a path": ('"saltmarsh"', '"../saltmarsh"', "name", "not a name that can be used"),
    "name with a slash": ('"saltmarsh"', '"a/b"', "name", "not a name that can be used"),
    "name empty": ('"saltmarsh"', '""', "name", "not a name that can be used"),
    "name too long": ('"saltmarsh"', f'"{"a" * 41}"', "name", "1 to 40"),
    "name in capitals": ('"saltmarsh"', '"Saltmarsh"', "name", "lower-case"),
    "name with a control": ('"saltmarsh"', '"salt\\u0000"', "name", "not a name"),
    "scoop's name": ('"cheek"', '"../cheek"', "scoops.0.name", "not a name that can be used"),
    "revision": ('revision = "A"', 'revision = "A/B"', "revision", "not a name"),
    "title of two lines": ("Saltmarsh shore-bird", "a\\nb", "title", "one line"),
    "no nose": ('nose = "round"', 'nose = "pointed"', "pod.nose", '"round", "flat"'),
    "no stations": (STATIONS, "", "pod.stations", "missing"),
    "two stations": (STATIONS[STATIONS.index(THIRD) :], "", "pod.stations", "at least 3"),
    "fullness": ("fullness_upper = 0.44", "fullness_upper = 0.95", "pod.*upper", "0.85"),
    "stations mixed up": ('station = "250 mm"', 'station = "40 mm"', "pod.*station", "increase"),
    "firewall in the tail": ('station = "1800 mm"', 'station = "4 m"', "firewall.st.*", "inside"),
    "wall too thick": ('breadth = "206 mm"', 'breadth = "7 mm"', "pod.wall", "walls meet"),
    "two blade planes": ("behind_at =", 'station = "3 m"\nbehind_at =', "propeller", "two ways"),
    "no blade plane": ("behind_trailing_edge = 0.5", "", "propeller", "neither"),
    "propeller in the pod": ("edge = 0.5", "edge = 0.1", "propeller.b.*", "do not stand behind"),
    "fairing too short": ('h = "400 mm"', 'h = "200 mm"', "scoops.0.fairing_length", "passage"),
    "thick lip": ('lip_radius = "1.5 mm"', 'lip_radius = "2 mm"', "scoops.0.lip_radius", "wall"),
    "round mouth": ('s = "15 mm"', 's = "40 mm"', "scoops.0.corner_radius", "half the mouth"),
    "big hub": ('hub_diameter = "150 mm"', 'hub_diameter = "2 m"', "propeller.hub_d.*", "out of"),
    "joint without part": ('trim = "fin"', 'trim = "rudder"', "joints.2.trim", "tailplane"),
    "joint to itself": (
        'trim = "fin"\nto = "boom"',
        'trim="fin"\nto = "fin"',
        "joints.2.to",
        "itse",
    ),
    "unknown series": (
        '"NACA 4412"',
        '"NACA 64212"',
        "wing.sections.2.aerofoil",
        "first digit|refl",
    ),
    "no series": ('"NACA 4412"', '"Clark"', "wing.sections.2.aerofoil", "NACA"),
    "aerofoil missing": (
        '"file:curlew.dat"  ',
        '"file:none.dat"',
        "tailplane.*aerofoil",
        "no such",
    ),
    "aerofoil absolute": ('"file:curlew.dat"  ', '"file:/c.dat"', "tailplane.*aerofoil", "beside"),
    "aerofoil a folder": ('"file:curlew.dat"  ', '"file:.."', "tailplane.*aerofoil", "a folder"),
    "aerofoil not points": (
        '"file:curlew.dat"  ',
        '"file:self.toml"',
        "tailplane.*",
        "numbers|few",
    ),
    "extends itself": ('name = "salt', 'extends = "self.toml"\nname = "salt', "extends", "circle"),
    "extends nothing": ('name = "salt', 'extends = "no.toml"\nname = "salt', "extends", "no such"),
}

# Whole files, as text or bytes.
WHOLE = {
    "empty": (b"", "missing"),
    "only a comment": (b"# nothing\n", "missing"),
    "utf-16": (BASE.encode("utf-16"), "UTF-16"),
    "latin-1": (
        BASE.replace("Saltmarsh s", "Salzwiesenl\u00e4ufer s").encode("latin-1"),
        "not UTF-8",
    ),
    "binary": (bytes(range(256)), "not a text file"),
    "too big": (b"#" + b"x" * 1_000_001, "too big"),
    "no end of text": (b'name = "saltmarsh\n', "not TOML"),
    "unquoted value": (b"[pod]\nwall = 4 mm\n", "between quotes"),
    "key twice": (b'name = "a"\nname = "b"\n', "stands in this table already: take one"),
    "table twice": (b"[pod]\n[wing]\n[pod]\n", r"(?s)pod twice.*\[pod\] stands in line 1 already"),
    "row as table": (b"[[a]]\nb=1\n[a]\n", r"(?s)a twice.*\[a\] stands in line 1 already"),
    "no equals sign": (b"name\n", "not TOML"),
    "another format": (b'{"name": "saltmarsh"}', "not TOML"),
    "deep": (b"a = " + b"[" * 100_000, "not TOML|nested"),
    "long number": (b"a = " + b"9" * 10_000, "digits"),
    "bad date": (b"a = 2020-13-45\n", "not TOML"),
}


def write(folder, raw):
    file = folder / "self.toml"
    file.write_bytes(raw if isinstance(raw, bytes) else raw.encode())
    shutil.copy(CONFIGS / "curlew.dat", folder)
    return file


def all_errors(caught):
    return getattr(caught.value, "errors", (caught.value,))


@pytest.mark.parametrize("case", CHANGED)
def test_one_thing_wrong(tmp_path, case):
    old, new, key, words = CHANGED[case]
    assert old in BASE
    file = write(tmp_path, BASE.replace(old, new, 1))
    with pytest.raises(ParameterError) as caught:
        load(file)
    assert caught.value.exit_code == 2
    found = [e for e in all_errors(caught) if re.fullmatch(key, e.key)]
    assert found, str(caught.value)
    assert any(re.search(words, str(error)) for error in found), str(caught.value)
    assert all(error.file == "self.toml" and error.line for error in found)


def stays_on_its_line(row):
    old, new, _, words = row
    return (
        "\n" not in old + new
        and "=" in old
        and new
        and words not in ("missing", "neither", "walls meet")
    )


SAME_LINE = [case for case, row in CHANGED.items() if stays_on_its_line(row)]


@pytest.mark.parametrize("case", SAME_LINE)
def test_line_is_that_of_the_wrong_value(tmp_path, case):
    old, new, key, _ = CHANGED[case]
    line = BASE.count("\n", 0, BASE.index(old)) + 1
    with pytest.raises(ParameterError) as caught:
        load(write(tmp_path, BASE.replace(old, new, 1)))
    lines = [e.line for e in all_errors(caught) if re.fullmatch(key, e.key)]
    assert line in lines, (line, str(caught.value))


@pytest.mark.parametrize("case", WHOLE)
def test_whole_file_wrong(tmp_path, case):
    raw, words = WHOLE[case]
    with pytest.raises(ParameterError, match=words) as caught:
        load(write(tmp_path, raw))
    assert caught.value.exit_code == 2
    assert len(str(caught.value)) < 6000


def test_byte_order_mark_is_no_error(tmp_path):
    assert load(write(tmp_path, b"\xef\xbb\xbf" + BASE.encode())).name == "saltmarsh"


def test_windows_line_ends_are_no_error_and_lines_are_right(tmp_path):
    assert load(write(tmp_path, BASE.replace("\n", "\r\n"))).name == "saltmarsh"
    text = BASE.replace('wall = "4 mm"', 'wall = "4"').replace("\n", "\r\n")
    with pytest.raises(ParameterError) as caught:
        load(write(tmp_path, text))
    assert 'wall = "4"' in text.split("\r\n")[caught.value.line - 1]


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("none.toml", "no such file"),
        ("", "a folder"),
        ("none/none.toml", "no such file"),
        ("a\x00b.toml", "can't be read|no such file"),
        ("x" * 5000, "can't be read|no such file"),
    ],
)
def test_no_file_there(tmp_path, path, words):
    with pytest.raises(ParameterError, match=words) as caught:
        load(tmp_path / path)
    assert caught.value.exit_code == 2


def test_the_folder_one_stands_in_is_named(tmp_path, monkeypatch):
    """Broken before: of "." nothing was said."""
    monkeypatch.chdir(tmp_path)
    with pytest.raises(ParameterError, match=f"^{tmp_path.name}: a folder.*\n.*name a file in it"):
        load(".")


def test_a_pipe_is_refused_at_once(tmp_path):
    os.mkfifo(tmp_path / "pipe.toml")
    with pytest.raises(ParameterError, match="not a plain file"):
        load(tmp_path / "pipe.toml")
    with pytest.raises(ParameterError, match="not a plain file"):
        load("/dev/null")


def test_link_that_leads_nowhere(tmp_path):
    (tmp_path / "link.toml").symlink_to(tmp_path / "link.toml")
    with pytest.raises(ParameterError):
        load(tmp_path / "link.toml")


def test_all_is_reported_at_once(tmp_path):
    text = BASE.replace('wall = "4 mm"', 'wall = "4"').replace('power = "22 kW"', 'pwoer = "22 kW"')
    with pytest.raises(ParameterError) as caught:
        load(write(tmp_path, text.replace('nose = "round"', 'nose = "blunt"')))
    keys = [error.key for error in caught.value.errors]
    assert set(keys) == {"pod.wall", "powerplant.power", "powerplant.pwoer", "pod.nose"}
    lines = [error.line for error in caught.value.errors]
    assert lines == sorted(lines)
    assert "4 things to put right" in str(caught.value)


def test_no_machine_path_in_a_message(tmp_path):
    for raw in (b"", b"x", BASE.replace('"4 mm"', '"4"', 1).encode(), b"\xff\xfe"):
        with pytest.raises(ParameterError) as caught:
            load(write(tmp_path, raw))
        assert str(tmp_path) not in str(caught.value)


def test_refused_fast_and_without_heavy_libraries(tmp_path):
    file = write(tmp_path, BASE.replace('wall = "4 mm"', 'wall = "4"'))
    code = (
        "import sys\n"
        "from geomgen.parameters import load\n"
        "try: load(sys.argv[1])\n"
        "except ValueError as error: print(error.exit_code)\n"
        "print(sorted({'numpy', 'OCP', 'cadquery', 'pint', 'scipy', 'trimesh'} & set(sys.modules)))"
    )
    before = os.times()
    run = subprocess.run(
        [sys.executable, "-c", code, str(file)], capture_output=True, text=True, check=True
    )
    after = os.times()
    assert run.stdout.splitlines() == ["2", "[]"]
    assert after.children_user - before.children_user < 2.0


LINES = BASE.splitlines()
DAMAGE = ["", "x = 1", '"', "[pod]", "[[pod]]", "a.b = {}", "wall = [1]", "]", "="]


@settings(
    max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    st.lists(
        st.tuples(
            st.integers(0, len(LINES) - 1),
            st.sampled_from(
                ["", "x = 1", '"', "[pod]", "[[pod]]", "a.b = {}", "wall = [1]", "]", "="]
            ),
        ),
        min_size=1,
        max_size=4,
    )
)
def test_any_damage_is_loaded_or_refused(tmp_path, damage):
    lines = list(LINES)
    for at, text in damage:
        lines[at] = text
    try:
        load(write(tmp_path, "\n".join(lines)))
    except ParameterError:
        return


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.binary(max_size=300))
def test_any_bytes_are_refused(tmp_path, raw):
    with pytest.raises(ParameterError) as caught:
        load(write(tmp_path, raw))
    assert caught.value.exit_code == 2

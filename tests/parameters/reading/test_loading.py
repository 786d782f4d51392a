"""Aerofoil files of other folders: read, named anew, never written outside, never shown."""

import os

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import as_toml, fingerprint, load
from geomgen.workflows.building.build import write_texts

KEY = "tailplane.sections.0.aerofoil"


@pytest.fixture
def deeper(folder):
    """Return a folder whose file names an aerofoil above it, one below it, and one by a link."""
    inner = folder / "inner"
    (inner / "sub").mkdir(parents=True)
    (inner / "mine.toml").write_text('extends = "../saltmarsh.toml"\nname = "mine"\n')
    (inner / "sub" / "own.dat").write_text((folder / "curlew.dat").read_text())
    (inner / "link.dat").symlink_to(folder / "curlew.dat")
    return inner


@pytest.mark.parametrize("name", ["../curlew.dat", "sub/own.dat", "link.dat"])
def test_a_set_holds_its_aerofoils_and_writes_nothing_outside(deeper, name):
    p = load(deeper / "mine.toml", [f"{KEY}=file:{name}"])
    out = deeper / "out"
    (out / "set").mkdir(parents=True)
    write_texts(out / "set", p, [], [])
    assert os.listdir(out) == ["set"]
    assert all("/" not in file for file in p.aerofoils)
    again = load(out / "set" / "parameters.toml")
    assert again == p
    assert fingerprint(again) == fingerprint(p)
    assert as_toml(again) == as_toml(p)


def test_two_files_of_one_name_stay_apart(deeper, folder):
    points = (folder / "curlew.dat").read_text().splitlines()
    (deeper / "curlew.dat").write_text("\n".join(points[:1] + points[1::2]) + "\n")
    p = load(deeper / "mine.toml", [f"{KEY}=file:curlew.dat"])
    assert sorted(map(len, p.aerofoils.values())) == [24, 49]


@pytest.mark.parametrize("name", ["../secret.dat", "link"])
def test_what_stands_in_a_file_elsewhere_is_not_shown(deeper, folder, name):
    (folder / "secret.dat").write_text("a name\nword:word:0\n")
    (deeper / "link").symlink_to(folder / "secret.dat")
    with pytest.raises(ParameterError) as caught:
        load(deeper / "mine.toml", [f"{KEY}=file:{name}"])
    assert "not a pair of numbers" in str(caught.value)
    assert "word" not in str(caught.value)
    (deeper / "own.dat").write_text("a name\nword:word:0\n")
    with pytest.raises(ParameterError, match="word:word:0"):
        load(deeper / "mine.toml", [f"{KEY}=file:own.dat"])


def test_pipes_devices_and_huge_files_are_refused(deeper):
    os.mkfifo(deeper / "pipe.dat")
    (deeper / "zero.dat").symlink_to("/dev/zero")
    (deeper / "huge.dat").write_bytes(b"0 0\n" * 100_000)
    for name, words in (
        ("pipe.dat", "not a plain file"),
        ("zero.dat", "not a plain file"),
        ("huge.dat", "too big"),
        ("/etc/hostname", "beside the parameter file"),
    ):
        with pytest.raises(ParameterError, match=words):
            load(deeper / "mine.toml", [f"{KEY}=file:{name}"])


BARE = ("engine", "spinner", "gear", "exit", "tailplane", "fins", "pylon", "scoops", "handoff")
WEIGHTS = ("mass", "items", "tanks", "loads")


def test_all_that_may_be_left_out_may_be_left_out(folder):
    """Checks that are due say why they can't be had; none of them stops the rest."""
    import tomllib

    from geomgen.parameters.editing.writing import toml_of
    from geomgen.sizing.targets import targets
    from geomgen.verdicts.judge import judge

    tables = tomllib.loads((folder / "saltmarsh.toml").read_text())
    for table in (*BARE, *WEIGHTS, "joints"):
        del tables[table]
    (folder / "bare.toml").write_text(toml_of(tables))
    p = load(folder / "bare.toml")
    assert p.scoops == ()
    checks = {check.id: check for check in judge([], targets(p))}
    for id_, words in (
        ("inlet.area", "no [[scoops]]"),
        ("exit.to_inlet_ratio", "no [[scoops]]"),
        ("engine.clearance", "no [engine]"),
        ("prop.ground_clearance.static", "no [gear]"),
    ):
        assert checks[id_].verdict == "not_measured"
        assert words in checks[id_].note
        assert not checks[id_].stops
    assert not any(id_.startswith(("duct.", "inlet.area.")) for id_ in checks)


def test_with_scoops_an_inlet_that_is_not_measured_stops(saltmarsh):
    from geomgen.sizing.targets import targets
    from geomgen.verdicts.judge import judge

    checks = {check.id: check for check in judge([], targets(saltmarsh()))}
    assert checks["inlet.area"].stops
    assert checks["exit.to_inlet_ratio"].stops

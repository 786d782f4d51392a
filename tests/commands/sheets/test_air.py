"""`geomgen air`: the sheet, JSON, exit codes, a file without [air]."""

import json
from pathlib import Path
from types import SimpleNamespace

import pytest
from aired_machines import measured

from geomgen import cli
from geomgen.balance.judged import checks_of
from geomgen.regeneration import regenerating

CONFIGS = Path(__file__).parents[3] / "configs"
FILE = str(CONFIGS / "saltmarsh.toml")


@pytest.fixture
def made(monkeypatch):
    """Stand in for solids and their survey."""

    def regenerate(p, store, progress):
        # No body was measured for its mass.
        bare = p.model_copy(update={"mass": (), "items": ()})
        return SimpleNamespace(measured=measured(), checks=checks_of(bare, measured()))

    monkeypatch.setattr(regenerating, "regenerate", regenerate)


def test_the_command_answers_in_json(made, capsys):
    code = cli.main(["air", FILE, "--json"])
    values = json.loads(capsys.readouterr().out)
    assert code == values["exit_code"] == int(any(c["verdict"] == "fail" for c in values["checks"]))
    assert [state["name"] for state in values["states"]] == ["climb", "level", "glide", "standing"]
    assert values["neutral"]["estimated"] is None
    assert values["caution"]


def test_the_command_shows_the_sheet(made, capsys):
    cli.main(["air", FILE, "--set", "air.leakage=0.05"])
    assert "Air about the machine: Saltmarsh" in capsys.readouterr().out


def test_a_file_without_air_is_refused_before_anything_is_built(tmp_path, capsys):
    text = (CONFIGS / "saltmarsh.toml").read_text()
    start = text.index("[air]")
    bare = tmp_path / "bare.toml"
    bare.write_text(text[:start] + text[text.index("[powerplant]") :])
    for point in CONFIGS.glob("*.dat"):
        (tmp_path / point.name).write_bytes(point.read_bytes())
    assert cli.main(["air", str(bare)]) == 2
    told = capsys.readouterr()
    assert "nothing says which states of flight" in told.err
    assert 'mass = "265 kg"' in told.err


@pytest.mark.parametrize(("allowed", "code"), [("30 K", 1), ("200 K", 0)])
def test_a_rise_far_beyond_the_allowed_fails(made, capsys, allowed, code):
    """The fins' drop is at the flow that the allowed rise asks for, so it is set with it."""
    assert cli.main(["air", FILE, "--quiet", "--set", f"cooling.air_rise={allowed}"]) == code
    assert ("FAIL" in capsys.readouterr().out) == bool(code)


@pytest.mark.parametrize("wrong", ["air.mass=5 kg", "air.mass=265", "air.thrust=300 N"])
def test_a_wrong_value_is_refused(capsys, wrong):
    assert cli.main(["air", FILE, "--set", wrong]) == 2
    assert "air." in capsys.readouterr().err

"""`geomgen solve` on the command line: exit codes, lines, JSON. Nothing is built here."""

import argparse
import json
from pathlib import Path
from types import SimpleNamespace

import pytest

from geomgen.commands import solve
from geomgen.errors import ParameterError
from geomgen.terminal.arguments import Parser, shared_options

SALTMARSH = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"
HEIGHT = "scoops.cheek.height=31mm:90mm"


def args_of(*texts: str) -> argparse.Namespace:
    parser = Parser(prog="geomgen solve", formatter_class=argparse.RawDescriptionHelpFormatter)
    solve.add(parser)
    shared_options(parser)
    return parser.parse_args([str(SALTMARSH), *texts])


@pytest.fixture
def plain(monkeypatch):
    """Let a formula stand for what builds and measures."""
    from geomgen.measurements.record import Measurement
    from geomgen.regeneration import first, regenerating
    from geomgen.sizing.targets import targets
    from geomgen.verdicts.first import FirstCheck
    from geomgen.verdicts.judge import judge

    def regenerate(p, store=None):
        area = 2 * p.scoops[0].width * p.scoops[0].height
        row = Measurement("inlet.area", "inlets", "", area, "mm2", "w h", 1.0)
        due = [target for target in targets(p) if target.id == "inlet.area"]
        return SimpleNamespace(checks=tuple(judge([row], due)))

    def first_answers(p, store=None):
        looked.append(p)
        checks = regenerate(p).checks
        return SimpleNamespace(checks=tuple(FirstCheck(c, final=True) for c in checks), why="")

    looked: list[object] = []
    monkeypatch.setattr(regenerating, "regenerate", regenerate)
    monkeypatch.setattr(first, "first_answers", first_answers)
    return looked


def test_an_answer_and_its_lines(plain, tmp_path, capsys) -> None:
    args = args_of("--free", HEIGHT, "--until", "inlet.area=180 cm^2", "--out", str(tmp_path))
    assert solve.run(args) == 0
    out, err = capsys.readouterr()
    assert out.startswith(
        "scoops.cheek.height 52.9 mm meets inlet.area=180 cm^2 (measured 179.9 cm^2, tolerance "
    )
    assert err.splitlines()[0].startswith("  1  scoops.cheek.height 56 mm: inlet.area 190.4 cm^2")
    assert (tmp_path / "saltmarsh-solved.toml").is_file()


def test_json_is_one_document_and_quiet(plain, tmp_path, capsys) -> None:
    args = args_of(
        "--free", HEIGHT, "--until", "inlet.area=900 cm^2", "--out", str(tmp_path), "--json"
    )
    assert solve.run(args) == 1
    out, err = capsys.readouterr()
    answer = json.loads(out)
    assert (answer["status"], answer["file"], answer["exit_code"], err) == ("not met", None, 1, "")


@pytest.mark.parametrize("exact", [[], ["--exact"]])
def test_first_answers_on_the_way_unless_all_is_to_be_exact(plain, tmp_path, capsys, exact) -> None:
    asked = ("--free", HEIGHT, "--until", "inlet.area=180 cm^2", "--out", str(tmp_path))
    assert solve.run(args_of(*asked, "--json", *exact)) == 0
    states = json.loads(capsys.readouterr().out)["measured_states"]
    assert len(plain) == (0 if exact else 3)
    assert sum(not state["exact"] for state in states) == (0 if exact else 2)
    assert states[-1]["exact"]
    (file,) = tmp_path.glob("*.toml")
    first = "; 2 of 6 states on the way by first answers"
    assert f"# All figures of this answer are exact{'' if exact else first}.\n" in file.read_text()


def test_quiet_shows_the_answer_only(plain, tmp_path, capsys) -> None:
    args = args_of(
        "--free", HEIGHT, "--until", "inlet.area=180 cm^2", "--out", str(tmp_path), "--quiet"
    )
    solve.run(args)
    out, err = capsys.readouterr()
    assert "FREED" not in out
    assert err == ""


def test_nothing_that_can_be_built_is_exit_code_1(tmp_path, monkeypatch, capsys) -> None:
    from geomgen.errors import GeometryError
    from geomgen.regeneration import first, regenerating

    def never(p, store=None):
        raise GeometryError("the walls meet", part="pod")

    monkeypatch.setattr(regenerating, "regenerate", never)
    monkeypatch.setattr(first, "first_answers", never)
    args = args_of("--free", HEIGHT, "--until", "inlet.area=target", "--out", str(tmp_path))
    assert solve.run(args) == 1
    out, _ = capsys.readouterr()
    assert "nothing within the bounds can be built" in out
    assert "the walls meet" in " ".join(out.split())


def test_steps_that_are_too_coarse_are_exit_code_1_with_the_nearest(
    plain, tmp_path, capsys
) -> None:
    args = args_of(
        "--free", HEIGHT, "--until", "inlet.area=180 cm^2", "--to", "20 mm", "--out", str(tmp_path)
    )
    assert solve.run(args) == 1
    out, _ = capsys.readouterr()
    said = " ".join(out.split())
    assert "the step of 20 mm is too coarse for inlet.area=180 cm^2 (--to); nearest: " in said
    assert list(tmp_path.iterdir()) == []


def test_refused_with_exit_code_2(tmp_path) -> None:
    args = args_of("--free", HEIGHT, "--until", "inlet.aera=target", "--out", str(tmp_path))
    with pytest.raises(ParameterError) as caught:
        solve.run(args)
    assert caught.value.exit_code == 2
    assert "inlet.area" in str(caught.value)

"""Exit codes, streams and wording of the command line; the stages behind it are stood in for."""

import json
import os
import subprocess
import sys
import tomllib
from importlib import metadata
from pathlib import Path
from types import ModuleType, SimpleNamespace

import pytest
from few_cases import few
from started import forked_only

import geomgen
from geomgen import cli
from geomgen.errors import FileWriteError, GeometryError, ParameterError
from geomgen.measurements.record import Measurement
from geomgen.sizing.target import Target
from geomgen.terminal import console
from geomgen.verdicts.judge import judge

ROOT = Path(__file__).parents[1]
CONFIG = ROOT / "configs" / "saltmarsh.toml"
RADIAL = Target(
    "prop.radial_clearance", "blade tips to structure", "at least", "mm", low=25.4, source="14 CFR"
)
INLET = Target(
    "inlet.area",
    "area of all mouths",
    "at least",
    "mm2",
    low=20000.0,
    band=(18000.0, 22000.0),
    formula="inlet [ft^2] = bhp / (2.2 V)",
    inputs=(("shaft power", "40.00 bhp"),),
    source="common practice",
    notices=("UNITS: the climb speed is written as 50 kt",),
)


def gap(value, **more):
    points = ((2900.0, 651.2, 120.0), (2900.0, 680.0, 118.5))
    return Measurement(
        RADIAL.id, "prop_disc", "tips to boom", value, "mm", "exact distance",
        error_bound=0.01, where="boom_right, STA 2900", points=points, **more,
    )  # fmt: skip


def outcome(*measurements, targets=(RADIAL,), unchanged=False):
    return SimpleNamespace(
        checks=judge(measurements, targets),
        targets=targets,
        folder=Path("out/demo"),
        seconds=1.25,
        unchanged=unchanged,
    )


@pytest.fixture
def pipeline(monkeypatch):
    fake = ModuleType("geomgen.workflows")
    fake.calls = []

    def run(path, overrides, out, progress, store):
        progress("pod")
        fake.calls.append((path, list(overrides), out))
        if isinstance(fake.answer, BaseException):
            raise fake.answer
        return fake.answer

    def size(path, overrides):
        fake.calls.append((path, list(overrides)))
        if isinstance(fake.answer, BaseException):
            raise fake.answer
        return fake.answer

    fake.build = fake.check = run
    fake.size = size
    fake.schema = lambda: {"type": "object"}
    fake.answer = outcome(gap(31.0))
    monkeypatch.setitem(sys.modules, "geomgen.workflows", fake)
    monkeypatch.setattr(geomgen, "workflows", fake, raising=False)
    return fake


def run(*arguments, **more):
    return subprocess.run(
        [sys.executable, *arguments], capture_output=True, text=True, cwd=ROOT, timeout=60, **more
    )


@pytest.mark.parametrize(
    ("measurements", "code", "word"),
    [
        ((gap(31.0),), 0, "PASS"),
        ((gap(25.405),), 0, "warn"),
        ((gap(12.0),), 1, "FAIL"),
        ((gap(None),), 1, "not measured"),
        ((), 1, "not measured"),
    ],
)
def test_exit_code_follows_the_verdicts(pipeline, capsys, measurements, code, word):
    pipeline.answer = outcome(*measurements)
    assert cli.main(["check", "demo.toml"]) == code
    out, err = capsys.readouterr()
    assert word in out
    assert err == ""


def test_left_out_table_alone_does_not_fail(pipeline, capsys):
    soft = Target("a", "ground", "at least", "mm", low=1.0, severity="warn")
    pipeline.answer = outcome(gap(31.0), targets=(RADIAL, soft))
    assert cli.main(["check", "demo.toml"]) == 0
    assert "1 PASS, 1 not measured" in capsys.readouterr().out


def test_no_checks_at_all_is_not_a_pass(pipeline):
    pipeline.answer = outcome(targets=())
    assert cli.main(["check", "demo.toml", "--quiet"]) == 1


def test_arguments_reach_the_pipeline(pipeline):
    cli.main(["build", "demo.toml", "--set", "a.b=1 mm", "--set", "c=2 mm", "--out", "there"])
    assert pipeline.calls == [("demo.toml", ["a.b=1 mm", "c=2 mm"], "there")]


def test_build_says_where_and_how_long(pipeline, capsys):
    assert cli.main(["build", "demo.toml"]) == 0
    assert "written to out/demo in 1.2 s" in capsys.readouterr().out
    pipeline.answer = outcome(gap(12.0), unchanged=True)
    assert cli.main(["build", "demo.toml"]) == 0
    said = capsys.readouterr().out
    assert "unchanged, kept as it was proved: out/demo" in said
    assert "FAIL" in said


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (ParameterError("no unit", file="demo.toml", key="pod.wall", line=3, written="3"), 2),
        (GeometryError("the walls meet", part="pod", look_at=["pod.wall"]), 3),
        (FileWriteError("disk full", path="pod.stl"), 4),
        (PermissionError(13, "Permission denied", "out"), 4),
        (ZeroDivisionError("division by zero"), 3),
        (KeyboardInterrupt(), 130),
    ],
)
@pytest.mark.parametrize("command", ["build", "check", "size"])
def test_errors_have_their_codes_and_no_traceback(pipeline, capsys, command, error, code):
    pipeline.answer = error
    assert cli.main([command, "demo.toml"]) == code
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("geomgen: ")
    assert "Traceback" not in err


@pytest.mark.parametrize(
    ("error", "code", "kind"),
    [
        (ParameterError("no unit", key="pod.wall"), 2, "parameter"),
        (GeometryError("the walls meet", part="pod"), 3, "geometry"),
        (FileWriteError("disk full"), 4, "file"),
        (ValueError("odd"), 3, "fault"),
        (KeyboardInterrupt(), 130, "stopped"),
    ],
)
def test_errors_as_json(pipeline, capsys, error, code, kind):
    pipeline.answer = error
    assert cli.main(["check", "demo.toml", "--json"]) == code
    out, err = capsys.readouterr()
    answer = json.loads(out)
    assert (answer["error"]["error"], answer["exit_code"]) == (kind, code)
    assert err == ""


def test_fault_is_owned_and_traced_only_on_request(pipeline, capsys):
    pipeline.answer = RuntimeError("odd")
    cli.main(["check", "demo.toml"])
    err = capsys.readouterr().err
    assert "a fault inside geomgen, not in your file" in err
    assert "send the parameter file" in err
    cli.main(["check", "demo.toml", "--debug"])
    assert "Traceback" in capsys.readouterr().err


def test_checks_as_json(pipeline, capsys):
    pipeline.answer = outcome(gap(12.0))
    # A build that wrote its files is a success, whatever the verdicts say.
    assert cli.main(["build", "demo.toml", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    (check,) = answer["checks"]
    assert (check["id"], check["verdict"]) == (RADIAL.id, "fail")
    assert check["target"] == {"text": "at least 25.40 mm", "low": 25.4, "high": None}
    assert check["margin"] == pytest.approx(-13.4)
    assert answer["counts"]["fail"] == 1
    assert answer["folder"] == "out/demo"
    assert "not an airworthiness approval" in answer["caution"]


def test_table_reads_well(pipeline, capsys):
    pipeline.answer = outcome(gap(12.0))
    cli.main(["check", "demo.toml"])
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].split() == ["CHECK", "MEASURED", "TARGET", "MARGIN", "VERDICT"]
    assert "12.00 mm" in lines[1]
    assert "at least 25.40 mm" in lines[1]
    assert "-13.40 mm" in lines[1]
    assert lines[1].endswith("FAIL")
    assert "    where: boom_right, STA 2900" in lines
    assert "    points: (2900.0, 651.2, 120.0) to (2900.0, 680.0, 118.5) mm" in lines
    assert "not an airworthiness approval" in lines[-1]
    assert all(len(line) <= 100 for line in lines)
    assert "\x1b" not in "".join(lines)


@pytest.mark.parametrize("width", [80, 100])
def test_table_keeps_its_width(width):
    long = Target("prop.ground_clearance.flat_tyre.main_wheel", "x", "between", "mm2", 1e4, 1.2e4)
    words = Target(
        "m", "x", "one of", "", written_word="steel, " * 9, allowed_words=("brass",) * 30
    )
    rows = [gap(12.0, note="word " * 60), Measurement(long.id, "p", "x", 1.1e4, "mm2", "cut")]
    lines = console.check_table(judge(rows, [RADIAL, long, words]), width=width)
    assert max(len(text) for text, _ in lines) <= width


@pytest.mark.parametrize("width", [80, 100])
def test_a_file_in_inches_has_its_table_in_inches_with_millimetres_beside(width):
    table = console.check_table(judge([gap(12.7)], [RADIAL]), width=width, inches=True)
    lines = [text for text, _ in table]
    row = next(line for line in lines if line.startswith(RADIAL.id))
    low = RADIAL.low / 25.4
    assert f"0.500 in  at least {low:.3f} in" in row
    assert f"{0.5 - low:+.3f} in" in row
    beside = next(line for line in lines if "metric: " in line)
    assert f"12.70 mm, at least {RADIAL.low:.2f} mm, margin" in beside
    points = next(line for line in lines if "points: " in line)
    assert "(114.17, 25.64, 4.72) to (114.17, 26.77, 4.67) in" in points
    assert max(map(len, lines)) <= width


def test_a_file_in_inches_has_the_lengths_of_notes_and_notices_in_inches_too():
    """Else a builder reads an axle 95.2 mm higher beside a clearance of -0.926 in."""
    checks = judge([gap(12.7, note="axle 95.25 mm higher")], [RADIAL])
    notice = "pod: not fair, stations 635 to 1168.4 mm"
    text = " ".join(line for line, _ in console.check_table(checks, [notice], inches=True))
    assert "axle 3.75 in higher" in text
    assert "stations 25 to 46 in" in text
    assert "635" in " ".join(line for line, _ in console.check_table(checks, [notice]))


def test_the_command_shows_inches_for_a_file_in_inches_and_json_stays_in_mm(pipeline, capsys):
    pipeline.answer = outcome(gap(12.7))
    pipeline.answer.inches = True
    cli.main(["check", "demo.toml"])
    assert "0.500 in" in capsys.readouterr().out
    cli.main(["check", "demo.toml", "--json"])
    out = capsys.readouterr().out
    assert '"measured": 12.7' in out
    assert '"unit": "mm"' in out


def test_quiet_leaves_out_what_passed(pipeline, capsys):
    other = Measurement("other", "pod", "x", 1.0, "mm", "cut")
    pipeline.answer = outcome(gap(31.0), other)
    cli.main(["check", "demo.toml", "--quiet"])
    out = capsys.readouterr().out
    assert RADIAL.id not in out
    assert "other" in out


def test_size_shows_formula_inputs_both_units_band_and_source(pipeline, capsys):
    pipeline.answer = (INLET,)
    assert cli.main(["size", "demo.toml"]) == 0
    out = capsys.readouterr().out
    for text in (
        "at least 31.00 in^2 / 200.0 cm^2",
        "27.90 in^2 / 180.0 cm^2  to  34.10 in^2 / 220.0 cm^2",
        "inlet [ft^2] = bhp / (2.2 V)",
        "shaft power 40.00 bhp",
        "common practice",
        "NOTICE  UNITS: the climb speed is written as 50 kt",
    ):
        assert text in out
    assert out.index("NOTICE") > out.index("common practice")


def test_size_as_json(pipeline, capsys):
    pipeline.answer = (INLET,)
    cli.main(["size", "demo.toml", "--json"])
    (target,) = json.loads(capsys.readouterr().out)["targets"]
    assert (target["low"], target["unit"]) == (20000.0, "mm2")


def test_schema_is_json(pipeline, capsys):
    assert cli.main(["schema"]) == 0
    assert json.loads(capsys.readouterr().out) == {"type": "object"}


@pytest.mark.parametrize("arguments", [[], ["fly"], ["check"], ["check", "a", "--js"]])
def test_bad_command_line_is_refused(capsys, arguments):
    assert cli.main(arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "--help" in err


def test_bad_command_line_as_json(capsys):
    assert cli.main(["check", "--json"]) == 2
    answer = json.loads(capsys.readouterr().out)
    assert answer["exit_code"] == 2


def test_version_and_help(capsys):
    assert cli.main(["--version"]) == 0
    stated = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["version"]
    assert capsys.readouterr().out == f"geomgen {stated}\n"
    assert geomgen.__version__ == stated
    assert cli.main(["--help"]) == 0
    out = capsys.readouterr().out
    assert "exit codes:" in out
    assert "not an airworthiness approval" in out


def test_without_a_package_there_is_no_version(monkeypatch, capsys):
    def absent(name):
        raise metadata.PackageNotFoundError(name)

    monkeypatch.setattr(metadata, "version", absent)
    assert not hasattr(geomgen, "__version__")
    assert cli.main(["--version"]) == 0
    assert "not installed as a package" in capsys.readouterr().out


def test_colour_only_for_a_terminal_that_wants_it(monkeypatch):
    terminal = SimpleNamespace(isatty=lambda: True)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert console.wants_colour(terminal)
    monkeypatch.setenv("NO_COLOR", "1")
    assert not console.wants_colour(terminal)
    monkeypatch.delenv("NO_COLOR")
    assert not console.wants_colour(SimpleNamespace(isatty=lambda: False))


def test_progress_is_silent_without_a_terminal(pipeline, capsys):
    cli.main(["check", "demo.toml"])
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("argument", ["--help", "--version"])
def test_reader_that_leaves_gets_no_complaint(argument):
    """A pipe whose other end is closed before anything is written."""
    reading, writing = os.pipe()
    os.close(reading)
    command = [sys.executable, "-m", "geomgen.cli", argument]
    done = subprocess.run(
        command, stdout=writing, stderr=subprocess.PIPE, text=True, cwd=ROOT, timeout=60
    )
    os.close(writing)
    assert done.returncode in (0, 141)
    assert done.stderr == ""


def test_help_answers_at_once():
    """Nothing heavy is loaded: 0.1 s of processor time; benchmarks have the figure."""
    before = os.times()
    assert run("-m", "geomgen.cli", "--help").returncode == 0
    after = os.times()
    assert after.children_user + after.children_system < (
        1.0 + before.children_user + before.children_system
    )


PROBE = """
import sys
from geomgen.cli import main
code = main(sys.argv[1:])
heavy = {"OCP", "cadquery", "trimesh", "manifold3d", "scipy", "numpy"} & set(sys.modules)
sys.stderr.write(f"code {code} heavy {sorted(heavy)}")
"""


@pytest.mark.parametrize(
    ("arguments", "code"),
    few(
        [
            (["--help"], 0),
            (["size", str(CONFIG)], 0),
            (["schema"], 0),
            (["build", str(CONFIG), "--set", "pod.wall=3"], 2),
            (["check", "no/such/file.toml"], 2),
            (["report", str(CONFIG), "--set", "drawings.sheet=A9"], 2),
            (["compare", str(CONFIG), "no/such/file.toml"], 2),
        ],
        0,
        1,
        3,
        5,
        rows=True,
    ),
)
def test_kernel_is_not_loaded_where_no_solid_is_made(arguments, code):
    done = run("-c", PROBE, *arguments)
    assert done.stderr.endswith(f"code {code} heavy []"), done.stderr
    assert "Traceback" not in done.stderr


@forked_only
@pytest.mark.parametrize("inside", ["step", "places", pytest.param("mesh", marks=pytest.mark.long)])
def test_a_fault_inside_is_told_in_words(inside, tmp_path, monkeypatch, capsys):
    """Raised in a forked process: no frame, no path, no class in brackets, exit code 3."""
    from geomgen.regeneration.worker_jobs import RegenerationWorker

    def faulty(*_):
        raise ZeroDivisionError("float division by zero")

    if inside == "step":
        monkeypatch.setattr("geomgen.shapes.scoop.passages", faulty)
    else:
        monkeypatch.setattr(RegenerationWorker, f"do_{inside}", faulty)
    example = Path(__file__).parents[1] / "configs" / "saltmarsh.toml"
    words = ["check", str(example), "--out", str(tmp_path / "out"), "--afresh"]
    assert cli.main([*words, "--json"]) == 3
    out, err = capsys.readouterr()
    error = json.loads(out)["error"]
    assert (error["error"], err) == ("fault", "")
    assert error["part"]
    assert "send the parameter file" in error["advice"]
    for sign in ("Traceback", ".py", "<", "geomgen.", "/"):
        assert sign not in out
    if inside == "step":
        assert (error["part"], error["step"]) == ("passage 0", "passages")
        assert cli.main([*words, "--quiet", "--debug"]) == 3
        assert "in faulty" in capsys.readouterr().err


def test_who_asked_for_json_once_gets_words_the_next_time(capsys) -> None:
    assert cli.main(["check", "missing.toml", "--json"]) == 2
    assert json.loads(capsys.readouterr().out)
    with pytest.raises(SystemExit):
        cli.parser().parse_args(["chek"])
    assert "invalid choice" in capsys.readouterr().err

import tomllib
from pathlib import Path

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.starting import examples as module
from geomgen.starting.examples import copied, examples, folder

CONFIGS = Path(__file__).parents[2] / "configs"


def test_all_examples_of_the_clone_are_listed() -> None:
    assert {example.name for example in examples()} == {p.stem for p in CONFIGS.glob("*.toml")}
    for example in examples():
        assert example.words
        assert (
            example.title == tomllib.loads((CONFIGS / f"{example.name}.toml").read_text())["title"]
        )


@pytest.mark.parametrize("name", ["saltmarsh", "framed", "hayfield", "tight"])
def test_a_copy_loads_and_is_the_example_but_for_its_name(name, tmp_path) -> None:
    text, beside = copied(name, "mine", "Mine")
    (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
    for file, data in beside.items():
        (tmp_path / file).write_bytes(data)
    mine, own = load(tmp_path / "mine.toml"), load(CONFIGS / f"{name}.toml")
    assert mine.plain() == own.plain() | {"name": "mine", "title": "Mine"}
    assert mine.aerofoils == own.aerofoils
    comments = [line.partition("#")[2] for line in text.splitlines()]
    assert comments == [
        line.partition("#")[2] for line in (CONFIGS / f"{name}.toml").read_text().splitlines()
    ]


def test_files_that_an_example_reads_go_with_it() -> None:
    assert list(copied("tight", "mine", None)[1]) == ["curlew.dat", "saltmarsh.toml"]
    assert list(copied("hayfield", "mine", None)[1]) == []


@pytest.mark.parametrize("name", ["hayfild", "", "../configs/saltmarsh", "/etc/passwd", "x" * 500])
def test_an_unknown_example_is_refused_with_those_that_there_are(name) -> None:
    with pytest.raises(ParameterError, match="framed, hayfield, saltmarsh, tight"):
        copied(name, "mine", None)


def test_the_package_s_own_come_first_and_none_is_said(monkeypatch, tmp_path) -> None:
    packaged = tmp_path / "examples"
    packaged.mkdir()
    (packaged / "one.toml").write_text('title = "One"\n')
    monkeypatch.setattr(module, "PLACES", (packaged, CONFIGS))
    assert folder() == packaged
    monkeypatch.setattr(module, "PLACES", (tmp_path / "none",))
    with pytest.raises(ParameterError, match="no examples were installed"):
        examples()

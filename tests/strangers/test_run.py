"""A slice goes on where it was stopped."""

import pytest
from strangers import run as running
from strangers.outcome import Outcome, read


@pytest.fixture
def calls(monkeypatch):
    made = []

    def tried(grade, seed, text, stage, cpu):
        made.append(seed)
        word = "built" if seed % 2 else "refused"
        program = running.mark_of_program()
        return Outcome(grade, seed, stage, running.mark_of(text), program, word, "it bulges")

    monkeypatch.setattr(running, "tried", tried)
    monkeypatch.setattr(running, "aircraft", lambda grade, seed: f"{grade} {seed}")
    return made


def done(record, seeds, **more):
    return [row.seed for row in running.run("fair", seeds, record, "solids", **more)]


def test_known_ones_are_not_tried_again(calls, tmp_path):
    record = tmp_path / "r.jsonl"
    assert done(record, range(3)) == [0, 1, 2]
    assert done(record, range(1, 5)) == [1, 2, 3, 4]
    assert calls == [0, 1, 2, 3, 4]
    assert len(list(read(record))) == 5


def test_another_text_is_tried_again(calls, tmp_path, monkeypatch):
    record = tmp_path / "r.jsonl"
    done(record, range(2))
    monkeypatch.setattr(running, "aircraft", lambda grade, seed: "drawn otherwise")
    done(record, range(2))
    assert calls == [0, 1, 0, 1]


def test_what_failed_is_tried_again_when_the_code_changed(calls, tmp_path, monkeypatch):
    record = tmp_path / "r.jsonl"
    done(record, range(4))
    done(record, range(4), again=True)
    monkeypatch.setattr(running, "mark_of_program", lambda: "mended")
    done(record, range(4), again=True)
    assert calls == [0, 1, 2, 3, 0, 2]


def test_the_command_tells_shares_and_reasons(calls, tmp_path, capsys):
    assert running.main(["fair", "0:3", "--record", str(tmp_path / "r"), "--stage", "solids"]) == 0
    told = capsys.readouterr().out
    assert "1 built, 2 refused, of 3" in told
    assert "2 refused: it bulges  [0 2]" in told
    assert "| fair | 0 to 2 (3) | solids | 33.3 % |" in told


def test_the_command_prints_a_file(capsys, monkeypatch):
    assert running.main(["wide", "7", "--text"]) == 0
    assert 'name = "wide-7"' in capsys.readouterr().out

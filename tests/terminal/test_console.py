"""What a terminal shows."""

from pathlib import Path

import pytest

from geomgen.measurements.record import Measurement
from geomgen.sizing.target import Target
from geomgen.terminal.console import closing, verify_end
from geomgen.verdicts.judge import judge
from geomgen.workflows.comparing.verify import VerifyResult


def test_what_stops_is_named_at_the_end() -> None:
    rows = [Measurement(f"gap.{k}", "pod", "", 1.0, "mm", "") for k in range(8)]
    limits = [Target(m.id, "", "at least", "mm", low=2.0) for m in rows]
    told = [words.text for words in closing(judge(rows, limits))]
    assert told[1] == "not passed: gap.0, gap.1, gap.2, gap.3, gap.4, gap.5 and 2 more"
    passed = closing(judge(rows[:1], [Target("gap.0", "", "at least", "mm", low=0.5)]))
    assert len(passed) == 2


@pytest.mark.parametrize(
    ("astray", "said"),
    [
        ((), "The set itself is intact: every file of out/mine has the hash"),
        (("pod_mm.stl: it is missing",), "not intact: 1 file is missing, changed or unknown"),
        (("a: it is missing", "b: the manifest does not know it"), "not intact: 2 files are"),
    ],
)
def test_verify_ends_with_whether_the_files_are_those_that_were_made(astray, said) -> None:
    every = (*astray, "mine.toml: as the file stands, it is not what the set was made from")
    end = verify_end(VerifyResult(Path("out/mine"), every, (), 0.0, astray=astray), 400)
    assert said in end[-1][0]
    assert not any("belongs to it" in text for text, _ in end)


def test_a_set_that_belongs_is_said_to() -> None:
    ((last, _),) = verify_end(VerifyResult(Path("out/mine"), (), (), 0.0))
    assert last == "every file of out/mine belongs to it"

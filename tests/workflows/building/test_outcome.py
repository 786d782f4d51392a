"""The outcome read back from a set is the outcome that was written."""

import json

import pytest

from geomgen.errors import FileWriteError
from geomgen.verdicts.check import Check, Limits
from geomgen.workflows.building.outcome import read_checks

CHECK = Check(
    "gap", "pod", "what", 30.0, "mm", Limits("at least 25 mm", 25.0), "at least", 5.0, "pass",
    points=((1.0, 2.0, 3.0), (4.0, 5.0, 6.0)), error_bound=0.1, binding=False,
)  # fmt: skip


def test_round_trip(tmp_path):
    (tmp_path / "checks.json").write_text(json.dumps({"checks": [CHECK.as_dict()]}))
    assert read_checks(tmp_path) == (CHECK,)


@pytest.mark.parametrize("text", ["", "{}", '{"checks": [{}]}', '{"checks": [3]}', "[1]"])
def test_what_is_no_outcome_is_told(tmp_path, text):
    (tmp_path / "checks.json").write_text(text)
    with pytest.raises(FileWriteError, match="build the set again"):
        read_checks(tmp_path)

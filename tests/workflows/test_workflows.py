"""The functions of the commands by their names, each imported when it is asked for."""

import subprocess
import sys

import pytest

from geomgen import workflows


def test_each_name_that_is_shown_is_there():
    for name in workflows.__all__:
        assert getattr(workflows, name).__name__ == name
    with pytest.raises(AttributeError, match="no 'fly'"):
        _ = workflows.fly


def test_first_answers_wait_for_no_other_command():
    asked = "import sys, geomgen.workflows.building.quick; print(*sys.modules)"
    command = [sys.executable, "-c", asked]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
    others = ("comparing", "handing_off", "reporting")
    assert "geomgen.workflows.building.quick" in loaded
    assert not [
        name
        for name in loaded
        if name.startswith("geomgen.workflows.") and name.split(".")[2] in others
    ]

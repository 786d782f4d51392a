"""Joints that can't be made are refused before anything is built."""

from pathlib import Path

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import load

SALTMARSH = Path(__file__).parents[3] / "configs" / "saltmarsh.toml"


@pytest.mark.parametrize("part", ["firewall", "exit"])
def test_what_is_fitted_to_the_pod_by_itself_takes_no_joint(part):
    with pytest.raises(ParameterError) as caught:
        load(SALTMARSH, [f'joints.1={{trim = "{part}", to = "pod"}}'])
    assert caught.value.key == "joints.1"
    assert f"{part}.gap" in str(caught.value)
    assert "leave this joint out" in str(caught.value)


@pytest.mark.parametrize(
    ("written", "key", "words"),
    [
        ("joints.0.to=wing", "joints.0.to", "not trimmed to itself"),
        ("joints.1.trim=wing", "joints.1", "joined already"),
    ],
)
def test_what_names_no_pair_is_refused(written, key, words):
    with pytest.raises(ParameterError, match=words) as caught:
        load(SALTMARSH, [written])
    assert caught.value.key == key

"""The shipped examples do what their first lines promise."""

from pathlib import Path

import pytest

from geomgen.pipeline import check

CONFIGS = Path(__file__).parents[1] / "configs"


@pytest.mark.long
def test_hayfield_passes(tmp_path) -> None:
    result = check(CONFIGS / "hayfield.toml", out=tmp_path)
    assert [c.id for c in result.checks if c.verdict in ("fail", "not_measured")] == []
    assert result.passed


@pytest.mark.long
def test_tight_fails_where_it_says(tmp_path) -> None:
    result = check(CONFIGS / "tight.toml", out=tmp_path)
    failed = {c.id for c in result.checks if c.verdict == "fail"}
    assert {"prop.radial_clearance", "inlet.area", "firewall.material"} <= failed
    assert not result.passed

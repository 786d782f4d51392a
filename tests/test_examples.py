"""The shipped examples do what their first lines promise."""

from html import unescape
from pathlib import Path

import pytest

from geomgen.pages.verdict_words import sentence
from geomgen.workflows import report

CONFIGS = Path(__file__).parents[1] / "configs"


def drawn(result) -> None:
    """Every kind of drawing, picture and model is there, and the page shows the outcome."""
    for name in ("drawings/three_view.pdf", "drawings/engine_bay.pdf", "pictures/engine_bay.png"):
        assert name in result.files
    text = result.page.read_text("utf-8")
    assert all(f'id="check-{check.id}"' in text for check in result.checks)
    assert sentence(result.checks) in unescape(text)


@pytest.mark.long
def test_hayfield_passes(tmp_path) -> None:
    result = report(CONFIGS / "hayfield.toml", out=tmp_path)
    assert [c.id for c in result.checks if c.verdict in ("fail", "not_measured")] == []
    assert result.passed
    drawn(result)


@pytest.mark.long
def test_tight_fails_where_it_says(tmp_path) -> None:
    result = report(CONFIGS / "tight.toml", out=tmp_path)
    failed = {c.id for c in result.checks if c.verdict == "fail"}
    assert {"prop.radial_clearance", "inlet.area", "firewall.material"} <= failed
    assert not result.passed
    drawn(result)

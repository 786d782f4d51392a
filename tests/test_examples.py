"""The shipped examples do what their first lines promise."""

from html import unescape
from pathlib import Path

import pytest

from geomgen.pages.verdict_words import sentence
from geomgen.parameters import load
from geomgen.verdicts.wording import raised
from geomgen.workflows import report

CONFIGS = Path(__file__).parents[1] / "configs"


def drawn(result) -> None:
    """Every kind of drawing, picture and model is there, and the page shows the outcome."""
    for name in ("drawings/three_view.pdf", "drawings/engine_bay.pdf", "pictures/engine_bay.png"):
        assert name in result.files
    text = result.page.read_text("utf-8")
    assert all(f'id="check-{check.id}"' in text for check in result.checks)
    assert raised(sentence(result.checks)) in unescape(text)


@pytest.mark.long
def test_hayfield_passes(tmp_path) -> None:
    result = report(CONFIGS / "hayfield.toml", out=tmp_path)
    assert [c.id for c in result.checks if c.verdict in ("fail", "not_measured")] == []
    assert result.passed
    drawn(result)


# What has a solid in framed, and what its file leaves of the item that stood for it.
SOLID = {
    "spar caps, web and root fittings": "spar root fittings, bonds and shear ties",
    "frames and floor of the pod": "floor of the pod, bonds of the frames",
    "canopy and its frame": "canopy frame, hinges and latch",
}


def test_framed_is_saltmarsh_but_for_what_has_a_solid() -> None:
    """A list replaces the whole list of the other file, so rows that are repeated may drift."""
    framed, plain = (load(CONFIGS / f"{name}.toml") for name in ("framed", "saltmarsh"))
    assert [row for row in framed.mass if not row.part.startswith(("spar", "rib"))] == [*plain.mass]
    for ours, theirs in zip(framed.items, plain.items, strict=True):
        if theirs.name in SOLID:
            assert ours.name == SOLID[theirs.name]
            assert ours.mass < theirs.mass
        else:
            assert ours == theirs


@pytest.mark.long
def test_framed_passes(tmp_path) -> None:
    result = report(CONFIGS / "framed.toml", out=tmp_path)
    assert [c.id for c in result.checks if c.verdict in ("fail", "not_measured")] == []
    kinds = {c.id.rpartition(".")[0] for c in result.checks}
    assert {"frame.fit", "frame.ends", "frame.notch", "spar.skin", "rib.skin", "rib.notch"} <= kinds
    assert {"assembly", "tank.fit"} <= kinds
    assert "Order of assembly" in result.page.read_text("utf-8")
    drawn(result)


@pytest.mark.long
def test_tight_fails_where_it_says(tmp_path) -> None:
    result = report(CONFIGS / "tight.toml", out=tmp_path)
    failed = {c.id for c in result.checks if c.verdict == "fail"}
    assert {"prop.radial_clearance", "inlet.area", "firewall.material"} <= failed
    assert not result.passed
    drawn(result)

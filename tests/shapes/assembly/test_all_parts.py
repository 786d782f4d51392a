"""What the file leaves out is left out; the least aircraft still builds and is measured."""

from dataclasses import replace

import pytest
from one_look import exits

from geomgen.kernel.solids.validity import validity
from geomgen.shapes.assembly.all_parts import assemble

LEAST = {name: None for name in ("exit", "tailplane", "fins", "pylon", "engine", "spinner", "gear")}


@pytest.fixture(scope="module")
def least(saltmarsh):
    return assemble(
        saltmarsh.model_copy(update={**LEAST, "tanks": (), "joints": saltmarsh.joints[:1]})
    )


def test_least_aircraft(least, saltmarsh) -> None:
    assert saltmarsh.joints[0].trim == "wing"
    assert set(least.parts) == {
        "pod", "scoop_cheek_right", "scoop_cheek_left", "firewall", "wing", "boom_right",
        "boom_left", "prop_disc",
    }  # fmt: skip
    assert all(validity(solid).problems == () for solid in least.parts.values())
    assert least.grounds == []
    assert all(route.fan is None for route in least.passages)


def test_exit_without_a_fairing_is_a_full_opening(least) -> None:
    """Without rim piece and fairing the hull's own end is the exit: its whole inside."""
    (found,) = exits(least)
    plane = least.exits[0]
    hull = replace(least, parts={"pod": least.parts["pod"]}, exits=[plane])
    (alone,) = exits(hull)
    assert not found.broken
    assert found.value == pytest.approx(alone.value, rel=1e-9)
    assert found.value > 25_000

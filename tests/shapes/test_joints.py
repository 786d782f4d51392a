"""Declared joints leave the stated gap; what can't be trimmed says what to look at."""

import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.distance import closest
from geomgen.shapes.booms import boom_cutters
from geomgen.shapes.joints import trimmed
from geomgen.shapes.lifting import fins, tailplane, wing
from geomgen.shapes.steps import made, steps

PAIRS = [
    ("wing", "boom_right"),
    ("wing", "boom_left"),
    ("tailplane", "boom_right"),
    ("fin_right", "boom_right"),
    pytest.param("pylon", "pod", marks=pytest.mark.long),
    ("firewall", "pod"),
    ("exit", "pod"),
    pytest.param("scoop_cheek_right", "pod", marks=pytest.mark.long),
]


@pytest.mark.parametrize(("first", "second"), PAIRS)
def test_gap_is_the_stated_one(saltmarsh_model, first: str, second: str) -> None:
    """0.3 mm everywhere in the example, square to the skins; measured on the solids."""
    near = closest(saltmarsh_model.parts[first], saltmarsh_model.parts[second])
    assert near.distance == pytest.approx(0.3, abs=0.01)


def test_a_boom_thicker_than_the_wing_cuts_it_apart_and_says_so(variant) -> None:
    """From ahead of the leading edge to behind the trailing one, thicker than the wing."""
    tall = [f"booms.stations.{i}.height=420 mm" for i in range(6)]
    p = variant("booms.stations.0.station=1200 mm", *tall)
    (step,) = [step for step in steps(p) if step.name == "wing to boom"]
    with pytest.raises(GeometryError, match="falls into") as caught:
        made(step, p, {"wing": [wing(p)]})
    assert any(key.startswith("joints.") for key in caught.value.look_at)


def test_left_fin_mirrors_the_trimmed_right_one(variant) -> None:
    from geomgen.kernel.properties import mass_properties

    p = variant()
    (joint,) = [joint for joint in p.joints if joint.trim == "fin"]
    done = {piece.name: piece.solid for piece in trimmed(fins(p), boom_cutters(p), joint)}
    right, left = (mass_properties(done[f"fin_{side}"]) for side in ("right", "left"))
    assert left.volume == pytest.approx(right.volume, rel=1e-7)
    assert left.centroid[1] == pytest.approx(-right.centroid[1], abs=1e-3)
    assert right.volume < mass_properties(fins(p)[0].solid).volume


@pytest.mark.long
def test_half_and_whole_trimmed_alike(variant) -> None:
    """Cutting the half and doubling it gives what cutting the whole gives."""
    from dataclasses import replace

    from geomgen.kernel.properties import volume

    p = variant()
    (joint,) = [joint for joint in p.joints if joint.trim == "tailplane"]
    (by_half,) = trimmed([tailplane(p)], boom_cutters(p), joint)
    (whole,) = trimmed([replace(tailplane(p), half=None)], boom_cutters(p), joint)
    assert volume(by_half.solid).value == pytest.approx(volume(whole.solid).value, rel=1e-7)

"""Declared joints leave the stated gap; what can't be trimmed says what to look at."""

import re
import tomllib

import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.solids.distance import closest
from geomgen.shapes.assembly.joints import trimmed
from geomgen.shapes.assembly.steps import made, steps
from geomgen.shapes.booms import boom_cutters
from geomgen.shapes.lifting import fins, pylon, tailplane, wing

PAIRS = [
    ("wing", "boom_right"),
    pytest.param("wing", "boom_left", marks=pytest.mark.long),
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
    found = made(step, p, {"wing": [wing(p)]})
    assert [piece.name for piece in found] == ["wing_centre", "wing_outer_right", "wing_outer_left"]
    assert "(joints.0) makes 3 parts of it" in found[0].notes[0]


def test_a_pylon_that_stands_out_of_the_wing_names_its_key_and_what_would_do(variant) -> None:
    """The value that is given is taken, and builds; just outside of it a piece is left."""
    p = variant("pylon.waterline_high=1500 mm")
    (step,) = [step for step in steps(p) if step.name == "pylon to pod to wing"]
    with pytest.raises(GeometryError, match="a piece stands above the wing") as caught:
        made(step, p, {"pylon to pod": [pylon(p)]})
    error = caught.value
    assert error.look_at[0] == "joints.4"
    assert "pylon.waterline_high" in error.look_at
    said = re.search(r"waterline_high is 1500.0 mm: between (\S+) and (\S+) mm", error.problem)
    assert said is not None
    low, high = (float(number) for number in said.groups())
    inside = variant(f"pylon.waterline_high={high - 0.5} mm")
    (made_again,) = made(step, inside, {"pylon to pod": [pylon(inside)]})
    assert made_again.notes == ()
    assert low < 1365 < high
    outside = variant(f"pylon.waterline_high={high + 5} mm")
    (trimmed_too,) = made(step, outside, {"pylon to pod": [pylon(outside)]})
    assert "offcuts" in trimmed_too.notes[0]


def test_every_key_to_look_at_is_one_that_the_file_has(variant) -> None:
    """Of the joints' steps and of the parts', in both examples."""
    from geomgen.parameters.editing.writing import as_toml

    for config in ("saltmarsh", "hayfield"):
        p = variant(config=config)
        tables = tomllib.loads(as_toml(p))
        for step in steps(p):
            for key in step.look_at if made_of(step, p) else ():
                assert has(tables, key), f"{config}: {step.name}: {key}"


def made_of(step, p) -> bool:
    """Say whether a step makes anything of a file: tables that are left out have no parts."""
    table = {"tailplane": p.tailplane, "fin": p.fins, "pylon": p.pylon, "exit": p.exit}
    table |= {"engine": p.engine, "spinner": p.spinner, "wheels": p.gear}
    return table.get(step.name.split(" to ")[0], p) is not None


def has(tables, key: str) -> bool:
    here = tables
    for name in key.split("."):
        here = here[int(name)] if name.isdigit() else here.get(name)
        if here is None:
            return False
    return True


def test_left_fin_mirrors_the_trimmed_right_one(variant) -> None:
    from solid_properties import mass_properties

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

    from geomgen.kernel.solids.properties import volume

    p = variant()
    (joint,) = [joint for joint in p.joints if joint.trim == "tailplane"]
    (by_half,) = trimmed([tailplane(p)], boom_cutters(p), joint)
    (whole,) = trimmed([replace(tailplane(p), half=None)], boom_cutters(p), joint)
    assert volume(by_half.solid).value == pytest.approx(volume(whole.solid).value, rel=1e-7)

"""Which step makes a part as it is before others are cut out of it."""

from pathlib import Path

import pytest

from geomgen.kernel.mesh_part import ExactDueError
from geomgen.parameters import load
from geomgen.regeneration.reads import Reads, viewed
from geomgen.shapes.assembly.canopy import is_cut
from geomgen.shapes.assembly.steps import BuildStep, made, steps, uncut

CONFIGS = Path(__file__).parents[3] / "configs"


@pytest.mark.parametrize("name", ["saltmarsh", "framed", "hayfield", "tight"])
def test_a_pod_is_known_uncut_where_a_joint_or_the_canopy_trims_it(name) -> None:
    p = load(CONFIGS / f"{name}.toml")
    plan = steps(p)
    trimmed = is_cut(p) or any(joint.trim == "pod" for joint in p.joints)
    assert uncut(plan) == ({"pod": "hull"} if trimmed else {})
    assert all(step in {each.name for each in plan} for step in uncut(plan).values())


def test_the_examples_have_both() -> None:
    plans = [load(CONFIGS / f"{name}.toml").joints for name in ("saltmarsh", "hayfield")]
    assert {any(joint.trim == "pod" for joint in joints) for joints in plans} == {True, False}


def test_the_tail_fairing_is_not_made_again_with_the_pod() -> None:
    p, reads = load(CONFIGS / "saltmarsh.toml"), Reads()
    (step,) = (each for each in steps(p) if each.name == "tail fairing")
    assert [piece.name for piece in made(step, viewed(p, reads), {})] == ["tail_fairing"]
    read = {path[0] for path in reads.paths()}
    assert "exit" in read
    assert "pod" not in read


def test_what_meshes_do_not_settle_is_no_fault() -> None:
    """Broken before: a first answer that had to wait was told to be a fault inside geomgen."""

    def make(p, given):
        raise ExactDueError("an exact distance")

    step = BuildStep("pod", "pod", make, ("pod",))
    with pytest.raises(ExactDueError):
        made(step, load(CONFIGS / "saltmarsh.toml"), {})

"""The canopy on the examples: one pod, one glazing, what is lost between them is the joint."""

from pathlib import Path

import numpy as np
import pytest
from canopied_tubes import outer_net
from meshed_bodies import body

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.plain import Glass
from geomgen.kernel.solids.booleans import cut as exact_cut
from geomgen.kernel.solids.properties import volume
from geomgen.kernel.trimming.cutting import by_meshes, cut
from geomgen.measurements.pilot.glazing_fit import joint_gaps, sheet
from geomgen.parameters import load
from geomgen.shapes.assembly import canopy, pilot_places
from geomgen.shapes.assembly.steps import made, steps, uncut
from geomgen.shapes.hull import hull, pod_lines

CONFIGS = Path(__file__).parents[3] / "configs"
GLAZED = [
    "canopy.built_as=glazing",
    "canopy.thickness=3 mm",
    "canopy.gap=2.5 mm",
    "canopy.material=acrylic",
]


def example(*changes, name="saltmarsh"):
    return load(CONFIGS / f"{name}.toml", [*GLAZED, *changes])


@pytest.fixture(scope="module")
def p():
    return example()


@pytest.fixture(scope="module")
def pod(p):
    return hull(p, pod_lines(p))


@pytest.fixture(scope="module")
def rest(p, pod):
    return canopy.less_canopy(pod, pilot_places.glass(p))


@pytest.fixture(scope="module")
def glazing(p):
    return canopy.glazing(pod_lines(p), pilot_places.glass(p), p.canopy.gap, p.canopy.thickness)


def test_as_a_line_nothing_is_cut(p):
    plain = load(CONFIGS / "saltmarsh.toml")
    line = plain.model_copy(update={"canopy": plain.canopy.model_copy(update={"built_as": "line"})})
    assert not {"opening", "canopy"} & {step.name for step in steps(line)}
    assert canopy.glazed_skin(line, pod_lines(line)) is None


def test_the_opening_follows_all_that_is_done_to_the_pod():
    """Whoever is trimmed to the pod sees its whole outside; the pod's own joints come first."""
    plan = steps(example(name="hayfield"))
    names = [step.name for step in plan]
    (step,) = [each for each in plan if each.name == "opening"]
    (before,) = step.needs
    assert before == "pod to wing"
    assert names.index("canopy") == names.index("opening") + 1
    assert [each.name for each in plan if each.last].count("opening") == 1
    assert not any(each.last for each in plan if each.name.startswith("pod"))
    assert uncut(plan) == {"pod": "hull"}


def test_a_pod_that_was_cut_by_meshes_is_opened_by_meshes(p, pod, rest):
    bite = box((1400.0, -900.0, 0.0), (1500.0, 900.0, 420.0))
    with by_meshes(0.5):
        bitten = pod.trimmed_half(cut(pod.half, [bite], "pod", "a joint"))
        opened = canopy.less_canopy(bitten, pilot_places.glass(p))
    lost = pod.trimmed_half(exact_cut(pod.half, [bite], "pod", "a joint"))
    due = volume(rest.solid).value - volume(pod.solid).value + volume(lost.solid).value
    assert opened.solid.volume == pytest.approx(due, rel=2e-3)


def test_an_opening_alone_makes_no_part():
    p = load(CONFIGS / "saltmarsh.toml", ["canopy.built_as=opening"])
    assert "canopy" not in {step.name for step in steps(p)}
    assert canopy.glazed_skin(p, pod_lines(p)) is not None


def test_pod_and_glazing_are_one_piece_each_with_the_joint_between(p, rest, glazing):
    one, other = body(glazing.solid), body(rest.solid)
    gaps = joint_gaps(one, [other])
    assert gaps["least"][0] == pytest.approx(2.5, abs=2e-3)
    assert gaps["widest"][0] == pytest.approx(2.5, abs=2e-3)
    _, thick, *_ = sheet(glazing.solid)
    assert thick == pytest.approx(3.0, abs=0.02)
    for made_of in (rest.solid, glazing.solid):
        box = loose_box(made_of)
        assert box.low[1] == pytest.approx(-box.high[1], abs=1e-6)


def test_the_glazing_lies_above_the_sill_between_its_ends(p, glazing):
    edge = pilot_places.glass(p)
    points = body(glazing.solid).mesh.vertices
    assert points[:, 0].min() == pytest.approx(edge.fore + 2.5, abs=1e-3)
    assert points[:, 0].max() == pytest.approx(edge.aft - 2.5, abs=1e-3)
    slope = (edge.aft_sill - edge.fore_sill) / (edge.aft - edge.fore)
    off = (points[:, 2] - edge.fore_sill - slope * (points[:, 0] - edge.fore)) / np.hypot(1, slope)
    assert off.min() == pytest.approx(2.5, abs=1e-3)


@pytest.mark.long
def test_the_skin_that_is_lost_lies_on_the_whole_pod(p, pod, rest):
    net = outer_net(canopy.glazed_skin(p, pod_lines(p)))
    whole = body(pod.solid)
    points = net.reshape(-1, 3)
    assert MeshSearch(whole.mesh.corners).nearest(points).distance.max() < 0.15
    assert net[:, 0, 1].max() < 0.0 < net[:, -1, 1].min()
    assert volume(rest.solid).value < volume(pod.solid).value


@pytest.mark.parametrize(
    ("edge", "words"),
    [
        (Glass(250.0, 1440.0, 5000.0, 5000.0), "no skin above the sill"),
        pytest.param(*(Glass(250.0, 1440.0, -5000.0, -5000.0), "2 pieces"), marks=pytest.mark.long),
    ],
)
def test_what_cannot_be_cut_is_refused_with_the_canopy_s_keys(pod, edge, words):
    with pytest.raises(GeometryError, match=words) as told:
        canopy.less_canopy(pod, edge)
    assert "canopy.fore_sill" in told.value.look_at


def test_glazing_in_two_pieces_is_refused(p):
    """A sill above the crown amidships: the glazing is left at both ends, or nowhere."""
    with pytest.raises(GeometryError) as told:
        canopy.glazing(pod_lines(p), Glass(250.0, 1440.0, 5000.0, 5000.0), 2.0, 3.0)
    assert "canopy.aft_sill" in told.value.look_at


def test_no_room_for_thick_glazing_is_said(p):
    edge = pilot_places.glass(p)
    with pytest.raises(GeometryError, match="glazing of 900 mm") as told:
        canopy.glazing(pod_lines(p), edge, 2.0, 900.0)
    assert told.value.look_at[0] == "canopy.thickness"


@pytest.mark.long
def test_a_wing_through_the_glazing_leaves_its_gap_there():
    """hayfield's pod is trimmed to its wing: so is what of the canopy stands there."""
    p = example(name="hayfield")
    plan = {step.name: step for step in steps(p)}
    (piece,) = made(plan["canopy"], p, {})
    assert volume(piece.solid).value > 0.0

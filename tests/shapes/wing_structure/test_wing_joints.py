"""Solids of a joint: halves apart, hands mirrored, feet and sheets published as they stand."""

import numpy as np
import pytest
from joined_spars import JOINT, jointed, model_of, plain

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.plane_frame import front_of_sheet
from geomgen.kernel.sections.section import faces_in_plane
from geomgen.kernel.solids.properties import bounding_box, centroid, volume
from geomgen.shapes.wing_structure.wing_joints import spars_and_joints


def test_halves_and_ribs_keep_their_gap():
    _, model = plain()
    box = {name: bounding_box(model.parts[name]) for name in model.parts if "joint" not in name}
    assert box["spar_main_cap_upper"].high[1] == pytest.approx(2499.0, abs=1e-6)
    assert box["spar_main_cap_upper_outer_right"].low[1] == pytest.approx(2501.0, abs=1e-6)
    assert box["spar_main_web_outer_left"].high[1] == pytest.approx(-2501.0, abs=1e-6)
    assert box["rib_a_1_nose_right"].high[1] == pytest.approx(2499.0, abs=1e-6)
    assert box["rib_a_2_tail_right"].low[1] == pytest.approx(2501.0, abs=1e-6)


def test_hands_mirror_each_other():
    _, model = plain()
    right = [name for name in model.parts if name.startswith("joint_") and name.endswith("_right")]
    assert len(right) == 3 + 4
    for name in right:
        one, other = model.parts[name], model.parts[name.removesuffix("_right") + "_left"]
        assert volume(one).value == pytest.approx(volume(other).value, rel=1e-9)
        assert centroid(one) == pytest.approx(np.array(centroid(other)) * [1, -1, 1], abs=1e-9)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_what_is_published_is_where_the_solids_are(hand):
    """A plate has a face in the front plane of its sheet, and one at the foot that it lies on."""
    _, model = plain()
    for name, solid in model.parts.items():
        if not (name.startswith("joint_plate_") and name.endswith(hand)):
            continue
        front, foot = front_of_sheet(model.sheets[name]), model.bolted[name]
        under = np.array(foot.plane.origin) + foot.gap * np.array(foot.plane.normal)
        on_foot = np.array(front.origin) + np.array(front.normal) * front.height([under])[0]
        assert front.height([on_foot])[0] == pytest.approx(foot.thickness, abs=1e-9)
        for at in (0.0, foot.thickness):
            (face,) = faces_in_plane(front.moved(at), solid, name, 0.01)
            assert len(face.polygon().interiors) == (0 if "packing" in name else 4)


def test_a_joint_without_a_table_leaves_spars_as_they_were():
    p = jointed()
    bare = p.model_copy(
        update={"spars": (p.spars[0].model_copy(update={"wing_joint": None}),), "ribs": ()}
    )
    assert [s.name for s in spars_and_joints(bare)] == [
        f"spar_main_{piece}" for piece in ("cap_upper", "cap_lower", "web_fore", "web_aft")
    ]


@pytest.mark.long
@pytest.mark.parametrize("kind", ["C", "box"])
def test_other_kinds_with_a_web(kind):
    made = model_of(jointed(kind=kind))
    assert {n for n in made.parts if n.startswith("joint_pin")} == {
        f"joint_pin_main_{i}_{hand}" for i in (1, 2, 3, 4) for hand in ("right", "left")
    }
    boxes = [loose_box(solid) for name, solid in made.parts.items() if name.endswith("right")]
    assert min(box.low[1] for box in boxes) > 0.0
    assert JOINT["at"] == "2500 mm"


def test_holes_for_nuts_are_cut_in_the_other_web_alone():
    """Source: the area of a circle (DERIVED here)."""
    row = {"pin_rows": 1, "pin_pitch": None}
    bare, wide = (
        {piece.name: piece.solid for piece in spars_and_joints(jointed({**row, **changed}))}
        for changed in ({}, {"nut_hole": "24 mm"})
    )
    for name, solid in bare.items():
        gone = volume(solid).value - volume(wide[name]).value
        holes = {"spar_main_web_aft": 2, "spar_main_web_aft_outer_right": 1,
                 "spar_main_web_aft_outer_left": 1}.get(name, 0)  # fmt: skip
        assert gone == pytest.approx(holes * np.pi / 4 * 24.0**2 * 3.0, abs=0.01)

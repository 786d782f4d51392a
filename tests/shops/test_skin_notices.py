"""A laminate against the walls that it is laid up for; thicknesses by hand (DERIVED)."""

from pathlib import Path

import pytest

from geomgen.parameters import load
from geomgen.shops.skin_notices import skin_notices

CONFIG = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"
# 200 g/m2 of glass, 2560 kg/m3, at 0.35: 0.2232 mm a ply.
PLY = 1000 * 0.2 / (2560 * 0.35)


def told(*changes):
    return skin_notices(load(CONFIG, changes))


@pytest.mark.parametrize(("plies", "wall", "said"), [(2, 4.0, True), (18, 4.0, False),
                                                     (20, 4.0, True), (2, 0.5, True),
                                                     (3, 0.7, False)])  # fmt: skip
def test_a_pods_wall_that_its_plies_do_not_make_is_told(plies, wall, said):
    assert said == (abs(plies * PLY - wall) > 0.1 * wall)
    found = told(f"handoff.laminate.plies.0.count={plies}", f"pod.wall={wall} mm")
    own = [text for text in found if "pod.wall" in text]
    assert len(own) == said
    if said:
        assert f"{plies * PLY:.3f} mm" in own[0]
        assert f"pod.wall is {wall:g} mm (pod)" in own[0]


def test_a_scoops_wall_is_held_to_the_laminate_too():
    (own,) = [text for text in told() if "scoops.cheek.wall" in text]
    assert "scoops.cheek.wall is 3 mm (scoop_cheek)" in own
    count = "handoff.laminate.plies.0.count=13"
    assert not [text for text in told(count) if "scoops.cheek.wall" in text]


def test_nothing_is_said_of_parts_that_no_shop_is_asked_for(tmp_path):
    p = load(CONFIG)
    assert p.handoff is not None
    bare = p.handoff.model_copy(update={"foam": None, "moulds": p.handoff.moulds[3:]})
    assert skin_notices(p.model_copy(update={"handoff": bare})) == ()
    assert skin_notices(p.model_copy(update={"handoff": None})) == ()

"""Parts that run into each other: how deep, against closed forms (DERIVED) and scipy.

Ways to be wrong while `parts.interference` passes, and what holds each:
- the depth is told from a box along the axes, too deep or too shallow: walls at every angle;
- the part is through the wall and out again: a pin, a rod, a plate, blind ones beside them;
- a small deep place hides behind a wide shallow one: several places;
- a thin sheet right through a wall hides among many thin shallow places, or in a ring of touch that
  hangs together with it: all that the meshes show deeper than their deviations is looked at;
- one part lies wholly inside another; parts touch at a point or a face (no depth);
- the other side of the aircraft: mirrored pairs;
- the bound does not hold: turned boxes by chance, against linear programs.
Not seen: a meeting shallower than the meshes' deviations which no probed point shows; what is not
drawn (mounts, cables).
"""

import math
import random

import numpy as np
import pytest
from few_cases import few
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Pnt
from scipy.optimize import linprog
from scipy.spatial.transform import Rotation
from surveyed_models import meshes_of, model_of, surveyed

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box, cylinder, mirrored, turned
from geomgen.kernel.model import Model
from geomgen.kernel.solids.booleans import cut, fuse
from geomgen.measurements.fit.questions import MEETINGS
from geomgen.measurements.question import Given
from geomgen.measurements.survey.whole import bodies_of

X = (1.0, 0.0, 0.0)
ID = "parts.interference"


def ball(centre, radius):
    return BRepPrimAPI_MakeSphere(gp_Pnt(*centre), radius).Solid()


def wall(thickness: float):
    """Return the round wall of a pod, 304 mm outside."""
    rod = cylinder((0, 0, 0), X, 304.0, 600.0)
    return cut(rod, [cylinder((-9, 0, 0), X, 304.0 - thickness, 620.0)], "pod", "inside")


def outward(degrees: float):
    turn = math.radians(degrees)
    return (0.0, math.cos(turn), math.sin(turn))


def rod(degrees: float, start: float, radius: float = 20.0, length: float = 200.0):
    way = outward(degrees)
    return cylinder((300.0, start * way[1], start * way[2]), way, radius, length)


def depth_of(parts, tolerance: float = 0.1):
    return surveyed(model_of(parts), tolerance, MEETINGS)[ID]


@pytest.mark.parametrize(
    "degrees", [0, 200, *(pytest.param(d, marks=pytest.mark.long) for d in (20, 45, 71, 90))]
)
def test_two_millimetres_into_a_round_wall_read_two_at_every_angle(degrees) -> None:
    found = depth_of({"pod": wall(4.0), "scoop": rod(degrees, 302.0)})
    assert found.error_bound <= 0.6
    assert -found.value == pytest.approx(2.0, abs=0.1)
    assert math.hypot(*found.points[0][1:]) == pytest.approx(303.0, abs=1.2)


def test_a_mirrored_pair_reads_the_same() -> None:
    parts = {"pod": wall(4.0), "scoop": rod(33, 302.0)}
    other = {name: mirrored(solid) for name, solid in parts.items()}
    one, two = depth_of(parts), depth_of(other)
    assert two.value == pytest.approx(one.value, abs=one.error_bound)


@pytest.mark.parametrize(("radius", "true"), [(1.0, 6.5), (20.0, 20.0)])
def test_what_comes_out_behind_a_wall_is_as_deep_as_the_wall_at_the_least(radius, true) -> None:
    """A pin: the wall's thickness. A rod: the wall's middle lies a radius below the rod's skin."""
    plate = box((0, -100, -100), (6.5, 100, 100))
    pin = cylinder((-30, 0, 0), X, radius, 80.0)
    found = depth_of({"pod": plate, "scoop": pin}, 0.02)
    assert -found.value == pytest.approx(true, abs=found.error_bound)
    assert "comes out at another" in found.note


@pytest.mark.parametrize("share", few([0.25, 0.5, 0.75, 0.95], 0, 3))
def test_a_thin_pin_in_a_wall_is_as_deep_as_it_was_driven(share) -> None:
    """Past the middle the far side is nearer: it does not count, nobody came in there."""
    plate = box((0, -100, -100), (8.0, 100, 100))
    pin = box((8.0 * (1 - share), -1, -1), (50.0, 1, 1))
    found = depth_of({"pod": plate, "scoop": pin})
    assert -found.value == pytest.approx(8.0 * share, abs=found.error_bound)
    assert "comes out at another" not in found.note


def test_a_thin_plate_through_a_thin_wall() -> None:
    plate = box((0, -100, -100), (4.0, 100, 100))
    fin = box((-50, -1, -60), (50, 1, 60))
    found = depth_of({"pod": plate, "fin": fin})
    assert -found.value == pytest.approx(4.0, abs=found.error_bound)


def test_a_small_deep_place_counts_before_a_wide_shallow_one() -> None:
    """1.5 mm deep over 100 by 100, and a pin 7 mm deep beside it."""
    block = box((0, 0, 0), (400, 200, 50))
    foot = box((10, 10, 48.5), (110, 110, 80))
    pin = box((300, 100, 43.0), (304, 104, 80))
    bridge = box((50, 90, 75), (304, 110, 80))
    fork = fuse([foot, bridge, pin], "scoop", "made")
    found = depth_of({"pod": block, "scoop": fork})
    assert -found.value == pytest.approx(7.0, abs=found.error_bound)
    assert "in 2 places: 7.00 mm at" in found.note
    assert "1.50 mm at" in found.note
    assert found.points[0][0] == pytest.approx(302.0, abs=2.1)


def test_a_part_wholly_inside_another_is_as_deep_as_its_deepest_point() -> None:
    """A ball of 20 with its centre 60 below the nearest face: its far side is 80 below."""
    found = depth_of({"pod": box((0, 0, 0), (400, 400, 400)), "fin": ball((60, 200, 200), 20.0)})
    assert -found.value == pytest.approx(80.0, abs=found.error_bound)


@pytest.mark.parametrize("gap", [0.0, 0.5])
def test_touching_at_a_point_is_no_depth(gap) -> None:
    parts = {"pod": ball((0, 0, 0), 50.0), "fin": ball((0, 90.0 + gap, 0), 40.0)}
    assert depth_of(parts).value == 0.0


def test_a_collar_too_tight_all_round_is_as_deep_as_it_is_tight() -> None:
    """A bore of 39 on a boom of 40: 1 mm on every side, wherever the collar ends."""
    block = cut(
        box((100, -80, -80), (200, 80, 80)), [cylinder((0, 0, 0), X, 39.0, 300.0)], "wing", "bore"
    )
    found = depth_of({"boom": cylinder((0, 0, 0), X, 40.0, 300.0), "wing": block}, 0.02)
    assert -found.value == pytest.approx(1.0, abs=found.error_bound)


def test_a_thin_tight_fit_all_round_is_proved_in_the_metal_not_in_the_bore() -> None:
    """Tight by 0.63 mm and 0.37 mm off: a ring of shared space, thinner than the meshes tell."""
    block, bore = box((0, -140, -140), (230, 140, 140)), cylinder((-9, 0, 0), X, 77.29, 260.0)
    parts = {"wing": cut(block, [bore], "wing", "bore")}
    parts["boom"] = cylinder((-20, 0.37, 0), X, 77.92, 280.0)
    found = depth_of(parts, 0.2)
    assert -found.value == pytest.approx(1.0, abs=found.error_bound)
    assert found.error_bound < 0.5
    assert "shallower than the meshes tell" not in found.method + found.note


@pytest.mark.parametrize("shallow", few((8, 9, 14)))
def test_a_thin_sheet_through_a_wall_counts_among_many_shallow_places(shallow) -> None:
    """Feet 0.3 mm into a wall of 4 mm, and one sheet of 0.3 mm right through it."""
    sheet = box((0, 0, 0), (600, 100, 4))
    bridge = box((0, 90, 1), (600, 290, 3))
    pod = fuse([sheet, bridge, cylinder((0, 300, 2), X, 40.0, 600.0)], "pod", "made")
    feet = [box((10 + 30 * k, 20, 3.7), (20 + 30 * k, 60, 30)) for k in range(shallow)]
    through = box((580, 20, -9), (580.3, 60, 30))
    beam = [box((0, 30, 20), (590, 50, 30)), cylinder((0, 40, 60), X, 35.0, 590.0)]
    found = depth_of({"pod": pod, "fin": fuse([*feet, through, *beam], "fin", "made")}, 0.2)
    assert -found.value == pytest.approx(4.0, abs=found.error_bound)
    assert found.error_bound < 0.5
    assert f"in {shallow + 1} places: 4.00 mm at" in found.note


def test_a_thin_fin_in_a_block_counts_where_its_rod_only_touches_the_bore() -> None:
    """5 mm of a fin of 0.15 mm stand in the block's end; the rod has 0.02 mm of room all round."""
    block = cut(
        box((100, -80, -80), (200, 80, 80)), [cylinder((0, 0, 0), X, 40.02, 300.0)], "wing", "bore"
    )
    fin = box((195, 30, -20), (210, 100, -19.85))
    rod_ = fuse([cylinder((0, 0, 0), X, 40.0, 300.0), fin], "boom", "made")
    found = depth_of({"wing": block, "boom": rod_}, 0.2)
    assert -found.value == pytest.approx(5.0, abs=found.error_bound)
    assert found.error_bound < 0.5


# Turned boxes by chance -----------------------------------------------------------------------


def turned_box(chance, sizes, centre):
    """Return a turned box as a solid, and its half-spaces n . p <= b."""
    way = np.array([chance.gauss(0, 1) for _ in range(3)])
    way /= np.linalg.norm(way)
    degrees = chance.uniform(0, 180)
    half = np.array(sizes) / 2
    solid = turned(box(tuple(-half), tuple(half)), tuple(way), degrees, tuple(centre))
    matrix = Rotation.from_rotvec(way * math.radians(degrees)).as_matrix()
    normals = np.concatenate([matrix.T, -matrix.T])
    return solid, normals, np.concatenate([half, half]) + normals @ centre


def deepest_of(mine, other) -> float:
    """Return how far a point of one box's skin lies inside another box, by linear programs."""
    (n, b), (m, c) = mine, other
    found = 0.0
    for face in range(len(n)):
        answer = linprog(
            [0, 0, 0, -1],
            A_ub=np.vstack([np.c_[n, np.zeros(6)], np.c_[m, np.ones(6)]]),
            b_ub=np.r_[b, c],
            A_eq=[[*n[face], 0.0]],
            b_eq=[b[face]],
            bounds=[(None, None)] * 4,
        )
        if answer.status == 0:
            found = max(found, float(answer.x[3]))
    return found


@pytest.mark.parametrize("count", few((18, 36, 110)))
def test_turned_boxes_by_chance_hold_their_bound(count) -> None:
    chance = random.Random(20)
    parts, true = {}, {}
    for k in range(count):
        place = np.array([1000.0 * k, 0.0, 0.0])
        a = turned_box(chance, (100, 120, 140), place)
        away = np.array([chance.gauss(0, 1) for _ in range(3)])
        away *= chance.uniform(86, 100) / np.linalg.norm(away)
        b = turned_box(chance, (40, 60, 80), place + away)
        parts |= {f"pod_{k}": a[0], f"fin_{k}": b[0]}
        true[f"pod_{k} and fin_{k}"] = max(deepest_of(a[1:], b[1:]), deepest_of(b[1:], a[1:]))
    model = model_of(parts)
    bodies = bodies_of(model, meshes_of(model))
    boxes = {name: loose_box(solid) for name, solid in parts.items()}
    asked = {q.name: q.ask(Given(bodies=bodies)) for q in MEETINGS.ask(Model(), boxes)}
    met = shallow = 0
    for name, depth in true.items():
        found = asked.get(name)
        assert (found is None) == (depth == 0.0)
        if found is not None:
            met += 1
            assert found["depth"] >= depth - found["error"] - 1e-4
            # The far faces stand 40 mm off: what is less deep than half of that is nearest here.
            if found["depth"] < 19.0:
                shallow += 1
                assert found["depth"] == pytest.approx(depth, abs=found["error"] + 1e-4)
    assert met >= 0.45 * count
    assert shallow >= 0.22 * count

"""Gaps along the shaft by the question that `check` asks, against closed forms (DERIVED).

The swept volume's face stands by its slope farther out along the shaft per millimetre of radius: a
body's gap is the least of what is between that line and its points.
"""

from dataclasses import replace
from functools import cache
from itertools import product
from math import cos, hypot, radians, sin

import numpy as np
import pytest
from asking import asked, bodies_of, propeller_figures
from few_cases import few
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Pnt

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder, revolved, tilted, turned
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis
from geomgen.kernel.solids.booleans import fuse
from geomgen.measurements.propeller.along_shaft import along_the_shaft
from geomgen.measurements.propeller.swept import Swept

MIDDLE, HOLE, TIP, ROOT = (3000.0, 0.0, 800.0), 80.0, 650.0, 34.0
FLEX = 57.0
SLOPE = FLEX / (TIP - HOLE)
TILTS = [0.0, -6.0, 11.0]


def line(tilt: float) -> Axis:
    return Axis(MIDDLE, (cos(radians(tilt)), 0.0, -sin(radians(tilt))))


@cache
def blades(tilt, flex):
    wide = ROOT + flex
    return revolved([(-ROOT, HOLE), (-wide, TIP), (wide, TIP), (ROOT, HOLE)], line(tilt))


def machine(tilt, parts, flex=FLEX) -> Model:
    """Return blades that flex alike fore and aft, and parts beside a level shaft, all turned."""
    every = {name: tilted(solid, MIDDLE, tilt) for name, solid in parts.items()}
    every["prop_disc"] = blades(tilt, flex)
    return Model(parts=every, families={n: n for n in every}, thrust_line=line(tilt))


def gap(tilt, solid, name="wing"):
    """Return gap and place of one part by its own question; None where it is out of the ring."""
    wanted = {"swept volume", f"along the shaft to {name}"}
    found = asked(machine(tilt, {name: solid}), keep=lambda question: question.name in wanted)
    return found[f"along the shaft to {name}"] or None


def ball(ahead, y, z, radius):
    return BRepPrimAPI_MakeSphere(gp_Pnt(3000.0 + ahead, y, 800.0 + z), radius).Solid()


@pytest.mark.parametrize("tilt", few(TILTS, 1))
@pytest.mark.parametrize("way", [-1.0, 1.0])
@pytest.mark.parametrize(("y", "z"), [(0.0, 300.0), (-240.0, -240.0), (400.0, 0.0)])
def test_a_ball_on_either_side_of_a_cone(tilt, way, y, z) -> None:
    """At its middle, less the radius over the cosine of the cone's slope."""
    away = hypot(y, z)
    found, at, _ = gap(tilt, ball(way * 200.0, y, z, 30.0))
    due = 200.0 - ROOT - SLOPE * (away - HOLE) - 30.0 * hypot(1.0, SLOPE)
    assert found == pytest.approx(due, abs=1e-5)
    assert _from_ring(tilt, at, way) == pytest.approx(due, abs=1e-4)


@pytest.mark.parametrize("way", [-1.0, 1.0])
def test_a_first_answer_is_told_by_meshes_within_its_bound(way) -> None:
    model = machine(-6.0, {"wing": ball(way * 200.0, 0.0, 300.0, 30.0)})
    bodies = {name: replace(body, rough=True) for name, body in bodies_of(model).items()}
    wanted = {"swept volume", "along the shaft to wing"}
    answers = asked(model, bodies, lambda question: question.name in wanted)
    found, _, bound = answers["along the shaft to wing"]
    due = 200.0 - ROOT - SLOPE * (300.0 - HOLE) - 30.0 * hypot(1.0, SLOPE)
    assert 1e-3 < bound < 0.3
    assert found == pytest.approx(due, abs=bound)


def test_the_bound_of_a_first_answer_covers_the_other_side_of_the_blades() -> None:
    """A bracket round the tips: a pin ahead, and an arm behind that ends just out of the ring.

    Of the arm a mesh tells less: the pin was said to be nearest, give or take 0.001 mm. The arm
    is, by 1 mm.
    """
    arm = box((3200.0, -5.0, 1100.0), (3230.0, 5.0, 1455.0))
    due = 200.0 - ROOT - FLEX
    tip = 3000.0 - (due + 1.0) - ROOT - SLOPE * (hypot(510.0, 5.0) - HOLE)
    pin = box((2700.0, -5.0, 1300.0), (tip, 5.0, 1310.0))
    post = box((2690.0, -8.0, 1290.0), (2700.0, 8.0, 1456.0))
    beam = box((2690.0, -9.0, 1455.0), (3240.0, 9.0, 1460.0))
    bracket = fuse([pin, post, beam, arm], "wing", "bracket")
    assert gap(0.0, bracket)[0] == pytest.approx(due, abs=1e-3)
    bodies = bodies_of(model := machine(0.0, {"wing": bracket}))
    rough = {name: replace(body, rough=True) for name, body in bodies.items()}
    wanted = {"swept volume", "along the shaft to wing"}
    answers = asked(model, rough, lambda question: question.name in wanted)
    found, _, bound = answers["along the shaft to wing"]
    assert abs(found - due) <= bound < 2.0


def _from_ring(tilt, at, way) -> float:
    """Return how far a point stands before the face at its own radius (closed form)."""
    off = np.subtract(at, MIDDLE)
    along = float(off @ np.array(line(tilt).direction))
    radius = float(np.linalg.norm(off - along * np.array(line(tilt).direction)))
    return way * along - ROOT - SLOPE * (radius - HOLE)


@pytest.mark.parametrize("tilt", few(TILTS, 1, 2))
@pytest.mark.parametrize("seed", range(4))
def test_a_turned_box_against_its_corners(tilt, seed) -> None:
    """The gap is concave over a flat face, least at corners or where the ring ends."""
    rng = np.random.default_rng(seed)
    half = rng.uniform(10.0, 60.0, 3)
    way, degrees = rng.normal(size=3), rng.uniform(0.0, 180.0)
    far = rng.uniform(200.0, 500.0)
    centre = np.array([3000.0 - 260.0, far * np.cos(seed), 800.0 + far * np.sin(seed)])
    solid = turned(box(tuple(-half), tuple(half)), tuple(way), degrees, tuple(centre))
    from scipy.spatial.transform import Rotation

    matrix = Rotation.from_rotvec(way / np.linalg.norm(way) * np.radians(degrees)).as_matrix()
    corners = np.array(list(product((-1, 1), repeat=3))) * half @ matrix.T + centre - MIDDLE
    # All of it stands within the ring: the corners are the edges' ends, where a concave is least.
    radius = np.hypot(corners[:, 1], corners[:, 2])
    assert HOLE < radius.min() < radius.max() < TIP
    due = (-corners[:, 0] - ROOT - SLOPE * (radius - HOLE)).min()
    assert gap(tilt, solid)[0] == pytest.approx(due, abs=1e-5)


@pytest.mark.parametrize("tilt", few(TILTS, 1))
@pytest.mark.parametrize(("start", "end", "due"), [(30.0, 320.0, 320.0), (400.0, 900.0, TIP)])
def test_a_bar_across_the_ring_is_nearest_at_its_outer_end_within_it(tilt, start, end, due) -> None:
    """A bar along a radius, 100 mm ahead of the middle: the face comes nearest farthest out."""
    solid = box((2800.0, start, 799.0), (2900.0, end, 801.0))
    found, *_ = gap(tilt, solid)
    radius = min(hypot(due, 1.0), TIP)
    assert found == pytest.approx(100.0 - ROOT - SLOPE * (radius - HOLE), abs=1e-5)


@pytest.mark.parametrize("side", [1.0, -1.0])
@pytest.mark.parametrize("tilt", few(TILTS, 1))
def test_one_blade_in_the_way_on_one_side_only(side, tilt) -> None:
    """A rod that ends 8 mm within the face at its radius, another the same way off clear of it."""
    there, away = 3000.0 - ROOT - SLOPE * (300.0 - HOLE), 250.0
    deep = cylinder((2500.0, 0.0, 800.0 + side * 300.0), (1, 0, 0), 0.5, there + 8.0 - 2500.0)
    clear = cylinder((2500.0, 0.0, 800.0 - side * 300.0), (1, 0, 0), 0.5, away)
    found = propeller_figures(machine(tilt, {"strut": deep, "boom": clear}))["prop.axial_clearance"]
    assert found.part == "strut"
    assert found.value == pytest.approx(-8.0 - SLOPE * 0.5, abs=1e-3)
    assert "shares" in found.note


@pytest.mark.parametrize("order", [("a", "b"), ("b", "a")])
@pytest.mark.parametrize("tilt", few(TILTS, 1))
def test_of_two_parts_the_nearer_counts_whichever_comes_first(order, tilt) -> None:
    """One ahead by 40 mm, one behind by 25: at their middles, less radii over the cosine."""
    near, far = ball(125.0, 0.0, 300.0, 40.0), ball(-140.0, 0.0, -300.0, 40.0)
    parts = dict(zip(order, (near, far), strict=True))
    found = propeller_figures(machine(tilt, parts))["prop.axial_clearance"]
    due = 125.0 - ROOT - SLOPE * (300.0 - HOLE) - 40.0 * hypot(1.0, SLOPE)
    assert (found.part, found.value) == (order[0], pytest.approx(due, abs=1e-5))


@pytest.mark.parametrize("tilt", few(TILTS, 1))
@pytest.mark.parametrize(("y", "radius"), [(0.0, 60.0), (720.0, 60.0)])
def test_what_stands_in_the_hole_or_outside_the_tips_has_no_gap(tilt, y, radius) -> None:
    assert gap(tilt, cylinder((2500.0, y, 800.0), (1, 0, 0), radius, 300.0)) is None


def test_no_part_at_all_has_no_figure() -> None:
    found = propeller_figures(machine(0.0, {}))["prop.axial_clearance"]
    assert found.value is None
    assert "no part" in found.note


def test_blades_narrower_at_the_tips_are_refused_not_measured_wrong() -> None:
    from asking import bodies_of

    model = machine(0.0, {"wing": ball(-200.0, 0.0, 300.0, 30.0)}, flex=-20.0)
    bodies = bodies_of(model)
    profile = ((-ROOT, HOLE), (-14.0, TIP), (14.0, TIP), (ROOT, HOLE))
    swept = Swept(line(0.0), profile, "prop_disc")
    with pytest.raises(GeometryError, match="narrower at the tips"):
        along_the_shaft(swept, "wing", bodies["wing"], bodies["prop_disc"])
    found = propeller_figures(model, bodies)["prop.axial_clearance"]
    assert found.value is None
    assert "narrower at the tips" in found.note

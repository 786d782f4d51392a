"""True distances to blades and spinner by the questions that `check` asks, against shapely.

The distance of a point from a body of revolution is that of (along, radius) from its profile in the
half-plane; of a ball, less its radius. A shaken convex spinner is its profile plus a rectangle.
"""

from dataclasses import replace
from functools import cache
from math import cos, hypot, radians, sin

import numpy as np
import pytest
import shapely
from asking import asked, bodies_of, propeller_figures
from few_cases import few
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Pnt
from scipy.spatial.transform import Rotation

from geomgen.kernel.brep.primitives import box, cylinder, revolved, tilted, turned
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis, Shake
from geomgen.kernel.solids.booleans import fuse
from geomgen.measurements.propeller.near_propeller import (
    PartDistance,
    near_blades,
    near_spinner,
    shaken,
    spinner_record,
)
from geomgen.measurements.propeller.swept import swept_volume

MIDDLE, HOLE, TIP = (3000.0, 0.0, 800.0), 80.0, 650.0
PROFILE = [(-34.0, HOLE), (-91.0, TIP), (91.0, TIP), (34.0, HOLE)]
FLAT = [(-34.0, HOLE), (-34.0, TIP), (34.0, TIP), (34.0, HOLE)]
CONE = [(-150.0, 0.0), (-20.0, 75.0), (30.0, 75.0), (160.0, 20.0), (160.0, 0.0)]
SHAKE = Shake(4.0, 6.0)
TILTS = [0.0, -6.0, 11.0]


def line(tilt: float) -> Axis:
    return Axis(MIDDLE, (cos(radians(tilt)), 0.0, -sin(radians(tilt))))


@cache
def turned_profile(tilt, *profile):
    return revolved(profile, line(tilt))


def machine(tilt, parts, profile=PROFILE, spinner=None) -> Model:
    """Return blades, maybe a spinner, and parts beside a level shaft, all turned."""
    every = {name: tilted(solid, MIDDLE, tilt) for name, solid in parts.items()}
    every["prop_disc"] = turned_profile(tilt, *profile)
    if spinner:
        every["spinner"] = turned_profile(tilt, *spinner)
    families = {name: name for name in every}
    return Model(parts=every, families=families, thrust_line=line(tilt), shake=SHAKE)


def figures(tilt, parts, profile=PROFILE, spinner=None):
    return propeller_figures(machine(tilt, parts, profile, spinner))


def at(along, radius, turn):
    return (
        MIDDLE[0] + along,
        radius * cos(radians(turn)),
        MIDDLE[2] + radius * sin(radians(turn)),
    )


def ball(along, away, turn, radius):
    return BRepPrimAPI_MakeSphere(gp_Pnt(*at(along, away, turn)), radius).Solid()


def from_profile(profile, along, radius) -> float:
    return float(shapely.distance(shapely.Polygon(profile), shapely.Point(along, radius)))


# Blades ---------------------------------------------------------------------------------------

PLACES = [
    pytest.param(-250.0, 300.0, id="ahead"),
    pytest.param(240.0, 500.0, id="behind", marks=pytest.mark.long),
    pytest.param(10.0, 760.0, id="outside the tips"),
    pytest.param(-160.0, 740.0, id="off the tips' front corner", marks=pytest.mark.long),
    pytest.param(190.0, 700.0, id="off the tips' back corner"),
    pytest.param(-120.0, 0.0, id="ahead of the hole", marks=pytest.mark.long),
]


@pytest.mark.parametrize(
    ("turn", "tilt"),
    [
        (90.0, -6.0),
        *(pytest.param(*way, marks=pytest.mark.long) for way in ((0.0, 11.0), (215.0, 0.0))),
    ],
)
@pytest.mark.parametrize(("along", "away"), PLACES)
def test_a_ball_round_the_blades(along, away, turn, tilt) -> None:
    found = figures(tilt, {"wing": ball(along, away, turn, 25.0)})["prop.clearance"]
    due = from_profile(PROFILE, along, away) - 25.0
    assert found.value == pytest.approx(due, abs=max(1e-5, found.error_bound))
    assert found.error_bound < 1e-3
    assert np.linalg.norm(np.subtract(*found.points)) == pytest.approx(due, abs=1e-3)


@pytest.mark.parametrize(
    "seed", [0, 1, *(pytest.param(n, marks=pytest.mark.long) for n in (2, 3, 4))]
)
def test_a_turned_box_against_dense_points_of_its_skin(seed) -> None:
    rng = np.random.default_rng(seed)
    half, way, degrees = rng.uniform(20, 80, 3), rng.normal(size=3), rng.uniform(0, 180)
    along, away = rng.uniform(-350, 350), rng.uniform(400, 900)
    if abs(along) < 230:
        away = rng.uniform(800, 900)
    centre = np.array(at(along, away, 40.0 * seed))
    solid = turned(box(tuple(-half), tuple(half)), tuple(way), degrees, tuple(centre))
    step = np.linspace(-1, 1, 161)
    u, v = (grid.ravel() for grid in np.meshgrid(step, step))
    faces = [
        np.roll(np.c_[s * np.ones_like(u), u, v], k, axis=1) for k in range(3) for s in (1, -1)
    ]
    matrix = Rotation.from_rotvec(way / np.linalg.norm(way) * np.radians(degrees)).as_matrix()
    skin = np.concatenate(faces) * half @ matrix.T + centre - MIDDLE
    flat = shapely.points(skin[:, 0], np.hypot(skin[:, 1], skin[:, 2]))
    due = float(shapely.distance(shapely.Polygon(PROFILE), flat).min())
    found = figures(0.0, {"wing": solid})["prop.clearance"]
    # A point of the skin is no farther than half a cell's diagonal from one of those looked at.
    assert due - 0.71 * half.max() * 2 / 160 <= found.value <= due + 1e-5


@pytest.mark.parametrize("tilt", few(TILTS, 1))
@pytest.mark.parametrize(
    ("way", "side"), few([(-1, 1), (-1, -1), (1, 1), (1, -1)], 0, 3, rows=True)
)
def test_a_part_among_the_blades_on_one_side_is_as_deep_as_it_goes(way, side, tilt) -> None:
    """A rod 8 mm into the flat face at 300 mm; one that is clear the same way off, opposite."""
    deep = [3000.0 + way * 26.0, 3000.0 + way * 400.0]
    clear = [3000.0 + way * 50.0, 3000.0 + way * 400.0]
    parts = {
        name: cylinder((min(ends), 0.0, 800.0 + s * 300.0), (1, 0, 0), 3.0, abs(ends[1] - ends[0]))
        for name, ends, s in (("boom", clear, -side), ("wing", deep, side))
    }
    found = figures(tilt, parts, FLAT)["prop.clearance"]
    assert (found.part, found.note) == ("wing", "wing is struck")
    assert found.value == pytest.approx(-8.0, abs=found.error_bound)
    assert found.error_bound < 0.5


@pytest.mark.parametrize("order", [("a", "b"), ("b", "a")])
def test_of_two_parts_the_nearer_counts_whichever_comes_first(order) -> None:
    near, far = ball(240.0, 500.0, 30.0, 25.0), ball(-260.0, 500.0, 210.0, 25.0)
    found = figures(0.0, dict(zip(order, (near, far), strict=True)))["prop.clearance"]
    due = from_profile(PROFILE, 240.0, 500.0) - 25.0
    assert (found.part, found.value) == (order[0], pytest.approx(due, abs=1e-5))


def test_no_fixed_part_has_no_figure() -> None:
    found = figures(0.0, {}, spinner=CONE)
    for id_ in ("prop.clearance", "prop.spinner_clearance"):
        assert found[id_].value is None
        assert "no fixed part" in found[id_].note


@pytest.mark.parametrize(
    "tilt", [-6.0, *(pytest.param(tilt, marks=pytest.mark.long) for tilt in (0.0, 11.0))]
)
def test_of_an_engine_its_shaft_alone_does_not_count(tilt) -> None:
    """A case of 200 mm that ends 60 mm ahead of the middle, a shaft 10 mm within the hole."""
    case = cylinder((2600.0, 0.0, 800.0), (1, 0, 0), 200.0, 340.0)
    shaft = cylinder((2600.0, 0.0, 800.0), (1, 0, 0), 70.0, 500.0)
    engine = fuse([case, shaft], "engine", "shaft")
    ring = shapely.LineString([(-60.0, HOLE), (-60.0, 200.0)])
    due = float(shapely.distance(shapely.Polygon(PROFILE), ring))
    found = figures(tilt, {"engine": engine})["prop.clearance"]
    assert (found.part, found.value) == ("engine", pytest.approx(due, abs=1e-4))
    # Of a fixed part the shaft counts: it comes nearer.
    fixed = figures(tilt, {"tail_fairing": engine})["prop.clearance"]
    assert fixed.value == pytest.approx(HOLE - 70.0, abs=1e-4)


def test_the_question_and_the_function_give_the_same() -> None:
    model = machine(-6.0, {"wing": ball(-250.0, 300.0, 70.0, 25.0)})
    bodies = bodies_of(model)
    swept = swept_volume(model.parts["prop_disc"], model)
    near = near_blades(swept, bodies["prop_disc"], bodies["wing"], False)
    assert near is not None
    answer = asked(model, bodies)["from the blades to wing"]
    assert answer[:2] == [near.gap, near.bound]


# Spinner --------------------------------------------------------------------------------------


def test_a_first_answer_is_told_by_meshes_within_its_bound() -> None:
    model = machine(0.0, {"wing": ball(-200.0, 300.0, 40.0, 30.0)})
    swept = swept_volume(model.parts["prop_disc"], model)
    bodies = {name: replace(body, rough=True) for name, body in bodies_of(model).items()}
    near = near_blades(swept, bodies["prop_disc"], bodies["wing"], False)
    assert 1e-3 < near.bound < 0.3
    due = from_profile(PROFILE, -200.0, 300.0) - 30.0
    assert near.gap == pytest.approx(due, abs=near.bound)


def swung(profile):
    """Return all places of a convex profile, mirrored at the shaft, when it is shaken."""
    both = [(s, k * r) for s, r in profile for k in (1, -1)]
    ways = [(a * SHAKE.axial, b * SHAKE.radial) for a in (1, -1) for b in (1, -1)]
    moved = [(s + a, r + b) for s, r in both for a, b in ways]
    return shapely.MultiPoint(moved).convex_hull


@pytest.mark.parametrize(
    ("along", "away", "turn", "tilt"),
    [
        *((5.0, 120.0, 0.0, -6.0),),
        pytest.param(-110.0, 90.0, 130.0, 11.0, marks=pytest.mark.long),
        pytest.param(190.0, 0.0, 0.0, 0.0, marks=pytest.mark.long),
        *(
            pytest.param(*place, turn, tilt, marks=pytest.mark.long)
            for place in ((-190.0, 0.0), (-110.0, 90.0), (5.0, 120.0), (90.0, 110.0))
            for turn, tilt in ((0.0, 11.0), (130.0, -6.0), (250.0, 0.0))
        ),
    ],
)
def test_a_ball_round_a_shaken_spinner(along, away, turn, tilt) -> None:
    """Ahead, beside its nose, abreast, beside its tail, behind."""
    found = figures(tilt, {"wing": ball(along, away, turn, 12.0)}, spinner=CONE)
    record = found["prop.spinner_clearance"]
    due = float(shapely.distance(swung(CONE), shapely.Point(along, away))) - 12.0
    assert due > 0.0
    assert record.value == pytest.approx(due, abs=record.error_bound)
    assert record.error_bound < 0.4


@pytest.mark.parametrize("tilt", [0.0, 11.0])
def test_the_shaken_hull_is_as_large_as_the_profiles_sum(tilt) -> None:
    model = machine(tilt, {}, spinner=CONE)
    spinner = bodies_of(model)["spinner"]
    made = shaken(spinner, line(tilt), SHAKE)
    points = made.to_mesh64().vert_properties[:, :3] - MIDDLE
    way = np.array(line(tilt).direction)
    along = points @ way
    radius = np.linalg.norm(points - along[:, None] * way, axis=1)
    assert (along.min(), along.max()) == pytest.approx((-154.0, 164.0), abs=0.1)
    assert radius.max() == pytest.approx(75.0 + 6.0, abs=0.15)


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_what_it_strikes_on_one_side_only_when_shaken_is_struck(side) -> None:
    """5 mm of room abreast, 6 mm of shake; the part on the other side is clear by 30."""
    plates = {
        name: box((2985.0, -20.0, low), (3020.0, 20.0, low + 10.0))
        for name, low in (
            ("wing", 800.0 + (80.0 if side > 0 else -90.0)),
            ("boom", 800.0 + (-120.0 if side > 0 else 110.0)),
        )
    }
    found = figures(0.0, plates, FLAT, CONE)["prop.spinner_clearance"]
    assert (found.part, found.note) == ("wing", "wing is struck")
    assert found.value == 0.0


@pytest.mark.parametrize("order", [("a", "b"), ("b", "a")])
def test_of_two_parts_the_nearer_to_the_spinner_counts(order) -> None:
    near, far = ball(5.0, 120.0, 0.0, 12.0), ball(5.0, 150.0, 180.0, 12.0)
    parts = dict(zip(order, (near, far), strict=True))
    found = figures(0.0, parts, spinner=CONE)["prop.spinner_clearance"]
    assert found.part == order[0]
    due = float(shapely.distance(swung(CONE), shapely.Point(5.0, 120.0))) - 12.0
    assert found.value == pytest.approx(due, abs=found.error_bound)


@pytest.mark.long
def test_points_of_a_shaken_spinner_are_as_far_apart_as_is_said() -> None:
    model = machine(0.0, {"wing": ball(90.0, 110.0, 50.0, 12.0)}, spinner=CONE)
    bodies = bodies_of(model)
    near = near_spinner(bodies["spinner"], bodies["wing"], line(0.0), SHAKE)
    assert hypot(*np.subtract(*near.points)) == pytest.approx(near.gap, abs=1e-9)


def test_the_bound_of_the_least_covers_a_part_that_may_be_nearer() -> None:
    parts = {"exit": PartDistance(35.0, 0.01), "pod": PartDistance(35.1, 0.2), "wing": None}
    found = spinner_record("spinner", Shake(4.0, 6.0), parts)
    assert (found.part, found.error_bound) == ("exit", pytest.approx(0.1))

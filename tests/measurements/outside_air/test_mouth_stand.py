"""How mouths stand on the skin: rectangles and ellipses at known gaps over plates and cylinders."""

from dataclasses import replace
from math import cos, hypot, pi, radians, sin, sqrt

import numpy as np
import pytest
import shapely
import trimesh
from plain_machines import mesh_of
from scipy.integrate import quad

from geomgen.air.slow_layer.following import LayerHere
from geomgen.errors import GeometryError
from geomgen.kernel.plain import Opening, Plane
from geomgen.measurements.outside_air.mouth_stand import mouth_stand, mouth_stands

RADIUS, WIDE, HIGH = 300.0, 160.0, 56.0
LAYER = LayerHere(2.0, 2.8, 20.0, 9 / 7, 0.003, True)
SKINS = ("plate", "cylinder")


def as_mesh(body):
    return mesh_of(body.vertices, body.faces)


def turned(body, clock=0.0, pitch=0.0):
    """Return a body turned nose up about the buttock line, then about the stations' axis [deg]."""
    for angle, axis in ((-pitch, (0.0, 1.0, 0.0)), (clock, (1.0, 0.0, 0.0))):
        body.apply_transform(trimesh.transformations.rotation_matrix(radians(angle), axis))
    return body


def skin(kind, clock=0.0):
    """Return a plate, or a cylinder along the stations, that `RADIUS` lies above at clock 0."""
    if kind == "plate":
        body = trimesh.creation.box(bounds=[(-900, -900, -100), (900, 900, RADIUS)])
    else:
        body = trimesh.creation.cylinder(RADIUS, 1800.0, sections=720)
        body.apply_transform(trimesh.transformations.rotation_matrix(pi / 2, (0.0, 1.0, 0.0)))
    return turned(body, clock)


def flat(shape, grown=0.0):
    """Return a rectangle or an ellipse about the middle (across, up) [mm]."""
    if shape == "ellipse":
        a, b = WIDE / 2 + grown, HIGH / 2 + grown
        return shapely.affinity.scale(shapely.Point(0, 0).buffer(1.0, quad_segs=64), a, b)
    return shapely.box(-WIDE / 2 - grown, -HIGH / 2 - grown, WIDE / 2 + grown, HIGH / 2 + grown)


def standing(gap, shape="rectangle", wall=4.0, clock=0.0, pitch=0.0, slot=None, kind="plate"):
    """Return skin and scoop, whose mouth stands `gap` [mm] off the skin, and the mouth."""
    ring = flat(shape, wall).difference(flat(shape))
    if slot is not None:  # a scoop that was built wrong: a slit in its side
        ring = ring.difference(shapely.box(0.0, -slot / 2, WIDE, slot / 2))
    pipe = trimesh.creation.extrude_polygon(ring, 90.0)
    # Across the extrusion to the right, up along it aft.
    way = np.array([[0, 0, 1, 0], [1, 0, 0, 0], [0, 1, 0, 0], [0, 0, 0, 1]], dtype=float)
    pipe = turned(pipe.apply_transform(way), pitch=pitch)
    lean = radians(pitch)
    at = RADIUS + gap + HIGH / 2 * cos(lean)
    pipe = turned(pipe.apply_translation((0.0, 0.0, at)), clock)
    around = radians(clock)
    middle = (0.0, -at * sin(around), at * cos(around))
    normal = (cos(lean), -sin(lean) * sin(around), sin(lean) * cos(around))
    mouth = Opening("scoop_a", Plane(middle, normal), middle, hypot(WIDE / 2, HIGH / 2) + 12.0)
    return {"pod": as_mesh(skin(kind, clock)), "scoop_a": as_mesh(pipe)}, mouth


def stand(*given, **more):
    bodies, mouth = standing(*given, **more)
    return mouth_stand(mouth, bodies, ["pod"])


@pytest.mark.parametrize("kind", SKINS)
@pytest.mark.parametrize("gap", [0.5, 6.0, 150.0])
@pytest.mark.parametrize("clock", [0.0, 90.0, -70.0, 180.0])
def test_gap_and_height_are_those_that_were_drawn(kind, gap, clock):
    """Above, left, right and under the pod; the facets of the cylinder are 0.003 mm off."""
    found = stand(gap, clock=clock, kind=kind)
    assert found.gap == pytest.approx(gap, abs=0.01)
    assert found.height == pytest.approx(HIGH, abs=0.02)
    assert found.breadth == pytest.approx(WIDE, abs=1e-3)
    assert found.shares.sum() == pytest.approx(1.0)


@pytest.mark.parametrize("wall", [1.0, 25.0])
@pytest.mark.parametrize("shape", ["rectangle", "ellipse"])
def test_walls_are_no_part_of_the_opening(shape, wall):
    """Told by the outside of the scoop it would be two walls higher, and so much nearer."""
    found = stand(30.0, shape, wall)
    assert (found.gap, found.height) == pytest.approx((30.0, HIGH), abs=0.06)


def test_strips_over_a_cylinder_count_from_where_the_skin_falls_away():
    found = stand(6.0, kind="cylinder")
    half = WIDE / 31 * 15  # the middle of the outermost of 31 strips
    for at, radius in ((found.gaps, RADIUS + 6.0), (found.tops, RADIUS + 6.0 + HIGH)):
        assert at.max() == pytest.approx(hypot(half, radius) - RADIUS, abs=0.02)
        assert at.min() == pytest.approx(radius - RADIUS, abs=0.02)


@pytest.mark.parametrize(("gap", "thick"), [(6.0, 20.0), (0.5, 80.0), (25.0, 20.0)])
def test_share_lost_of_a_round_mouth_is_the_mean_over_its_ellipse(gap, thick):
    """Against the integral of 1 - (y / thick)^(H - 1) over the ellipse's breadth at each y."""
    half, power = HIGH / 2, LAYER.shape - 1.0

    def lost(y):
        breadth = sqrt(max(0.0, 1.0 - ((y - gap - half) / half) ** 2)) / (pi * half / 2)
        return breadth * (1.0 - min(1.0, y / thick) ** power)

    true = quad(lost, gap, min(gap + HIGH, max(thick, gap)), limit=200)[0]
    found = stand(gap, "ellipse").lost(LAYER, thick)
    assert found == pytest.approx(true, rel=0.02, abs=1e-6)
    if thick > gap:
        assert stand(gap).lost(LAYER, thick) > found


@pytest.mark.parametrize("pitch", [-25.0, 25.0])
def test_a_leaning_mouth_counts_square_to_the_skin(pitch):
    found = stand(6.0, pitch=pitch)
    # The plane is looked at 0.1 mm inside, where a leaning one stands a little higher or lower.
    assert found.gap == pytest.approx(6.0, abs=0.1)
    assert found.height == pytest.approx(HIGH * cos(radians(pitch)), abs=0.02)


def test_a_mouth_whose_plane_lies_along_the_skin_takes_in_what_is_there():
    found = stand(HIGH, pitch=90.0)
    assert found.gap == pytest.approx(HIGH, abs=0.2)
    assert found.height < 0.01
    assert found.lost(LAYER, HIGH / 2) == 0.0
    power = LAYER.shape - 1.0
    assert found.lost(LAYER, 2 * HIGH) == pytest.approx(1.0 - 0.5**power, abs=2e-3)


def test_a_mouth_that_the_skin_closes_stands_on_it():
    """Sunk to its middle in the skin: what is left is half as high, its gap none."""
    bodies, mouth = standing(-HIGH / 2)
    above = replace(mouth, seed=(0.0, 0.0, RADIUS + HIGH / 4))
    found = mouth_stand(above, bodies, ["pod"])
    assert found.gap == pytest.approx(0.0, abs=1e-6)
    assert found.height == pytest.approx(HIGH / 2, abs=0.01)


def sunk(joint, stated):
    """Return a mouth whose scoop is trimmed to the skin so that a joint is left."""
    bodies, mouth = standing(-HIGH / 4)
    whole = trimesh.Trimesh(bodies["scoop_a"].vertices, bodies["scoop_a"].triangles)
    above = trimesh.creation.box(bounds=[(-900, -900, RADIUS + joint), (900, 900, RADIUS + 500)])
    trimmed = whole.intersection(above, engine="manifold")
    seed = (0.0, 0.0, RADIUS + HIGH / 2)
    return {**bodies, "scoop_a": as_mesh(trimmed)}, replace(mouth, joint=stated, seed=seed)


def test_a_joint_as_wide_as_stated_counts_as_closed_and_a_wider_one_leaks():
    bodies, mouth = sunk(0.3, 0.3)
    found = mouth_stand(mouth, bodies, ["pod"])
    assert found.gap == pytest.approx(0.0, abs=1e-6)
    assert found.height == pytest.approx(0.75 * HIGH, abs=0.02)
    # The sealant ends somewhere in the joint.
    assert found.breadth == pytest.approx(WIDE, abs=0.3)
    for joint, stated in ((2.0, 0.3), (0.3, 0.0)):
        bodies, mouth = sunk(joint, stated)
        with pytest.raises(GeometryError, match="not closed all round"):
            mouth_stand(mouth, bodies, ["pod"])


def test_wrong_scoops_are_not_told_a_height():
    """One with a slit in its side, one whose middle is blocked; the good one beside is told."""
    bodies, mouth = standing(6.0, slot=5.0)
    plug = trimesh.creation.box(extents=(30.0, 30.0, 30.0)).apply_translation(mouth.seed)
    closed, other = standing(6.0)
    shut, good = replace(other, name="scoop_b"), replace(other, name="scoop_c")
    families = {"pod": "pod", "scoop_a": "scoop", "engine": "engine"}
    assert mouth_stands([good], closed, families)[1] == {}
    _, leaks = mouth_stands([mouth], bodies, families)
    assert "not closed all round" in leaks["scoop_a"]
    _, blocked = mouth_stands([shut], {**closed, "engine": as_mesh(plug)}, families)
    assert "stands in its middle" in blocked["scoop_b"]


def test_another_scoop_beside_it_is_no_skin():
    bodies, mouth = standing(6.0)
    beside = trimesh.creation.box(bounds=[(-200, 90.0, RADIUS), (200, 200.0, RADIUS + 200)])
    families = {"pod": "pod", "scoop_a": "scoop", "scoop_f": "scoop"}
    stands, _ = mouth_stands([mouth], {**bodies, "scoop_f": as_mesh(beside)}, families)
    assert stands["scoop_a"].gap == pytest.approx(6.0, abs=0.01)


def test_the_mouths_of_an_example_stand_as_its_file_says(
    saltmarsh, saltmarsh_model, saltmarsh_meshes
):
    """So far off where the skin is highest under it; the middle of it lies a little lower."""
    mouths = [passage.mouth for passage in saltmarsh_model.passages]
    meshes = {name: mesh for name, (mesh, _) in saltmarsh_meshes.items()}
    stands, why = mouth_stands(mouths, meshes, saltmarsh_model.families)
    (scoop,) = saltmarsh.scoops
    assert why == {}
    assert len(stands) == 2
    for found in stands.values():
        assert found.gap == pytest.approx(scoop.boundary_layer_gap, abs=0.3)
        assert found.height == pytest.approx(scoop.height, abs=0.3)
        assert found.breadth == pytest.approx(scoop.width, abs=0.3)

"""The least section of passages by chance, against closed forms (DERIVED): the bound holds.

Round and box-shaped passages that dive at any angle, taper or have a waist, looked at in planes
that stand askew to them. Ways to be wrong: a plane that is not square to the passage measures too
much; the least place lies between the planes; a plane leaves the passage and takes in less.
"""

import math
import random
from dataclasses import replace

import numpy as np
import pytest
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakePolygon
from OCP.BRepOffsetAPI import BRepOffsetAPI_ThruSections
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS
from one_look import ducts

from geomgen.kernel.brep.primitives import box, cylinder, revolved
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis, Opening, Passage, Plane
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.cooling_air.throat import narrowest_section

LONG = 150.0
# Thirty of each kind; ten of them in the default run.
SEEDS = [*range(10), *(pytest.param(n, marks=pytest.mark.long) for n in range(10, 30))]


def way(dive: float, aside: float):
    """Return the unit vector of a stream that dives and turns aside [deg]."""
    d, a = math.radians(dive), math.radians(aside)
    return (math.cos(d) * math.cos(a), math.cos(d) * math.sin(a), -math.sin(d))


def along(direction, far: float, origin=(0.0, 0.0, 0.0)):
    return tuple(o + far * c for o, c in zip(origin, direction, strict=True))


def around(direction):
    """Return two unit vectors square to a direction and to each other."""
    d = np.array(direction)
    one = np.cross(d, (0.0, 0.0, 1.0))
    one /= np.linalg.norm(one)
    return one, np.cross(d, one)


def prism(direction, width: float, height: float):
    """Return a body of rectangles square to a direction, from 300 mm before to 300 mm behind."""
    one, two = around(direction)
    loft = BRepOffsetAPI_ThruSections(True, True)
    for far in (-300.0, 300.0):
        outline = BRepBuilderAPI_MakePolygon()
        for a, b in ((1, 1), (-1, 1), (-1, -1), (1, -1)):
            corner = np.array(along(direction, far)) + a * width / 2 * one + b * height / 2 * two
            outline.Add(gp_Pnt(*map(float, corner)))
        outline.Close()
        loft.AddWire(outline.Wire())
    loft.Build()
    return TopoDS.Solid(loft.Shape())


def leaning(direction, by: float, towards: float):
    """Return a unit vector that leans off a direction [deg], towards an angle round it."""
    one, two = around(direction)
    turn = math.cos(towards) * one + math.sin(towards) * two
    lean = math.radians(by)
    found = math.cos(lean) * np.array(direction) + math.sin(lean) * turn
    return tuple(float(c) for c in found)


def passage(direction, lean, rng, places=(-45.0, 0.0, 45.0), reach=150.0):
    planes = []
    for far in places:
        seed = along(direction, far)
        normal = leaning(direction, lean * rng.uniform(-1, 1), rng.uniform(0, 2 * math.pi))
        planes.append(Opening(f"at {far:.0f}", Plane(seed, normal), seed, reach))
    return Passage("a", planes[0], tuple(planes[1:]), along(direction, 900.0))


def block(bore):
    return cut(box((-LONG, -LONG, -LONG), (LONG, LONG, LONG)), [bore], "scoop", "bore")


def round_bore(rng, direction):
    """Return a bore and its least area between the outer planes: straight, tapered or waisted."""
    kind, least = rng.choice(("straight", "taper", "waist")), rng.uniform(15.0, 40.0)
    axis = Axis((0.0, 0.0, 0.0), direction)
    if kind == "straight":
        return cylinder(along(direction, -300.0), direction, least, 600.0), math.pi * least**2
    if kind == "waist":
        # Where the least ring is, a cone begins on each side.
        at, wide = rng.uniform(-30.0, 30.0), least + rng.uniform(40.0, 100.0)
        ends = [(at - 300.0, wide), (at, least), (at + 300.0, wide)]
        bore = revolved([(at - 300.0, 0.0), *ends, (at + 300.0, 0.0)], axis)
        return bore, math.pi * least**2
    slope = rng.uniform(0.02, 0.09)
    profile = [(-200.0, 0.0), (-200.0, least + 245.0 * slope), (200.0, least - 155.0 * slope)]
    return revolved([*profile, (200.0, 0.0)], axis), math.pi * least**2


def figure(bodies, solid, where):
    parts = {"scoop": solid}
    model = Model(parts=parts, families={"scoop": "scoop"}, passages=[where])
    (found,) = [m for m in ducts(model, bodies(parts)) if m.id.startswith("duct.throat_area")]
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_round_passages_by_chance(bodies, seed) -> None:
    rng = random.Random(seed)
    direction = way(rng.uniform(-50.0, 50.0), rng.uniform(-40.0, 40.0))
    bore, least = round_bore(rng, direction)
    found = figure(bodies, block(bore), passage(direction, rng.uniform(0.0, 30.0), rng))
    assert abs(found.value - least) <= found.error_bound
    assert found.error_bound < 0.08 * least


@pytest.mark.parametrize("seed", SEEDS)
def test_box_passages_by_chance(bodies, seed) -> None:
    rng = random.Random(1000 + seed)
    direction = way(rng.uniform(-50.0, 50.0), rng.uniform(-40.0, 40.0))
    width, height = rng.uniform(30.0, 80.0), rng.uniform(20.0, 70.0)
    solid = block(prism(direction, width, height))
    found = figure(bodies, solid, passage(direction, rng.uniform(0.0, 30.0), rng))
    assert abs(found.value - width * height) <= found.error_bound
    assert found.error_bound < 0.08 * width * height


@pytest.mark.parametrize("dive", [0.0, 20.0, 32.0, 45.0])
def test_upright_planes_do_not_measure_a_dive_too_large(bodies, dive) -> None:
    """As frames stand: an upright plane takes in 1 / cos of the dive too much."""
    direction = way(dive, 0.0)
    where = passage(direction, 0.0, random.Random(1))
    upright = tuple(
        replace(o, plane=replace(o.plane, normal=(1.0, 0.0, 0.0)))
        for o in (where.mouth, *where.throats)
    )
    where = replace(where, mouth=upright[0], throats=upright[1:])
    found = figure(bodies, block(prism(direction, 60.0, 40.0)), where)
    assert abs(found.value - 2400.0) <= found.error_bound < 60.0
    if dive > 15.0:
        assert "narrower than in any plane" in found.note
        assert len(found.points) == 1


def test_a_collar_between_two_planes_is_found(bodies) -> None:
    direction = (1.0, 0.0, 0.0)
    bore = cylinder((-300.0, 0.0, 0.0), direction, 40.0, 600.0)
    body = cut(
        cylinder((15.0, 0.0, 0.0), direction, 60.0, 12.0),
        [cylinder((-300.0, 0.0, 0.0), direction, 34.0, 600.0)],
        "collar",
        "bore",
    )
    parts = {"scoop": block(bore), "collar": body}
    where = passage(direction, 0.0, random.Random(1))
    model = Model(parts=parts, families={n: n for n in parts}, passages=[where])
    found = ducts(model, bodies(parts))[0]
    assert abs(found.value - math.pi * 34.0**2) <= found.error_bound
    assert 15.0 <= found.points[0][0] <= 27.0


def test_a_passage_without_a_closed_section_has_no_least(bodies) -> None:
    plate = bodies({"scoop": box((-50.0, -50.0, 20.0), (50.0, 50.0, 25.0))})
    assert narrowest_section(passage((1.0, 0.0, 0.0), 0.0, random.Random(1)), plate) is None

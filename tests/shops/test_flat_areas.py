"""Areas that are all but the same: the same rectangle, turned in two ways; width times height."""

import numpy as np
import pytest
from shapely import Polygon
from shapely.affinity import rotate
from shops.foam.rings import slab

from geomgen.shops.flat_areas import shared, united
from geomgen.shops.foam.holes import room_for

# Found among random ones: laid over each other as they are, twice their area or none comes out.
ALIKE = [(141, 239, 179.45, (74, 107)), (321, 160, 173.846, (190, 70))]
ALIKE_ROOMS = [(104, 194, 123.485, (276, 40)), (391, 69, 33.854, (59, 238))]


def turned_twice(width, height, angle, at):
    """Return one rectangle, turned round its corner by two libraries."""
    corners = np.array([(0, 0), (width, 0), (width, height), (0, height)])
    level = Polygon(corners + at)
    turn = np.radians(angle)
    about = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    return Polygon(corners @ about.T + at), rotate(level, angle, origin=at)


@pytest.mark.parametrize(("width", "height", "angle", "at"), ALIKE)
def test_areas_that_are_all_but_the_same(width, height, angle, at):
    both = turned_twice(width, height, angle, at)
    assert united(both).area == pytest.approx(width * height)
    assert shared(both).area == pytest.approx(width * height)


@pytest.mark.parametrize(("width", "height", "angle", "at"), ALIKE)
def test_the_last_slab_of_a_prismatic_body_that_ends_in_a_point(width, height, angle, at):
    both = turned_twice(width, height, angle, at)
    one, other = (np.array(area.exterior.coords[:-1]) for area in both)
    assert slab(1, 0.0, 50.0, (one, other, None)).cut_volume == pytest.approx(width * height * 50.0)


@pytest.mark.parametrize(("width", "height", "angle", "at"), ALIKE_ROOMS)
def test_holes_in_slabs_of_a_prismatic_body(width, height, angle, at):
    room = room_for(turned_twice(width, height, angle, at), 5.0, False)
    assert room.area == pytest.approx((width - 10) * (height - 10))


def test_no_areas_have_nothing_together():
    assert united([]).is_empty

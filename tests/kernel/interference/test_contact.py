"""How much skin lies within reach, in closed form (DERIVED)."""

import math

import pytest
from meshed_bodies import body

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.interference.contact import seat
from geomgen.kernel.meshes.search import MeshSearch


def seated(a, b, reach):
    return seat(body(a).mesh.corners, MeshSearch(body(b).mesh.corners), reach)


def test_a_block_on_a_block() -> None:
    """60 by 40 on a larger face, and what of its sides is below 1.6 mm over the face."""
    found = seated(box((0, 0, 0.4), (60, 40, 30)), box((-99, -99, -50), (99, 99, 0)), 2.0)
    assert found.flat == pytest.approx(60 * 40, rel=1e-6)
    assert found.area == pytest.approx(60 * 40 + 200 * 1.6, rel=0.05)
    assert found.way == pytest.approx((0.0, 0.0, -1.0), abs=1e-9)


def test_what_runs_round_a_part_has_no_one_direction() -> None:
    ring = seated(
        cylinder((0, 0, 0), (1, 0, 0), 40.0, 100.0),
        cylinder((-50, 0, 0), (1, 0, 0), 41.0, 200.0),
        2.0,
    )
    assert ring.flat < 0.01 * ring.area
    assert ring.area == pytest.approx(2 * math.pi * 40.0 * 100.0, rel=0.02)


def test_out_of_reach_is_no_seat() -> None:
    found = seated(box((0, 0, 5), (9, 9, 9)), box((0, 0, 0), (9, 9, 1)), 2.0)
    assert (found.area, found.flat) == (0.0, 0.0)

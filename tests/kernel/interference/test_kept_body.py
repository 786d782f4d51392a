"""Bodies out of a store: nothing is read or made before it is asked for, and then once."""

import numpy as np
import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.interference.kept_body import KeptBody
from geomgen.kernel.interference.meeting import body_of, meeting
from geomgen.kernel.meshing.proven import mesh

CUBE = box((0, 0, 0), (9, 9, 9))


def kept(solid, asked):
    return KeptBody(lambda: asked.append(1) or solid, mesh(solid, 0.1), 0.01, True)


def test_solid_and_hull_wait_until_they_are_asked_for():
    asked: list[int] = []
    body = kept(CUBE, asked)
    assert (len(body.mesh.triangles), body.deviation, body.rough) == (12, 0.01, True)
    assert not asked
    assert body.hull.volume() == pytest.approx(729.0)
    assert not asked
    assert body.solid is body.solid is CUBE
    assert asked == [1]


def test_a_fresh_one_reads_its_solid_anew_and_has_the_same_hull():
    body = kept(CUBE, [])
    other = body.fresh(lambda: "anew")
    assert other.solid == "anew"
    assert body.solid is CUBE
    assert other.hull is body.hull
    assert (other.mesh, other.deviation, other.rough) == (body.mesh, 0.01, True)


def test_it_meets_others_as_a_whole_body_does():
    pin = box((7, 1, 1), (20, 8, 8))
    whole = [body_of(solid, mesh(solid, 0.1), 0.01) for solid in (CUBE, pin)]
    assert meeting(kept(CUBE, []), kept(pin, [])) == meeting(*whole)


def test_a_mesh_that_is_open_is_refused_where_its_hull_is_asked_for():
    whole = mesh(CUBE, 0.1)
    object.__setattr__(whole, "triangles", np.delete(whole.triangles, 0, axis=0))
    with pytest.raises(GeometryError, match="its mesh is refused"):
        _ = KeptBody(lambda: CUBE, whole, 0.01).hull

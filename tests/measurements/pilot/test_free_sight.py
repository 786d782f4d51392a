"""Free angles about the horizon: of plain spans by hand, of tubes and boxes in closed form.

Source: closed forms; rays through the meshes of another library (manifold3d).
"""

from math import asin, atan2, cos, degrees, hypot, radians, sin, sqrt, tan

import numpy as np
import pytest
from asking import bodies_of
from hypothesis import given, settings
from hypothesis import strategies as st
from seated_pilots import tube
from surveyed_models import model_of

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.meshes.glazing import less_glass
from geomgen.kernel.plain import Glass
from geomgen.kernel.plane_frame import at_station
from geomgen.measurements.pilot.free_sight import (
    SLIT,
    Barred,
    Hull,
    SightEdge,
    barred_in,
    free_about,
    free_bank,
)

EYE = (1200.0, 0.0, 1000.0)
INNER, WALL = 400.0, 5.0
angles = st.floats(-89.0, 89.0)


def span(low, high, bound=0.0):
    return Barred(SightEdge(low, bound), SightEdge(high, bound))


def free(*spans):
    return tuple(edge.angle for edge in free_about([span(*one) for one in spans]))


def test_by_hand():
    assert free() == (90.0, 90.0)
    assert free((-90.0, -30.0), (10.0, 20.0)) == (30.0, 10.0)
    # The horizon is barred: what is nearer, above or below.
    assert free((-90.0, 12.0), (60.0, 70.0)) == (-12.0, 60.0)
    assert free((-90.0, -40.0), (-5.0, 30.0)) == (40.0, -5.0)
    assert free((-90.0, 90.0)) == (-90.0, -90.0)


def test_slits_count_as_barred():
    just = 0.99 * SLIT
    assert free((-90.0, -30.0), (-30.0 + just, -10.0)) == (10.0, 90.0)
    assert free((-90.0, -30.0), (-30.0 + 1.01 * SLIT, -10.0)) == (10.0, 90.0)
    assert free((-90.0, -just / 2), (just / 2, 50.0)) == (-50.0, 90.0)


@given(st.lists(st.tuples(angles, angles), max_size=6))
def test_no_span_reaches_into_the_gap(pairs):
    spans = [span(*sorted(pair)) for pair in pairs]
    down, up = (edge.angle for edge in free_about(spans))
    inside = np.linspace(-down, up, 7)[1:-1]
    barred = any(one.low.angle < a < one.high.angle for one in spans for a in inside)
    assert not barred or (down, up) == (-90.0, -90.0)


def test_the_bound_is_that_of_the_edges():
    down, up = free_about([span(-90.0, -30.0, 0.2), span(10.0, 20.0, 0.7)])
    assert (down.bound, up.bound) == pytest.approx((0.2, 0.7))


@pytest.fixture(scope="module")
def pod():
    """A tube of revolution about WL 0."""
    return bodies_of(model_of({"pod": tube(0.0, 2000.0, INNER, WALL)}))["pod"]


@settings(max_examples=6)
@given(sill=st.floats(-300.0, 300.0), above=st.floats(20.0, 80.0))
def test_over_the_sill_of_a_round_pod(pod, sill, above):
    """The skin's outer corner at the sill bars farthest up."""
    eye = (1000.0, 0.0, sill + above)
    hull = Hull("pod", less_glass(pod.hull, Glass(500.0, 1500.0, sill, sill)), pod.deviation)
    due = degrees(atan2(above, sqrt((INNER + WALL) ** 2 - sill**2)))
    for side in (1.0, -1.0):
        down, up = free_about(list(barred_in([hull], at_station(eye[0]), eye, side)))
        assert down.angle == pytest.approx(due, abs=down.bound + 0.02)
        assert down.bound < 0.1
        assert up.angle == 90.0


@pytest.mark.parametrize(("fore_sill", "aft_sill"), [(100.0, -50.0), (-120.0, 80.0)])
def test_a_sloping_sill_is_taken_where_the_eye_is(pod, fore_sill, aft_sill):
    eye = (1100.0, 0.0, 150.0)
    sill = fore_sill + (aft_sill - fore_sill) * 0.6
    glass = Glass(500.0, 1500.0, fore_sill, aft_sill)
    hull = Hull("pod", less_glass(pod.hull, glass), pod.deviation)
    down, _ = free_about(list(barred_in([hull], at_station(eye[0]), eye, 1.0)))
    due = degrees(atan2(eye[2] - sill, sqrt((INNER + WALL) ** 2 - sill**2)))
    assert down.angle == pytest.approx(due, abs=0.03)


def test_a_closed_pod_bars_all(pod):
    eye = (1000.0, 0.0, 50.0)
    hull = Hull("pod", pod.hull, pod.deviation)
    down, up = free_about(list(barred_in([hull], at_station(eye[0]), eye, 1.0)))
    assert (down.angle, up.angle) == (-90.0, -90.0)


def hull_of(low, high):
    (body,) = bodies_of(model_of({"part": box(low, high)})).values()
    return Hull("part", body.hull, body.deviation)


def test_the_tip_of_a_high_wing_is_what_hides_the_turn():
    wing = hull_of((200.0, -4000.0, 1300.0), (800.0, 4000.0, 1350.0))
    for side in (1.0, -1.0):
        assert free_bank([wing], EYE, side).angle == pytest.approx(degrees(atan2(300, 4000)))
    assert free_bank([hull_of((1250.0, -4e3, 1300.0), (1800.0, 4e3, 1350.0))], EYE, 1).angle == 90
    assert free_bank([hull_of((200.0, 500.0, 900.0), (800.0, 700.0, 1100.0))], EYE, 1).angle == 0
    assert free_bank([hull_of((200.0, 500.0, 900.0), (800.0, 700.0, 1100.0))], EYE, -1).angle == 90


@settings(max_examples=10)
@given(
    low=st.tuples(st.floats(-900, 1000), st.floats(-900, 800), st.floats(700, 1600)),
    size=st.tuples(st.floats(50, 700), st.floats(50, 900), st.floats(20, 300)),
)
def test_rays_along_the_banked_horizon_meet_it_then_and_not_before(low, size):
    hull = hull_of(low, tuple(a + b for a, b in zip(low, size, strict=True)))
    for side in (1.0, -1.0):
        found = free_bank([hull], EYE, side).angle
        for bank, due in ((found - 0.6, False), (found + 0.6, True)):
            if 1.0 < bank < 85.0 and found < 85.0:
                assert met(hull.mesh, radians(bank), side) is due


def met(mesh, bank, side):
    """Say whether rays along the horizon on the inside of a turn meet a mesh, ahead of the beam."""
    for off in np.radians(np.linspace(0.3, 90.0, 700)):
        ahead, out = cos(off), sin(off)
        way = np.array([-ahead, side * out * cos(bank), out * sin(bank)])
        # No point before the beam or nearer than the eye's own millimetre.
        if mesh.ray_cast(list(np.array(EYE) + way * 1.5 / max(out, 0.02)), list(EYE + 1e4 * way)):
            return True
    return False


def test_the_angle_of_bank_is_that_of_the_horizon():
    """A thin rod far to the side stands on the horizon at a bank of its own elevation."""
    for bank in (10.0, 35.0):
        z = EYE[2] + 3000.0 * tan(radians(bank))
        rod = hull_of((1100.0, 2999.0, z), (1190.0, 3000.0, z + 1.0))
        found = free_bank([rod], EYE, 1.0)
        assert found.angle == pytest.approx(bank, abs=1e-6)
        reach = hypot(3000.0, z - EYE[2])
        assert found.bound == pytest.approx(degrees(asin(rod.deviation / reach)), abs=1e-3)


def test_a_nose_across_the_horizon_is_known_by_its_widest_place():
    """It bars from the eye's own line on, where no angle could be told."""
    nose = hull_of((200.0, -250.0, 600.0), (700.0, 250.0, 1100.0))
    nose = Hull("nose", nose.mesh, 0.4)
    for side in (1.0, -1.0):
        found = free_bank([nose], EYE, side)
        assert found.angle == pytest.approx(0.0, abs=1e-9)
        assert found.bound == pytest.approx(degrees(0.4 / 250.0))

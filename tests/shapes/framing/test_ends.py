"""Where half frames are cut off: clear of a wing through the pod or of a sill, by other means."""

from functools import cache
from math import cos, hypot, radians, sin

import numpy as np
import pytest
import shapely
from framed_pods import MIDDLE, framed, pod_of
from framed_pods import frame as sheet
from scipy.interpolate import CubicSpline

from geomgen.errors import GeometryError
from geomgen.kernel.solids.properties import bounding_box
from geomgen.parameters.records.aircraft import Joint
from geomgen.shapes.aerofoil import angles
from geomgen.shapes.framing.ends import end_heights, end_planes
from geomgen.shapes.framing.published import front_of, sheets
from geomgen.shapes.lifting import outline_at, wing_sections

GAP = 5.0


@cache
def through(dihedral=0.0):
    """Return a pod with a wing through its middle, STA 700 to 1600."""
    p = pod_of()
    first, second = p.wing.sections[:2]
    root = first.model_copy(update={"chord": 900.0, "buttock_line": 0.0})
    tip = second.model_copy(update={"chord": 900.0, "dihedral": dihedral, "sweep": 0.0})
    wing = p.wing.model_copy(
        update={"leading_edge": 700.0, "waterline": MIDDLE, "sections": (root, tip)}
    )
    joints = tuple(j for j in p.joints if (j.trim, j.to) != ("wing", "pod"))
    return p.model_copy(update={"wing": wing, "joints": joints})


def profile(p):
    """Return the wing's section in the centre plane, station and waterline [mm]."""
    points = outline_at(wing_sections(p, p.wing), 0.0)[:, [0, 2]]
    turn = angles()
    return shapely.Polygon(CubicSpline(turn, points)(np.linspace(turn[0], turn[-1], 6001)))


def side_view(frame, low, high):
    """Return what of a sheet is kept as it is seen from the side [mm]."""
    lean = radians(frame.tilt)
    corners = [(0.0, low), (frame.thickness, low), (frame.thickness, high), (0.0, high)]
    return shapely.Polygon(
        [
            (frame.station + t * cos(lean) + v * sin(lean), MIDDLE - t * sin(lean) + v * cos(lean))
            for t, v in corners
        ]
    )


@pytest.mark.parametrize("station", [760.0, 950.0, 1400.0])
@pytest.mark.parametrize("tilt", [-15.0, 0.0, 12.0])
@pytest.mark.parametrize("side", ["under", "over"])
def test_a_frame_ends_as_far_off_the_wing_as_asked(station, tilt, side):
    p = through()
    frame = sheet(
        station=f"{station} mm", tilt=f"{tilt} deg", end_gap=f"{GAP} mm", **{side: "wing"}
    )
    low, high = end_heights(p, frame, front_of(p, frame))
    kept = side_view(frame, max(low, -500.0), min(high, 500.0))
    assert kept.distance(profile(p)) == pytest.approx(GAP, abs=0.03)


def test_a_frame_just_ahead_of_the_wing_counts_and_one_far_ahead_is_refused():
    p = through()
    near = sheet(station="691 mm", end_gap=f"{GAP} mm", under="wing")
    _, high = end_heights(p, near, front_of(p, near))
    assert side_view(near, -500.0, high).distance(profile(p)) == pytest.approx(GAP, abs=0.05)
    far = sheet(station="680 mm", end_gap=f"{GAP} mm", under="wing")
    with pytest.raises(GeometryError, match=r"from STA 700 to 1[56]\d\d mm, does not cross it"):
        end_heights(p, far, front_of(p, far))


def test_a_frame_under_a_wing_that_hangs_down_is_clear_of_it_out_to_the_pods_side():
    level, hanging = (
        end_heights(p, frame, front_of(p, frame))[1]
        for p in (through(), through(-6.0))
        for frame in (sheet(under="wing", end_gap=f"{GAP} mm"),)
    )
    assert hanging - level == pytest.approx(-300.0 * np.tan(radians(6.0)), abs=1.0)


def test_a_frame_under_a_sill_that_slopes_is_square_off_it():
    p = pod_of()
    slope = (p.canopy.aft_sill - p.canopy.fore_sill) / (
        p.canopy.aft_station - p.canopy.fore_station
    )
    frame = sheet(station="700 mm", under="canopy", end_gap=f"{GAP} mm")
    _, high = end_heights(p, frame, front_of(p, frame))
    sill = p.canopy.fore_sill + slope * (700.0 - p.canopy.fore_station)
    # A sill that rises aft is lowest over the front face.
    assert slope > 0.0
    assert MIDDLE + high == pytest.approx(sill - GAP * hypot(1.0, slope), abs=1e-3)


@pytest.mark.parametrize(("key", "word", "most"), [("top", "under", "at most"),
                                                   ("bottom", "over", "at least")])  # fmt: skip
def test_a_height_in_a_wing_that_passes_through_is_refused_with_what_would_do(key, word, most):
    p = through()
    frame = sheet(**{key: f"{MIDDLE} mm"})
    with pytest.raises(GeometryError, match=rf'lies in the wing.*{word} = "wing", or {most}'):
        end_heights(p, frame, front_of(p, frame))
    trimmed = p.model_copy(update={"joints": (*p.joints, Joint(trim="wing", to="pod"))})
    assert np.isfinite(end_heights(trimmed, frame, front_of(p, frame))).any()


def test_the_planes_of_the_cuts_are_where_the_solid_ends():
    p = pod_of(sheet(tilt="10 deg", top="900 mm", bottom="700 mm", width="40 mm"))
    low, high = end_planes(p, p.frames[0], front_of(p, p.frames[0]))
    assert (low.origin[2], high.origin[2]) == pytest.approx((700.0, 900.0), abs=1e-9)
    assert (low.normal[2], high.normal[2]) == pytest.approx((-cos(radians(10)), cos(radians(10))))
    made, published = framed(p), sheets(p)
    assert list(published) == ["frame_one_right", "frame_one_left"]
    for name, one in published.items():
        assert one.ends == (low, high)
        assert bounding_box(made[name].solid).high[2] == pytest.approx(900.0, abs=1e-3)

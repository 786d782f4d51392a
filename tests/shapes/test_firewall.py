"""The sheet: its section against the hull's, its holes, its lean."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from few_cases import few

from geomgen.errors import GeometryError
from geomgen.kernel.solids.properties import bounding_box, volume
from geomgen.shapes.firewall import firewall, mid_plane, station_at_skin
from geomgen.shapes.hull import pod_lines


def plain(variant, *more: str):
    p = variant("firewall.flange=0 mm", *more)
    bare = p.model_copy(update={"firewall": p.firewall.model_copy(update={"penetrations": ()})})
    return bare, firewall(bare, pod_lines(bare)).solid


def polygon_area(p, station: float) -> float:
    """Return the area inside the hull's wall and gap at a station, from many points (DERIVED)."""
    half = pod_lines(p).lines.section(station, 2000)
    tangent = np.gradient(half, axis=0)
    normal = np.stack([-tangent[:, 1], tangent[:, 0]], axis=-1)
    normal /= np.hypot(*normal.T)[:, None]
    # The section's own normal, lengthened by the slope of the skin along the body.
    ahead, behind = (pod_lines(p).lines.section(station + d, 2000) for d in (1.0, -1.0))
    slope = np.sum((ahead - behind) / 2.0 * normal, axis=1)
    inner = half - (p.pod.wall + p.firewall.gap) * np.sqrt(1 + slope**2)[:, None] * normal
    y, z = inner.T
    return 2 * abs(float(np.sum(0.5 * (y[1:] + y[:-1]) * np.diff(z))))


def test_volume_is_section_times_thickness(variant) -> None:
    p, solid = plain(variant)
    middle = p.firewall.station + p.firewall.thickness / 2
    assert volume(solid).value / p.firewall.thickness == pytest.approx(
        polygon_area(p, middle), rel=2e-4
    )


def test_holes_take_out_their_circles(variant) -> None:
    p, bare = plain(variant)
    full = variant("firewall.flange=0 mm")
    drilled = firewall(full, pod_lines(full)).solid
    holes = sum(math.pi / 4 * h.diameter**2 for h in full.firewall.penetrations)
    assert volume(bare).value - volume(drilled).value == pytest.approx(
        holes * p.firewall.thickness, rel=1e-5
    )


def test_lean_is_top_aft_and_keeps_the_thickness(variant) -> None:
    p, solid = plain(variant, "firewall.tilt=6 deg")
    box = bounding_box(solid)
    assert box.size[0] == pytest.approx(
        p.firewall.thickness / math.cos(math.radians(6))
        + (box.size[2] - p.firewall.thickness * math.sin(math.radians(6)))
        * math.tan(math.radians(6)),
        rel=2e-3,
    )
    plane, _ = mid_plane(p)
    assert plane.normal[0] > 0
    assert plane.normal[2] < 0


def test_flange_reaches_as_far_as_stated(variant) -> None:
    for direction, low, high in (("aft", 0.0, 25.4), ("forward", -25.0, 0.4)):
        p = variant(f'firewall.flange_direction="{direction}"')
        box = bounding_box(firewall(p, pod_lines(p)).solid)
        assert box.low[0] - p.firewall.station == pytest.approx(low, abs=1e-3)
        assert box.high[0] - p.firewall.station == pytest.approx(high, abs=1e-3)


@pytest.mark.parametrize("flange", [0.0, 30.0])
@pytest.mark.parametrize("tilt", few([-30.0, -17.0, 0.0, 20.0, 30.0], 0, 3))
def test_leaning_sheet_in_a_cylinder(tilt, flange) -> None:
    """Any tilt that is allowed: a leaning cut of a cylinder is an ellipse, pi r^2 / cos (DERIVED).

    The flange is a tube of length flange / cos along the axis, whichever way its ends lean.
    """
    one = math.radians(tilt)
    p = in_a_cylinder(tilt, flange)
    solid = firewall(p, pod_lines(p)).solid
    r = 250.0 - 4.0 - 0.3
    wanted = math.pi * r**2 * 0.5 / math.cos(one)
    wanted += math.pi * (r**2 - (r - 0.5) ** 2) * flange / math.cos(one)
    assert volume(solid, 1e-9).value == pytest.approx(wanted, rel=1e-4)
    box = bounding_box(solid)
    ahead = 750.0 - abs(math.tan(one)) * r - 20.0 * math.tan(one)
    assert box.low[0] == pytest.approx(ahead, abs=0.01)


@pytest.mark.parametrize("around", [-90.0, -30.0, 0.0, 45.0, 90.0])
@pytest.mark.parametrize("tilt", [-25.0, 0.0, 30.0])
def test_a_leaning_sheet_meets_the_skin_of_a_cylinder(tilt, around) -> None:
    """At its place round the hull, not on the thrust line: x + (r sin a - 20) tan (DERIVED)."""
    p, a = in_a_cylinder(tilt, 0.0), math.radians(around)
    found = station_at_skin(p, pod_lines(p), (math.cos(a), math.sin(a)))
    due = 750.0 + (250.0 * math.sin(a) - 20.0) * math.tan(math.radians(tilt))
    assert found == pytest.approx(due, abs=0.1)


def test_a_sheet_that_leaves_the_hull_there_is_refused() -> None:
    p = in_a_cylinder(30.0, 0.0)
    p.firewall.station = 1450.0
    with pytest.raises(GeometryError, match="write the mouth as a station"):
        station_at_skin(p, pod_lines(p), (0.0, 1.0))


def in_a_cylinder(tilt: float, flange: float) -> SimpleNamespace:
    """Return a firewall at STA 750 in a round hull of radius 250 about WL 0, thrust line WL 20."""
    rows = [
        SimpleNamespace(
            station=x,
            crown=250.0,
            keel=-250.0,
            breadth=500.0,
            breadth_height=0.0,
            fullness_upper=2**0.5 - 1,
            fullness_lower=2**0.5 - 1,
        )
        for x in (0.0, 500.0, 1000.0, 1500.0)
    ]
    sheet = SimpleNamespace(
        station=750.0,
        tilt=tilt,
        thickness=0.5,
        gap=0.3,
        flange=flange,
        flange_direction="aft",
        penetrations=(),
    )
    pod = SimpleNamespace(stations=rows, wall=4.0, nose="flat", tail="open")
    return SimpleNamespace(pod=pod, firewall=sheet, propeller=SimpleNamespace(waterline=20.0))

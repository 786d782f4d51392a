"""The firewall measured on plain solids of known size."""

import math

import numpy as np
import pytest
from shops.sheet_metal.trays import START, measured, tray

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder, tilted
from geomgen.kernel.plain import Plane
from geomgen.kernel.solids.booleans import cut, fuse
from geomgen.shops.sheet_metal.flat_pattern.solid import measure_sheet


def test_disc_with_flange_and_holes() -> None:
    sheet = measured(tray(holes=((40.0, 30.0, 22.0), (-50.0, 0.0, 9.5))))
    assert sheet.thickness == pytest.approx(1.0, abs=1e-9)
    assert sheet.rim == pytest.approx(20.5, abs=1e-9)
    assert np.hypot(sheet.outline[:, 0], sheet.outline[:, 1] - 700.0) == pytest.approx(150.0)
    assert [hole.diameter for hole in sheet.holes] == pytest.approx([22.0, 9.5])
    assert sheet.on_front(sheet.holes[0].centre) == pytest.approx((40.0, 730.0))
    assert sheet.area == pytest.approx(math.pi * (150**2 - 11**2 - 4.75**2), rel=1e-6)


def test_outline_is_counter_clockwise_from_the_top() -> None:
    """Seen from aft the right-hand side is on the right, so it turns to the left first."""
    outline = measured(tray()).outline
    assert outline[0] == pytest.approx((0.0, 850.0), abs=1e-6)
    assert outline[5, 0] < -1.0


def test_flange_forward_is_seen() -> None:
    bowl = cut(
        box((0.0, -50.0, 0.0), (12.0, 50.0, 80.0)),
        [box((-5.0, -49.0, 1.0), (11.0, 49.0, 79.0))],
        "firewall",
        "pocket",
    )
    sheet = measure_sheet(bowl, Plane((11.5, 0.0, 40.0), (1.0, 0.0, 0.0)), (11.5, 0.0, 40.0))
    assert sheet.frame.toward == -1.0
    assert sheet.rim == pytest.approx(11.5)


def test_leaning_sheet_keeps_places_on_its_front() -> None:
    """A hole at 30 mm up a sheet that leans by 20 deg stands 30 cos 20 mm up."""
    about = (START, 0.0, 700.0)
    solid = tilted(tray(holes=((0.0, 30.0, 10.0),)), about, 20.0)
    lean = math.radians(20.0)
    normal = (math.cos(lean), 0.0, -math.sin(lean))
    middle = (START + 0.5 * normal[0], 0.0, 700.0 + 0.5 * normal[2])
    sheet = measure_sheet(solid, Plane(middle, normal), middle)
    assert sheet.on_front(sheet.holes[0].centre) == pytest.approx(
        (0.0, 700.0 + 30.0 * math.cos(lean)), abs=1e-6
    )
    assert sheet.thickness == pytest.approx(1.0, abs=1e-6)


def test_flanges_on_both_sides_are_refused() -> None:
    ring = cut(
        cylinder((START - 10.0, 0.0, 700.0), (1.0, 0.0, 0.0), 150.0, 10.0),
        [cylinder((START - 11.0, 0.0, 700.0), (1.0, 0.0, 0.0), 149.0, 12.0)],
        "firewall",
        "ring",
    )
    both = fuse([tray(flange=20.0), ring], "firewall", "flanges")
    with pytest.raises(GeometryError, match="both sides"):
        measured(both)


def test_plane_beside_the_sheet_is_refused() -> None:
    with pytest.raises(GeometryError, match="no sheet"):
        measure_sheet(
            tray(flange=0.0), Plane((START - 3.0, 0, 700), (1.0, 0, 0)), (START - 3.0, 0, 700)
        )

"""The profile of bodies of revolution, against closed forms; what is none is refused."""

from math import cos, pi, radians, sin

import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere, BRepPrimAPI_MakeTorus
from OCP.TopoDS import TopoDS_Solid

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder, moved, revolved, wheel
from geomgen.kernel.plain import Axis
from geomgen.kernel.sections.revolution import cone, profile_of, swept_volume
from geomgen.kernel.solids.booleans import fuse
from geomgen.kernel.solids.properties import volume

CORNERS = [(-34.0, 81.0), (-49.0, 656.0), (60.0, 656.0), (34.0, 81.0)]


def line(tilt: float) -> Axis:
    return Axis((3000.0, 5.0, 800.0), (cos(radians(tilt)), 0.0, -sin(radians(tilt))))


@pytest.mark.parametrize("tilt", [0.0, -6.0, 9.0])
def test_corners_come_back(tilt: float) -> None:
    found = profile_of(revolved(CORNERS, line(tilt)), line(tilt))
    assert len(found) == len(CORNERS)
    for corner, due in zip(sorted(found), sorted(CORNERS), strict=True):
        assert corner == pytest.approx(due, abs=1e-6)


def test_volume_of_a_frustum() -> None:
    """Radius 2 to 1, height 3: 7 pi."""
    assert swept_volume(((0.0, 0.0), (0.0, 2.0), (3.0, 1.0), (3.0, 0.0))) == pytest.approx(7 * pi)


@pytest.mark.parametrize("by", [(0.0, 0.01, 0.0), (0.0, 0.0, 0.01), (0.0, 0.2, -0.3)])
def test_off_the_axis_is_refused(by: tuple[float, float, float]) -> None:
    with pytest.raises(GeometryError, match="not as large on all sides"):
        profile_of(moved(revolved(CORNERS, line(0.0)), by), line(0.0))


def test_a_lump_on_one_side_is_refused() -> None:
    disc = revolved(CORNERS, line(0.0))
    lump = box((2990.0, 600.0, 790.0), (3010.0, 700.0, 810.0))
    with pytest.raises(GeometryError):
        profile_of(fuse([disc, lump], "disc", "lump"), line(0.0))


def test_round_edges_are_refused() -> None:
    axle = Axis((0.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    with pytest.raises(GeometryError, match="straight-sided"):
        profile_of(wheel((0.0, 0.0, 0.0), 360.0, 110.0), axle)


@pytest.mark.parametrize(
    "solid", [BRepPrimAPI_MakeSphere(100.0).Solid(), BRepPrimAPI_MakeTorus(50.0, 10.0).Solid()]
)
def test_a_profile_without_corners_is_refused(solid: TopoDS_Solid) -> None:
    """A ball, a torus: neither has three corners to be measured between."""
    with pytest.raises(GeometryError, match="its profile is not straight-sided"):
        profile_of(solid, Axis((0.0, 0.0, 0.0), (0.0, 0.0, 1.0)))


def test_two_discs_are_refused() -> None:
    two = fuse([cylinder((0, 0, 0), (1, 0, 0), 50.0, 10.0)], "a", "b")
    other = Axis((0.0, 0.0, 500.0), (1.0, 0.0, 0.0))
    with pytest.raises(GeometryError, match=r"single outline|all sides"):
        profile_of(two, other)


def test_area_of_a_cone() -> None:
    """Lateral area of a frustum: pi (r + R) times the slant."""
    from geomgen.kernel.solids.properties import area

    face = cone(line(4.0), (0.0, 10.0), (40.0, 40.0))
    assert area(face).value == pytest.approx(pi * 50.0 * 50.0, rel=1e-6)
    assert volume(revolved(CORNERS, line(0.0))).value == pytest.approx(
        swept_volume(tuple(CORNERS)), rel=1e-6
    )

"""Scoops: mouth, standing off, names, both sides."""

import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.meshing import is_closed, meshed
from geomgen.kernel.openings import opening
from geomgen.kernel.properties import mass_properties
from geomgen.shapes.hull import pod_lines
from geomgen.shapes.scoop import course, passage_rows, routes, scoop, scoop_names, skin_heights


def test_mouth_has_the_drawn_area_before_any_trimming(variant) -> None:
    """w h - (4 - pi) r^2 (plane geometry, DERIVED), measured in the mouth of the solid."""
    import math

    p = variant()
    pod = pod_lines(p)
    pieces = scoop(p, pod, 0)
    ways = routes(p, pod)
    s = p.scoops[0]
    for piece, route in zip(pieces, ways, strict=True):
        mouth = route.mouth
        found = opening(mouth.plane, mouth.seed, mouth.reach, [piece.solid])
        assert found.area == pytest.approx(
            s.width * s.height - (4 - math.pi) * s.corner_radius**2, rel=1e-6
        )


def test_mouth_stands_off_the_skin(variant) -> None:
    p, pod = variant(), None
    pod = pod_lines(p)
    c, s = course(p, pod, 0), p.scoops[0]
    _, high = skin_heights(pod, c.frame, c.mouth, s.width / 2 + s.wall)
    assert c.start - s.height / 2 - high == pytest.approx(s.standoff)


def test_passage_keeps_its_height_across_its_own_slope(variant) -> None:
    """A section across the axis is taller by 1 / cos of the slope where the passage dives."""
    import numpy as np

    p = variant()
    pod = pod_lines(p)
    share = np.linspace(0, 1, 201)
    rows = passage_rows(p, 0, course(p, pod, 0), share)
    slope = np.gradient(rows.middle, rows.x)
    height = 2 * rows.half_height * np.cos(np.arctan(slope))
    assert height[1:-1] == pytest.approx(p.scoops[0].height, rel=1e-3)


def test_names_of_sides_and_of_the_centre_plane(variant) -> None:
    assert scoop_names(variant(), 0) == ("scoop_cheek_right", "scoop_cheek_left")
    assert scoop_names(variant("scoops.cheek.mirrored=false"), 0) == ("scoop_cheek",)
    assert scoop_names(variant("scoops.cheek.around=90 deg"), 0) == ("scoop_cheek",)


def test_mouth_by_station(variant) -> None:
    p = variant("scoops.cheek.mouth=1850 mm")
    assert course(p, pod_lines(p), 0).mouth == pytest.approx(1850.0)


def test_a_scoop_broader_than_the_hull_is_refused_by_key(variant) -> None:
    p = variant("scoops.cheek.width=560 mm", "scoops.cheek.around=80 deg")
    with pytest.raises(GeometryError) as caught:
        course(p, pod_lines(p), 0)
    assert "scoops.cheek.width" in caught.value.look_at


@pytest.mark.parametrize("tolerance", [0.1, 1.0, 2.0])
def test_a_coarse_tolerance_meshes_what_a_fine_one_does(variant, tolerance) -> None:
    """A lip of 0.3 mm is smaller than the tolerance: the mesh is as fine there as it must be."""
    p = variant(
        "scoops.cheek.wall=1 mm",
        "scoops.cheek.lip_radius=0.3 mm",
        "scoops.cheek.corner_radius=4 mm",
    )
    solid = scoop(p, pod_lines(p), 0)[0].solid
    made = meshed(solid, tolerance)
    assert is_closed(made.mesh)
    assert made.deviation.largest <= tolerance
    size = mass_properties(solid)
    assert abs(made.mesh.volume - size.volume) <= 1.1 * made.deviation.largest * size.area

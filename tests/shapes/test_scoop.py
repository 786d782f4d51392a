"""Scoops: mouth, standing off, names, both sides."""

import math
import re
from types import SimpleNamespace

import numpy as np
import pytest
from solid_properties import mass_properties

from geomgen.errors import GeometryError
from geomgen.kernel.lofting.ducts import DuctFrame
from geomgen.kernel.meshing.proven import is_closed, meshed
from geomgen.kernel.openings.window import opening
from geomgen.regeneration.reads import Reads, viewed
from geomgen.shapes.hull import pod_lines
from geomgen.shapes.scoop import (
    BESIDE,
    breaks,
    broadest,
    course,
    cowl_rows,
    passage_rows,
    scoop,
    scoop_names,
    skin_heights,
)
from geomgen.shapes.scoop_route import routes


def test_mouth_has_the_drawn_area_before_any_trimming(variant) -> None:
    """w h - (4 - pi) r^2 (plane geometry, DERIVED), measured in the mouth of the solid."""
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
    assert c.start - s.height / 2 - high == pytest.approx(s.boundary_layer_gap)


def test_passage_keeps_its_height_across_its_own_slope(variant) -> None:
    """A section across the axis is taller by 1 / cos of the slope where the passage dives."""
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
    assert scoop_names(variant("scoops.cheek.clock_angle=90 deg"), 0) == ("scoop_cheek",)


def test_mouth_by_station(variant) -> None:
    p = variant("scoops.cheek.mouth=1850 mm")
    assert course(p, pod_lines(p), 0).mouth == pytest.approx(1850.0)


def test_a_scoop_broader_than_the_hull_is_refused_by_key(variant) -> None:
    p = variant("scoops.cheek.width=560 mm", "scoops.cheek.clock_angle=80 deg")
    with pytest.raises(GeometryError) as caught:
        course(p, pod_lines(p), 0)
    assert "scoops.cheek.width" in caught.value.look_at


@pytest.mark.parametrize(
    "tolerance", [pytest.param(t, marks=pytest.mark.long) for t in (0.1, 1.0, 2.0)]
)
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


# Station, half depth and half breadth of a slim round-nosed pod about waterline 750 mm.
SLIM = [
    *((0, 0, 0), (30, 87.6, 70), (200, 210.2, 168.1), (500, 297.8, 238.2)),
    *((1100, 350.3, 280.2), (1900, 315.3, 252.2), (2500, 245.2, 196.1), (3000, 140.1, 112.1)),
]


def test_edges_between_the_same_corners_do_not_become_one(saltmarsh) -> None:
    """Flush on a slim pod's crown the scoop ends in slivers: at 1 mm two edges are one chord."""
    row, s = saltmarsh.pod.stations[3], saltmarsh.scoops[0]
    stations = tuple(
        row.model_copy(
            update={
                **{"station": x, "crown": 750.0 + high, "keel": 750.0 - high},
                **{"breadth": 2.0 * wide, "breadth_height": 750.0},
                **{"fullness_upper": 0.5, "fullness_lower": 0.5},
            }
        )
        for x, high, wide in SLIM
    )
    changes = {
        **{
            "clock_angle": 90.0,
            "mouth": 1507.0,
            "width": 52.4,
            "height": 19.8,
            "corner_radius": 2.8,
        },
        **{"lip_radius": 1.2, "wall": 3.0, "boundary_layer_gap": 0.0, "gap": 0.5},
        **{"passage_length": 440.0, "fairing_length": 527.0},
    }
    pod = saltmarsh.pod.model_copy(update={"stations": stations, "wall": 8.0})
    scoops = (s.model_copy(update=changes),)
    p = saltmarsh.model_copy(update={"pod": pod, "scoops": scoops})
    solid = scoop(p, pod_lines(p), 0)[0].solid
    for tolerance in (2.0, 1.0, 0.5):
        made = meshed(solid, tolerance)
        assert is_closed(made.mesh)
        assert made.deviation.largest <= tolerance


def test_refusals_name_a_size_that_builds(variant) -> None:
    """What a message offers is taken at its word."""
    alone = ("scoops.cheek.clock_angle=80 deg", "scoops.cheek.mirrored=false")
    wide = variant("scoops.cheek.width=560 mm", *alone)
    with pytest.raises(
        GeometryError, match=r"scoops\.cheek\.width of less than (\d+) mm"
    ) as caught:
        course(wide, pod_lines(wide), 0)
    most = int(re.search(r"less than (\d+) mm", caught.value.problem).group(1))
    assert 200 < most < 560
    fits = variant(f"scoops.cheek.width={most - 1} mm", *alone)
    assert course(fits, pod_lines(fits), 0).mouth > 0


def test_a_scoop_deeper_than_the_hull_is_refused_by_key(variant) -> None:
    deep = (
        "scoops.cheek.clock_angle=90 deg",
        "scoops.cheek.width=100 mm",
        "scoops.cheek.mouth=2300 mm",
    )
    p = variant(*deep, "scoops.cheek.height=480 mm")
    with pytest.raises(GeometryError, match="wall on the other side") as caught:
        cowl_rows(p, 0, course(p, pod_lines(p), 0))
    assert {"scoops.cheek.height", "scoops.cheek.passage_length"} <= set(caught.value.look_at)
    lower = variant(*deep, "scoops.cheek.height=56 mm")
    assert cowl_rows(lower, 0, course(lower, pod_lines(lower), 0)).half_height.min() > 0


@pytest.mark.parametrize("height", [20.0, 56.0])
@pytest.mark.parametrize("corner", [0.1, 0.3, 0.49])
@pytest.mark.parametrize("wall", [1.0, 8.0])
def test_corners_of_any_radius_have_room_in_the_fairing(variant, height, corner, wall) -> None:
    """The cowl is higher than its corners all along, and as thick as its wall over the passage."""
    radius = corner * height
    p = variant(
        f"scoops.cheek.height={height} mm",
        f"scoops.cheek.corner_radius={radius} mm",
        f"scoops.cheek.wall={wall} mm",
        "scoops.cheek.lip_radius=0.5 mm",
    )
    c = course(p, pod_lines(p), 0)
    cowl = cowl_rows(p, 0, c)
    assert np.all(cowl.half_height > cowl.radius)
    share = np.clip((cowl.x - cowl.x[0]) / (c.passage_end - cowl.x[0]), 0, 1)
    inner = passage_rows(p, 0, c, share)
    over = cowl.x <= c.passage_end
    roof = (cowl.middle + cowl.half_height - inner.middle - inner.half_height)[over]
    floor = (inner.middle - inner.half_height - cowl.middle + cowl.half_height)[over]
    assert roof.min() >= wall - 1e-9
    assert floor.min() >= wall - 1e-9


def test_a_scoop_across_the_centre_plane_does_not_run_into_its_mirror_image(variant) -> None:
    near = ("scoops.cheek.width=100 mm", "scoops.cheek.mouth=1820 mm")
    across = variant(*near, "scoops.cheek.clock_angle=84 deg")
    with pytest.raises(GeometryError, match="mirror image") as caught:
        course(across, pod_lines(across), 0)
    assert "scoops.cheek.mirrored" in caught.value.look_at
    most = int(re.search(r"no more than (\d+) deg", caught.value.problem).group(1))
    for around in (most, -most, 180 - most):
        beside = variant(*near, f"scoops.cheek.clock_angle={around} deg")
        assert course(beside, pod_lines(beside), 0).mouth == 1820.0
    alone = variant(*near, "scoops.cheek.clock_angle=84 deg", "scoops.cheek.mirrored=false")
    assert course(alone, pod_lines(alone), 0).mouth == 1820.0


def test_hull_wholly_below_an_axis_has_no_skin_there() -> None:
    """Above a hull that has dropped away there is nothing to stand on, and no crash."""
    section = SimpleNamespace(
        half_section=lambda x: np.array([[0.0, 90.0], [50.0, 0.0], [0.0, -9.0]])
    )
    up = DuctFrame((0.0, 200.0), (0.0, 1.0), (-1.0, 0.0))
    assert skin_heights(section, up, 0.0, 20.0) == (float("-inf"), float("-inf"))
    assert broadest(section, up, 0.0) == 0.0


@pytest.mark.parametrize("mouth", ["1850 mm", "at firewall"])
def test_the_hull_is_parted_where_passages_begin_and_end_however_wide_they_are(
    variant, mouth
) -> None:
    """What the hull reads of a scoop is where it runs: another width or height makes no new one."""
    p = variant(f"scoops.0.mouth={mouth}")
    pod, reads = pod_lines(p), Reads()
    found = breaks(viewed(p, reads), pod)
    c = course(p, pod, 0)
    assert found == [c.mouth - BESIDE, c.passage_end + BESIDE]
    read = {path[2] for path in reads.paths() if path[0] == "scoops" and len(path) > 2}
    own = {"mouth", "mouth_ahead", "clock_angle"} if mouth == "at firewall" else {"mouth"}
    assert read - {"?"} == own | {"passage_length"}

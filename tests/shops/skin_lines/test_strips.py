"""Strips inside a cylinder and the framed pod's stringers, on the skin of a mould's halves."""

from dataclasses import replace

import numpy as np
import pytest
from framed_pods import BROAD, HIGH, MIDDLE, model_of, pod_of, stringer
from shops.moulds.plain_moulds import RADIUS, cylinder_pod, with_mould

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.model import Model
from geomgen.shops.layout_lines import inside_parts
from geomgen.shops.moulds.cutouts import sides_of
from geomgen.shops.moulds.skin import Bounds, moulded
from geomgen.shops.moulds.split import halves
from geomgen.shops.skin_lines.curves import lines_finding, lines_on
from geomgen.shops.skin_lines.package import WantedLines, mould_lines
from geomgen.shops.skin_lines.strips import strip_edges

ROD = box((100.0, 60.0, -6.0), (700.0, 72.0, 6.0))


def halves_of(p, mould):
    return sides_of([moulded(half, Bounds()) for half in halves(p, mould, 0.0)])


@pytest.fixture(scope="module")
def sides(saltmarsh):
    return halves_of(*with_mould(cylinder_pod(saltmarsh)))


def edges_of(solid, sides):
    (part,) = inside_parts(Model(parts={"s": solid}, families={"s": "stringer"}))
    return strip_edges(part, [face for side in sides for face in side.faces])


def test_the_outer_side_of_a_rod_lies_square_above_it_on_the_skin(sides):
    half = lines_on(sides[0], [], strips=[edges_of(ROD, sides)])
    (line,) = half.lines
    # From the axis through the corner: z of the foot is R sin of the corner's angle.
    z = RADIUS * 6.0 / np.hypot(72.0, 6.0)
    points = np.concatenate(line.runs)
    assert np.hypot(points[:, 1], points[:, 2]) == pytest.approx(RADIUS, abs=1e-3)
    assert (points[:, 2].min(), points[:, 2].max()) == pytest.approx((-z, z), abs=5e-3)
    assert (points[:, 0].min(), points[:, 0].max()) == pytest.approx((100.0, 700.0), abs=1e-6)
    across = RADIUS * 2 * np.arcsin(z / RADIUS)
    assert line.length == pytest.approx(2 * 600.0 + 2 * across, rel=1e-4)
    (check,) = lines_finding("pod", [half])
    assert (check.verdict, check.measured < 0.02) == ("pass", True)
    assert lines_on(sides[1], [], strips=[edges_of(ROD, sides)]).lines == ()


# Aside by 0.3 mm on the skin, a line misses by as much less as the strip's radius is smaller.
@pytest.mark.parametrize(
    ("by", "miss"),
    [((0.3, 0.0, 0.0), 0.3), ((0.0, 0.0, 0.3), 0.3 * np.hypot(72.0, 6.0) / RADIUS)],
)
def test_a_line_that_is_beside_its_strip_or_past_its_end_fails(sides, by, miss):
    half = lines_on(sides[0], [], strips=[edges_of(ROD, sides)])
    (line,) = half.lines
    moved = replace(line, runs=tuple(run + np.array(by) for run in line.runs))
    (check,) = lines_finding("pod", [replace(half, lines=(moved,))])
    assert check.verdict == "fail"
    assert check.measured == pytest.approx(miss, abs=2e-3)


def test_a_strip_across_the_split_has_each_edge_on_its_own_half(sides):
    crown = box((100.0, -15.0, 80.0), (700.0, 15.0, 90.0))
    strips = [edges_of(crown, sides)]
    for side, way in zip(sides, (1.0, -1.0), strict=True):
        (line,) = lines_on(side, [], strips=strips).lines
        points = np.concatenate(line.runs)
        assert (way * points[:, 1]).min() > -1e-6
        assert (way * points[:, 1]).max() == pytest.approx(
            RADIUS * 15.0 / np.hypot(15.0, 90.0), abs=1e-3
        )


def test_a_rod_of_another_shape_has_no_edges_along_it(sides):
    assert edges_of(cylinder((100.0, 60.0, 0.0), (1.0, 0.0, 0.0), 8.0, 500.0), sides) is None


def test_the_pods_own_stringers_are_lines_on_both_halves():
    p, mould = with_mould(pod_of(stringer(), taper=0.2))
    lines = mould_lines(model_of(p), WantedLines("pod", 0.0), halves_of(p, mould))
    names = [[line.name for line in half.lines] for half in lines]
    assert names == [["stringer_strip_right, outer edges"], ["stringer_strip_left, outer edges"]]
    assert [half.undrawn for half in lines] == [(), ()]
    (check,) = lines_finding("pod", lines)
    assert check.verdict == "pass"
    for half, way in zip(lines, (1.0, -1.0), strict=True):
        points = np.concatenate(half.lines[0].runs)
        size = 1.0 - 0.2 * points[:, 0] / 2000.0
        on = (points[:, 1] / (size * BROAD)) ** 2 + ((points[:, 2] - MIDDLE) / (size * HIGH)) ** 2
        assert on == pytest.approx(1.0, abs=2e-3)
        assert (way * points[:, 1]).min() > 0

"""Halves in the centre plane: half the volume, closed caps, doubled to the same body again."""

from math import pi

import pytest
from OCP.BRepCheck import BRepCheck_Analyzer

from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.lofting.bodies import outer_skin, tube
from geomgen.kernel.lofting.halves import doubled, half_tube
from geomgen.kernel.lofting.offsets import offset_skin
from geomgen.kernel.lofting.sewing import Lean
from geomgen.kernel.solids.properties import bounding_box, volume
from geomgen.shapes.hull import pod_lines

WALL = 4.0


def skins(p, start=None, end=None, breaks=()):
    lines = pod_lines(p).lines
    last = float(lines.station(lines.v_range[1])) - 400.0 if end is None else end
    outer = outer_skin(lines, start, last, breaks)
    return outer, offset_skin(lines, WALL, start, last, "pod", breaks=breaks)


@pytest.mark.parametrize(
    ("start", "breaks", "caps"),
    [(None, (1200.0,), 1), (900.0, (), 2)],
    ids=["round nose, in bands", "open at both ends"],
)
def test_half_is_half_and_doubles_to_the_whole(saltmarsh, start, breaks, caps) -> None:
    outer, inner = skins(saltmarsh, start, breaks=breaks)
    whole, half = tube(outer, inner, "pod"), half_tube(outer, inner, "pod")
    size = volume(whole).value
    assert volume(half).value == pytest.approx(size / 2, rel=1e-6)
    assert bounding_box(half).low[1] == pytest.approx(0.0, abs=1e-6)
    assert BRepCheck_Analyzer(half).IsValid()
    flat = [face for face in faces_of(half) if abs(bounding_box(face).high[1]) < 1e-6]
    assert len(flat) == caps
    both = doubled(half, "pod")
    assert volume(both).value == pytest.approx(size, rel=1e-6)
    assert BRepCheck_Analyzer(both).IsValid()
    assert bounding_box(both).low == pytest.approx(bounding_box(whole).low, abs=1e-6)


def test_half_with_leaning_ends(saltmarsh) -> None:
    """A rim may lean as a firewall does; its half leans with it."""
    lines, lean = pod_lines(saltmarsh).lines, Lean(0.1, 0.0)
    outer = offset_skin(lines, 1.0, 1500.0, 1800.0, "pod", lean)
    inner = offset_skin(lines, 5.0, 1500.0, 1800.0, "pod", lean)
    whole, half = tube(outer, inner, "pod"), half_tube(outer, inner, "pod")
    assert volume(half).value == pytest.approx(volume(whole).value / 2, rel=1e-6)


def test_doubled_cylinder() -> None:
    """Half a round bar, joined to its mirror image, is the bar: pi r^2 l."""
    from geomgen.kernel.solids.booleans import common

    bar = cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 10.0, 80.0)
    (half,) = common(bar, box((-1.0, 0.0, -11.0), (81.0, 11.0, 11.0)), "bar", "half")
    assert volume(doubled(half, "bar")).value == pytest.approx(pi * 100.0 * 80.0, rel=1e-9)


def test_half_without_a_cap_is_refused() -> None:
    with pytest.raises(GeometryError, match="no cap in the centre plane"):
        doubled(box((0.0, 1.0, 0.0), (2.0, 2.0, 2.0)), "block")
